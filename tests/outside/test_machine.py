"""The files for the CNC router against `ezdxf`, GDAL and `shapely`: whether what is cut is the part, in an order that
works, begun where nothing has to fit.

The random shops are those of `shops.py`; what is worked on both faces and what lies in one another is in `milled/`.
"""

import math
import re
import tomllib
import xml.etree.ElementTree as ET
from collections import Counter
from itertools import combinations

import numpy as np
import pyogrio
import pytest
import shapely
from shapely import LinearRing, LineString, Point, Polygon, box

import drawing
import geometry
import millwork
from millwork import mm
from test_seats import CHORDS, FLAT, grown, seats

# How far what the bit leaves may stand off the part, in mm.
CUT = 0.01

# Least wood between a screw's hole and a cut, in mm. Common practice, no source.
LEAST_WEB = 3.0

SHOPS = [f"shops-{n:02}{'-by-bit' * (n % 3 == 2)}" for n in range(9)]

# Runs with the paths of the bit, and that of the same project with the edges.
BY_EDGE = {name: f"{name}-edges" for name in SHOPS if name.endswith("-by-bit")}
BY_EDGE |= {"milled-by-bit": "milled", "offset": "default"}
BY_BIT = [*BY_EDGE]
EDGES = [name for name in SHOPS if name not in BY_BIT] + [*BY_EDGE.values(), "milled-climb"]
RUNS = [*EDGES, *BY_BIT]

# Thickness of the sheets that the try pieces are cut from, in mm, as their shop files have it.
TRIED = {"try-in": 25.4 * 23 / 32, "try-mm": 11.8}


def run_fixture(names):
    @pytest.fixture(params=names)
    def run(request, made_root):
        found = made_root / request.param
        assert found.is_dir(), f"no run {found}"
        return found

    return run


run = run_fixture(RUNS)
edges = run_fixture(EDGES)
by_bit = run_fixture(BY_BIT)


def pytest_generate_tests(metafunc):
    """`any_run` is every run there is."""
    if "any_run" in metafunc.fixturenames:
        root = metafunc.config.getoption("made")
        found = sorted(folder for folder in root.iterdir() if any(folder.rglob("*.dxf")))
        assert found, f"no run in {root}"
        metafunc.parametrize("any_run", found, ids=[folder.name for folder in found])


def test_two_readers_find_the_same(any_run):
    """GDAL and ezdxf count as much on every layer, and ezdxf has nothing to mend."""
    for file in any_run.rglob("*.dxf"):
        document = drawing.read(file)
        auditor = document.audit()
        assert [e.message for e in (*auditor.errors, *auditor.fixes)] == [], file
        meta, _, shapes, fields = pyogrio.raw.read(file)
        read = Counter(fields[list(meta["fields"]).index("Layer")])
        assert read == Counter(e.dxf.layer for e in document.modelspace()), file
        assert all(shape is not None for shape in shapes), file


def test_contours_are_closed_in_every_mode(any_run):
    """But for the bit's way round what bridges hold, and only sheets have bridges."""
    for file in any_run.rglob("*.dxf"):
        may_break = file.parent.name == "router" and millwork.is_by_bit(any_run)
        for line in drawing.read(file).modelspace().query("LWPOLYLINE POLYLINE"):
            assert line.is_closed or may_break, f"{file}: open on {line.dxf.layer}"


def test_what_is_cut_is_closed(run):
    """Contours are closed; where the bit's way is broken by bridges, runs and gaps make closed rings."""
    broken = 0
    for file in millwork.files(run):
        for ring in millwork.rings_of(run, file):
            assert ring.polygon.is_valid, f"{file}: a contour crosses itself"
            assert re.fullmatch(r"(CUT_(INNER\d?_)?(OPENING|OUTLINE)|POCKET_Z\d+)(_B\d+)?(_Z\d+)?", ring.layer)
            broken += not ring.whole
    wanted = millwork.router_of(run).bridges > 0 and millwork.is_by_bit(run)
    assert (broken > 0) == wanted


def test_bit_leaves_the_part(by_bit):
    """What the bit sweeps on its way leaves outlines, openings and pockets as the run of the edges has them."""
    plain = by_bit.parent / BY_EDGE[by_bit.name]
    router, compared = millwork.router_of(by_bit), 0
    for file in routed_files(by_bit):
        paths = millwork.rings_of(by_bit, file)
        wanted = millwork.rings_of(plain, plain / file.relative_to(by_bit))
        for path, edge in zip(paths, wanted, strict=True):
            assert path.layer == edge.layer
            got = millwork.swept(path.line, router.on(path.layer), millwork.is_outline(path.layer))
            what = edge.polygon if path.layer.startswith("CUT_") else milled(edge.polygon, router.on(path.layer))
            check_same(got, what, f"{file} {path.layer} at {edge.start}")
            compared += 1
    assert compared > 10


def milled(wall, bit):
    """What a round bit leaves of a pocket that nothing has to seat in: its corners are as round as the bit."""
    return wall.buffer(-bit / 2 + FLAT, quad_segs=CHORDS).buffer(bit / 2 - FLAT, quad_segs=CHORDS)


def test_pockets_with_a_seat_are_square(made_root):
    """Square wood of the size that the style has goes into the pocket of the board's back."""
    run = made_root / "milled-by-bit"
    [path] = [r for r in millwork.rings_of(run, run / "irons/board-back.dxf") if r.layer.startswith("POCKET_")]
    room = millwork.swept(path.line, millwork.router_of(run).on(path.layer), False)
    x, y = room.centroid.coords[0]
    assert room.buffer(CUT).contains(box(x - 30, y - 22.5, x + 30, y + 22.5))


def routed_files(run):
    """The files of what is made by CNC router. Parts made by hand have square inside corners that no bit reaches."""
    holders = millwork.summary_of(run)["holders"]
    by_hand = {holder["name"] for holder in holders if holder["words"].get("made_by") != "router"}
    return [file for file in millwork.files(run) if file.parent.name not in by_hand]


def check_same(got, wanted, what):
    pieces = getattr(got, "geoms", [got])
    whole = max(pieces, key=lambda piece: piece.area)
    apart = LinearRing(whole.exterior).hausdorff_distance(wanted.exterior)
    differing = got.symmetric_difference(wanted).area / wanted.length
    assert apart <= CUT and differing <= CUT, f"{what}: {apart:.3f} mm apart, {differing:.4f} on average"


# What the machine does, in the order it does it: holes before shapes, and what is freed last. Common practice, no source.
WORK = [
    r"MARK_SHEET", r"MARK", r"MARK_BACK", r"MARK_DOWEL", r"DOWEL_D\d+", r"DRILL_D\d+_(THRU|Z\d+)", r"SINK_D\d+_Z\d+",
    r"POCKET_Z\d+(_B\d+)?", *(rf"CUT_INNER{n}_(OPENING|OUTLINE).*" for n in range(9, 1, -1)),
    r"CUT_INNER_OPENING.*", r"CUT_INNER_OUTLINE.*", r"CUT_OPENING.*", r"CUT_OUTLINE.*", r"BRIDGE(_Z\d+)?", r"NOTE",
]  # fmt: skip


def rank(layer):
    """Place of a layer in the work. Drills and countersinks share one: holes in any order of their tools."""
    [place] = [n for n, name in enumerate(WORK) if re.fullmatch(name, layer)]
    return place


def test_layers_come_in_the_order_of_the_work(run):
    for file in millwork.files(run):
        document = drawing.read(file)
        drawn = [e.dxf.layer for e in document.modelspace()]
        blocks = [layer for n, layer in enumerate(drawn) if n == 0 or drawn[n - 1] != layer]
        assert len(blocks) == len(set(blocks)), f"{file}: a layer in two places"
        assert [rank(layer) for layer in blocks] == sorted(rank(layer) for layer in blocks), file
        # The table of layers has the same order, between the two that the format itself asks for.
        table = [layer.dxf.name for layer in document.layers if layer.dxf.name not in ("0", "Defpoints")]
        assert table == blocks, file


def test_nothing_is_cut_from_what_is_loose(run):
    """Of two contours one within the other, the inner one is cut first."""
    pairs = 0
    for file in millwork.files(run):
        cuts = millwork.rings_of(run, file)
        areas = [ring.polygon for ring in cuts]
        for (before, inner), (after, outer) in combinations(enumerate(areas), 2):
            assert not inner.contains(outer), f"{file}: {cuts[before].layer} is cut before {cuts[after].layer} in it"
            pairs += outer.contains(inner)
    assert pairs > 5


def test_parts_in_openings_are_seen(made_root):
    """The project has frames in a frame: their names tell how deep they lie."""
    run = made_root / "milled"
    [file] = [file for file in millwork.files(run, "router") if not file.stem.endswith("-back")]
    rings = millwork.rings_of(run, file)
    outlines = [ring for ring in rings if millwork.is_outline(ring.layer)]
    openings = [ring.polygon for ring in rings if "OPENING" in ring.layer]
    depths = Counter()
    for ring in outlines:
        depth = sum(opening.contains(ring.polygon) for opening in openings)
        inner = {0: "", 1: "INNER_"}.get(depth, f"INNER{depth}_")
        assert ring.layer == f"CUT_{inner}OUTLINE"
        depths[depth] += 1
    assert depths[0] >= 1 and depths[1] >= 1 and depths[2] >= 1


def test_cuts_run_the_asked_way(run):
    """With a spindle that turns clockwise, seen from above, a conventional cut has its part on the left: outlines
    counter-clockwise, openings and pockets clockwise; climbing the other way. Common practice, no source."""
    climb = millwork.router_of(run).climb
    for file in millwork.files(run):
        for ring in millwork.rings_of(run, file):
            left = LinearRing(ring.line).is_ccw == millwork.is_outline(ring.layer)
            assert left != climb, f"{file} {ring.layer}"


def test_both_ways_are_tried(made_root):
    found = {(millwork.router_of(made_root / name).climb, millwork.is_by_bit(made_root / name)) for name in RUNS}
    assert len(found) == 4


def test_outlines_begin_in_the_middle_of_a_free_side(edges):
    """Where the bit goes down it leaves a mark: on a straight side, off the corners and off the tabs."""
    begun = 0
    for holder in millwork.summary_of(edges)["holders"]:
        for part in holder["parts"]:
            outline, _ = millwork.own_wood(edges, holder, part)
            if all(bulge for *_, bulge in outline.vertices):
                continue
            # A key is one tab from end to end.
            tabs = [] if part["name"] == "key" else millwork.tabs_of(holder, part)
            strips = [millwork.in_own_file(edges, part, strip) for *_, strip in tabs]
            check_start(outline, strips, f"{holder['name']} {part['name']}")
            begun += 1
    assert begun > 5


def check_start(ring, tabs, whose):
    first, last = ring.segments()[0], ring.segments()[-1]
    assert first[2] == last[2] == 0, f"{whose}: begins on an arc"
    out, back = (np.subtract(b, a) for a, b, _ in (first, last))
    # Half of the side before the start, half of it after.
    assert abs(out - back).max() <= geometry.COORDINATE, f"{whose}: does not begin in the middle of a side"
    # A part with tabs all round begins at their shoulders, which lie within its box.
    start = Point(ring.start)
    off = all(strip.distance(start) > geometry.COORDINATE for strip in tabs)
    within = ring.polygon.envelope.exterior.distance(start) > geometry.COORDINATE
    assert off or within, f"{whose}: begins on a tab"


def test_bit_begins_beside_the_edge(by_bit):
    """A way that no bridge breaks begins half a bit from where its edge does, as does that of any part by itself."""
    plain, router = by_bit.parent / BY_EDGE[by_bit.name], millwork.router_of(by_bit)
    begun = 0
    for file in routed_files(by_bit):
        pairs = zip(millwork.rings_of(by_bit, file), millwork.rings_of(plain, plain / file.relative_to(by_bit)))
        for path, edge in pairs:
            if path.whole:
                half = router.on(path.layer) / 2
                assert abs(math.dist(path.start, edge.start) - half) <= geometry.COORDINATE, f"{file} {path.layer}"
                begun += 1
    assert begun > 10


# A path of SVG 1.1 (8.3) as the program writes it: absolute moves, lines, arcs of circles, closed.
COMMAND = re.compile(r"([MLAZ])([^MLAZ]*)")
SVG = "{http://www.w3.org/2000/svg}"


def svg_ring(data):
    """Vertices with bulges, y up, of one closed path."""
    points, bulges = [], []
    for command, words in COMMAND.findall(data):
        figures = [float(word) for word in words.replace(",", " ").split()]
        if command == "Z":
            break
        points.append((figures[-2], -figures[-1]))
        if command != "M":
            bulges.append(svg_bulge(points[-2], points[-1], figures) if command == "A" else 0.0)
    if math.dist(points[0], points[-1]) < 1e-9:
        points.pop()
    else:
        bulges.append(0.0)
    return [(*point, bulge) for point, bulge in zip(points, bulges, strict=True)]


def svg_bulge(start, end, figures):
    """SVG 1.1, 8.3.8: a sweep of 1 turns in the direction of growing angles, clockwise where y runs down."""
    rx, ry, _, large, sweep, *_ = figures
    assert rx == ry, "an arc of an ellipse"
    half = math.asin(min(math.dist(start, end) / 2 / rx, 1.0))
    angle = 2 * (math.pi - half if large else half)
    return math.tan(angle / 4) * (-1 if sweep else 1)


def test_svg_is_what_is_cut_and_nothing_else(run):
    """PART-cut.svg at full size has no words, and the contours and holes of the DXF file, both from the same zero."""
    for file in millwork.files(run):
        if file.parent.name == "router":
            continue
        root = ET.parse(file.with_name(f"{file.stem}-cut.svg")).getroot()
        assert {element.tag for element in root.iter()} <= {SVG + tag for tag in ("svg", "g", "path", "circle")}
        assert not any((element.text or "").strip() for element in root.iter())
        document = drawing.read(file)
        wanted = [ring for ring in millwork.rings_of(run, file)]
        groups = [(group.get("id"), element) for group in root for element in group]
        paths = [(layer, svg_ring(e.get("d"))) for layer, e in groups if e.tag == SVG + "path"]
        assert [layer for layer, _ in paths] == [ring.layer for ring in wanted]
        for (layer, vertices), ring in zip(paths, wanted):
            check_same_line(vertices, ring.vertices, f"{file} {layer}")
        holes = [(float(e.get("cx")), -float(e.get("cy")), 2 * float(e.get("r")), layer)
                 for layer, e in groups if e.tag == SVG + "circle"]  # fmt: skip
        cut = [circle for circle in drawing.circles(document) if circle[3] != "MARK_DOWEL"]
        for hole, circle in zip(holes, cut, strict=True):
            assert hole[3] == circle[3]
            assert max(abs(a - b) for a, b in zip(hole[:3], circle[:3])) <= geometry.COORDINATE


def check_same_line(vertices, wanted, what):
    """The same start, way and line; an arc may be in several pieces in one of them."""
    assert math.dist(vertices[0][:2], wanted[0][:2]) <= geometry.COORDINATE, what
    ring, other = (drawing.Contour("", line) for line in (vertices, wanted))
    whole, whole_other = LinearRing(ring.ring()), LinearRing(other.ring())
    assert whole.is_ccw == whole_other.is_ccw and abs(whole.length - whole_other.length) <= len(wanted) * geometry.COORDINATE
    apart = max(shapely.distance(whole_other, ends_and_middles(ring)).max(), shapely.distance(whole, ends_and_middles(other)).max())
    assert apart <= geometry.COORDINATE, f"{what}: {apart:.4f} mm apart"


def ends_and_middles(contour):
    """An arc is where its ends and its middle are: the middle stands off the chord by the bulge times half of it."""
    segments = [(np.array(a, float), np.array(b, float), bulge) for a, b, bulge in contour.segments()]
    middles = [(a + b) / 2 + bulge / 2 * np.array([(b - a)[1], -(b - a)[0]]) for a, b, bulge in segments]
    return shapely.points([a for a, *_ in segments] + middles)


def test_svg_is_at_full_size(run):
    """Width and height in mm are those of the view box and of the part; its zero is that of the machine."""
    center = millwork.router_of(run).center
    for holder in millwork.summary_of(run)["holders"]:
        for part in holder["parts"]:
            root = ET.parse(run / holder["name"] / f"{part['name']}-cut.svg").getroot()
            size = [float(re.fullmatch(r"([0-9.]+)mm", root.get(key))[1]) for key in ("width", "height")]
            x, y, *page = map(float, root.get("viewBox").split())
            assert size == page == pytest.approx([part["length"], part["width"]], abs=geometry.COORDINATE)
            zero = (-page[0] / 2, -page[1] / 2) if center else (0.0, -page[1])
            assert (x, y) == pytest.approx(zero, abs=geometry.COORDINATE)


FACED = ["milled", "milled-climb", "milled-by-bit"]


@pytest.fixture(params=FACED)
def faced(request, made_root):
    return made_root / request.param


def dowels(document):
    return sorted(c[:3] for c in drawing.circles(document) if "DOWEL" in c[3])


def flip_line(run, length):
    """Where the upright through the middle of a part or sheet lies in its file."""
    return 0.0 if millwork.router_of(run).center else length / 2


def check_dowels(front, back, line):
    """Turned over like a page, the holes of the one face lie on those of the other."""
    turned = sorted((2 * line - x, y, d) for x, y, d in dowels(back))
    assert len(turned) == 2
    for here, there in zip(dowels(front), turned, strict=True):
        assert math.dist(here[:2], there[:2]) <= CUT and here[2] == there[2]


def test_dowels_bring_a_part_to_its_place(faced):
    turned = 0
    for holder in millwork.summary_of(faced)["holders"]:
        for part in holder["parts"]:
            file = faced / holder["name"] / f"{part['name']}-back.dxf"
            assert file.exists() == millwork.is_turned(part), file
            if file.exists():
                front = drawing.read(faced / holder["name"] / f"{part['name']}.dxf")
                check_dowels(front, drawing.read(file), flip_line(faced, part["length"]))
                turned += 1
    assert turned == 1


def pieces_of(run, sheet):
    figures = {(h["name"], p["name"]): p for h in millwork.summary_of(run)["holders"] for p in h["parts"]}
    return [(placed, figures[placed["holder"], placed["part"]]) for placed in sheet["parts"]]


def test_dowels_bring_a_sheet_to_its_place_in_its_waste(faced):
    for sheet in millwork.summary_of(faced)["router"]["sheets"]:
        file = faced / sheet["file"]
        back = file.with_name(f"{file.stem}-back.dxf")
        assert back.exists() == any(millwork.is_turned(part) for _, part in pieces_of(faced, sheet))
        front = drawing.read(file)
        check_dowels(front, drawing.read(back), flip_line(faced, sheet["length"]))
        outlines = [r.polygon for r in millwork.rings_of(faced, file) if r.layer.startswith("CUT_OUTLINE")]
        for x, y, diameter in dowels(front):
            assert all(wood.distance(Point(x, y)) > diameter / 2 for wood in outlines)
        heights = {round(y, 3) for _, y, _ in dowels(front)}
        middle = 0.0 if millwork.router_of(faced).center else sheet["width"] / 2
        assert middle not in heights, "a sheet turned upside down would fit too"


def test_holes_lie_where_the_parts_have_them(faced):
    """Every hole of a sheet, once from each face that it is bored from, and no other."""
    for sheet in millwork.summary_of(faced)["router"]["sheets"]:
        file = faced / sheet["file"]
        line = flip_line(faced, sheet["length"])
        drawn = {"up": drawing.read(file), "below": drawing.read(file.with_name(f"{file.stem}-back.dxf"))}
        holes = {face: [c for c in drawing.circles(document) if "DOWEL" not in c[3]]
                 for face, document in drawn.items()}  # fmt: skip
        for placed, part in pieces_of(faced, sheet):
            up = "back" if millwork.is_mirrored(part) else "show"
            for drilling in part["drillings"]:
                face = "up" if drilling["depth"] is None or drilling["face"] == up else "below"
                at = millwork.on_sheet(faced, sheet, placed, part, Point(drilling["x"], drilling["y"]))
                x = at.x if face == "up" else 2 * line - at.x
                found = [c for c in holes[face] if math.dist(c[:2], (x, at.y)) <= CUT
                         and abs(c[2] - drilling["diameter"]) <= geometry.COORDINATE]  # fmt: skip
                assert found, f"{placed['part']}: no hole for {drilling}"
                assert found[0][3].endswith("_THRU" if drilling["depth"] is None else f"_Z{drilling['depth'] * 100:.0f}")
                holes[face].remove(found[0])
        assert holes == {"up": [], "below": []}


def test_pockets_of_the_back_are_mirrored(made_root):
    """On the sheet each pocket lies where the part's own style has it: at 40, 50 and 180, 30 mm of the board, the
    other board's at 20, 20 mm."""
    run = made_root / "milled"
    own = {("board", "show"): Point(85, 65), ("board", "back"): Point(210, 52.5), ("lid", "back"): Point(40, 32.5)}
    [sheet] = millwork.summary_of(run)["router"]["sheets"]
    file = run / sheet["file"]
    back = file.with_name(f"{file.stem}-back.dxf")
    pockets = {f: [r.polygon for r in millwork.rings_of(run, f) if r.layer.startswith("POCKET_Z")] for f in (file, back)}
    assert (len(pockets[file]), len(pockets[back])) == (2, 1)
    for placed, part in pieces_of(run, sheet):
        up = "back" if millwork.is_mirrored(part) else "show"
        for (name, face), middle in own.items():
            if name == part["name"]:
                at = millwork.on_sheet(run, sheet, placed, part, middle)
                at = at if face == up else Point(sheet["length"] - at.x, at.y)
                middles = [pocket.centroid for pocket in pockets[file if face == up else back]]
                assert min(at.distance(other) for other in middles) <= CUT, f"{name} {face}"


def asked_fits(run, holder):
    """Clearances at the faces and at the ends that the holder file asks for."""
    file = millwork.project_of(run) / "holders" / f"{holder['name']}.toml"
    said = tomllib.loads(file.read_text(encoding="utf-8"))
    choices = said.get("choices", {})
    if choices.get("joint") != "tab" or choices.get("made_by") != "router":
        return None
    face = choices.get("tab_fit", {"in": "0.004 in", "mm": "0.1 mm"}[said["units"]])
    return mm(face, said["units"]), mm(choices.get("tab_end_fit", face), said["units"])


def straight_room(ring):
    """Width and height between the straight sides of a mortise, whatever its reliefs take beside them."""
    sides = [(a, b) for a, b, bulge in ring.segments() if bulge == 0]
    xs = [a[0] for a, b in sides if abs(a[0] - b[0]) < geometry.COORDINATE]
    ys = [a[1] for a, b in sides if abs(a[1] - b[1]) < geometry.COORDINATE]
    return max(xs) - min(xs), max(ys) - min(ys)


def mortise_of(joint, tabs, fits, room):
    """How many tabs side by side a mortise of this size is for, both clearances as asked; 0 where it is none."""
    sizes = [sorted((n * tabs["thickness"] + 2 * fits[0], joint["width"] + 2 * fits[1])) for n in range(1, 6)]
    close = [max(abs(a - b) for a, b in zip(sorted(room), size)) <= geometry.COORDINATE for size in sizes]
    return close.index(True) + 1 if any(close) else 0


def tab_widths(run, holder, part, strip):
    """How wide each tab of a part is in the strip it stands in, as the part's own file has it."""
    outline, _ = millwork.own_wood(run, holder, part)
    strip = millwork.in_own_file(run, part, strip)
    within = outline.polygon.intersection(strip)
    along = strip.bounds[2] - strip.bounds[0] > strip.bounds[3] - strip.bounds[1]
    sides = [piece.bounds for piece in getattr(within, "geoms", [within]) if piece.area > CUT]
    return [b[2] - b[0] if along else b[3] - b[1] for b in sides]


def tabbed(run):
    """Holder, clearances that its file asks for, and joint, of every joint with tabs that can be made."""
    for holder in millwork.summary_of(run)["holders"]:
        fits = asked_fits(run, holder)
        if fits and not millwork.is_stopped(holder):
            yield from ((holder, fits, joint) for joint in holder["joints"])


def test_tabs_have_the_clearance_that_is_asked(edges):
    """Every mortise is wider than its tab by twice the clearance at the faces, longer by twice that at the ends, and
    the bit that cuts it reaches all that the tab takes."""
    router, seen = millwork.router_of(edges), 0
    for holder, fits, joint in tabbed(edges):
        assert (joint["clearance"], joint["end_clearance"]) == pytest.approx(fits, abs=1e-6)
        parts = {part["name"]: part for part in holder["parts"]}
        tabs, into = parts[joint["tabs"]], parts[joint["into"]]
        others = [j for _, _, j in tabbed_into(holder, fits, into)]
        _, openings = millwork.own_wood(edges, holder, into)
        for ring in openings:
            room = straight_room(ring)
            assert any(mortise_of(j, parts[j["tabs"]], fits, room) for j in others), f"{into['name']}: {room}"
            if mortise_of(joint, tabs, fits, room):
                check_seat(ring, joint, tabs["thickness"], fits, router)
                seen += 1
    assert seen > 0 or not any(True for _ in tabbed(edges))


def tabbed_into(holder, fits, into):
    return [(holder, fits, joint) for joint in holder["joints"] if joint["into"] == into["name"]]


def test_tabs_are_as_wide_as_is_said(edges):
    """In each strip of a part that lies within another one stand tabs of the joint's width and nothing else."""
    for holder, _, joint in tabbed(edges):
        [part] = [part for part in holder["parts"] if part["name"] == joint["tabs"]]
        for own, _, strip in millwork.tabs_of(holder, part):
            if own is joint:
                for width in tab_widths(edges, holder, part, strip):
                    assert width == pytest.approx(joint["width"], abs=geometry.COORDINATE), (holder["name"], part["name"])


def check_seat(ring, joint, thickness, fits, router):
    """A round bit mills of a mortise what it comes to; that holds the tab, a press fit less what is pressed."""
    radius = router.on(ring.layer) / 2
    milled = ring.polygon.buffer(-radius + FLAT, quad_segs=CHORDS).buffer(radius, quad_segs=CHORDS).buffer(FLAT)
    fitting = [seat for seat in seats(ring.polygon, joint, thickness) if milled.contains(grown(seat, min(*fits, 0.0)))]
    assert fitting, f"no tab seats in the mortise at {ring.start}"


def test_screws_keep_their_distance_from_openings(edges):
    """A drill wanders, and thin wood beside a hole splits."""
    seen = 0
    for holder in millwork.summary_of(edges)["holders"]:
        if millwork.is_stopped(holder):
            continue
        for part in holder["parts"]:
            _, openings = millwork.own_wood(edges, holder, part)
            document = drawing.read(edges / holder["name"] / f"{part['name']}.dxf")
            hidden = [LineString([l.dxf.start.vec2, l.dxf.end.vec2]) for l in document.modelspace().query('LINE[layer=="NOTE"]')]
            holes = [
                millwork.in_own_file(edges, part, Point(d["x"], d["y"])).buffer(d["diameter"] / 2, quad_segs=64)
                for d in part["drillings"]
                if d["purpose"] in ("pilot", "clearance", "countersink")
            ]
            for hole in holes + hidden:
                for ring in openings:
                    apart = hole.distance(ring.polygon)
                    assert apart >= LEAST_WEB - CUT, f"{holder['name']} {part['name']}: {apart:.2f} at {ring.start}"
                    seen += 1
    assert seen > 0 or edges.name.startswith("milled")


def test_no_path_comes_nearer_to_another_part_than_asked(run):
    """Between a part and the bit that goes round another there is at least the margin."""
    router, pairs = millwork.router_of(run), 0
    for file in millwork.files(run, "router"):
        rings = millwork.rings_of(run, file)
        plain = run.parent / BY_EDGE[run.name] if millwork.is_by_bit(run) else run
        edges = millwork.rings_of(plain, plain / file.relative_to(run))
        outlines = [(r, e) for r, e in zip(rings, edges, strict=True) if millwork.is_outline(r.layer)]
        openings = [e for e in edges if "OPENING" in e.layer]
        woods = [wood_of(edge, openings, [e for _, e in outlines]) for _, edge in outlines]
        for (n, (ring, edge)), (m, wood) in ((a, b) for a in enumerate(outlines) for b in enumerate(woods)):
            if n == m:
                continue
            bit = router.on(ring.layer)
            # From the edge the bit takes its whole width, from its center's way half of it.
            gone = bit / 2 if millwork.is_by_bit(run) else bit
            assert LinearRing(ring.line).distance(wood) >= gone + router.margin - geometry.COORDINATE, file
            pairs += 1
    assert pairs > 10


def wood_of(edge, openings, outlines):
    """A part on its sheet: its outline less the openings that are its own, those in no smaller outline."""
    whole = edge.polygon
    inner = [o.polygon for o in outlines if o is not edge and whole.contains(o.polygon)]
    own = [o.polygon for o in openings if whole.contains(o.polygon) and not any(i.contains(o.polygon) for i in inner)]
    return Polygon(whole.exterior, [o.exterior for o in own])


def test_leaning_holes_are_for_no_machine(run):
    """A machine of three axes bores straight down: what leans is on no layer of holes."""
    leaning = 0
    for holder in millwork.summary_of(run)["holders"]:
        for part in holder["parts"]:
            document = drawing.read(run / holder["name"] / f"{part['name']}.dxf")
            drawn = [c for c in drawing.circles(document) if "DOWEL" not in c[3]]
            up = "back" if millwork.is_mirrored(part) else "show"
            straight = [d for d in part["drillings"] if d["lean"] == 0 and (d["depth"] is None or d["face"] == up)]
            assert len(drawn) == len(straight)
            for drilling in part["drillings"]:
                if drilling["lean"] != 0:
                    at = millwork.in_own_file(run, part, Point(drilling["x"], drilling["y"]))
                    assert all(math.dist(c[:2], (at.x, at.y)) > geometry.COORDINATE for c in drawn)
                    leaning += 1
    assert leaning > 0 or run.name.startswith("milled")


@pytest.mark.parametrize("name", TRIED)
def test_try_piece_has_the_clearances_it_says(made_root, name):
    """Of the words over each mortise: wider than the tab is thick by twice what is written there."""
    folder = made_root / name / "try-piece"
    board, tab = (drawing.read(folder / f"{part}.dxf") for part in ("board", "tab"))
    words = [t for t in board.modelspace().query('TEXT[layer=="MARK"]')]
    said = {t.get_placement()[1].x: mm(t.plain_text().strip('"')) for t in words if re.fullmatch(r"-?[0-9./ ]+ (in|mm)", t.plain_text())}
    mortises = [ring for ring in millwork.rings(board) if "OPENING" in ring.layer]
    assert len(mortises) == len(said) == 6
    thickness = TRIED[name]
    [outline] = millwork.rings(tab)
    top = max(y for _, y, _ in outline.vertices)
    [width] = [abs(a[0] - b[0]) for a, b, _ in outline.segments() if min(a[1], b[1]) > top - geometry.COORDINATE]
    for ring in mortises:
        x0, _, x1, _ = ring.polygon.bounds
        [clearance] = [value for x, value in said.items() if x0 < x < x1]
        room = straight_room(ring)
        assert room[1] - thickness == pytest.approx(2 * clearance, abs=geometry.COORDINATE)
        assert room[0] - width == pytest.approx(2 * clearance, abs=geometry.COORDINATE)
