"""What the checks of the machine's files share: the shop a run was made in, cuts in their order, runs joined over
their bridges, and where the parts of a holder meet.
"""

import json
import math
import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from shapely import LinearRing, Polygon, box
from shapely.affinity import affine_transform, rotate, translate

import drawing
from conftest import ROOT

# Ends of lines that are one point, in mm.
MEETING = 1e-5

MM = {"mm": 1.0, "in": 25.4}


def mm(value, unit="mm"):
    """A length of a project file in mm: `6`, `"1/4 in"`."""
    words = str(value).split()
    unit = words.pop() if words[-1] in MM else unit
    return float(sum(map(Fraction, words))) * MM[unit]


def summary_of(run):
    return json.loads((run / "summary.json").read_text(encoding="utf-8"))


def project_of(run):
    """The folder a run was made from."""
    if run.name.startswith("shops-"):
        return run.parents[1] / "shops" / run.name.removesuffix("-edges")
    others = {"milled-climb": run.parents[1] / "milled-climb"} | dict.fromkeys(("default", "offset"), ROOT / "samples/boat-shed")
    return others.get(run.name, ROOT / "tests/outside/milled")


# What a shop file leaves out of `[router]` is as in the shop that comes with the program.
LEFT_OUT = {
    "mm": {"margin": 2, "bridges": 4, "bridge_width": 6},
    "in": {"margin": "1/16", "bridges": 4, "bridge_width": "1/4"},
}


@dataclass(frozen=True)
class Router:
    """The keys of `[router]` that shape files; lengths in mm."""

    bit: float
    joint: float
    margin: float
    bridges: int
    bridge_width: float
    climb: bool
    center: bool

    def on(self, layer):
        """The bit of a layer: another one than for outlines is named in 1/100 mm."""
        named = re.search(r"_B(\d+)", layer)
        if named is None:
            return self.bit
        assert abs(int(named[1]) - 100 * self.joint) <= 0.5 + 1e-6, f"{layer}: no such bit"
        return self.joint


def router_of(run):
    shop = tomllib.loads((project_of(run) / "shop.toml").read_text(encoding="utf-8"))
    unit = shop["units"]
    table = LEFT_OUT[unit] | shop["router"]
    return Router(
        bit=mm(table["bit"], unit),
        joint=mm(table.get("joint_bit", table["bit"]), unit),
        margin=mm(table["margin"], unit),
        # The sample's paths of the bit are made closed.
        bridges=0 if run.name == "offset" else int(table["bridges"]),
        bridge_width=mm(table["bridge_width"], unit),
        climb=table.get("direction") == "climb",
        center=table.get("zero") == "center",
    )


def is_by_bit(run):
    return run.name == "offset" or run.name.endswith("-by-bit")


def is_cut(layer):
    return layer.startswith(("CUT_", "POCKET_"))


def is_outline(layer):
    return re.match(r"CUT_(INNER\d?_)?OUTLINE", layer) is not None


@dataclass(frozen=True)
class Ring:
    """The way round one contour, from where it begins; `whole` where no bridge breaks it."""

    layer: str
    vertices: list
    whole: bool

    @property
    def line(self):
        return drawing.Contour(self.layer, self.vertices).ring()

    @property
    def polygon(self):
        return Polygon(self.line)

    @property
    def start(self):
        return self.vertices[0][:2]

    def segments(self):
        return drawing.Contour(self.layer, self.vertices).segments()


@dataclass
class Run:
    """A line with two ends."""

    layer: str
    vertices: list
    used: bool = False

    @property
    def length(self):
        pairs = zip(self.vertices, self.vertices[1:])
        return sum(arc_length(a[:2], b[:2], a[2]) for a, b in pairs)


def arc_length(start, end, bulge):
    """A bulge is the tangent of a quarter of the angle turned (DXF reference, LWPOLYLINE, 42)."""
    chord, angle = math.dist(start, end), 4 * math.atan(abs(bulge))
    return chord if angle == 0 else chord * angle / 2 / math.sin(angle / 2)


def rings(document, gap=None):
    """Every contour to cut, in the order of the file; runs joined over the bridges between them.

    `gap` tells how long a gap must be on a layer; without it there must be none."""
    lines = [
        (e.dxf.layer, drawing.vertices(e), e.is_closed)
        for e in document.modelspace().query("LWPOLYLINE POLYLINE")
    ]
    cuts = [line for line in lines if is_cut(line[0])]
    runs = [Run(layer, vertices) for layer, vertices, closed in cuts if not closed]
    gaps = [Run(layer, vertices) for layer, vertices, closed in lines if layer.startswith("BRIDGE") and not closed]
    assert gap or not (runs or gaps), f"open contours: {sorted({run.layer for run in runs})}"
    waiting, found = iter(runs), []
    for layer, vertices, closed in cuts:
        if closed:
            found.append(Ring(layer, vertices, True))
        elif not (run := next(waiting)).used:
            found.append(joined(run, runs, gaps, gap(layer)))
    assert all(line.used for line in gaps), "a bridge between no two runs"
    return found


def joined(first, runs, gaps, gap):
    """The ring that begins with a run: gap after run and run after gap until the start is met again."""
    vertices, line, others = [], first, (gaps, runs)
    while True:
        assert not line.used, "a line that belongs to two rings"
        line.used = True
        vertices += line.vertices[:-1]
        end = line.vertices[-1][:2]
        if others[0] is runs:
            assert abs(line.length - gap) < 1e-4, f"a gap of {line.length}, not {gap}"
            if math.dist(end, first.vertices[0][:2]) < MEETING:
                return Ring(first.layer, vertices, False)
        following = [other for other in others[0] if math.dist(other.vertices[0][:2], end) < MEETING]
        assert len(following) == 1, f"{len(following)} lines go on at {end}"
        [line] = following
        assert line.layer.startswith("BRIDGE_Z") or line.layer == first.layer
        others = others[::-1]


def rings_of(run, file):
    """Every contour of a file of a run; broken ones only on a sheet with the paths of the bit."""
    router = router_of(run)
    may_break = is_by_bit(run) and file.parent.name == "router" and router.bridges
    gap = (lambda layer: router.bridge_width + router.on(layer)) if may_break else None
    return rings(drawing.read(file), gap)


def files(run, what="*"):
    """The DXF files of a run, sheets last."""
    found = sorted(run.glob(f"{what}/*.dxf"), key=lambda file: (file.parent.name == "router", file))
    assert found, f"no file in {run}"
    return found


def swept(path, bit, outside):
    """What stands when a bit has gone round outside, or what is open when it has gone round inside.

    The bit takes all within half its width of its center's way: a Minkowski sum, `shapely`'s buffer."""
    gone = LinearRing(path).buffer(bit / 2, quad_segs=256)
    whole = Polygon(path)
    return whole.difference(gone) if outside else whole.union(gone)


def places_of(part):
    return [{key: np.array(value) for key, value in place.items()} for place in part["places"]]


def within(place, part, other, other_place):
    """The strip of a part's own plane that lies inside the board of another part, or None where the planes are
    parallel: told from that part's faces alone."""
    across = np.array([place["length"] @ other_place["face"], place["width"] @ other_place["face"]])
    axis = int(np.argmax(abs(across)))
    if abs(across[axis]) < 1 - 1e-6:
        return None
    middle = place["origin"] - place["face"] * part["thickness"] / 2
    face = (middle - other_place["origin"]) @ other_place["face"]
    # face + across * s runs from the show face, 0, down to the back, minus the thickness.
    low, high = sorted((depth - face) / across[axis] for depth in (0.0, -other["thickness"]))
    far = 1e5
    return box(low, -far, high, far) if axis == 0 else box(-far, low, far, high)


def tabs_of(holder, part):
    """The strips of a part's plane in which its tabs stand: those inside the parts they go into."""
    parts = {p["name"]: p for p in holder["parts"]}
    strips = []
    for joint in holder["joints"]:
        if joint["tabs"] == part["name"]:
            into = parts[joint["into"]]
            here = places_of(part)[0]
            found = [within(here, part, into, place) for place in places_of(into)]
            strips += [(joint, into, strip) for strip in found if strip is not None]
    return strips


def own_wood(run, holder, part):
    """A part as its own file has it, with its zero at the lower left corner."""
    rings = rings_of(run, run / holder["name"] / f"{part['name']}.dxf")
    [outline] = [ring for ring in rings if is_outline(ring.layer)]
    openings = [ring for ring in rings if ring.layer.startswith("CUT_OPENING")]
    return outline, openings


def is_stopped(holder):
    """Whether a finding says that it can't be made as it is."""
    return any(finding["level"] == "stop" for finding in holder["findings"])




def is_mirrored(part):
    """Whether its back lies up on the machine: all that asks for a face is there."""
    blind = {d["face"] for d in part["drillings"] if d["depth"] is not None and d["lean"] == 0}
    return blind | {pocket["face"] for pocket in part["pockets"]} == {"back"}


def is_turned(part):
    """Whether it is worked on both faces."""
    blind = {d["face"] for d in part["drillings"] if d["depth"] is not None and d["lean"] == 0}
    return blind | {pocket["face"] for pocket in part["pockets"]} == {"show", "back"}


def in_own_file(run, part, shape):
    """A shape of a part's show face as the part's own file has it."""
    mirrored, center = is_mirrored(part), router_of(run).center
    x = part["length"] if mirrored else 0.0
    by = (part["length"] / 2, part["width"] / 2) if center else (0.0, 0.0)
    return affine_transform(shape, [-1 if mirrored else 1, 0, 0, 1, x - by[0], -by[1]])


def on_sheet(run, sheet, placed, part, shape):
    """A shape of a part's show face as the sheet's own file has it, where the part was laid."""
    mirrored = [-1, 0, 0, 1, part["length"], 0] if is_mirrored(part) else [1, 0, 0, 1, 0, 0]
    turned = rotate(affine_transform(shape, mirrored), placed["turn"], origin=(0, 0))
    room = rotate(box(0, 0, part["length"], part["width"]), placed["turn"], origin=(0, 0)).bounds
    center = router_of(run).center
    zero = (sheet["length"] / 2, sheet["width"] / 2) if center else (0.0, 0.0)
    return translate(turned, placed["x"] - room[0] - zero[0], placed["y"] - room[1] - zero[1])
