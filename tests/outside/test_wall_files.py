"""wall.svg, wall.md and wall.glb of every run that has a wall, held against the figures in summary.json.

The drawing is read as XML and measured, the sheet as text, the solid by `trimesh` and the Khronos group's validator.
"""

import json
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from solids import bodies
from test_solids import validated

SVG = "{http://www.w3.org/2000/svg}"

# Half of the finest mark that a length is told to, in mm: 1/64 in, 0.1 mm.
MARK = {"in": 25.4 / 128 + 1e-6, "mm": 0.05 + 1e-6}

# Places on a drawing come in hundredths of a millimeter.
DRAWN = 0.011

# Solids have figures of 24 bits in meters; a polygon that stands in for a circle reaches a tenth of a percent past it.
PLACE = 0.1


@dataclass(frozen=True)
class Wall:
    """One wall of one run."""

    run: Path
    name: str  # In summary.json; empty where there is only one.
    stem: str  # Of its files.
    summary: dict

    def of(self, key):
        return [entry for entry in self.summary["wall"][key] if entry["wall"] == self.name]

    def title(self, holder):
        return next(told["title"] for told in self.summary["holders"] if told["name"] == holder)

    @property
    def svg(self):
        return self.run / f"{self.stem}.svg"

    @property
    def solid(self):
        return self.run / f"{self.stem}.glb"

    def sheet(self):
        """What the sheet tells of this wall."""
        text = (self.run / "wall.md").read_text(encoding="utf-8")
        chapters = re.split(r"^## ", text, flags=re.M)
        return next(chapter for chapter in chapters if f"]({self.svg.name})" in chapter)


@pytest.fixture(scope="module")
def walls(made_root):
    runs = sorted({path.parent for path in made_root.glob("*/wall*.svg")})
    assert runs, f"no run with a wall in {made_root}"
    return [wall for run in runs for wall in walls_of(run)]


def walls_of(run):
    summary = json.loads((run / "summary.json").read_text(encoding="utf-8"))
    stems = [file[: -len(".svg")] for file in summary["files"] if re.fullmatch(r"wall(-[^/]*)?\.svg", file)]
    names = list(dict.fromkeys(entry["wall"] for key in ("rows", "studs", "places") for entry in summary["wall"][key]))
    by_title = {drawing_title(run / f"{stem}.svg"): stem for stem in stems}
    found = [Wall(run, name, by_title[name], summary) for name in names]
    assert found and len(stems) >= len(found), run
    return found


def drawing_title(path):
    """The wall's name as the drawing tells it; empty where there is only one."""
    told = ElementTree.parse(path).getroot().find(f"{SVG}title").text
    return "" if told == "The wall from the front" else told.removesuffix(", the wall from the front")


def told(walls, look):
    return [f"{wall.run.name}/{wall.stem}: {wrong}" for wall in walls for wrong in look(wall)]


# The drawing.


class Elevation:
    """A drawing of a wall: its texts with their places, and its lines in mm of the wall from the left corner at the floor."""

    def __init__(self, path):
        root = ElementTree.parse(path).getroot()
        groups = {group.get("id"): group for group in root.findall(f"{SVG}g")}
        self.texts = [
            (group.get("aria-label"), *map(float, re.match(r"translate\((\S+) (\S+)\)", group.get("transform")).groups()))
            for group in groups["text"]
        ]
        self.times, self.unit = self.scale()
        frames = [points(path) for path in groups["furniture"].findall(f"{SVG}path") if path.get("d").endswith("Z")]
        frame = max((np.array(frame) for frame in frames if len(frame) == 5), key=lambda frame: np.ptp(frame[:, 0]))
        self.origin = np.array([frame[:, 0].min(), frame[:, 1].max()])
        self.size = np.ptp(frame, axis=0) * self.times
        self.groups = groups

    def scale(self):
        facts = next(text for text, _, _ in self.texts if " · drawn " in text)
        unit = "in" if facts.endswith("figures in inches") else "mm"
        scale = re.search(r"drawn (.*?) ·", facts)[1]
        foot = re.fullmatch(r"(.*) in = 1 ft", scale)
        return (float(12 / inches(foot[1])) if foot else float(scale.removeprefix("1 : "))), unit

    def corners(self, group):
        """All ends and bends of a group's lines, in mm of the wall, y up."""
        paths = [] if group not in self.groups else self.groups[group].findall(f"{SVG}path")
        found = [(np.array(points(path)) - self.origin) * [self.times, -self.times] for path in paths]
        return np.vstack(found) if found else np.empty((0, 2))

    def lines(self):
        """Texts that stand on one line, from the left."""
        rows = {}
        for text, x, y in self.texts:
            rows.setdefault(round(y, 3), []).append((x, text))
        return [[text for _, text in sorted(row)] for row in rows.values()]


def points(path):
    numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path.get("d"))]
    return list(zip(numbers[::2], numbers[1::2]))


def inches(text):
    return sum(map(Fraction, text.split()))


def millimeters(text, unit):
    """A length as a tape reads, without its unit."""
    bare = text.removeprefix("≈ ").removesuffix(f" {unit}")
    return float(inches(bare)) * 25.4 if unit == "in" else float(bare)


def test_the_list_has_every_holder_where_the_plan_has_it(walls):
    def look(wall):
        elevation = Elevation(wall.svg)
        lines = elevation.lines()
        for number, place in enumerate(wall.of("places"), 1):
            title = wall.title(place["holder"])
            row = "studs" if place["row"] is None else str(place["row"] + 1)
            # A long title goes on below.
            found = [
                line[at + 3 : at + 6]
                for line in lines
                for at in range(len(line) - 5)
                if line[at] == str(number) and title.startswith(line[at + 1]) and line[at + 2] == row
            ]
            wanted = [place["wood"][0], place["wood"][2], place["wood"][1]]
            if len(found) != 1:
                yield f"{title} is told {len(found)} times"
            elif any(abs(millimeters(a, elevation.unit) - b) > MARK[elevation.unit] for a, b in zip(found[0], wanted)):
                yield f"{title}: {found[0]} for {wanted}"

    assert not told(walls, look)


def test_heights_and_studs_are_told(walls):
    def look(wall):
        elevation = Elevation(wall.svg)
        texts = [text for text, _, _ in elevation.texts]
        for number, row in enumerate(wall.of("rows"), 1):
            found = [text.split(": ")[1] for text in texts if text.startswith(f"row {number}: ")]
            if len(found) != 1 or abs(millimeters(found[0], elevation.unit) - row["height"]) > MARK[elevation.unit]:
                yield f"row {number}: {found} for {row['height']}"
        for number, _ in enumerate(wall.of("studs"), 1):
            if sum(text == f"stud {number}" or text.startswith(f"stud {number}: ") for text in texts) != 1:
                yield f"stud {number}"

    assert not told(walls, look)


def test_it_is_drawn_true_to_scale(walls):
    """Wood begins and ends where the plan has it: its outermost lines, as far as they are drawn, are within no other holder."""

    def look(wall):
        elevation = Elevation(wall.svg)
        drawn = elevation.corners("hung")
        near = DRAWN * elevation.times
        for place in wall.of("places"):
            left, bottom, right, top = place["wood"]
            within = (drawn[:, 1] > bottom - near) & (drawn[:, 1] < top + near)
            for side, axis, mask in [(left, 0, within), (right, 0, within), (top, 1, None), (bottom, 1, None)]:
                if mask is None:
                    mask = (drawn[:, 0] > left - near) & (drawn[:, 0] < right + near)
                if not (np.abs(drawn[mask, axis] - side) < near).any():
                    yield f"{place['holder']}: nothing at {side}"
        for number, row in enumerate(wall.of("rows"), 1):
            ends = elevation.corners("assembled")
            off = np.abs(ends[:, 1] - row["height"]) if len(ends) else np.array([])
            covered = sum(place["wood"][2] - place["wood"][0] for place in wall.of("places") if place["row"] == number - 1)
            seen = sum(cleat["to"] - cleat["from"] for cleat in row["cleats"]) - covered
            if seen > 1 and not (off < near).any():
                yield f"row {number} is not drawn"

    assert not told(walls, look)


def test_all_lies_on_the_sheet(walls):
    def look(wall):
        root = ElementTree.parse(wall.svg).getroot()
        width, height = map(float, root.get("viewBox").split()[2:])
        for group in root.findall(f"{SVG}g"):
            for path in group.findall(f"{SVG}path"):
                for x, y in points(path) if "A" not in path.get("d") else []:
                    if not (0 <= x <= width and 0 <= y <= height):
                        yield f"{group.get('id')} at {x} {y}"

    assert not told(walls, look)


# The sheet.


def table(text, head):
    """The cells of the table that begins so."""
    _, _, under = text.partition(f"| {head} |")
    assert under, f"no {head}"
    lines = under.splitlines()[2:]
    rows = lines[: next((at for at, line in enumerate(lines) if not line.startswith("|")), len(lines))]
    return [[cell.strip() for cell in row.strip("|").split(" | ")] for row in rows]


def test_the_sheet_tells_the_same(walls):
    def look(wall):
        sheet, unit = wall.sheet(), Elevation(wall.svg).unit
        rows = table(sheet, "no. | holder | row | left edge | right edge | foot | over stud") if wall.of("places") else []
        if len(rows) != len(wall.of("places")):
            yield f"{len(rows)} holders for {len(wall.of('places'))}"
        studs = [stud["at"] for stud in wall.of("studs")]
        for number, (cells, place) in enumerate(zip(rows, wall.of("places")), 1):
            left, bottom, right, _ = place["wood"]
            found = [millimeters(cell, unit) for cell in cells[3:6]]
            if cells[0] != str(number) or plain(cells[1]) != wall.title(place["holder"]):
                yield f"{cells} for {place['holder']}"
            if np.abs(np.subtract(found, [left, right, bottom])).max() > MARK[unit]:
                yield f"{cells} for {place['wood']}"
            over = [str(stud) for stud, at in enumerate(studs, 1) if left <= at <= right]
            if cells[6] != (", ".join(over) or "none"):
                yield f"{cells} over {over}"
        rows = table(sheet, "row | top edge | wall cleats | screws") if wall.of("rows") else []
        for cells, row in zip(rows, wall.of("rows"), strict=True):
            ends = [millimeters(end, unit) for piece in cells[2].split(", ") for end in piece.split(" to ")]
            wanted = [end for cleat in row["cleats"] for end in (cleat["from"], cleat["to"])]
            if abs(millimeters(cells[1], unit) - row["height"]) > MARK[unit] or len(ends) != len(wanted):
                yield f"{cells} for {row}"
            elif np.abs(np.subtract(ends, wanted)).max() > MARK[unit]:
                yield f"{cells} for {row}"

    assert not told(walls, look)


def plain(cell):
    return re.sub(r"\\(.)", r"\1", cell).replace("&lt;", "<").replace("&amp;", "&")


def test_every_step_has_a_box_to_tick(walls):
    def look(wall):
        steps = re.findall(r"^\d+\. (.*)$", wall.sheet(), flags=re.M)
        if not steps or not all(step.startswith("☐ ") for step in steps):
            yield "a step without a box"
        for number, place in enumerate(wall.of("places"), 1):
            named = [step for step in steps if plain(step).startswith(f"☐ **{number} {wall.title(place['holder'])}**")]
            if len(named) != 1:
                yield f"{place['holder']}: {len(named)} steps"

    assert not told(walls, look)


# The solid.


def test_the_validator_has_nothing_to_say(walls, node):
    said = validated(node, [wall.solid for wall in walls])
    assert not [report for report in said if report["errors"] or report["warnings"]]


def test_bodies_are_where_the_summary_has_them(walls):
    def look(wall):
        found = bodies(wall.solid)
        names = [holder["name"] for holder in wall.summary["holders"]]
        for place in wall.of("places"):
            longer = [f"{name} " for name in names if name.startswith(f"{place['holder']} ")]
            own = [
                body.vertices
                for name, body in found.items()
                if name.startswith(f"{place['holder']} ") and not name.startswith(tuple(longer))
            ]
            points = np.vstack(own)
            low, high = points.min(axis=0), points.max(axis=0)
            off = np.subtract([low[0], low[1], high[0], high[1]], [place[key] for key in ("left", "bottom", "right", "top")])
            if np.abs(off).max() > PLACE:
                yield f"{place['holder']}: {off}"
        for number, row in enumerate(wall.of("rows"), 1):
            for piece, cleat in enumerate(row["cleats"], 1):
                points = found[f"row {number} wall cleat {piece}"].vertices
                ends = [points[:, 0].min(), points[:, 0].max(), points[:, 1].max()]
                if np.abs(np.subtract(ends, [cleat["from"], cleat["to"], row["height"]])).max() > PLACE:
                    yield f"row {number}, wall cleat {piece}: {ends}"

    assert not told(walls, look)


# The plan's figures fit each other.


def test_the_summary_agrees_with_itself(walls):
    def look(wall):
        rows, places = wall.of("rows"), wall.of("places")
        for place in places:
            left, bottom, right, top = place["wood"]
            if not (place["left"] - PLACE <= left and right <= place["right"] + PLACE):
                yield f"{place['holder']}: its wood is beside it"
            if not (place["bottom"] - PLACE <= bottom and top <= place["top"] + PLACE):
                yield f"{place['holder']}: its wood is above or below it"
            if place["row"] is not None and not 0 <= place["row"] < len(rows):
                yield f"{place['holder']}: row {place['row']}"
        for row in rows:
            for cleat in row["cleats"]:
                if not all(cleat["from"] <= screw <= cleat["to"] for screw in cleat["screws"]):
                    yield f"a screw beside its wall cleat at {row['height']}"
        for free in wall.of("free"):
            if not (free["from"] < free["to"] and 0 <= free["row"] < len(rows)):
                yield f"{free}"

    assert not told(walls, look)
