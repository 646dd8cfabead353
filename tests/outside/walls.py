"""Writes random small walls with holders to hang there: `python tests/outside/walls.py PROJECTS FOLDER`.

Each project has a wall of its own with one row of wall cleats or two, and three to five holders. All lengths are whole
centimeters, so that places can be counted; now and then something is in the way, some are to hang near one another, and
not all have room. The same number of projects always makes the same files. `test_wall_places.py` checks what is made of them.
"""

import random

from projects import SAW_AND_BITS, holder_text, write_all

SHEET = 18
ROD = 20

SHOP = f"""units = "mm"
[[sheet]]
name = "ply"
thickness = "{SHEET} mm"
length = "2440 mm"
width = "1220 mm"
wood = "birch plywood"
[[dowel]]
name = "rod"
diameter = "{ROD} mm"
length = "900 mm"
wood = "beech"
{SAW_AND_BITS}[cleat]
from = "ply"
width = "60 mm"
bevel = "45 deg"
"""


def mm(length):
    return f'"{length} mm"'


def tens(rng, low, high):
    return 10 * rng.randint(low // 10, high // 10)


def tray(rng):
    width = tens(rng, 180, 460)
    return "tray", {
        "inside_length": mm(width - 2 * SHEET),
        "inside_width": mm(tens(rng, 80, 140)),
        "inside_height": mm(tens(rng, 40, 120)),
        "load_mass": '"1 kg"',
    }, {"cross_dividers": "[]", "long_dividers": "[]"}


def pegs(rng):
    """Every other one with tools that stand a centimeter past its wood."""
    margin = tens(rng, 20, 60)
    tool = min(2 * (margin + ROD // 2) + rng.choice([0, 20]), 120)
    count = rng.randint(2, 4)
    return "peg", {
        "tool_thickness": mm(20),
        "tool_width": mm(tool),
        "tool_length": mm(tens(rng, 80, 480)),
        "tool_mass": f'"0.{rng.randint(1, 4)} kg"',
    }, {
        "count": str(rng.randint(1, 2) * count),
        "spare": str(rng.choice([0, count])),
        "pegs": str(count),
        "peg_diameter": mm(ROD),
        "peg_pitch": mm(tens(rng, tool, tool + 20)),
        "side_margin": mm(margin),
        "tilt": '"0 deg"',
    }


def jars(rng):
    each = range(rng.randint(2, 4))
    return "shelf-lip", {
        "tool_width": [mm(tens(rng, 50, 90)) for _ in each],
        "tool_height": [mm(tens(rng, 100, 300)) for _ in each],
        "tool_mass": [f'"0.{rng.randint(2, 8)} kg"' for _ in each],
    }, {"end_margin": mm(12), "finger_gap": mm(20)}


def rows(rng):
    """Every fifth time so high that tools are above what a small person reaches."""
    lowest = tens(rng, 550, 1250) if rng.random() < 0.8 else tens(rng, 1500, 1650)
    return [lowest, lowest + tens(rng, 450, 2150 - lowest)][: rng.choice([1, 2, 2])]


def in_the_way(rng, width):
    sizes = {"left": tens(rng, 0, width - 200), "bottom": tens(rng, 400, 1600)}
    return "[[obstacle]]\n" + lines(sizes | {"width": tens(rng, 60, 400), "height": tens(rng, 60, 500)})


def lines(figures):
    return "".join(f"{name} = {figure}\n" for name, figure in figures.items())


def wall(rng, names):
    width, apart = tens(rng, 1200, 1800), rng.choice([400, 450, 500, 600])
    text = lines({"units": '"mm"', "width": width, "height": 2400, "rows": rows(rng)})
    text += "[studs]\n" + lines({"at": list(range(tens(rng, 100, 350), width, apart))})
    if rng.random() < 0.5:
        text += "[person]\n" + lines({"height": tens(rng, 1400, 1800)})
    if rng.random() < 0.5:
        text += in_the_way(rng, width)
    for group in range(rng.choice([0, 0, 1, 1, 2])):
        near = ", ".join(f'"{name}"' for name in rng.sample(names, rng.randint(2, 3)))
        text += "[[together]]\n" + lines({"name": f'"group {group + 1}"', "holders": f"[{near}]"})
    return text


def write(folder, project):
    rng = random.Random(f"walls {project}")
    holders = folder / f"walls-{project:02}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    kinds = [rng.choice([tray, pegs, pegs, jars]) for _ in range(rng.randint(3, 5))]
    names = [f"h{at}" for at in range(len(kinds))]
    (holders.parent / "shop.toml").write_text(SHOP, encoding="utf-8")
    (holders.parent / "wall.toml").write_text(wall(rng, names), encoding="utf-8")
    for name, kind in zip(names, kinds):
        (holders / f"{name}.toml").write_text(holder_text(*kind(rng)), encoding="utf-8")


if __name__ == "__main__":
    write_all(write)
