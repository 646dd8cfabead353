"""Writes random holders with their tools: `python tests/outside/bodies.py PROJECTS FOLDER`.

Each project has one holder of every style that says what its tools look like, in the shop that comes with the program.
Now and then a choice is stated so that tools have no room. The same number of projects always makes the same files.
`test_bodies.py` checks what is made of them.
"""

import random

from projects import holder_text, weighed, write_all


def tongue(pick, some):
    return {"inside_gap": pick(35, 80), "tool_thickness": pick(25, 50), "tool_length": pick(150, 300)}, {
        "count": str(some(1, 5)), "lip": pick(0, 10), "nose_margin": pick(0, 40)}


def peg(pick, some):
    return {"tool_thickness": pick(12, 30), "tool_width": pick(50, 160), "tool_length": pick(40, 200)}, {
        "count": str(some(2, 8)), "pegs": str(some(1, 3)), "peg_pitch": pick(50, 90), "tilt": f'"{some(0, 8)} deg"'}


def hammers(pick, some):
    each = range(some(1, 4))
    return {
        "handle_thickness": [pick(18, 35) for _ in each],
        "head_width": [pick(70, 150) for _ in each],
        "tool_thickness": [pick(18, 50) for _ in each],
        "tool_length": [pick(200, 400) for _ in each],
    }, {"lip": pick(0, 15), "finger_gap": pick(0, 40)}


def levels(pick, some):
    each = range(some(1, 3))
    return {
        "tool_length": [pick(400, 900) for _ in each],
        "tool_height": [pick(30, 70) for _ in each],
        "tool_thickness": [pick(10, 35) for _ in each],
    }, {"fit": pick(2, 12), "finger_gap": pick(15, 50), "lip": pick(8, 15)}


def planes(pick, some):
    each = range(some(1, 3))
    return {
        "tool_width": [pick(35, 80) for _ in each],
        "tool_length": [pick(120, 560) for _ in each],
        "tool_height": [pick(50, 140) for _ in each],
    }, {"fit": pick(3, 15), "lean": f'"{some(15, 35)} deg"'}


def jars(pick, some):
    each = range(some(1, 5))
    return {"tool_width": [pick(40, 110) for _ in each], "tool_height": [pick(60, 250) for _ in each]}, {
        "jar_board": some(0, 1) * '"openings"' or '"none"', "finger_gap": pick(10, 30)}


def boxes(pick, some):
    return {"tool_width": pick(60, 180), "tool_height": pick(40, 120), "tool_depth": pick(80, 200)}, {
        "count": str(some(2, 8)), "lip": pick(6, 20)}


def arms(pick, some):
    return {
        "bar_thickness": pick(5, 10),
        "head_width": pick(40, 80),
        "tail_width": pick(8, 60),
        "stack_count": str(some(2, 5)),
        "stack_depth": pick(60, 200),
        "tool_length": pick(90, 700),
    }, {"count": str(some(1, 6)), "nose": some(0, 2) and '"open"' or '"strip"', "nose_margin": pick(20, 60), "lip": pick(0, 12)}


def shelf(pick, some):
    return {
        "bar_thickness": pick(5, 12),
        "head_width": pick(25, 40),
        "bar_depth": pick(12, 40),
        "behind_bar": pick(0, 30),
        "tool_length": pick(200, 900),
    }, {"count": str(some(2, 8)), "inset": pick(30, 60), "depth": pick(60, 140), "lip": pick(0, 15)}


def rail(pick, some):
    each = range(some(1, 5))
    return {
        "shank_diameter": [pick(9, 16) for _ in each],
        "head_width": [pick(22, 36) for _ in each],
        "widest_below": [pick(6, 70) for _ in each],
        "neck_thickness": [pick(4, 8) for _ in each],
        "tool_length": [pick(80, 250) for _ in each],
    }, {"finger_gap": pick(5, 25), "inset": pick(35, 60), "depth": pick(60, 120)}


def ledge(pick, some):
    return {
        "foot_height": pick(8, 25),
        "foot_thickness": pick(6, 16),
        "throat": pick(45, 80),
        "head_width": pick(40, 70),
        "tool_length": pick(400, 1200),
    }, {"count": str(some(2, 6)), "pitch": pick(60, 100), "mount": some(0, 1) and '"wall"' or '"cleat"'}


def till(pick, some):
    each = range(some(1, 4))
    return {
        "blade_thickness": [pick(1, 3) for _ in each],
        "blade_width": [pick(40, 140) for _ in each],
        "head_width": [pick(18, 30) for _ in each],
        "handle_depth": [pick(50, 180) for _ in each],
    }, {"finger_gap": pick(10, 30), "room": pick(0, 20), "behind": pick(12, 60)}


def dock(pick, some):
    each = range(some(1, 4))
    return {
        "neck_thickness": [pick(30, 45) for _ in each],
        "neck_depth": [pick(30, 60) for _ in each],
        "body_width": [pick(60, 80) for _ in each],
        "battery_width": [pick(60, 110) for _ in each],
        "overhang": [pick(5, 60) for _ in each],
    }, {"finger_gap": pick(20, 50), "bracket_count": str(some(2, 4)), "nose": pick(5, 20)}


STYLES = {
    "twin-arm": arms,
    "slotted-shelf": shelf,
    "hole-rail": rail,
    "hook-ledge": ledge,
    "till": till,
    "dock": dock,
    "tongue": tongue,
    "peg": peg,
    "hammer-rack": hammers,
    "level-pegs": levels,
    "plane-ramp": planes,
    "shelf-lip": jars,
    "pigeonholes": boxes,
}


# Choices that are always stated.
STATED = ["count", "pegs", "peg_pitch"]


def write(folder, project):
    rng = random.Random(f"bodies {project}")
    holders = folder / f"bodies-{project:02}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    for style, kind in STYLES.items():
        measures, choices = kind(lambda low, high: f'"{rng.randint(low, high)} mm"', rng.randint)
        # Half of them as the program would have them.
        choices = {name: value for name, value in choices.items() if rng.random() < 0.5 or name in STATED}
        text = holder_text(style, weighed(measures), choices)
        (holders / f"{style}.toml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_all(write)
