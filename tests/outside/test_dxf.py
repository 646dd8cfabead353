"""The DXF files against `ezdxf` (their form) and `shapely` (their geometry)."""

import json
import math
import re
import tomllib
from fractions import Fraction

import pytest
from shapely import LinearRing, Polygon

import drawing
import geometry
from conftest import ROOT

ALL = pytest.mark.runs("default", "r12", "inches", "r12-inches", "offset")
IN_MM = pytest.mark.runs("default", "r12")

# DXF reference, R12: symbol table names.
LEGAL_NAME = re.compile(r"[A-Z0-9_$-]{1,31}")
HOLE_LAYER = re.compile(r"(DRILL|SINK)_D(\d+)_(THRU|Z(\d+))")


@ALL
def test_strict_reader_finds_nothing_to_mend(made):
    auditor = drawing.read(made.dxf).audit()
    assert [e.message for e in auditor.errors] == []
    assert [e.message for e in auditor.fixes] == []


@ALL
def test_version_and_unit(made):
    """DXF reference: AC1009 is R12, AC1015 is R2000; $INSUNITS 1 is inches, 4 millimeters;
    $MEASUREMENT 0 is English, 1 metric."""
    document = drawing.read(made.dxf)
    run = made.run.name
    assert document.dxfversion == ("AC1009" if "r12" in run else "AC1015")
    assert document.header["$INSUNITS"] == (1 if "inches" in run else 4)
    assert document.header["$MEASUREMENT"] == (0 if "inches" in run else 1)
    polylines = {e.dxftype() for e in document.modelspace().query("LWPOLYLINE POLYLINE")}
    assert polylines == {"POLYLINE" if "r12" in run else "LWPOLYLINE"}


@ALL
def test_layers_are_legal_and_known(made):
    document = drawing.read(made.dxf)
    known = {layer.dxf.name for layer in document.layers}
    for entity in document.modelspace():
        layer = entity.dxf.layer
        assert LEGAL_NAME.fullmatch(layer) and layer in known
        assert HOLE_LAYER.fullmatch(layer) or layer in {
            "CUT_OUTLINE", "CUT_OPENING", "MARK", "MARK_BACK", "MARK_DOWEL", "NOTE",
        } or layer.startswith("POCKET_Z")  # fmt: skip


@ALL
def test_nothing_is_cut_twice_or_has_no_length(made):
    document = drawing.read(made.dxf)
    pieces = [
        (contour.layer, *segment)
        for contour in drawing.contours(document)
        for segment in contour.segments()
    ]
    pieces += [
        (line.dxf.layer, line.dxf.start.vec2, line.dxf.end.vec2, 0.0)
        for line in document.modelspace().query("LINE")
    ]
    seen = set()
    for layer, start, end, bulge in pieces:
        assert math.dist(start, end) > 1e-6
        ends = [tuple(round(c, 4) + 0.0 for c in point) for point in (start, end)]
        # A piece run the other way is the same piece with the bulge turned.
        key = (layer, *ends, round(bulge, 6)) if ends[0] < ends[1] else (
            layer, *ends[::-1], round(-bulge, 6) + 0.0
        )  # fmt: skip
        assert key not in seen, f"twice: {key}"
        seen.add(key)


@IN_MM
def test_geometry_is_that_of_the_summary(made):
    outline, openings = drawing.rings(drawing.read(made.dxf))
    wood = geometry.part(outline, openings)
    geometry.check_size(wood, made.figures)
    assert max(abs(wood.bounds[0]), abs(wood.bounds[1])) <= geometry.COORDINATE
    assert len(openings) == made.figures["openings"]
    perimeter = geometry.length_of([outline, *openings])
    assert abs(perimeter - made.figures["perimeter"]) <= geometry.COORDINATE * 10
    assert LinearRing(outline).is_ccw
    assert not any(LinearRing(opening).is_ccw for opening in openings)


@pytest.mark.runs("default", "r12", "offset")
def test_circles_are_the_drillings(made):
    circles = [c for c in drawing.circles(drawing.read(made.dxf)) if c[3] != "MARK_DOWEL"]
    figures = seen_from_above(made.figures)
    geometry.check_holes([c[:3] for c in circles], figures)
    for x, y, diameter, layer in circles:
        _, hundredths, _, depth, *_ = HOLE_LAYER.fullmatch(layer).groups()
        assert abs(int(hundredths) - 100 * diameter) <= 0.5 + 1e-6
        [wanted] = {d["depth"] for d in figures["drillings"] if math.dist(
            (x, y, diameter), (d["x"], d["y"], d["diameter"])) < geometry.COORDINATE}  # fmt: skip
        assert (depth is None) == (wanted is None)
        assert wanted is None or abs(int(depth) - 100 * wanted) <= 0.5 + 1e-6


def seen_from_above(figures):
    """The part with the face up that has work that asks for it: its back, mirrored, where all such work is there. What
    is bored from the face below is on another file, what leans on none."""
    asks = {d["face"] for d in figures["drillings"] if d["depth"] is not None and d["lean"] == 0}
    asks |= {p["face"] for p in figures["pockets"]}
    up = "back" if asks == {"back"} else "show"
    bored = [d for d in figures["drillings"] if d["lean"] == 0 and (d["depth"] is None or d["face"] == up)]
    if up == "back":
        bored = [d | {"x": figures["length"] - d["x"]} for d in bored]
    return figures | {"drillings": bored}


@pytest.mark.runs("inches", "r12-inches")
def test_inches_are_millimeters_over_25_4(made):
    """1 in = 25.4 mm exactly (international inch)."""
    inches = drawing.read(made.dxf)
    metric = drawing.read(made.in_run("r12" if "r12" in made.run.name else "default").dxf)
    pairs = list(zip(drawing.contours(inches), drawing.contours(metric), strict=True))
    for a, b in pairs:
        assert a.layer == b.layer
        for (x, y, bulge), (x_mm, y_mm, bulge_mm) in zip(a.vertices, b.vertices, strict=True):
            assert math.dist((25.4 * x, 25.4 * y), (x_mm, y_mm)) < 1e-6
            assert abs(bulge - bulge_mm) < 1e-9
    for a, b in zip(drawing.circles(inches), drawing.circles(metric), strict=True):
        assert a[3] == b[3]
        assert all(abs(25.4 * u - v) < 1e-6 for u, v in zip(a[:3], b[:3]))


@pytest.mark.runs("r12")
def test_both_versions_say_the_same(made):
    r12, r2000 = (drawing.read(m.dxf) for m in (made, made.in_run("default")))
    assert drawing.contours(r12) == drawing.contours(r2000)
    assert drawing.circles(r12) == drawing.circles(r2000)
    words = [[t.plain_text() for t in d.modelspace().query("TEXT")] for d in (r12, r2000)]
    assert words[0] == words[1] and any(made.name in line for line in words[0])


@pytest.mark.runs("offset")
def test_path_of_the_bit_runs_half_a_bit_outside_the_wood(made):
    """Against shapely's buffer: out from the outline, in from each opening."""
    half = router_bit() / 2
    if kept_to_its_edges(made):
        plain, same = (drawing.read(m.dxf) for m in (made.in_run("default"), made))
        assert drawing.contours(plain) == drawing.contours(same)
        return
    outline, openings = drawing.rings(drawing.read(made.in_run("default").dxf))
    path, path_openings = drawing.rings(drawing.read(made.dxf))
    grown = Polygon(outline).buffer(half, quad_segs=512)
    shrunk = [Polygon(opening).buffer(-half, quad_segs=512) for opening in openings]
    assert len(shrunk) == len(path_openings)
    check_same_ring(path, grown)
    for expected in shrunk:
        check_same_ring(min(path_openings, key=lambda o: expected.distance(Polygon(o).centroid)), expected)


def kept_to_its_edges(made):
    """Whether summary.json says that the part is made by hand and finer than the bit."""
    summary = json.loads((made.run / "summary.json").read_text(encoding="utf-8"))
    said = f"{made.name} of {made.holder}: "
    return any(f["code"] == "not-offset" and said in f["message"] for f in summary["findings"])


def check_same_ring(ring, expected):
    assert expected.geom_type == "Polygon" and not expected.interiors
    assert LinearRing(ring).hausdorff_distance(expected.exterior) <= geometry.COORDINATE
    assert abs(Polygon(ring).area - expected.area) <= 1e-5 * expected.area


def router_bit():
    """The bit of the sample's shop file in mm."""
    shop = tomllib.loads((ROOT / "samples/boat-shed/shop.toml").read_text(encoding="utf-8"))
    words = str(shop["router"]["bit"]).split()
    unit = words.pop() if words[-1] in {"in", "mm"} else shop["units"]
    return float(sum(Fraction(word) for word in words)) * {"in": 25.4, "mm": 1}[unit]
