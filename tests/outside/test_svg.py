"""The pattern SVGs against `svgelements` (their form) and `shapely` (their geometry)."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from shapely import Polygon
from svgelements import SVG, Arc, Circle, Close, Group, Line, Move, Path

import geometry

# Two runs whose patterns must not differ: paper and DXF options do not touch them.
RUNS = pytest.mark.runs("default", "r12")

# So that a pixel is a millimeter, and what the reader hands out, all transforms and the view box
# applied, is in mm on paper (SVG 1.1, 7.10: 1 in = 25.4 mm, of which the reader keeps six digits:
# to it a millimeter is 0.0393701 in).
PIXELS_PER_INCH = 1 / 0.0393701


@RUNS
def test_width_height_and_view_box_are_the_same_millimeters(made):
    root = ET.parse(made.svg).getroot()
    size = [re.fullmatch(r"([0-9.]+)mm", root.get(key)) for key in ("width", "height")]
    assert all(size), "width and height in mm"
    x, y, width, height = map(float, root.get("viewBox").replace(",", " ").split())
    assert (x, y) == (0, 0)
    assert [width, height] == pytest.approx([float(s[1]) for s in size], abs=1e-6)


@RUNS
def test_geometry_is_that_of_the_summary(made):
    groups = layers(made.svg)
    outlines = rings(groups["outline"])
    openings = rings(groups.get("opening", []))
    assert len(outlines) == 1
    geometry.check_size(geometry.part(outlines[0], openings), made.figures)
    assert len(openings) == made.figures["openings"]


@RUNS
def test_circles_are_the_drillings(made):
    groups = layers(made.svg)
    left, _, _, bottom = Polygon(rings(groups["outline"])[0]).bounds
    # A blind hole bored from the back is hidden, and drawn so.
    drawn = [*groups.get("drilling", []), *groups.get("hidden", [])]
    circles = [e for e in drawn if isinstance(e, Circle)]
    for circle in circles:
        assert circle.implicit_rx == pytest.approx(circle.implicit_ry, abs=1e-9)
    # The paper's y runs down, the part's runs up from its lower edge.
    holes = [
        (c.implicit_center.x - left, bottom - c.implicit_center.y, 2 * c.implicit_rx)
        for c in circles
    ]
    geometry.check_holes(holes, made.figures)


@RUNS
def test_all_that_is_drawn_to_cut_lies_on_the_sheet(made):
    root = ET.parse(made.svg).getroot()
    width, height = (float(root.get(key).removesuffix("mm")) for key in ("width", "height"))
    for ring in rings(layers(made.svg)["outline"]):
        x0, y0, x1, y1 = Polygon(ring).bounds
        assert 0 < x0 < x1 < width and 0 < y0 < y1 < height


def layers(path):
    """What lies in each group with an id, in mm on paper."""
    found = {}
    for element in SVG.parse(str(path), ppi=PIXELS_PER_INCH, reify=True).elements():
        if isinstance(element, Group) and element.id in {"outline", "opening", "drilling", "hidden"}:
            assert element.id not in found, f"two groups called {element.id}"
            found[element.id] = [e for e in element.select() if e is not element]
    return found


def rings(elements):
    """Every closed path as a polygon of short chords."""
    paths = [Path(sub) for e in elements if isinstance(e, Path) for sub in e.as_subpaths()]
    return [ring(path) for path in paths]


def ring(path):
    assert isinstance(path[0], Move) and isinstance(path[-1], Close), "an open cut"
    points = []
    for segment in path[1:]:
        if isinstance(segment, Arc):
            assert segment.rx == pytest.approx(segment.ry), "an arc of an ellipse"
            count = geometry.steps(float(segment.rx), segment.sweep)
            points += [segment.point(t) for t in np.linspace(0, 1, count + 1)[1:]]
        else:
            assert isinstance(segment, (Line, Close)), f"{segment} is neither line nor arc"
            points.append(segment.end)
    return np.array([(p.x, p.y) for p in points])
