"""Tab joints, rebuilt from the DXF files: every tab seats, and no mortise is larger than need be.

A round bit of radius r mills of an opening what the opening *opened* by a disk of that radius
leaves (`shapely`: buffer -r, then +r). That must hold the tab's whole rectangle.
"""

import json
import tomllib

import drawing
import pytest
from conftest import ROOT, Made
from shapely import Polygon, box

SAMPLE = ROOT / "samples/boat-shed"

# How closely buffer() follows a round corner at this many chords a quarter, in mm of a 1/4 in bit.
CHORDS = 64
FLAT = 0.01

# By how much a relief is wider than its bit, in mm.
SLACK = 0.05


def bit():
    """The sample shop's router bit in mm. It is written in inches."""
    shop = tomllib.loads((SAMPLE / "shop.toml").read_text(encoding="utf-8"))
    above, _, below = shop["router"]["bit"].partition("/")
    return float(above) / float(below or 1) * 25.4


def routed(holder):
    return holder["words"].get("made_by") == "router"


def joints(made_root):
    """Joint, tab's thickness and the mortised part of every holder made by CNC router with tabs."""
    run = made_root / "default"
    for holder in json.loads((run / "summary.json").read_text(encoding="utf-8"))["holders"]:
        parts = {part["name"]: part for part in holder["parts"]}
        for joint in holder["joints"] if routed(holder) else []:
            into = Made(run, holder["name"], parts[joint["into"]])
            yield joint, parts[joint["tabs"]]["thickness"], into


def seats(opening, joint, thickness):
    """Rectangles of one tab, or of several side by side, in the middle of the opening."""
    x0, y0, x1, y1 = opening.bounds
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    for layers in range(1, 6):
        for w, h in [(joint["width"], layers * thickness), (layers * thickness, joint["width"])]:
            yield box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)


def grown(rectangle, by):
    x0, y0, x1, y1 = rectangle.bounds
    return box(x0 - by, y0 - by, x1 + by, y1 + by)


def test_tabs_seat(made_root):
    radius, seen = bit() / 2, 0
    for joint, thickness, into in joints(made_root):
        _, openings = drawing.rings(drawing.read(into.dxf))
        for opening in map(Polygon, openings):
            milled = opening.buffer(-radius + FLAT, quad_segs=CHORDS).buffer(radius, quad_segs=CHORDS)
            most = joint["clearance"] + 2 * radius + 2 * SLACK
            fits = [
                seat
                for seat in seats(opening, joint, thickness)
                if milled.buffer(FLAT).contains(seat) and grown(seat, most).contains(opening)
            ]
            assert fits, f"{into.holder}: no tab seats in a mortise of {into.name} at {opening.bounds}"
            # Of seats that fit, one across and one along, the one that the mortise was cut for is the nearest to it.
            bites = min(opening.difference(grown(seat, joint["clearance"] + FLAT)).area for seat in fits)
            assert bites <= 4 * 3.15 * (radius + SLACK) ** 2, "a relief bites too far"
            seen += 1
    assert seen >= 3, f"only {seen} closed mortises in the sample"


def test_too_small_a_mortise_is_found():
    """The check itself: a mortise without reliefs keeps its tab out."""
    joint = {"width": 50.0, "clearance": 0.0}
    plain = box(0, 0, 50, 18)
    milled = plain.buffer(-3).buffer(3)
    assert not any(milled.buffer(FLAT).contains(seat) for seat in seats(plain, joint, 18.0))


@pytest.mark.parametrize("layers", [1, 2])
def test_layers_are_counted(layers):
    opening = box(0, 0, 30, layers * 18)
    found = [seat for seat in seats(opening, {"width": 30.0}, 18.0) if seat.equals(opening)]
    assert found
