"""Tools have room as they hang, on their way to their places, and lie on wood: solids cut with solids by `manifold3d`.

Wood is pressed out of the outlines in the DXF files by its thickness and put where summary.json says each piece sits;
what is bored for tools is taken off. Tools are the hulls of the corners that summary.json has for them, all that they
pass on a straight leg the hull of both its ends. `bodies.py` writes random holders, some of them without room; for many:

    python tests/outside/bodies.py 40 DIR
    cleatwright make DIR/bodies-NN --force --cutting-steps 1 --out MADE/bodies-NN      for each
    pytest --made MADE tests/outside/test_bodies.py
"""

import json
from functools import cache

import numpy as np
import pytest
from manifold3d import CrossSection, FillRule, Manifold

import drawing
import geometry
import millwork

# Bodies that share a layer thinner than this, in mm, touch; thicker than that they meet. Between the two either is right.
TOUCHES, MEETS = 0.05, 0.25

# How far a tool is let down to see what it lies on, in mm.
LET_DOWN = 1

# As far as anything that stands fast reaches to both sides, in mm.
LONG = 5000


def simplified(ring):
    """The ring without corners that hardly stand off it: fewer facets."""
    from shapely import Polygon

    return np.array(Polygon(ring).simplify(0.005).exterior.coords[:-1])


def pressed(outline, openings, thickness):
    section = CrossSection([simplified(ring) for ring in [outline, *openings]], FillRule.EvenOdd)
    return Manifold.extrude(section, thickness)


def as_shown(part, document):
    """Outline and openings as the show face has them, from the lower left corner: the file may have the back up."""
    outline, openings = drawing.rings(document)
    low = outline.min(axis=0)
    rings = [ring - low for ring in [outline, *openings]]
    if not millwork.is_mirrored(part):
        return rings
    return [ring * (-1, 1) + (part["length"], 0) for ring in rings]


def wood(run, holder):
    """Each part's name with the solid of all its pieces."""
    for part in holder["parts"]:
        outline, *openings = as_shown(part, drawing.read(run / holder["name"] / f"{part['name']}.dxf"))
        bores = [
            geometry.turn((bore["x"], bore["y"]), bore["diameter"] / 2, 0, 2 * np.pi)[:-1]
            for bore in part["drillings"]
            if bore["purpose"] == "tool" and bore["depth"] is None
        ]
        blank = pressed(outline, [*openings, *bores], part["thickness"]).translate((0, 0, -part["thickness"]))
        pieces = []
        for place in part["places"]:
            columns = [place["length"], place["width"], place["face"], place["origin"]]
            pieces.append(blank.transform(np.column_stack(columns)))
        yield part["name"], sum(pieces, Manifold())


def wall_cleats(holder):
    for outline in (holder["hooking"] or {"fixed": []})["fixed"]:
        corners = [(x, up, out) for out, up in outline for x in (-LONG, LONG)]
        yield Manifold.hull_points(np.array(corners, dtype=float))


def thickness(one, other):
    """How thick a layer two solids share, in mm: twice its volume over its surface."""
    both = one ^ other
    return 2 * both.volume() / both.surface_area() if both.volume() > 1e-6 else 0


class Hung:
    """A holder with its tools on the wall."""

    def __init__(self, run, holder):
        self.holder = holder
        self.wood = list(wood(run, holder))
        self.fixed = [solid for _, solid in self.wood] + list(wall_cleats(holder))
        self.fixed.append(Manifold.cube((2 * LONG, 2 * LONG, 50)).translate((-LONG, -LONG, -50)))
        self.tools = [[np.array(s["corners"]) for s in tool["solids"]] for tool in holder["tools"]["each"]]
        self.rest = [[Manifold.hull_points(corners) for corners in solids] for solids in self.tools]

    def meets(self, solids, others):
        shared = [thickness(solid, other) for solid in solids for other in others if near(solid, other)]
        return max(shared, default=0)

    def at_rest(self, tool):
        others = [solid for later in self.rest[tool + 1 :] for solid in later]
        return self.meets(self.rest[tool], self.fixed + others)

    def on_its_way(self, tool, hanging):
        """The most that it shares with what stands fast and what hangs, on all its legs."""
        shift = np.zeros(3)
        swept = []
        for leg in self.holder["tools"]["each"][tool]["off"]:
            there = shift + leg
            for corners in self.tools[tool]:
                swept.append(Manifold.hull_points(np.vstack([corners + shift, corners + there])))
            shift = there
        others = [solid for other in hanging if other != tool for solid in self.rest[other]]
        return self.meets(swept, self.fixed), self.meets(swept, others)

    def lies(self, tool):
        lower = [solid.translate((0, -LET_DOWN, 0)) for solid in self.rest[tool]]
        return self.meets(lower, [solid for _, solid in self.wood]) > 0

    def left_hanging(self):
        """Those that never come off: each goes as soon as nothing that still hangs is in its way."""
        hanging = list(range(len(self.tools)))
        while free := [tool for tool in hanging if max(self.on_its_way(tool, hanging)) <= MEETS]:
            hanging = [tool for tool in hanging if tool not in free]
        return hanging


def near(one, other):
    """Whether the boxes around two solids meet at all."""
    a, b = one.bounding_box(), other.bounding_box()
    return all(a[i] < b[i + 3] and b[i] < a[i + 3] for i in range(3))


def holders(made_root, runs):
    """Holders with tools of the runs whose outlines are the parts' own, in mm."""
    others = ["inches", "r12-inches", "offset"]
    made = sorted(summary.parent for summary in made_root.glob(f"{runs}/summary.json"))
    for run in (run for run in made if run.name not in others):
        for holder in json.loads((run / "summary.json").read_text(encoding="utf-8"))["holders"]:
            if holder["tools"]:
                yield run, holder


@cache
def hung(run, name):
    summary = json.loads((run / "summary.json").read_text(encoding="utf-8"))
    return Hung(run, next(holder for holder in summary["holders"] if holder["name"] == name))


def codes(holder):
    return {finding["code"] for finding in holder["findings"]}


@pytest.mark.parametrize("runs", ["default", "bodies-*"])
def test_tools_of_a_holder_without_a_stop_have_room(made_root, runs):
    looked_at = 0
    for run, holder in holders(made_root, runs):
        if codes(holder) & {"tool-in-the-way", "tool-does-not-come-off", "tool-lies-on-nothing"}:
            continue
        scene = hung(run, holder["name"])
        where = f"{run.name}/{holder['name']}"
        for tool in range(len(scene.tools)):
            assert scene.at_rest(tool) <= MEETS, f"{where}: tool {tool + 1} has no room"
            assert scene.on_its_way(tool, [])[0] <= MEETS, f"{where}: tool {tool + 1} does not come off"
        assert scene.left_hanging() == [], where
        looked_at += 1
    assert looked_at >= (15 if runs == "default" else 40)


def test_tools_that_are_told_to_have_no_room_have_none(made_root):
    looked_at = 0
    for run, holder in holders(made_root, "bodies-*"):
        scene = hung(run, holder["name"])
        where = f"{run.name}/{holder['name']}"
        if "tool-in-the-way" in codes(holder):
            assert max(scene.at_rest(tool) for tool in range(len(scene.tools))) > TOUCHES, where
            looked_at += 1
        elif "tool-does-not-come-off" in codes(holder):
            tools = range(len(scene.tools))
            assert max(max(scene.on_its_way(tool, tools)) for tool in tools) > TOUCHES, where
            looked_at += 1
    assert looked_at >= 3


def test_tools_lie_on_wood_where_they_do_not_grip(made_root):
    """A style whose tools grip says so by having them hang without: then nothing is asked of the wood under them."""
    gripping = {"peg", "hook-ledge"}
    for run, holder in holders(made_root, "*"):
        if holder["style"] not in gripping and "tool-lies-on-nothing" not in codes(holder):
            scene = hung(run, holder["name"])
            assert all(scene.lies(tool) for tool in range(len(scene.tools))), f"{run.name}/{holder['name']}"


def test_the_block_around_all_and_the_greatest_rise(made_root):
    for _, holder in holders(made_root, "*"):
        tools = holder["tools"]
        corners = np.vstack([s["corners"] for tool in tools["each"] for s in tool["solids"]])
        assert np.allclose(corners.min(axis=0), tools["low"], atol=1e-3)
        assert np.allclose(corners.max(axis=0), tools["high"], atol=1e-3)
        ways = [np.cumsum([leg[1] for leg in tool["off"]] or [0]) for tool in tools["each"]]
        if "tool-in-the-way" not in codes(holder):
            assert holder["tool_lift"] == pytest.approx(max(0, *(way.max() for way in ways)), abs=1e-3)
