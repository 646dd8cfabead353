"""Sheets for the router and what they leave, of random projects, against a plain nest and `shapely`.

The plain nest lays the largest box first, each piece as far left as it goes and there as low as it goes, on a raster of
its own; it knows nothing of how the program lays parts out.
"""

import json
import math
import tomllib

import numpy as np
import pytest
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import box

import drawing
import geometry

# Side of a cell of the plain nest, in mm.
CELL = 2.0

# Two figures are the same to within this, in mm: both are rounded.
SAME = 0.002

PROJECTS = range(10)


@pytest.fixture(params=PROJECTS)
def run(request, made_root):
    return made_root / f"nests-{request.param:02}"


def summary_of(run):
    return json.loads((run / "summary.json").read_text(encoding="utf-8"))


def shop_of(run):
    return tomllib.loads((run.parents[1] / "nests" / run.name / "shop.toml").read_text(encoding="utf-8"))


def mm(text):
    return float(text.removesuffix(" mm"))


def routed_parts(run):
    """Outline, pieces and grain of every part that lies on a sheet of the router."""
    summary = summary_of(run)
    laid = {(p["holder"], p["part"]) for sheet in summary["router"]["sheets"] for p in sheet["parts"]}
    for holder in summary["holders"]:
        for part in holder["parts"]:
            if (holder["name"], part["name"]) in laid:
                own = drawing.read(run / holder["name"] / f"{part['name']}.dxf")
                yield geometry.part(*drawing.rings(own)), part["quantity"], part["grain"]


def turned(wood, grain, sheet_has_grain):
    """The wood in each turn that keeps its grain along the sheet, its lower left corner at the origin."""
    turns = {"length": (0, 180), "width": (90, 270)}.get(grain, (0, 90, 180, 270)) if sheet_has_grain else (0, 90, 180, 270)
    for turn in turns:
        piece = rotate(wood, turn, origin=(0, 0))
        yield translate(piece, -piece.bounds[0], -piece.bounds[1])


def cells(wood, reach):
    """The cells within reach of the wood, and where the first lies: by their middles, a cell's corner farther."""
    grown = wood.buffer(reach + CELL * math.sqrt(0.5))
    low = np.floor(np.array(grown.bounds[:2]) / CELL).astype(int)
    high = np.ceil(np.array(grown.bounds[2:]) / CELL).astype(int)
    x, y = ((np.arange(a, b) + 0.5) * CELL for a, b in zip(low, high))
    return shapely.contains_xy(grown, *np.meshgrid(x, y, indexing="ij")), low


class PlainSheet:
    """A sheet of the plain nest: cells that are taken."""

    def __init__(self, size):
        self.size = size
        self.shape = tuple(math.ceil(side / CELL) + 2 for side in size)
        self.taken = np.zeros(self.shape)
        self.used = 0.0

    def room(self, wood):
        """The leftmost cell, and of those the lowest, at which the wood meets nothing taken."""
        most = [math.floor((side - reach) / CELL) for side, reach in zip(self.size, wood.bounds[2:])]
        if min(most) < 0:
            return None
        mask, low = cells(wood, 0.0)
        shape = [a + b for a, b in zip(self.shape, mask.shape)]
        met = np.fft.irfft2(np.fft.rfft2(self.taken, shape) * np.fft.rfft2(mask[::-1, ::-1], shape), shape)
        # The mask's first cell lies at `low` of the piece's own corner.
        start = [side - 1 + at for side, at in zip(mask.shape, low)]
        places = met[start[0] : start[0] + most[0] + 1, start[1] : start[1] + most[1] + 1] < 0.5
        free = np.argwhere(places)
        return tuple(free[0]) if len(free) else None

    def lay(self, wood, at, spacing):
        mask, low = cells(wood, spacing)
        first = np.array(at) + low
        inner = [slice(max(0, a), min(a + n, side)) for a, n, side in zip(first, mask.shape, self.shape)]
        own = [slice(s.start - a, s.stop - a) for s, a in zip(inner, first)]
        self.taken[tuple(inner)] = np.maximum(self.taken[tuple(inner)], mask[tuple(own)])
        self.used = max(self.used, at[0] * CELL + wood.bounds[2])


def plain_nest(parts, size, spacing, grain):
    """Lengths used of each sheet."""
    sheets = []
    largest = sorted(parts, key=lambda part: -part[0].envelope.area)
    for wood, pieces, runs in largest:
        for _ in range(pieces):
            for sheet in [*sheets, None]:
                if sheet is None:
                    sheet = PlainSheet(size)
                    sheets.append(sheet)
                ways = [(sheet.room(way), way) for way in turned(wood, runs, grain)]
                ways = [(at, n, way) for n, (at, way) in enumerate(ways) if at is not None]
                if ways:
                    at, _, way = min(ways, key=lambda found: found[:2])
                    sheet.lay(way, at, spacing)
                    break
    return [sheet.used for sheet in sheets]


def test_no_more_length_is_used_than_by_a_plain_nest(run):
    shop = shop_of(run)
    if "bed" in shop["router"]:
        pytest.skip("the plain nest does not saw panels; the bed has a test of its own")
    router, sheet = shop["router"], shop["sheet"][0]
    border = mm(router["hold_down"]) + mm(router["bit"])
    size = [mm(sheet[side]) - 2 * border for side in ("length", "width")]
    plain = plain_nest(list(routed_parts(run)), size, mm(router["bit"]) + 2 * mm(router["margin"]), sheet["grain"])
    summary = summary_of(run)
    lengths = {(h["name"], p["name"]): (p["length"], p["width"]) for h in summary["holders"] for p in h["parts"]}
    ours = [
        max(p["x"] + lengths[p["holder"], p["part"]][p["turn"] % 180 != 0] for p in sheet["parts"]) - border
        for sheet in summary["router"]["sheets"]
    ]
    assert len(ours) <= len(plain)
    assert sum(ours) <= sum(plain) + SAME, f"{ours} against {plain}"


def boxes_of(summary, file, bit):
    """What the bit has been through on one of the router's sheets: each piece's box and the bit round it."""
    lengths = {(h["name"], p["name"]): (p["length"], p["width"]) for h in summary["holders"] for p in h["parts"]}
    [sheet] = [sheet for sheet in summary["router"]["sheets"] if sheet["file"] == f"router/{file}.dxf"]
    for p in sheet["parts"]:
        length, width = lengths[p["holder"], p["part"]][:: 1 if p["turn"] % 180 == 0 else -1]
        yield box(p["x"], p["y"], p["x"] + length, p["y"] + width).buffer(bit, join_style="mitre")


def sawn_again(summary, shop):
    """Every cut of the router's sheets made again: what is in hand by its name, told from its own corner on the sheet.

    Yields each cut, and where its two sides lie on the router's sheet (once the router is done) or on the whole sheet.
    """
    kerf = mm(shop["saw"]["kerf"])
    hand = {}
    for sheet in summary["router"]["sheets"]:
        file = sheet["file"].removeprefix("router/").removesuffix(".dxf")
        hand[file] = (0.0, 0.0, sheet["length"], sheet["width"])
    for taken in summary["router"]["taken"]:
        file = taken["panels"][0]["file"].removeprefix("router/").removesuffix(".dxf")
        hand[f"the sheet of {file}"] = (0.0, 0.0, taken["length"], taken["width"])
    for number, cut in enumerate(summary["cutting"]["partings"], 1):
        assert cut["cut"] == number
        x0, y0, x1, y1 = hand.pop(cut["from"])
        at = cut["at"]
        if cut["way"] == "crosscut":
            sides = (x0, y0, x0 + at, y1), (min(x0 + at + kerf, x1), y0, x1, y1)
        else:
            sides = (x0, y0, x1, y0 + at), (x0, min(y0 + at + kerf, y1), x1, y1)
        for (a, b, c, d), half in zip(sides, cut["halves"]):
            assert abs(c - a - half["length"]) < SAME and abs(d - b - half["width"]) < SAME
        yield cut, sides
        for name, side, half in zip((number, cut["from"]), sides, cut["halves"]):
            if half["becomes"] == "panel":
                hand[name] = side


def test_cuts_stay_clear_of_the_bit_and_leave_what_is_told(run):
    """No cut once the router is done runs through where the bit has been, nor is any of that in a remainder."""
    summary, shop = summary_of(run), shop_of(run)
    bit, kerf = mm(shop["router"]["bit"]), mm(shop["saw"]["kerf"])
    owner = {}
    for cut, (first, rest) in sawn_again(summary, shop):
        owner[cut["cut"]] = owner.get(cut["from"], cut["from"])
        if cut["before"]:
            continue
        routed = list(boxes_of(summary, owner[cut["cut"]], bit))
        across = cut["way"] == "crosscut"
        saw = box(first[2], first[1], first[2] + kerf, first[3]) if across else box(
            first[0], first[3], first[2], first[3] + kerf
        )
        gone = [saw] + [box(*side) for side, half in zip((first, rest), cut["halves"]) if half["becomes"] == "remainder"]
        for taken in gone:
            assert all(taken.intersection(wood).area < 0.01 for wood in routed)


def test_what_is_left_is_sawn_or_listed(run):
    """Every remainder that is parted off is a sheet for the saw or an offcut to keep, once."""
    summary = summary_of(run)
    parted = [h["name"] for cut in summary["cutting"]["partings"] for h in cut["halves"] if h["becomes"] == "remainder"]
    sawn = [sheet["remainder"] for sheet in summary["cutting"]["sheets"] if sheet["remainder"]]
    kept = [left["from"] for left in summary["cutting"]["left"] if left["from"] and left["from"].startswith("remainder of")]
    assert sorted(parted) == sorted(sawn + kept)


def test_panels_fit_the_bed(run):
    summary, shop = summary_of(run), shop_of(run)
    bed = shop["router"].get("bed")
    if not bed:
        assert all(len(taken["panels"]) == 1 for taken in summary["router"]["taken"])
        return
    for sheet in summary["router"]["sheets"]:
        assert sheet["length"] <= mm(bed[0]) + SAME and sheet["width"] <= mm(bed[1]) + SAME
    # Panels of one sheet lie a kerf apart, at the least.
    sizes = {sheet["file"]: (sheet["length"], sheet["width"]) for sheet in summary["router"]["sheets"]}
    for taken in summary["router"]["taken"]:
        areas = [box(p["x"], p["y"], p["x"] + sizes[p["file"]][0], p["y"] + sizes[p["file"]][1]) for p in taken["panels"]]
        for at, area in enumerate(areas):
            assert box(0, 0, taken["length"], taken["width"]).buffer(SAME).contains(area)
            assert all(area.distance(other) >= mm(shop["saw"]["kerf"]) - SAME for other in areas[:at])
    on_bed = [h["name"] for cut in summary["cutting"]["partings"] for h in cut["halves"] if h["becomes"] == "bed"]
    assert sorted(f"router/{name}.dxf" for name in on_bed) == sorted(sizes)


def test_one_account_of_the_stock(run):
    """New sheets, counted over the router's sheets and the saw's, are those that are told to buy."""
    summary = summary_of(run)
    for uses in summary["stock"]:
        taken = [t for t in summary["router"]["taken"] if t["stock"] == uses["stock"] and not t["offcut"]]
        sawn = [s for s in summary["cutting"]["sheets"] if s["stock"] == uses["stock"] and not s["offcut"]]
        assert (uses["routed"], uses["sawn"]) == (len(taken), len(sawn))
        assert uses["to_buy"] == len(taken) + len(sawn) + uses["short"]
