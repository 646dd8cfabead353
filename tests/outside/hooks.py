"""Writes random holders on random cleats: `python tests/outside/hooks.py PROJECTS FOLDER`.

Each project has a cleat of its own, ten holders of all kinds of backs and strips, and every other one rows of wall
cleats. The same number of projects always makes the same files. `test_hooks.py` checks what is made of them.
"""

import math
import random

from projects import SAW_AND_BITS, holder_text, write_all

SHOP = """units = "mm"
[[sheet]]
name = "ply"
thickness = "{thickness} mm"
length = "2440 mm"
width = "1220 mm"
wood = "birch plywood"
[[sheet]]
name = "thin ply"
thickness = "12 mm"
length = "1525 mm"
width = "1525 mm"
wood = "birch plywood"
[[dowel]]
name = "rod"
diameter = "20 mm"
length = "900 mm"
wood = "birch"
{saw_and_bits}[cleat]
from = "ply"
width = "{width} mm"
bevel = "{bevel} deg"
[wall]
stud_spacing = "400 mm"
"""

ROWS = 'style = "wall-cleat"\nunits = "mm"\n[choices]\nlength = "1600 mm"\nrows = 3\nrow_spacing = "{spacing} mm"\n'


def shelf(pick):
    return "slotted-shelf", "upright_height", {
        "bar_thickness": pick(6, 12),
        "head_width": pick(25, 40),
        "tool_length": 600,
    }, {"depth": f'"{pick(60, 200)} mm"'}


def peg(pick):
    # A rod that stands half its thickness deep in the thinnest back.
    choices = {"tilt": f'"{pick(0, 8)} deg"', "peg_diameter": '"20 mm"'}
    return "peg", "back_height", {"tool_thickness": pick(15, 30)}, choices


def tongue(pick):
    return "tongue", "back_height", {"inside_gap": pick(40, 60), "tool_thickness": pick(30, 50)}, {}


def tray(pick):
    return "tray", "back_height", {
        "inside_length": pick(200, 300),
        "inside_width": pick(80, 200),
        "inside_height": pick(40, 90),
    }, {}


def lip(pick):
    return "shelf-lip", "upright_height", {"tool_width": f"[{pick(50, 90)}, {pick(50, 90)}]"}, {}


def holder(kind, rng, least):
    """A holder file. Its back is between too low for any room under the wall cleat and far higher than it need be."""

    def pick(low, high):
        return round(rng.uniform(low, high))

    style, back, measures, choices = kind(pick)
    heavy = "load_mass" if style == "tray" else "tool_mass"
    masses = '["0.3 kg", "0.3 kg"]' if style == "shelf-lip" else '"0.2 kg"'
    lengths = {name: f'"{of} mm"' if isinstance(of, int) else of for name, of in measures.items()}
    strip = pick(10, 40)
    high = least + strip + pick(-4, 45)
    said = {back: f'"{high} mm"', "strip_height": f'"{strip} mm"'} | choices
    return holder_text(style, lengths | {heavy: masses}, said)


def write(folder, project):
    rng = random.Random(f"hooks {project}")
    thickness, bevel, solid = rng.choice([12, 15, 18, 21]), rng.randint(25, 50), rng.randint(20, 45)
    rise = thickness * math.tan(math.radians(bevel))
    width = math.ceil(rise + solid)
    holders = folder / f"hooks-{project:02}" / "holders"
    holders.mkdir(parents=True, exist_ok=True)
    shop = SHOP.format(saw_and_bits=SAW_AND_BITS, thickness=thickness, width=width, bevel=bevel)
    (holders.parent / "shop.toml").write_text(shop, encoding="utf-8")
    if project % 2:
        rows = ROWS.format(spacing=rng.randint(2 * width, 320))
        (holders / "rows.toml").write_text(rows, encoding="utf-8")
    kinds = [shelf, peg, tongue, tray, lip]
    for at in range(10):
        text = holder(kinds[at % len(kinds)], rng, math.ceil(2 * width - rise))
        (holders / f"h{at}.toml").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_all(write)
