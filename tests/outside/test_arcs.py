"""A traced outline: the curves of the SVG against the lines and arcs of the DXF.

The curves are sampled with svgelements, the arcs with ezdxf, and shapely measures how far apart they
are (Hausdorff distance).
"""

import drawing
import numpy as np
from conftest import ROOT
from shapely import LinearRing, Polygon
from svgelements import SVG, Path

TRACED = ROOT / "tests/outside/traced/holders/spokeshave.svg"

# Curves become lines and arcs within this, in mm; the sampling adds a little.
TOLERANCE = 0.01
SAMPLING = 0.002

# The opening is larger than the tool by this all round, in mm: 1/16 in.
CLEARANCE = 25.4 / 16


def traced():
    """The path in mm, y up, with its lower left corner at the origin (96 px are an inch)."""
    path = next(e for e in SVG.parse(str(TRACED), ppi=96, reify=True).elements() if isinstance(e, Path))
    points = np.array([(p.x, p.y) for s in path if len(s) > 0 for p in map(s.point, np.linspace(0, 1, 2000)[1:])])
    points = points[np.isfinite(points).all(axis=1)] * 25.4 / 96 * (1, -1)
    return Polygon(points - points.min(axis=0))


def at_origin(ring):
    ring = np.asarray(ring)
    return ring - ring.min(axis=0)


def test_traced_part_follows_the_curve(made_root):
    outline, openings = drawing.rings(drawing.read(made_root / "traced/spokeshave/handle.dxf"))
    turned = np.asarray(traced().exterior.coords) @ np.array([[0, 1], [-1, 0]])
    apart = LinearRing(at_origin(outline)).hausdorff_distance(LinearRing(at_origin(turned)))
    assert not openings and apart <= TOLERANCE + SAMPLING, apart


def test_opening_is_larger_by_the_clearance(made_root):
    _, openings = drawing.rings(drawing.read(made_root / "traced/spokeshave/board.dxf"))
    wanted = traced().buffer(CLEARANCE, quad_segs=256)
    apart = LinearRing(at_origin(openings[0])).hausdorff_distance(
        LinearRing(at_origin(wanted.exterior.coords))
    )
    assert len(openings) == 1 and apart <= TOLERANCE + SAMPLING, apart


def test_few_arcs_will_do(made_root):
    contours = drawing.contours(drawing.read(made_root / "traced/spokeshave/handle.dxf"))
    outline = next(c for c in contours if c.layer == "CUT_OUTLINE")
    assert 8 <= len(outline.vertices) <= 120
