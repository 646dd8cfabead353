"""The schemas that `cleatwright schema` prints, read by a validator that knows nothing of the program.

What the program takes has to conform, and what is wrong in one file has to be refused by both: the schema, and `check`
with status 2.
"""

import json
import re
import subprocess
from itertools import product
from pathlib import Path

import pytest
import tomli
from jsonschema import Draft202012Validator

ROOT = Path(__file__).resolve().parents[2]
UNITS = ["in", "mm"]
STYLES = sorted(path.stem for path in (ROOT / "templates").glob("*.toml") if path.stem != "vocabulary")


@pytest.fixture(scope="session")
def program(pytestconfig):
    path = pytestconfig.getoption("program")
    assert path.is_file(), f"{path} is missing"
    return path


@pytest.fixture(scope="session")
def printed(program):
    """What the program prints when it is asked so, each only once."""
    known = {}

    def ask(*words):
        if words not in known:
            run = subprocess.run([program, *words], capture_output=True, text=True, check=True)
            known[words] = run.stdout
        return known[words]

    return ask


@pytest.fixture(scope="session")
def validator(printed):
    """The validator of a kind of file, or of the holder files of one style."""

    def of(*kind):
        return Draft202012Validator(json.loads(printed("schema", *kind)))

    return of


def faults(validator, text):
    """Where a text does not conform."""
    found = validator.iter_errors(tomli.loads(text))
    return [f"{'.'.join(map(str, fault.absolute_path))}: {fault.message}" for fault in found]


def files(*patterns):
    found = sorted(path for pattern in patterns for path in ROOT.glob(pattern))
    assert found, patterns
    return [pytest.param(path, id=str(path.relative_to(ROOT))) for path in found]


PROJECTS = ["samples/*", "tests/outside/milled", "tests/outside/traced", "tests/stages/metric"]
HOLDERS = [f"{project}/holders/*.toml" for project in PROJECTS]
KINDS = {
    "holder": HOLDERS,
    "style": ["templates/*.toml", "templates/groups/*.toml", "templates/try/*.toml", "tests/outside/*/styles/*.toml"],
    "shop": ["samples/*/shop.toml", "tests/outside/milled/shop.toml", "tests/stages/metric/shop.toml", "src/shop/default*.toml"],
    "tools": ["samples/*/tools.toml", "src/inventory/default*.toml"],
    "wall": ["samples/*/wall.toml", "src/wall/start*.toml"],
}


@pytest.mark.parametrize("kind", KINDS)
def test_schemas_are_such(printed, kind):
    schema = json.loads(printed("schema", kind))
    assert schema["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("style, units", [*product(STYLES, UNITS)])
def test_schemas_of_styles_are_such(printed, style, units):
    Draft202012Validator.check_schema(json.loads(printed("schema", "holder", "--style", style, "--units", units)))


@pytest.mark.parametrize("kind, path", [pytest.param(kind, *file.values, id=file.id) for kind in KINDS for file in files(*KINDS[kind])])
def test_files_conform(validator, kind, path):
    assert faults(validator(kind), path.read_text()) == []


@pytest.mark.parametrize("kind, units", [*product(["shop", "tools", "wall"], UNITS)])
def test_what_a_shop_begins_with_conforms(printed, validator, kind, units):
    assert faults(validator(kind), printed("start", kind, "--units", units)) == []


@pytest.mark.parametrize("style, units", [*product(STYLES, UNITS)])
def test_what_a_holder_begins_with_conforms(printed, validator, style, units):
    """All but the readings, which are still to be filled in: what is empty is no figure, and a count left open no TOML."""
    text = re.sub(r"(?m)^(\w+) = $", r"\1 = 1", printed("start", style, "--units", units))
    assert faults(validator("holder"), text) == []
    filled = "\n".join(line for line in text.splitlines() if not re.match(r'\w+ = (""|\[)', line))
    assert faults(validator("holder", "--style", style, "--units", units), filled) == []


@pytest.mark.parametrize("path", files(*HOLDERS))
def test_holders_conform_to_their_styles(validator, path):
    text = path.read_text()
    style = tomli.loads(text)["style"]
    own = path.parents[1] / "styles"
    folder = ["--styles", str(own)] if own.is_dir() else []
    assert faults(validator("holder", "--style", style, *folder), text) == []


HOLDER = """style = "slotted-shelf"
units = "in"
[measures]
bar_thickness = "3/8"
head_width = "1 1/4"
tool_length = "30"
tool_mass = "2 kg"
[choices]
count = 4
"""
SHOP = (ROOT / "src/shop/default.toml").read_text()
STYLE = """title = "Plain board"
hangs = "nothing"
makes = "a board"
include = ["back", "spacer-strip"]
[choices]
sheet = {}
long = { ask = "How long", length = ["4 in", "30 in"], default = "12 in" }
[workings]
hang_width = "long"
hang_height = "6 in"
acts_out = "front"
back_height = "6 in"
[weights]
mass = "1 kg"
path = ["back"]
"""
OF_BOARD = 'style = "board"\n'
TOOLS = """units = "in"
room = 0.25
[[tool]]
name = "mallet"
count = 2
handle_thickness = "1"
head_width = "4"
"""
WALL = """units = "in"
width = 144
height = 96
[studs]
first = 15
[[obstacle]]
name = "window"
left = 48
bottom = 42
width = 36
height = 40
[person]
height = 68
"""
# The project that each kind of file is tried in, and the file there.
BASES = {
    "holder": ({"holders/try.toml": HOLDER}, "holders/try.toml"),
    "shop": ({"holders/try.toml": HOLDER, "shop.toml": SHOP}, "shop.toml"),
    "style": ({"holders/try.toml": OF_BOARD, "styles/board.toml": STYLE}, "styles/board.toml"),
    "tools": ({"holders/try.toml": HOLDER, "tools.toml": TOOLS}, "tools.toml"),
    "wall": ({"holders/try.toml": HOLDER, "wall.toml": WALL}, "wall.toml"),
}


def check(program, folder, texts):
    """The status of `check` on a project of these texts, and what is said."""
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    run = subprocess.run([program, "check", folder, "--cutting-steps", "1"], capture_output=True, text=True)
    return run.returncode, run.stdout + run.stderr


@pytest.mark.parametrize("kind", BASES)
def test_the_files_to_make_mistakes_in_are_sound(program, validator, tmp_path, kind):
    texts, path = BASES[kind]
    assert faults(validator(kind), texts[path]) == []
    status, said = check(program, tmp_path, texts)
    assert status in (0, 1), said


# In which file what is written otherwise.
SLIPS = [
    # Keys that are not known.
    ("holder", 'units = "in"', 'unit = "in"'),
    ("holder", "[choices]", "[choises]"),
    ("shop", "kerf = ", "curf = "),
    ("shop", "[printer]", "[printers]"),
    ("shop", "stud_spacing = ", "studs_apart = "),
    ("shop", 'grain = true', 'grained = true'),
    ("style", "makes = ", "make = "),
    ("style", "path = ", "paths = "),
    ("style", 'ask = "How long"', 'asks = "How long"'),
    ("tools", "room = ", "rooms = "),
    ("tools", "head_width = ", "head_widht = "),
    ("wall", "height = 96", "hight = 96"),
    ("wall", "first = 15", "firts = 15"),
    ("wall", "bottom = 42", "foot = 42"),
    # Keys that are missing.
    ("holder", 'style = "slotted-shelf"', ""),
    ("shop", 'bit = "1/4"', ""),
    ("style", 'mass = "1 kg"', ""),
    ("tools", 'name = "mallet"', ""),
    ("wall", "bottom = 42", ""),
    # Another kind of value.
    ("holder", 'style = "slotted-shelf"', "style = 1"),
    ("holder", "count = 4", "count = { of = 4 }"),
    ("holder", 'units = "in"', 'units = "in"\nbuilt = "yes"'),
    ("holder", 'units = "in"', 'units = "in"\ntool = 4'),
    ("holder", 'units = "in"', 'units = "in"\ntool = []'),
    ("shop", 'grain = true', 'grain = "yes"'),
    ("shop", 'kerf = "1/8"', 'kerf = true'),
    ("shop", 'kerf = "1/8"', 'kerf = "an eighth"'),
    ("shop", 'kerf = "1/8"', 'kerf = "1/8 kg"'),
    ("shop", 'kerf = "1/8"', 'kerf = "0,125"'),
    ("shop", 'bevel = "45 deg"', "bevel = 45"),
    ("shop", 'keep_offcut = ["12", "4"]', 'keep_offcut = ["12"]'),
    ("shop", "[cleat]", "[[cleat]]"),
    ("style", 'title = "Plain board"', "title = 3"),
    ("style", 'include = ["back", "spacer-strip"]', 'include = "back"'),
    ("style", 'length = ["4 in", "30 in"]', 'length = "4 in"'),
    ("style", 'long = {', 'long = true\nother = {'),
    ("tools", 'name = "mallet"', "name = 3"),
    ("tools", "count = 2", 'count = "2"'),
    ("tools", "count = 2", "count = 2\ntwo_handed = 1"),
    ("tools", 'head_width = "4"', 'head_width = "4 lb"'),
    ("tools", 'head_width = "4"', 'head_width = "4"\ntool_mass = 2'),
    ("wall", "width = 144", "width = []"),
    ("wall", "width = 144", 'width = 144\nshared = "yes"'),
    ("wall", "width = 144", 'width = 144\nrows = "36"'),
    ("wall", "[person]", "[[person]]"),
    # Words that are misspelled.
    ("holder", 'units = "in"', 'units = "inch"'),
    ("shop", 'units = "in"', 'units = "im"'),
    ("shop", 'paper = "letter"', 'paper = "leter"'),
    ("shop", "[router]", '[router]\ndirection = "climbing"'),
    ("shop", "[router]", '[router]\nzero = "middle"'),
    ("style", 'title = "Plain board"', 'title = "Plain board"\nmeasured = "every"'),
    ("style", "[workings]", '[parts.back]\ngrain = "long"\n[workings]'),
    ("tools", 'units = "in"', 'units = "ins"'),
    ("wall", 'units = "in"', 'units = "\'"'),
    # Numbers out of bounds.
    ("holder", 'units = "in"', 'units = "in"\ntool = "x"\ncount = 0'),
    ("holder", 'units = "in"', 'units = "in"\ntool = "x"\ncount = 1.5'),
    ("shop", 'kerf = "1/8"', "kerf = -0.125"),
    ("shop", "quantity = 4", "quantity = -1"),
    ("shop", "quantity = 4", "quantity = 10001"),
    ("shop", "quantity = 4", "quantity = 1.5"),
    ("shop", "grain = true", "grain = true\nplies = 2"),
    ("shop", "bridges = 4", "bridges = 21"),
    ("shop", "scale_x = 1.0", "scale_x = 1.2"),
    ("shop", "[wall]", "[wall]\nscrews = 3"),
    ("shop", "[bits]", "[drawer]\nscrews_in_box = 0\n[bits]"),
    ("tools", "room = 0.25", "room = 2.5"),
    ("tools", "room = 0.25", "room = -0.25"),
    ("tools", "count = 2", "count = 0"),
    ("tools", "count = 2", "count = 1001"),
    ("tools", 'name = "mallet"', 'name = ""'),
    ("wall", "left = 48", "left = -48"),
    ("wall", "width = 144", 'width = 144\nrows = []'),
    ("wall", "height = 68", 'height = 68\nreach = 80'),
    ("wall", "[person]", '[[pin]]\nholder = "try"\nrow = 0\n[person]'),
]


@pytest.mark.parametrize("kind, was, slip", SLIPS)
def test_both_refuse_a_slip(program, validator, tmp_path, kind, was, slip):
    texts, path = BASES[kind]
    assert was in texts[path]
    wrong = texts[path].replace(was, slip, 1)
    assert faults(validator(kind), wrong), "the schema takes it"
    status, said = check(program, tmp_path, texts | {path: wrong})
    assert status == 2, said
    assert Path(path).name in said


# Slips that a style's own schema knows, and the general one can't.
OF_STYLE = [
    ("head_width = ", "head_widht = "),
    ("count = 4", "cuont = 4"),
    ("count = 4", "count = 41"),
    ("count = 4", "count = true"),
    ("count = 4", "count = [4]"),
    ("count = 4", 'made_by = "saw"'),
    ("count = 4", "sheet = 3"),
    ("count = 4", "screw = true"),
    ('head_width = "1 1/4"', 'head_width = ""'),
    ('head_width = "1 1/4"', 'head_width = "1 1/4 mm"'),
    ('tool_mass = "2 kg"', 'tool_mass = "2"'),
]


@pytest.mark.parametrize("was, slip", OF_STYLE)
def test_both_refuse_a_slip_of_a_style(program, validator, tmp_path, was, slip):
    wrong = HOLDER.replace(was, slip, 1)
    assert wrong != HOLDER
    own = validator("holder", "--style", "slotted-shelf")
    assert faults(own, HOLDER) == [] and faults(own, wrong)
    status, said = check(program, tmp_path, {"holders/try.toml": wrong})
    assert status == 2, said


# Lengths as people write them: common practice, no source. Each is a bit that a small shop may have.
LENGTHS = """1/4|3/8 in|1 1/8|1-1/8"|1–1/8 in.|1½|½|½ in|1 ½ INCHES|0.25 Inch|.5|5.|1 / 8|1/8"|3/4″|3/4”|0' 1"|0' 1 1/2"
0 ft 1 in|0 ft. 1 in.|0'-1 1/2"|0 feet 1½ inches|1''|19 mm|19mm|19 mm.|1.9 cm|0.02 m|19 MM|½ cm|3/8 cm|19 millimeters|1 3/8 mm|1½ mm
 3/4 in |3⁄4 in|3∕4|1 2|1/2/3|1 1|one|in|1 in in|1 in 2|1 ft 6|1' 6|1,5|1 kg|1 deg|1 km|1 M|.|1..2|1/|/2|1e0|+1|1 1/2 1|5 mm 3|""".replace("\n", "|").split("|")


@pytest.mark.parametrize("text", LENGTHS)
def test_a_length_is_a_length_to_both(program, validator, tmp_path, text):
    shop = SHOP.replace("forstner = [", f"forstner = [{json.dumps(text)}, ", 1)
    status, said = check(program, tmp_path, {"holders/try.toml": HOLDER, "shop.toml": shop})
    assert (faults(validator("shop"), shop) == []) == (status != 2), said


MASSES = ["2 kg", "2kg", "850 g", "4 lb", "4 lb 6 oz", "4 lbs. 6 oz.", "4 lb-6 oz", "1½ lb", "70 oz", "2 KG", "2", "2 G", "kg", "2 in", "2 kg 3 g", "4 lb 6", "2,1 kg"]


@pytest.mark.parametrize("text", MASSES)
def test_a_mass_is_a_mass_to_both(program, validator, tmp_path, text):
    holder = HOLDER.replace('"2 kg"', json.dumps(text))
    status, said = check(program, tmp_path, {"holders/try.toml": holder})
    own = validator("holder", "--style", "slotted-shelf")
    assert (faults(own, holder) == []) == (status != 2), said


ANGLES = ["45 deg", "45°", "45 °", "45deg.", "45 Degrees", "45", "45 mm", "forty", "22 1/2 deg"]


@pytest.mark.parametrize("text", ANGLES)
def test_an_angle_is_an_angle_to_both(program, validator, tmp_path, text):
    shop = SHOP.replace('"45 deg"', json.dumps(text))
    status, said = check(program, tmp_path, {"holders/try.toml": HOLDER, "shop.toml": shop})
    assert (faults(validator("shop"), shop) == []) == (status != 2), said
