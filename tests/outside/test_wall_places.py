"""Where holders hang on small walls, held against an integer program that is solved by `highspy`.

`walls.py` writes random walls, `cleatwright make` plans them, and summary.json has every holder with its tools. Here all
places are counted anew, and the best plan is sought by its aims one after the other: holders left over, findings, how far
tools are out of reach, how far groups are apart, what is left free; each is held fast before the next one is asked. 20
walls are checked; for 100:

    python tests/outside/walls.py 100 DIR/walls
    cleatwright make DIR/walls/walls-NN --force --cutting-steps 1 --patterns none --out DIR/made/walls-NN     for each
    pytest --made DIR/made tests/outside/test_wall_places.py
"""

import json
import tomllib
from collections import defaultdict
from dataclasses import dataclass
from itertools import product

import highspy
import numpy as np
import pytest

# What room is kept, in mm; common practice, no source. Lefts of wood come on multiples of GRID, its middle over a stud
# on whole marks of the tape.
GRID, MARK = 10, 1
BESIDE, FLOOR = 20, 50
# A row is taken by what comes between so far below the top edge of its cleats and so far above; a further holder wants
# so much of it.
BELOW, ABOVE, USABLE = 150, 100, 200
# Wall cleats: to what is in the way, past the last stud at most, from an end to a screw, two screws from a stud's middle.
BESIDE_CLEAT, PAST_STUD, SCREW_END, SCREW_ASIDE = 5, 200, 12, 9

# A standing person in shoes: knuckle, shoulder and grip reach overhead over body height, medians of women and men of
# ANSUR II (Potvin et al. 2021, table 3); its middle body height; shoes after Pheasant, Bodyspace.
BODY, SHOES = 1690, 25
KNUCKLE = (0.73 / 1.63 + 0.78 / 1.76) / 2
SHOULDER = (1.33 / 1.63 + 1.44 / 1.76) / 2
REACH = (1.96 / 1.63 + 2.14 / 1.76) / 2
# What one hand lifts anywhere, in kg: the least guideline weight for women of HSE INDG143, times 0.6 for one hand
# (EN 1005-2); both from memory.
ANY_HEIGHT = 0.6 * 7

# A load past the last stud is borne as by a lever: studs are no less than 400 mm apart.
LEVER = 1 + PAST_STUD / 400

# What is as near as this is the same, in mm.
NEAR = 0.001
# Two sums of figures that come with six decimals are the same, by parts of themselves.
SAME = 1e-6

# A cell of a row in mm: all widths are multiples of GRID, and a middle halves them.
CELL = GRID // 2

AIMS = ["left over", "findings", "out of reach", "apart", "not free"]
LEFT_OVER, FINDINGS, OUT_OF_REACH, APART, NOT_FREE = range(5)

# Seconds for each aim, and what a plan may be worse where nobody knows the best.
SECONDS, UNPROVED = 10.0, 0.02
# A plan is known before, so the solver need not guess at others.
OPTIONS = {
    "time_limit": SECONDS,
    "mip_rel_gap": 0.0,
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_root_reduced_cost": False,
}


def summary_of(run):
    return json.loads((run / "summary.json").read_text(encoding="utf-8"))


def union(boxes):
    boxes = np.array(boxes)
    return np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])


class Holder:
    """What of a holder its place depends on; lengths from its left end and its foot."""

    def __init__(self, told):
        self.name = told["name"]
        pieces = [bounds(part, place) for part in told["parts"] for place in part["places"]]
        self.wood = union(pieces)
        tools = told["tools"]
        self.taken = union([self.wood, tools["low"][:2] + tools["high"][:2]] if tools else [self.wood])
        self.rise = told["tool_lift"] or 0
        self.lift = max(told["hook_lift"], self.rise, BESIDE)
        wall_cleat = np.array(told["hooking"]["fixed"][0])
        self.top, self.foot = wall_cleat[:, 1].max(), wall_cleat[:, 1].min()
        cleat = next(part for part in told["parts"] if part["name"] == "holder-cleat")
        low = bounds(cleat, cleat["places"][0])
        self.cleat = low[[0, 2]]
        # Into a tray one reaches over its top edge.
        self.grasps = [tool["at"][1] for tool in tools["each"]] if tools else [self.wood[3]]
        self.each = told["carries"]["tools_kg"] / len(self.grasps)
        self.whole = told["carries"]["whole_kg"]
        self.told = told

    def is_simple(self, rows):
        """Whether all that is left out here does not matter: other rows that it does not come by, heavy tools, places
        that only a stud bears, tools that a wall cleat would be behind."""
        hooking, tools = self.told["hooking"], self.told["tools"]
        heights = np.concatenate([np.array(ring)[:, 1] for ring in hooking["moving"]])
        near = np.diff(np.array(rows, dtype=float)).min(initial=np.inf) - (self.top - self.foot)
        alone = heights.max() - self.top < near - 100 and self.foot - heights.min() < near - 100
        in_front = not tools or tools["low"][2] > np.array(hooking["fixed"][0])[:, 0].max()
        one_hand = not tools or self.each < ANY_HEIGHT and not self.told["two_handed"]
        return alone and in_front and one_hand and not self.told["carries"]["over_stud_only"]


def bounds(part, place):
    """The box of a piece from the front."""
    length, width, face = (np.array(place[way]) for way in ["length", "width", "face"])
    ends = [np.array(place["origin"]) + length * part["length"] * a + width * part["width"] * b - face * part["thickness"] * c
            for a, b, c in product([0, 1], repeat=3)]
    return np.concatenate([np.min(ends, axis=0)[:2], np.max(ends, axis=0)[:2]])


@dataclass(frozen=True)
class Place:
    """A holder on a row."""

    holder: int
    row: int
    taken: tuple  # left, bottom, right, top, with tools
    lift: float
    findings: int
    out_of_reach: float

    def is_in_the_way(self, area, lift):
        left, bottom, right, top = self.taken
        along = left < area[2] + BESIDE - NEAR and area[0] < right + BESIDE - NEAR
        return along and bottom < area[3] + lift - NEAR and area[1] < top + self.lift - NEAR

    def takes(self, height):
        """What it takes of a row at a height."""
        left, bottom, right, top = self.taken
        meets = bottom < height + ABOVE and height - BELOW < top + self.lift
        return (left - BESIDE, right + BESIDE) if meets else None


class Wall:
    """A wall as its files tell it, with the holders of summary.json."""

    def __init__(self, run):
        self.name, self.summary = run.name, summary_of(run)
        project = run.parents[1] / "walls" / run.name
        said = tomllib.loads((project / "wall.toml").read_text(encoding="utf-8"))
        self.width, self.height, self.rows, self.studs = said["width"], said["height"], said["rows"], said["studs"]["at"]
        keys = ["left", "bottom", "width", "height"]
        sides = [[thing[key] for key in keys] for thing in said.get("obstacle", [])]
        self.obstacles = [(x, y, min(x + w, self.width), min(y + h, self.height)) for x, y, w, h in sides]
        body = said.get("person", {}).get("height", BODY)
        self.knuckle, self.shoulder, self.reach = (SHOES + body * part for part in [KNUCKLE, SHOULDER, REACH])
        self.holders = [Holder(told) for told in self.summary["holders"] if told["hooking"]]
        at = {holder.name: index for index, holder in enumerate(self.holders)}
        self.groups = [[at[name] for name in group["holders"]] for group in said.get("together", [])]
        self.runs = [self.runs_at(row) for row in self.rows]
        self.places = [place for holder in range(len(self.holders)) for place in self.places_of(holder)]

    def runs_at(self, height):
        """Where wall cleats run: from, to and the studs that hold them."""
        low = height - (self.holders[0].top - self.holders[0].foot)
        met = [area for area in self.obstacles if area[1] < height and low < area[3]]
        stretches = without((0, self.width), [(area[0] - BESIDE_CLEAT, area[2] + BESIDE_CLEAT) for area in met])
        inside = SCREW_END + SCREW_ASIDE * (self.summary["wall"]["screws"] > 1)
        runs = []
        for start, end in stretches:
            studs = [stud for stud in self.studs if start + inside <= stud <= end - inside]
            if studs:
                runs.append((max(start, studs[0] - PAST_STUD), min(end, studs[-1] + PAST_STUD), studs))
        return runs

    def places_of(self, index):
        holder = self.holders[index]
        for row in range(len(self.rows)):
            aside = holder.cleat.mean() - holder.wood[0]
            over = [round((stud - aside) / MARK) * MARK for _, _, studs in self.runs[row] for stud in studs]
            for left in sorted({*range(0, self.width + 1, GRID), *over}):
                place = self.place(index, row, left)
                if self.is_open(place, holder.cleat + left - holder.wood[0]):
                    yield place

    def place(self, index, row, left):
        """The place of a holder whose wood is so far from the wall's left corner."""
        holder = self.holders[index]
        x, foot = left - holder.wood[0], self.rows[row] - holder.top
        at = np.array(holder.grasps) + foot
        off = np.maximum(np.maximum(self.knuckle - at, at - self.shoulder), 0).sum() * holder.each
        hard = bool((at + holder.rise > self.reach).any())
        taken = tuple(float(side) for side in holder.taken + [x, foot, x, foot])
        return Place(index, row, taken, holder.lift, int(hard), float(off))

    def is_open(self, place, cleat):
        left, bottom, right, top = place.taken
        inside = left >= -NEAR and right <= self.width + NEAR
        inside &= bottom >= FLOOR - NEAR and top + place.lift <= self.height + NEAR
        if not inside or any(place.is_in_the_way(area, BESIDE) for area in self.obstacles):
            return False
        return any(is_held(cleat, run) for run in self.runs[place.row])

    def bare(self, row):
        """What is free of a row before anything hangs."""
        height = self.rows[row]
        met = [area for area in self.obstacles if area[1] < height + ABOVE and height - BELOW < area[3]]
        cuts = [(area[0] - BESIDE, area[2] + BESIDE) for area in met]
        return [left for start, end, _ in self.runs[row] for left in without((start, end), cuts)]

    def planned(self):
        """The places of summary.json among those counted here."""
        names = {holder.name: index for index, holder in enumerate(self.holders)}
        return [self.place(names[told["holder"]], told["row"], told["wood"][0]) for told in self.summary["wall"]["places"]]

    def planned_aims(self):
        aims = self.summary["wall"]["aims"]
        return [len(aims["left_over"]), aims["findings"], aims["out_of_reach_kg_mm"], aims["apart_mm"], -aims["free_mm"]]

    def aims(self, plan):
        """What a plan comes to; the less the better."""
        boxes = {place.holder: place.taken for place in plan}
        apart = [half_round([boxes[index] for index in group if index in boxes]) for group in self.groups]
        return [
            len(self.holders) - len(plan),
            sum(place.findings for place in plan),
            sum(place.out_of_reach for place in plan),
            sum(apart),
            -sum(self.free(plan, row) for row in range(len(self.rows))),
        ]

    def free(self, plan, row):
        takes = [taken for place in plan if (taken := place.takes(self.rows[row]))]
        left = [part for stretch in self.bare(row) for part in without(stretch, takes)]
        return sum(end - start for start, end in left if end - start >= USABLE - NEAR)

    def is_possible(self, plan):
        once = len({place.holder for place in plan}) == len(plan)
        apart = not any(clashes(place, plan[:at]) for at, place in enumerate(plan))
        return once and apart and all(place in self.places for place in plan)


def without(stretch, cuts):
    """What is left of a stretch."""
    start, end = stretch
    left = []
    for a, b in sorted(cuts):
        left.append((start, min(a, end)))
        start = max(start, b)
    return [(a, b) for a, b in [*left, (start, end)] if b - a > NEAR]


def is_held(cleat, run):
    """Whether a holder cleat hangs on wall cleats and not past all studs."""
    start, end, studs = run
    low, high = cleat
    within = low >= start - NEAR and high <= end + NEAR
    between = studs[0] - NEAR <= (low + high) / 2 <= studs[-1] + NEAR
    return within and (between or any(low <= stud <= high for stud in studs))


def half_round(boxes):
    left, bottom, right, top = union(boxes) if boxes else np.zeros(4)
    return float(right - left + top - bottom)


class Program:
    """An integer program: one variable of 0 or 1 for each place, and for each aim what it takes to tell it."""

    def __init__(self, wall):
        self.wall, self.places = wall, wall.places
        self.lower, self.upper, self.rows = [], [], []
        self.hung = self.columns(len(self.places))
        self.of = defaultdict(list)
        for column, place in enumerate(self.places):
            self.of[place.holder].append(column)
        for columns in self.of.values():
            self.row(dict.fromkeys(columns, 1), 0, 1)
        for column in range(len(self.places)):
            self.row({column: 1}, 0, 1)
        rows = [(place.holder, place.row) for place in self.places]
        self.goes_on = np.array([row == before for row, before in zip(rows, [None, *rows])])
        self.apart_from_one_another()
        self.blocks = {APART: self.groups, NOT_FREE: self.stretches}

    def columns(self, count, upper=1.0):
        first = len(self.lower)
        self.lower += [0.0] * count
        self.upper += [upper] * count
        return range(first, first + count)

    def row(self, entries, low, high):
        self.rows.append((entries, low, high))

    def apart_from_one_another(self):
        """Boxes that overlap by pairs have a point in common, and it is at the left of one and the bottom of one."""
        boxes = self.boxes(0, BESIDE)
        for x in np.unique(boxes[:, 0]):
            for columns in self.stacks(boxes, x):
                self.row(dict.fromkeys(columns, 1), 0, 1)

    def boxes(self, left, right):
        """What each place keeps free: so much more to the left and to the right, and its lift."""
        more = [[-left, 0, right - NEAR, place.lift - NEAR] for place in self.places]
        return np.array([place.taken for place in self.places]) + more

    def stacks(self, boxes, x, among=None):
        """The places that are one over a point at `x`, for each height; those that are in another such set left out."""
        over = (boxes[:, 0] <= x) & (x < boxes[:, 2]) & (True if among is None else among)
        met = np.flatnonzero(over)
        heights = np.unique(boxes[met, 1])
        sets = {frozenset(met[(boxes[met, 1] <= y) & (y < boxes[met, 3])].tolist()) for y in heights}
        return most(sets)

    def groups(self):
        """How wide and how high the box round each group is."""
        entries = {}
        for group in self.wall.groups:
            members = [self.of[holder] for holder in group]
            wide, high = (self.extent(members, side) for side in range(2))
            self.cover([column for columns in members for column in columns], wide)
            entries |= wide | high
        return entries, 0

    def extent(self, members, side):
        """From the least side to the greatest; without anything hung the least is as great."""
        far = [self.wall.width, self.wall.height][side]
        low, high = self.columns(2, far)
        self.row({high: 1, low: -1}, 0, np.inf)
        for columns in members:
            self.row({high: 1} | {c: -self.places[c].taken[2 + side] for c in columns}, 0, np.inf)
            self.row({low: 1} | {c: far - self.places[c].taken[side] for c in columns}, -np.inf, far)
        return {high: 1, low: -1}

    def cover(self, members, wide):
        """A group with the room to the right of each member is no wider than its box and that room: for the solver's bounds."""
        boxes, among = self.boxes(0, BESIDE), np.isin(range(len(self.places)), members)
        met = self.columns(cells(self.wall.width + BESIDE))
        for at, cell in enumerate(met):
            for columns in self.stacks(boxes, (at + 1 / 2) * CELL, among):
                self.over(cell, columns)
        self.row(wide | dict.fromkeys(met, -CELL), -BESIDE, np.inf)

    def stretches(self):
        """What is not free of each row."""
        entries = []
        self.kept = {room: self.boxes(*room) for room in [(0, BESIDE), (BESIDE, 0)]}
        for row, height in enumerate(self.wall.rows):
            takes = {column: taken for column, place in enumerate(self.places) if (taken := place.takes(height))}
            for start, end in self.wall.bare(row):
                entries += self.stretch(start, cells(end - start), takes)
        return dict.fromkeys(entries, CELL), -CELL * len(entries)

    def stretch(self, start, count, takes):
        """One goes along a stretch, cell by cell: over what does not count, in through a free USABLE, on through what
        is free beside it, and out again."""
        wide = cells(USABLE)
        idle, free, out = self.columns(count), self.columns(count), self.columns(count + 1)
        enter = self.columns(max(count - wide + 1, 0))
        for at in range(count + 1):
            come, go = {out[at]: 1}, {}
            come |= {idle[at - 1]: 1} if at else {}
            go |= {idle[at]: -1} if at < count else {}
            go |= {enter[at]: -1} if at < len(enter) else {}
            self.row(come | go, *[(at == count) - (at == 0)] * 2)
            inside = {out[at]: -1} | ({free[at - 1]: 1} if at else {}) | ({free[at]: -1} if at < count else {})
            self.row(inside | ({enter[at - wide]: 1} if 0 <= at - wide < len(enter) else {}), 0, 0)
        for at, cell in enumerate(idle):
            self.close(cell, start + (at + 1 / 2) * CELL, takes)
        return idle

    def close(self, cell, x, takes):
        """A cell does not count where a holder takes it. Boxes with the room on one side don't overlap, so that of all over a
        point there is one: this too is for the solver's bounds."""
        among = np.isin(range(len(self.places)), list(takes))
        sets = {frozenset(c for c in columns if c in takes and takes[c][0] < x < takes[c][1]) for columns in self.of.values()}
        for room in [(0, BESIDE), (BESIDE, 0)]:
            sets |= set(self.stacks(self.kept[room], x, among))
        for columns in most(sets):
            self.over(cell, columns)

    def over(self, cell, columns):
        if columns:
            self.row({cell: 1} | dict.fromkeys(columns, -1), 0, np.inf)

    def objective(self, aim):
        """Entries and what is added."""
        if aim in self.blocks:
            return self.blocks[aim]()
        weighs = {
            LEFT_OVER: lambda place: -1,
            FINDINGS: lambda place: place.findings,
            OUT_OF_REACH: lambda place: place.out_of_reach,
        }[aim]
        entries = {column: weighs(place) for column, place in enumerate(self.places)}
        return entries, len(self.wall.holders) * (aim == LEFT_OVER)

    def ask(self, aim):
        """From here on it is about this aim."""
        self.aim = aim
        self.entries, self.more = self.objective(aim)

    def least(self, plan):
        """Whether the least was proved, and a plan that has it or comes as near as the time allowed; one is known before."""
        solver = highspy.Highs()
        solver.silent()
        for name, value in OPTIONS.items():
            solver.setOptionValue(name, value)
        solver.setOptionValue("mip_abs_gap", self.gap())
        solver.passModel(self.model())
        hung = np.array([place in plan for place in self.places], dtype=float)
        solver.setSolution(len(hung), np.arange(len(hung), dtype=np.int32), self.sums(hung))
        solver.run()
        sums = np.array(solver.getSolution().col_value[: len(hung)])
        found = sums - np.where(self.goes_on, np.roll(sums, 1), 0)
        proved = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return proved, [self.places[column] for column in np.flatnonzero(found > 0.5)]

    def sums(self, hung):
        """Whether a holder hangs on a row so far to the left or farther."""
        sums = hung.copy()
        for column in np.flatnonzero(self.goes_on):
            sums[column] += sums[column - 1]
        return sums

    def told_by_sums(self, entries):
        """What is told by places told by their sums along each row: far fewer figures, and a sum of 0 or 1 halves a row."""
        told = defaultdict(float)
        for column, figure in entries.items():
            told[column] += figure
            if column < len(self.places) and self.goes_on[column]:
                told[column - 1] -= figure
        return {column: figure for column, figure in told.items() if figure}

    def gap(self):
        """Two plans differ by no less than this, or not at all."""
        if self.aim < APART:
            return SAME
        sides = [side for place in self.places for side in place.taken] if self.aim == APART else [CELL]
        return 0.99 * grain([*sides, CELL])

    def hold(self, value):
        """No later plan is worse by this aim."""
        self.row(self.entries, -np.inf, value - self.more + SAME * max(abs(value), 1))

    def model(self):
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.lower), len(self.rows)
        cost, figures = np.zeros(len(self.lower)), self.told_by_sums(self.entries)
        cost[list(figures)] = list(figures.values())
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, np.array(self.lower), np.array(self.upper)
        lp.row_lower_ = np.array([low for _, low, _ in self.rows], dtype=float)
        lp.row_upper_ = np.array([high for _, _, high in self.rows], dtype=float)
        rows = [self.told_by_sums(entries) for entries, _, _ in self.rows]
        matrix = lp.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0] + [len(row) for row in rows])
        matrix.index_ = np.concatenate([list(row) for row in rows]).astype(int)
        matrix.value_ = np.concatenate([list(row.values()) for row in rows]).astype(float)
        whole = [highspy.HighsVarType.kInteger] * len(self.places)
        lp.integrality_ = whole + [highspy.HighsVarType.kContinuous] * (len(self.lower) - len(whole))
        return lp


def most(sets):
    """Those that no other has all of."""
    kept = []
    for one in sorted(sets, key=lambda one: (-len(one), sorted(one))):
        if one and not any(one <= other for other in kept):
            kept.append(one)
    return kept


def grain(lengths):
    """What all are multiples of, in mm."""
    return np.gcd.reduce(np.rint(np.array(lengths) / NEAR).astype(int)) * NEAR


def cells(length):
    count = round(length / CELL)
    assert abs(count * CELL - length) < NEAR, length
    return count


def is_less(a, b, part=SAME):
    return a < b - part * max(abs(b), 1)


@dataclass(frozen=True)
class Best:
    """The best of an aim, those before it as in the plan."""

    aim: int
    least: float
    proved: bool


def bests(wall, plan):
    """For each aim the best that was found with those before as the plan has them, up to the first that is better."""
    program, told = Program(wall), wall.aims(plan)
    for aim, value in enumerate(told):
        program.ask(aim)
        # Nothing is better than none.
        proved, found = (True, plan) if value == 0 and aim != NOT_FREE else program.least(plan)
        aims = wall.aims(found)
        assert wall.is_possible(found), found
        assert not any(is_less(a, b) for a, b in zip(told[:aim], aims)), f"{aims} is no plan to hold {told} against"
        yield Best(aim, min(aims[aim], value), proved)
        if is_less(aims[aim], value):
            return
        program.hold(value)


def falls_short(aims, best):
    """Whether a plan with those aims is worse than what was found, by more than it may be."""
    return is_less(best.least, aims[best.aim], SAME if best.proved else UNPROVED)


@pytest.fixture(scope="module")
def walls(made_root):
    runs = sorted(path.parent for path in made_root.glob("walls-*/summary.json"))
    assert len(runs) >= 10, f"{len(runs)} random walls in {made_root}"
    return [Wall(run) for run in runs]


def is_same(a, b):
    return np.allclose(a, b, rtol=SAME, atol=NEAR)


def test_walls_are_as_this_counts_them(walls):
    """Nothing that is left out here matters on these walls."""
    for wall in walls:
        assert all(holder.is_simple(wall.rows) for holder in wall.holders), wall.name
        assert not any(place["kept"] for place in wall.summary["wall"]["places"]), wall.name
        assert not any(case["knocked_share"] * LEVER > 1 for case in wall.summary["wall"]["cases"]), wall.name


def test_wall_cleats_run_as_here(walls):
    for wall in walls:
        told = wall.summary["wall"]["rows"]
        assert [row["height"] for row in told] == wall.rows, wall.name
        runs = [[(cleat["from"], cleat["to"], cleat["screws"]) for cleat in row["cleats"]] for row in told]
        assert runs == wall.runs, wall.name


def test_plans_are_among_the_places_counted_here(walls):
    for wall in walls:
        plan = wall.planned()
        assert wall.is_possible(plan), wall.name
        for place, told in zip(plan, wall.summary["wall"]["places"]):
            box = [told[side] for side in ["left", "bottom", "right", "top"]]
            assert is_same(place.taken, box) and is_same(place.lift, told["lift"]), (wall.name, told)
        assert is_same(wall.aims(plan), wall.planned_aims()), (wall.name, wall.aims(plan))


def test_walls_are_of_all_kinds(walls):
    aims = np.array([wall.planned_aims() for wall in walls])
    assert (aims != 0).any(axis=0).all(), aims
    assert {len(wall.rows) for wall in walls} == {1, 2}


def test_no_better_plan_is_found(walls):
    found = [(wall, best) for wall in walls for best in bests(wall, wall.planned())]
    worse = [(wall.name, AIMS[best.aim], best) for wall, best in found if falls_short(wall.planned_aims(), best)]
    assert not worse, worse
    proved = np.mean([best.proved for _, best in found])
    assert proved > 0.8, proved


@pytest.mark.parametrize("aim", range(len(AIMS)), ids=AIMS)
def test_a_plan_made_worse_is_told(walls, aim):
    """One holder taken off or hung elsewhere."""
    changed = ((wall, plan) for wall in walls if (plan := made_worse(wall, aim)))
    wall, plan = next(changed)
    *before, last = bests(wall, plan)
    assert last.aim == aim and falls_short(wall.aims(plan), last), (wall.name, plan, last)
    assert not any(falls_short(wall.aims(plan), best) for best in before)


def made_worse(wall, aim):
    """The plan with one change that is worst by an aim and leaves those before; None where there is none."""
    plan = wall.planned()
    told, moved = wall.aims(plan), []
    for at, place in enumerate(plan):
        others = plan[:at] + plan[at + 1 :]
        free = [other for other in wall.places if other.holder == place.holder and not clashes(other, others)]
        moved += [others] * (aim == LEFT_OVER) + [[*others, other] for other in free]
    moved = [(wall.aims(plan), plan) for plan in moved]
    same = [(aims[aim], at) for at, (aims, _) in enumerate(moved) if is_same(aims[:aim], told[:aim])]
    worse = [(value, at) for value, at in same if is_less(told[aim], value, UNPROVED)]
    return moved[max(worse)[1]][1] if worse else None


def clashes(place, others):
    return any(place.is_in_the_way(other.taken, other.lift) for other in others)
