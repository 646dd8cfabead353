"""Writes random holders to be laid out on sheets: `python tests/outside/nests.py PROJECTS FOLDER`.

Each project has a holder or two of most styles, some made by CNC router and some by hand, all from one sheet; every
third has a bed smaller than its sheets. The same number of projects always makes the same files. `test_nests.py` checks
what is made of them.
"""

import random

from bodies import STATED, STYLES
from projects import SAW_AND_BITS, holder_text, weighed, write_all

SHOP = """units = "mm"
[[sheet]]
name = "ply"
thickness = "18 mm"
length = "{length} mm"
width = "{width} mm"
wood = "birch plywood"
grain = {grain}
price = 80
[[dowel]]
name = "rod"
diameter = "20 mm"
length = "900 mm"
wood = "birch"
{saw_and_bits}[router]
bit = "6 mm"
margin = "{margin} mm"
hold_down = "12 mm"
{bed}[cleat]
from = "ply"
width = "60 mm"
bevel = "45 deg"
[wall]
stud_spacing = "400 mm"
"""

# Those whose shaped parts may be made by CNC router.
KINDS = {style: kind for style, kind in STYLES.items() if style != "peg"}

SHEETS = [(2440, 1220), (1525, 1525), (1220, 610), (2500, 1250)]

BED = 'bed = ["900 mm", "600 mm"]\n'


def holder(style, rng):
    measures, choices = KINDS[style](lambda low, high: f'"{rng.randint(low, high)} mm"', rng.randint)
    choices = {name: value for name, value in choices.items() if name in STATED}
    choices["made_by"] = '"router"' if rng.random() < 0.6 else '"hand"'
    return holder_text(style, weighed(measures), choices)


def write(folder, project):
    rng = random.Random(f"nests {project}")
    holders = folder / f"nests-{project:02}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    length, width = rng.choice(SHEETS)
    shop = SHOP.format(
        saw_and_bits=SAW_AND_BITS,
        length=length,
        width=width,
        grain="true" if rng.random() < 0.7 else "false",
        margin=rng.randint(1, 4),
        bed=BED if project % 3 == 2 else "",
    )
    (holders.parent / "shop.toml").write_text(shop, encoding="utf-8")
    for style in KINDS:
        for number in range(rng.randint(0, 2)):
            (holders / f"{style}-{number}.toml").write_text(holder(style, rng), encoding="utf-8")


if __name__ == "__main__":
    write_all(write)
