"""Holders come on their cleats: another planner, on exact offsets of polygons at many tilts, comes to the same.

`hooks.py` writes random holders on random cleats, `cleatwright make` makes them, and summary.json has each from the
side: what moves, what stands fast, and the way that was found. Here the places at a tilt are what `shapely` leaves of a
box when the polygons in which pieces meet are taken off, as areas; tilts are joined where areas overlap. The least lift
is found by halving. 60 holders are checked, and one or two of every style from `bodies.py`; for 300:

    python tests/outside/hooks.py 30 DIR
    cleatwright make DIR/hooks-NN --force --cutting-steps 1 --out MADE/hooks-NN      for each
    pytest --made MADE tests/outside/test_hooks.py
"""

import json
import math

import numpy as np
import pytest
import shapely
from shapely import MultiPoint, Point, Polygon, box
from shapely.affinity import rotate, translate

# The most that both planners may differ by, in mm, and what tells how a rectangle at rest touches.
SAME = 25.4 / 64
TOUCHES = 0.002

# Tilts that are looked at: so far from each other, in degrees, and closer where both planners differ.
STEPS = [1 / 4, 1 / 16]
MOST = 30

# Chords to a quarter of a disk, and how far places reach down, in mm.
CHORDS = 16
FAR = 2000


def triangles(ring):
    """A polygon in convex pieces."""
    pieces = shapely.constrained_delaunay_triangles(Polygon(ring)).geoms
    return [np.array(piece.exterior.coords[:-1]) for piece in pieces if piece.area > 1e-6]


class Hung:
    """A holder on its cleat, from the side."""

    def __init__(self, hooking, step=STEPS[0]):
        self.step = step
        self.clearance = hooking["clearance"]
        self.moving = [Polygon(ring) for ring in hooking["moving"]]
        self.fixed = [Polygon(ring) for ring in hooking["fixed"]]
        self.pieces = [triangles(ring) for ring in hooking["moving"]]
        self.fixed_pieces = [triangles(ring) for ring in hooking["fixed"]]
        self.corners = np.vstack([np.array(ring) for ring in hooking["moving"]])
        self.apart = [[self.kept(one.distance(other)) for other in self.fixed] for one in self.moving]
        self.from_wall = [self.kept(one.bounds[0]) for one in self.moving]
        self.front = max(one.bounds[2] for one in self.fixed) + self.clearance
        self.top = self.corners[:, 1].max()
        # Turned about the edge that hooks over, the body slips past no corner between two tilts.
        self.pivot = np.array(max((y, x) for x, y in hooking["fixed"][0] if x < TOUCHES)[::-1])
        self.slices = {}

    def kept(self, hung):
        """What two keep between them: the clearance, or as much as they hang apart where that is less."""
        return 0 if hung < TOUCHES else min(hung, self.clearance)

    def overlaps(self):
        met = [one.buffer(-TOUCHES).intersects(other.buffer(-TOUCHES)) for one in self.moving for other in self.fixed]
        return any(met) or self.corners[:, 0].min() < -TOUCHES

    def slice(self, step):
        """What is free at a tilt: areas of places (mm out at the pivot, mm that the top rises)."""
        if step not in self.slices:
            self.slices[step] = self.free(math.radians(step * self.step))
        return self.slices[step]

    def free(self, tilt):
        turn = np.array([[math.cos(tilt), math.sin(tilt)], [-math.sin(tilt), math.cos(tilt)]])

        def turned_about(corners):
            return (corners - self.pivot) @ turn + self.pivot

        turned = turned_about(self.corners)
        drop = self.top - turned[:, 1].max()
        meets = []
        for pieces, apart in zip(self.pieces, self.apart):
            for piece in pieces:
                body = turned_about(piece) + [0, drop]
                for others, kept in zip(self.fixed_pieces, apart):
                    for other in others:
                        sums = (other[:, None, :] - body[None, :, :]).reshape(-1, 2)
                        met = MultiPoint(sums).convex_hull
                        meets.append(met.buffer(kept, quad_segs=CHORDS) if kept else met)
        wall = max(
            kept - turned_about(np.array(one.exterior.coords))[:, 0].min()
            for one, kept in zip(self.moving, self.from_wall)
        )
        goal = self.front + 0.01 - turned[:, 0].min()
        blocked = shapely.union_all(meets).buffer(-TOUCHES / 2, join_style="mitre")
        free = box(wall - TOUCHES, -FAR, goal, FAR).difference(blocked)
        return free, goal

    def areas(self, step, lift):
        free, goal = self.slice(step)
        x0, _, x1, _ = free.bounds
        low = free.intersection(box(x0 - 1, -FAR, x1 + 1, lift))
        return [area for area in shapely.get_parts(low) if area.area > 1e-9 and area.geom_type == "Polygon"], goal

    def is_possible(self, lift):
        """Whether there is a way that rises no more than `lift`."""
        known = {}

        def areas(step):
            if step not in known:
                known[step] = self.areas(step, lift)
            return known[step]

        hung = Point(0, 0)
        todo = [(0, at) for at, area in enumerate(areas(0)[0]) if area.distance(hung) < 5 * TOUCHES]
        seen = set(todo)
        while todo:
            step, at = todo.pop()
            here, goal = areas(step)[0][at], areas(step)[1]
            if here.bounds[2] > goal - 0.005:
                return True
            for other in (step - 1, step + 1):
                if abs(other * self.step) > MOST:
                    continue
                for to, area in enumerate(areas(other)[0]):
                    if (other, to) not in seen and here.intersects(area):
                        seen.add((other, to))
                        todo.append((other, to))
        return False

    def least_lift(self):
        """The least lift in mm, up to a quarter of what may differ; None where there is no way."""
        low, high = 0.0, 400.0
        if not self.is_possible(high):
            return None
        while high - low > SAME / 4:
            middle = (low + high) / 2
            if self.is_possible(middle):
                high = middle
            else:
                low = middle
        return high


def summaries(made_root):
    runs = [run for kind in ["hooks-*", "bodies-0[01]"] for run in sorted(made_root.glob(f"{kind}/summary.json"))]
    assert runs, f"no random holders in {made_root}"
    return [json.loads(run.read_text(encoding="utf-8")) for run in runs]


def holders(made_root):
    return [holder for run in summaries(made_root) for holder in run["holders"] if holder["hooking"]]


def test_another_planner_agrees(made_root):
    kinds, wrong = {}, []
    for holder in holders(made_root):
        hooking, name = holder["hooking"], f"{holder['name']} {holder['values'].get('hang_height')}"
        kinds[hooking["comes_on"]] = kinds.get(hooking["comes_on"], 0) + 1
        hung = Hung(hooking)
        if hung.overlaps() or hooking["comes_on"] == "never":
            assert hung.overlaps() and hooking["comes_on"] == "never", name
            continue
        theirs = holder["hook_lift"]
        for step in STEPS:
            mine = Hung(hooking, step).least_lift()
            agree = mine is None if theirs is None else mine is not None and abs(mine - theirs) <= SAME
            if agree:
                break
        else:
            wrong.append(f"{name}: {theirs}, and here {mine}")
    assert not wrong, "\n".join(wrong)
    assert sum(kinds.values()) >= 30 and kinds["from the front"] >= 10 and kinds["from the end"] >= 5, kinds


def test_ways_are_free(made_root):
    """Every way walked in small steps: nothing comes nearer than it may, and it rises as high as it says."""
    seen = 0
    for holder in holders(made_root):
        way, hung = holder["hooking"]["way"], Hung(holder["hooking"])
        rise = 0
        for one, other in zip(way or [], (way or [])[1:]):
            one, other = np.array(one), np.array(other)
            moves = max(abs(other - one)[:2].max(), math.radians(abs(other - one)[2]) * 400)
            for share in np.linspace(0, 1, max(2, math.ceil(moves / 0.5))):
                out, up, tilt = one + (other - one) * share
                for body, apart, from_wall in zip(hung.moving, hung.apart, hung.from_wall):
                    body = translate(rotate(body, tilt, origin=(0, 0)), out, up)
                    assert body.bounds[0] > from_wall - 0.02, (holder["name"], "is in the wall")
                    rise = max(rise, body.bounds[3] - hung.top)
                    for fixed, kept in zip(hung.fixed, apart):
                        if kept:
                            assert body.distance(fixed) > kept - 0.02, holder["name"]
                        elif body.intersects(fixed):
                            assert body.buffer(-0.01).distance(fixed.buffer(-0.01)) > 0, holder["name"]
        if way:
            assert abs(rise - holder["hook_lift"]) < 0.02
            assert max(abs(tilt) for _, _, tilt in way) == pytest.approx(holder["hook_tilt"])
            seen += 1
    assert seen >= 10, f"only {seen} ways"


def test_a_plain_hook_by_hand():
    """The check itself: thickness times the tangent of the bevel upright, and an end where the strip is too near."""
    hook = [[0, 100], [18, 118], [18, 157], [0, 157]]
    cleat = [[0, 61], [18, 61], [18, 118], [0, 100]]
    strip = [[0, 0], [18, 0], [18, 55], [0, 55]]
    back = [[18, 0], [36, 0], [36, 157], [18, 157]]
    hung = Hung({"clearance": 0.79375, "moving": [hook, back], "fixed": [cleat]})
    hung.slices = {step: hung.slice(0) for step in range(-120, 121)}
    assert hung.least_lift() == pytest.approx(18, abs=SAME / 4)
    assert Hung({"clearance": 0.79375, "moving": [hook, back, strip], "fixed": [cleat]}).least_lift() is None
