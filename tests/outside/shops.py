"""Writes random shops with a CNC router, and holders cut by it: `python tests/outside/shops.py PROJECTS FOLDER`.

Each shop has bits, clearances, reliefs and ways of holding parts of its own, and holders with tabs, pockets, open
slots and leaning holes. Every third is to be made with `--offset-by-bit`, and its name ends in `-by-bit`. The same
number of projects always makes the same files. `test_machine.py` checks what is made of them.
"""

import random

from projects import SAW_AND_BITS, holder_text, write_all

SHOP = """units = "mm"
[[sheet]]
name = "ply"
thickness = "{thickness} mm"
length = "2440 mm"
width = "1220 mm"
wood = "birch plywood"
grain = {grain}
[[board]]
name = "ash"
thickness = "20 mm"
width = "240 mm"
length = "2400 mm"
wood = "white ash"
[[dowel]]
name = "rod"
diameter = "15 mm"
length = "900 mm"
wood = "birch"
{saw_and_bits}[router]
{router}
[cleat]
from = "ply"
width = "60 mm"
bevel = "45 deg"
[wall]
stud_spacing = "400 mm"
"""

# Sold in inches and in millimeters.
BITS = ["1/8 in", "4 mm", "5 mm", "6 mm", "1/4 in", "8 mm"]


def router(rng):
    bit = rng.randrange(len(BITS))
    keys = {"bit": f'"{BITS[bit]}"'}
    if bit and rng.random() < 0.5:
        keys["joint_bit"] = f'"{BITS[rng.randrange(bit)]}"'
    keys |= {
        "margin": f'"{rng.randint(2, 8) / 2} mm"',
        "hold_down": f'"{rng.randint(15, 25)} mm"',
        "direction": f'"{rng.choice(["conventional", "climb"])}"',
        "zero": f'"{rng.choice(["corner", "center"])}"',
    }
    if rng.random() < 0.25:
        return keys | {"bridges": "0", "skin": f'"{rng.randint(2, 8) / 10} mm"'}
    keys["bridges"] = str(rng.randint(0, 6))
    if rng.random() < 0.5:
        keys |= {"bridge_width": f'"{rng.randint(4, 10)} mm"', "bridge_height": f'"{rng.randint(2, 5)} mm"'}
    return keys


def tray(pick, some):
    return {
        "inside_length": pick(150, 500),
        "inside_width": pick(80, 250),
        "inside_height": pick(40, 110),
        "load_mass": '"3 kg"',
    }, {}


def arms(pick, some):
    return {
        "bar_thickness": pick(5, 10),
        "head_width": pick(40, 80),
        "stack_count": str(some(2, 4)),
        "stack_depth": pick(60, 140),
        "tool_length": pick(200, 700),
        "tool_mass": '"0.6 kg"',
    }, {"count": str(some(2, 5))}


def ledge(pick, some):
    return {
        "foot_height": pick(8, 25),
        "foot_thickness": pick(6, 16),
        "throat": pick(45, 80),
        "head_width": pick(40, 70),
        "tool_length": pick(400, 1200),
        "tool_mass": '"0.6 kg"',
    }, {"count": str(some(2, 5)), "mount": '"cleat"'}


def shelf(pick, some):
    return {
        "bar_thickness": pick(5, 12),
        "head_width": pick(25, 40),
        "bar_depth": pick(12, 40),
        "tool_length": pick(200, 900),
        "tool_mass": '"0.6 kg"',
    }, {"count": str(some(2, 6))}


def rail(pick, some):
    each = range(some(2, 6))
    return {
        "shank_diameter": [pick(9, 16) for _ in each],
        "head_width": [pick(22, 36) for _ in each],
        "widest_below": [pick(6, 70) for _ in each],
        "neck_thickness": [pick(4, 8) for _ in each],
        "tool_length": [pick(80, 250) for _ in each],
        "tool_mass": ['"0.2 kg"'] * len(each),
    }, {"finger_gap": pick(5, 25)}


def pegs(pick, some):
    return {"tool_thickness": pick(12, 30), "tool_width": pick(50, 160), "tool_length": pick(40, 200),
            "tool_mass": '"0.3 kg"'}, {"count": str(some(2, 6)), "peg_diameter": '"15 mm"',
            "tilt": f'"{some(2, 8)} deg"'}


STYLES = {"tray": tray, "twin-arm": arms, "hook-ledge": ledge, "slotted-shelf": shelf, "hole-rail": rail, "peg": pegs}

# Those that can be joined with tabs.
TABBED = ["tray", "twin-arm", "hook-ledge", "slotted-shelf"]


def tabs(rng):
    """Clearances at the faces and, now and then, others at the ends."""
    fit = lambda: f'"{rng.randint(-10, 40) / 100} mm"'
    ends = {"tab_end_fit": fit()} if rng.random() < 0.5 else {}
    return {"joint": '"tab"', "tab_fit": fit(), **ends, "relief": rng.choice(['"corner"', '"side"'])}


def holder(style, rng):
    measures, choices = STYLES[style](lambda low, high: f'"{rng.randint(low, high)} mm"', rng.randint)
    if style != "peg":
        choices["made_by"] = '"router"'
    if style in TABBED:
        choices |= tabs(rng)
    return holder_text(style, measures, choices)


def write(folder, project):
    rng = random.Random(f"shops {project}")
    holders = folder / f"shops-{project:02}{'-by-bit' * (project % 3 == 2)}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    shop = SHOP.format(
        saw_and_bits=SAW_AND_BITS,
        thickness=rng.randint(80, 190) / 10,
        grain="true" if rng.random() < 0.5 else "false",
        router="\n".join(f"{key} = {value}" for key, value in router(rng).items()),
    )
    (holders.parent / "shop.toml").write_text(shop, encoding="utf-8")
    for style in STYLES:
        (holders / f"{style}.toml").write_text(holder(style, rng), encoding="utf-8")


if __name__ == "__main__":
    write_all(write)
