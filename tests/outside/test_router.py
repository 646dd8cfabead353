"""The router's sheets, rebuilt from their DXF files with `ezdxf`, against `shapely`.

Of the parts only what summary.json says is known: how large each is, and where it was laid.
"""

import json
import math
from collections import Counter
from itertools import combinations

import pytest
from shapely import LinearRing, Point, Polygon, box
from shapely.affinity import rotate, translate

import drawing
import geometry
from conftest import router_table

RUNS = ["default", "r12", "inches", "offset"]

# Ripped as cleat strips, not cut from the sheet by router.
STRIPS = {"holder-cleat", "spacer-strip", "spacer-strip"}


@pytest.fixture(params=RUNS)
def run(request, made_root):
    return made_root / request.param


def summary_of(run):
    return json.loads((run / "summary.json").read_text(encoding="utf-8"))


def sheets_of(run):
    sheets = summary_of(run)["router"]["sheets"]
    assert sheets, f"no sheet in {run}"
    return sheets


def bit_of(run):
    return router_table()["bit"]


def spacing():
    return router_table()["bit"] + 2 * router_table()["margin"]


def pieces_on(run, sheet):
    """The wood of each piece of a sheet file in mm, outline with openings, and the sheet's edge."""
    scale = 25.4 if run.name == "inches" else 1.0
    document = drawing.read(run / sheet["file"])
    rings = {}
    for layer, ring in drawing.closed_rings(document):
        rings.setdefault(layer, []).append(ring * scale)
    [edge] = rings["MARK_SHEET"]
    outlines = [Polygon(ring) for ring in rings["CUT_OUTLINE"]]
    openings = [Polygon(ring) for ring in rings.get("CUT_OPENING", [])]
    assert all(LinearRing(ring).is_ccw for ring in rings["CUT_OUTLINE"])
    # An opening belongs to the smallest outline round it.
    owner = {}
    for number, opening in enumerate(openings):
        around = [i for i, outline in enumerate(outlines) if outline.contains(opening)]
        owner[number] = min(around, key=lambda i: outlines[i].area)
    woods = [
        Polygon(outline.exterior, [openings[n].exterior for n in owner if owner[n] == i])
        for i, outline in enumerate(outlines)
    ]
    assert all(wood.is_valid for wood in woods)
    return woods, Polygon(edge)


def figures_of(run):
    return {
        (holder["name"], part["name"]): part
        for holder in summary_of(run)["holders"]
        for part in holder["parts"]
    }


def test_strict_reader_finds_nothing_to_mend(run):
    for sheet in sheets_of(run):
        auditor = drawing.read(run / sheet["file"]).audit()
        assert [e.message for e in auditor.errors] == []
        assert [e.message for e in auditor.fixes] == []


def test_no_two_parts_come_nearer_than_the_spacing(run):
    """The paths of two bits come no nearer than two margins: half a bit goes off either side."""
    least = spacing() - (bit_of(run) if run.name == "offset" else 0)
    for sheet in sheets_of(run):
        woods, _ = pieces_on(run, sheet)
        for one, other in combinations(woods, 2):
            assert one.distance(other) >= least - geometry.COORDINATE


def test_nothing_reaches_into_the_zone_at_the_edges(run):
    half = bit_of(run) / 2
    for sheet in sheets_of(run):
        woods, edge = pieces_on(run, sheet)
        assert edge.equals(box(0, 0, sheet["length"], sheet["width"])) or math.isclose(
            edge.symmetric_difference(box(0, 0, sheet["length"], sheet["width"])).area, 0, abs_tol=1e-3
        )
        zone = router_table()["hold_down"] - geometry.COORDINATE
        free = box(zone, zone, sheet["length"] - zone, sheet["width"] - zone)
        for wood in woods:
            # What the bit cuts away round the part, too.
            cut = wood.buffer(half if run.name == "offset" else 2 * half)
            assert free.contains(cut)


def test_every_piece_lies_on_one_sheet_or_is_left_out(run):
    router = summary_of(run)["router"]
    laid = Counter()
    for sheet in router["sheets"]:
        laid.update((p["holder"], p["part"]) for p in sheet["parts"])
    numbers = [
        (p["holder"], p["part"], p["piece"]) for sheet in router["sheets"] for p in sheet["parts"]
    ]
    assert len(set(numbers)) == len(numbers)
    left = {(l["holder"], l["part"]): l["pieces"] for l in router["left_out"]}
    figures = figures_of(run)
    for key in laid.keys() | left.keys():
        assert laid[key] + left.get(key, 0) == figures[key]["quantity"]
    # All of a holder's parts of that stock are made by CNC router, or none.
    stocks = {sheet["stock"] for sheet in router["sheets"]}
    holders = {holder for holder, _ in laid}
    wanted = {key for key, part in figures.items() if key[0] in holders and part["stock"] in stocks}
    sheet_parts = {key for key in wanted if key[1] not in STRIPS}
    assert sheet_parts <= laid.keys() | left.keys()


def test_pieces_are_those_of_the_summary_where_it_says(run):
    if run.name == "offset":
        pytest.skip("its lines are the bit's path; the test after this one looks at them")
    figures = figures_of(run)
    # Chords stand off their arcs by so much in the file's unit.
    coarse = 25.4 if run.name == "inches" else 1.0
    for sheet in sheets_of(run):
        woods, _ = pieces_on(run, sheet)
        assert len(woods) == len(sheet["parts"])
        left = list(woods)
        for placed in sheet["parts"]:
            part = figures[placed["holder"], placed["part"]]
            found = [
                wood
                for wood in left
                if abs(wood.bounds[0] - placed["x"]) <= geometry.COORDINATE
                and abs(wood.bounds[1] - placed["y"]) <= geometry.COORDINATE
            ]
            [wood] = found
            left.remove(wood)
            upright = placed["turn"] % 180 == 0
            size = (part["length"], part["width"])
            width, height = size if upright else size[::-1]
            assert abs(wood.bounds[2] - wood.bounds[0] - width) <= geometry.COORDINATE
            assert abs(wood.bounds[3] - wood.bounds[1] - height) <= geometry.COORDINATE
            assert abs(wood.area - part["area"]) <= geometry.AREA * coarse
            assert len(wood.interiors) == part["openings"]
        filled = sum(wood.area for wood in woods) / (sheet["length"] * sheet["width"])
        assert abs(filled - sheet["filling"]) < 1e-5


def test_pieces_are_turned_as_the_summary_says(made_root):
    """The part's own file, turned by shapely, is what lies on the sheet."""
    run = made_root / "default"
    for sheet in sheets_of(run):
        woods, _ = pieces_on(run, sheet)
        for placed in sheet["parts"]:
            own = drawing.read(run / placed["holder"] / f"{placed['part']}.dxf")
            wood = rotate(geometry.part(*drawing.rings(own)), placed["turn"], origin=(0, 0))
            wood = translate(wood, placed["x"] - wood.bounds[0], placed["y"] - wood.bounds[1])
            assert min(wood.symmetric_difference(w).area for w in woods) <= geometry.AREA


def test_grain_is_along_the_sheet(made_root):
    """Both stocks of the sample have a grain."""
    run = made_root / "default"
    for sheet in sheets_of(run):
        for placed in sheet["parts"]:
            grain = figures_of(run)[placed["holder"], placed["part"]]["grain"]
            assert placed["turn"] % 180 == {"length": 0, "width": 90}.get(grain, placed["turn"] % 180)


def test_each_piece_has_its_name_on_it(made_root):
    run = made_root / "default"
    for sheet in sheets_of(run):
        woods, _ = pieces_on(run, sheet)
        texts = drawing.read(run / sheet["file"]).modelspace().query('TEXT[layer=="NOTE"]')
        middles = {t.plain_text(): Point(*t.get_placement()[1].vec2) for t in texts if t.dxf.halign == 1}
        assert len(middles) == len(sheet["parts"])
        for placed in sheet["parts"]:
            [at] = [m for w, m in middles.items() if w.startswith(f"{placed['holder']} {placed['part']}")
                    and w.removeprefix(f"{placed['holder']} {placed['part']}") in {"", f" {placed['piece']}"}]
            assert any(wood.contains(at) for wood in woods)


def test_bridges_are_marked_on_closed_contours(made_root):
    """A point in the middle of each and a short line along it, as long as the wood that is to be left."""
    run = made_root / "bridges"
    wanted = router_table(run.parent / "bridges-project/shop.toml")
    for sheet in sheets_of(run):
        space = drawing.read(run / sheet["file"]).modelspace()
        assert all(line.is_closed for line in space.query("LWPOLYLINE"))
        lines = space.query('LINE[layer=="BRIDGE"]')
        points = space.query('POINT[layer=="BRIDGE"]')
        # No part of the sample takes more than it is asked to; a slug of an opening may have some too.
        assert len(points) == len(lines) >= wanted["bridges"] * len(sheet["parts"])
        contours = [LinearRing(ring) for _, ring in drawing.closed_rings(drawing.read(run / sheet["file"]))]
        for point, line in zip(points, lines):
            start, end = line.dxf.start.vec2, line.dxf.end.vec2
            assert abs(math.dist(start, end) - wanted["bridge_width"]) < 1e-6
            at = Point(*point.dxf.location.vec2)
            assert math.dist((at.x, at.y), start.lerp(end)) < 1e-6
            assert min(contour.distance(at) for contour in contours) < geometry.COORDINATE
