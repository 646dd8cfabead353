"""Writes random holders with their tools: `python tests/outside/bodies.py PROJECTS FOLDER`.

Each project has one holder of every style that says what its tools look like, in the shop that comes with the program.
Now and then a choice is stated so that tools have no room. The same number of projects always makes the same files.
`test_bodies.py` checks what is made of them.
"""

import random
import sys
from pathlib import Path


def tongue(pick, some):
    return {"inside_gap": pick(35, 80), "tool_thickness": pick(25, 50), "tool_length": pick(150, 300)}, {
        "count": str(some(1, 5)), "lip": pick(0, 10), "nose_margin": pick(0, 40)}


def peg(pick, some):
    return {"tool_thickness": pick(12, 30), "tool_width": pick(30, 120), "tool_length": pick(40, 200)}, {
        "count": str(some(2, 8)), "pegs": str(some(1, 3)), "peg_pitch": pick(50, 120), "tilt": f'"{some(0, 8)} deg"'}


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


STYLES = {
    "tongue": tongue,
    "peg": peg,
    "hammer-rack": hammers,
    "level-pegs": levels,
    "plane-ramp": planes,
    "shelf-lip": jars,
    "pigeonholes": boxes,
}


def written(value):
    return f"[{', '.join(value)}]" if isinstance(value, list) else value


def write(folder, project):
    rng = random.Random(f"bodies {project}")
    holders = folder / f"bodies-{project:02}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    for style, kind in STYLES.items():
        measures, choices = kind(lambda low, high: f'"{rng.randint(low, high)} mm"', rng.randint)
        many = next((len(value) for value in measures.values() if isinstance(value, list)), 0)
        measures["tool_mass"] = ['"0.4 kg"'] * many or '"0.4 kg"'
        # Half of them as the program would have them.
        choices = {name: value for name, value in choices.items() if rng.random() < 0.5 or name == "count"}
        table = lambda entries: "".join(f"{name} = {written(value)}\n" for name, value in entries.items())
        text = f'style = "{style}"\nunits = "mm"\n[measures]\n{table(measures)}[choices]\n{table(choices)}'
        (holders / f"{style}.toml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    for project in range(int(sys.argv[1])):
        write(Path(sys.argv[2]), project)
