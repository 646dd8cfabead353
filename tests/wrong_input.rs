//! Input that is wrong as a person at the bench would mistype it, and every word the program says
//! to it. Read `snapshots/wrong_input__messages.snap` with fresh eyes after a change.

// A test that can't go on is to stop there.
#![allow(clippy::unwrap_used)]

use std::fmt::Write;
use std::path::Path;

use assert_cmd::Command;

/// The first holder file of the shed.
const SASH: &str = r#"style = "slotted-shelf"
title = "Sash clamps"
units = "in"

[measures]
bar_thickness = "3/8"
head_width = "1 1/4"
tool_length = "30"
tool_mass = "2 kg"

[choices]
count = 6
inset = "1 3/8"
"#;

/// One whose measures are lists.
const CHISELS: &str = r#"style = "hole-rail"
title = "Chisels"
units = "mm"

[measures]
shank_diameter = [10, 12, 14]
head_width = [28, 30, 32]
widest_below = [12, 20, 25]
neck_thickness = 8
tool_mass = "0.2 kg"
"#;

/// The tools of the shed, measured once.
const STOCKED: &str = r#"units = "mm"
room = 0.25

[[tool]]
name = "cam clamp"
count = 5
bar_thickness = 8
head_width = 28
tool_length = 400
tool_mass = "1 kg"

[[tool]]
name = "gouge 10"
set = "gouges"
shank_diameter = 10
head_width = 30
widest_below = 12
neck_thickness = 6
tool_mass = "0.2 kg"

[[tool]]
name = "gouge 20"
set = "gouges"
two_handed = false
shank_diameter = 12
head_width = 32
widest_below = 20
neck_thickness = 8
tool_mass = "0.3 kg"
"#;

/// Holders that take from these.
const CAMS: &str = r#"style = "slotted-shelf"
units = "in"
tool = "cam clamp"
count = 5
"#;

const GOUGES: &str = r#"style = "hole-rail"
tool = "gouges"
"#;

const SHOP: &str = r#"units = "in"

[[sheet]]
name = "plywood 3/4"
thickness = "3/4"
length = "96"
width = "48"
quantity = 2
wood = "birch plywood"

[saw]
kerf = "1/8"

[bits]
drill = ["3/32", "1/8", "3/16", "1/4", "1/2"]
forstner = ["5/8", "3/4", "1"]

[router]
bit = "1/4"

[cleat]
from = "plywood 3/4"
bevel = "45 deg"

[wall]
wood = "spruce-pine-fir"
screw = 12

[printer]
paper = "letter"
margin = "1/4"
overlap = "3/8"
scale_x = 1.0
"#;

/// A style that the shed's owner wrote.
const STYLE: &str = r#"title = "Peg board"
hangs = "mallets"
makes = "a board with holes"

[measures.handle]
ask   = "How thick is the handle?"
with  = "caliper"
length = ["1/4 in", "2 in"]

[measures.each]
ask   = "How many hang from one hole?"
with  = "your eyes"
count = [0, 9]

[choices.sheet]
ask  = "Which sheet"
stock = "sheet"

[workings]
hole  = "handle + 1/8 in"
holes = "6 / each"

[parts.board]
about   = "the board"
cut_from    = "sheet"
outline = { polygon = { corners = [["0 in", "0 in"], ["12 in", "0 in"], ["12 in", "5 in"], ["0 in", "5 in"]] } }
cuts    = [{ hole = { at = ["3 in", "2 in"], diameter = "hole" } }]
sits    = [{ at = ["0 in", "0 in", "0 in"], faces = "front" }]
"#;

const MALLETS: &str = r#"style = "peg-board"
title = "Mallets"
units = "in"

[measures]
handle = "1"
each = 2
"#;

const HOLDER: &str = "holders/sash.toml";
const RAIL: &str = "holders/chisels.toml";
const TOOLS: &str = "tools.toml";
const OF_TOOLS: &str = "holders/cams.toml";
const OF_SET: &str = "holders/gouges.toml";
const OWN: &str = "holders/mallets.toml";
const OWN_STYLE: &str = "styles/peg-board.toml";
const SHOP_FILE: &str = "shop.toml";

/// What was changed, in which file, from what to what.
type Slip = (&'static str, &'static str, &'static str);

const SLIPS: &[Slip] = &[
    // Readings.
    (HOLDER, r#"bar_thickness = "3/8""#, r#"bar_thickness = 3/8"#),
    (HOLDER, r#"bar_thickness = "3/8""#, r#"bar_thickness = "0,375""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "1,030 mm""#),
    (HOLDER, r#"bar_thickness = "3/8""#, r#"bar_thickness = “3/8”"#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = 30""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "30"""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = 30,5"#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "about 30""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "300""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "-30""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "30 kg""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = """#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "30 inchs""#),
    (HOLDER, r#"tool_length = "30""#, r#"tool_length = "2 feet 6""#),
    (HOLDER, r#"head_width = "1 1/4""#, r#"head_width = "1 1/0""#),
    (HOLDER, r#"head_width = "1 1/4""#, r#"head_width = "1 1/4 mm""#),
    (HOLDER, r#"head_width = "1 1/4""#, r#"head_width = "1 1 / 4""#),
    (HOLDER, r#"head_width = "1 1/4""#, r#"head_width = "bar_thickness * 3""#),
    (HOLDER, r#"head_width = "1 1/4""#, r#"head_width = ["1 1/4", "1 1/2"]"#),
    (HOLDER, r#"tool_mass = "2 kg""#, r#"tool_mass = 2"#),
    (HOLDER, r#"tool_mass = "2 kg""#, r#"tool_mass = "2 stone""#),
    (HOLDER, r#"tool_mass = "2 kg""#, r#"tool_mass = "2 kg"#),
    // Keys.
    (HOLDER, "bar_thickness", "bar_thicknes"),
    (HOLDER, "bar_thickness", "bar-thickness"),
    (HOLDER, "[measures]", "[measure]"),
    (HOLDER, "[measures]", "measures:"),
    (HOLDER, "title =", "tilte ="),
    (HOLDER, r#"title = "Sash clamps""#, "title = Sash clamps"),
    (HOLDER, r#"title = "Sash clamps""#, "title = 7"),
    (HOLDER, r#"style = "slotted-shelf""#, r#"style = "slotted shelf""#),
    (HOLDER, r#"style = "slotted-shelf""#, ""),
    (HOLDER, r#"units = "in""#, r#"units = "inches""#),
    (HOLDER, r#"units = "in""#, ""),
    (HOLDER, "tool_mass", "head_width"),
    (HOLDER, "count = 6", "count = 6\ntool_mass = \"2 kg\""),
    // Choices and formulas.
    (HOLDER, "count = 6", "count = six"),
    (HOLDER, "count = 6", "count = \"six\""),
    (HOLDER, "count = 6", "count = 6.5"),
    (HOLDER, "count = 6", "count = 60"),
    (HOLDER, "count = 6", "pitch = \"head_width + 1\""),
    (HOLDER, "count = 6", "pitch = \"head_width + \""),
    (HOLDER, "count = 6", "pitch = \"(head_width + 1 in\""),
    (HOLDER, "count = 6", "pitch = \"head width + 1 in\""),
    (HOLDER, "count = 6", "pitch = \"head_with + 1 in\""),
    (HOLDER, "count = 6", "pitch = \"2 x head_width\""),
    (HOLDER, "count = 6", "pitch = \"head_width ^ 2\""),
    (HOLDER, "count = 6", "pitch = \"max(head_width, count)\""),
    (HOLDER, "count = 6", "pitch = \"head_width / 0\""),
    (HOLDER, "count = 6", "made_by = \"cnc\""),
    (HOLDER, "count = 6", "sheet = \"plywood 3/8\""),
    (HOLDER, "count = 6", "cuont = 60\nspair = 1\ndepth = \"9 ft\""),
    (RAIL, "shank_diameter = [10, 12, 14]", "shank_diameter = [10, 12"),
    (RAIL, "shank_diameter = [10, 12, 14]", "shank_diameter = [10, \"12 kg\", 9000]"),
    (RAIL, "head_width = [28, 30, 32]", "head_width = [28, 30]"),
    // The inventory, and what takes from it.
    (TOOLS, "count = 5", "count = 0"),
    (TOOLS, "count = 5", "count = \"five\""),
    (TOOLS, "count = 5", "count = 5000"),
    (TOOLS, "room = 0.25", "room = 25"),
    (TOOLS, "room = 0.25", "rom = 0.25"),
    (TOOLS, "units = \"mm\"\n", ""),
    (TOOLS, "name = \"cam clamp\"\n", ""),
    (TOOLS, "name = \"gouge 20\"", "name = \"gouge 10\""),
    (TOOLS, "name = \"cam clamp\"", "name = \"gouges\""),
    (TOOLS, "two_handed = false", "two_handed = \"no\""),
    (TOOLS, "bar_thickness = 8", "bar_thicknes = 8"),
    (TOOLS, "bar_thickness = 8", "paint = \"blue\""),
    (TOOLS, "bar_thickness = 8", "bar_thickness = \"8 kg\""),
    (TOOLS, "bar_thickness = 8", "bar_thickness = 800"),
    (TOOLS, "bar_thickness = 8\n", ""),
    (TOOLS, "widest_below = 20", "widest_below = 2000"),
    (TOOLS, "[[tool]]\nname = \"cam", "[tool]\nname = \"cam"),
    (OF_TOOLS, "\"cam clamp\"", "\"cam clmap\""),
    (OF_TOOLS, "\"cam clamp\"", "5"),
    (OF_TOOLS, "tool = \"cam clamp\"\n", ""),
    (OF_TOOLS, "count = 5", "count = 5.5"),
    (OF_TOOLS, "count = 5", "count = 5\n[choices]\ncount = 4"),
    (OF_SET, "tool = \"gouges\"", "tool = \"gouges\"\ncount = 1"),
    // The shop.
    (SHOP_FILE, r#"kerf = "1/8""#, "kerf = 0"),
    (SHOP_FILE, r#"kerf = "1/8""#, r#"kerf = "1 1/8""#),
    (SHOP_FILE, r#"kerf = "1/8""#, r#"kref = "1/8""#),
    (SHOP_FILE, r#"thickness = "3/4""#, r#"thickness = "34""#),
    (SHOP_FILE, r#"thickness = "3/4""#, ""),
    (SHOP_FILE, r#"thickness = "3/4""#, r#"thickness = ["0.715", "7.22"]"#),
    (SHOP_FILE, r#"thickness = "3/4""#, r#"thickness = ["0.715", "thick"]"#),
    (SHOP_FILE, r#"thickness = "3/4""#, "thickness = []"),
    (SHOP_FILE, "quantity = 2", "quantity = \"two\""),
    (SHOP_FILE, r#"wood = "birch plywood""#, r#"wood = "birhc plywood""#),
    (SHOP_FILE, r#"wood = "spruce-pine-fir""#, r#"wood = "driftwood""#),
    (SHOP_FILE, r#"drill = ["3/32", "1/8", "3/16", "1/4", "1/2"]"#, r#"drill = "1/8, 3/16, 1/4""#),
    (SHOP_FILE, r#"bit = "1/4""#, "bit = 0"),
    (SHOP_FILE, r#"bevel = "45 deg""#, "bevel = 45"),
    (SHOP_FILE, r#"bevel = "45 deg""#, r#"bevel = "5 deg""#),
    (SHOP_FILE, r#"from = "plywood 3/4""#, r#"from = "plywood 3/5""#),
    (SHOP_FILE, "screw = 12", "screw = 3"),
    (SHOP_FILE, r#"paper = "letter""#, r#"paper = "Lettre""#),
    (SHOP_FILE, r#"margin = "1/4""#, r#"margin = "1 1/2""#),
    (SHOP_FILE, r#"overlap = "3/8""#, r#"overlap = "1/8""#),
    (SHOP_FILE, "scale_x = 1.0", "scale_x = 99.4"),
    (SHOP_FILE, "[[sheet]]", "[sheet]"),
    // A style of one's own.
    (OWN, "each = 2", "each = 0"),
    (OWN, "each = 2", "each = \"2 in\""),
    (OWN_STYLE, "\"handle + 1/8 in\"", "\"handle + 1/8\""),
    (OWN_STYLE, "\"handle + 1/8 in\"", "\"handle + (1/8 in\""),
    (OWN_STYLE, "\"handle + 1/8 in\"", "\"handel + 1/8 in\""),
    (OWN_STYLE, "hole = {", "hoel = {"),
    (OWN_STYLE, "faces = \"front\"", "faces = \"foward\""),
    (OWN_STYLE, "with  = \"caliper\"", ""),
    (
        OWN_STYLE,
        "[\"12 in\", \"5 in\"], [\"0 in\", \"5 in\"]",
        "[\"0 in\", \"5 in\"], [\"12 in\", \"5 in\"]",
    ),
    // Names that steer a terminal or turn the reading direction.
    (HOLDER, "title = \"Sash clamps\"", "title = \"Sash\u{202e}clamps\"\ncolor = \"\u{85}red\""),
    (HOLDER, r#"style = "slotted-shelf""#, r#"style = "\u001b[31mshelf\u202e""#),
];

/// The shed with a slip, made; status and what was said, with no word of where it lies.
fn made(shed: &Path) -> (Option<i32>, String) {
    let mut command = Command::cargo_bin("cleatwright").unwrap();
    let output = command
        .args(["make", "shed", "--quiet", "--cutting-steps", "1"])
        .current_dir(shed)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    (output.status.code(), String::from_utf8(output.stderr).unwrap())
}

fn shed(file: &str) -> Vec<(&'static str, &'static str)> {
    let mut files = vec![(SHOP_FILE, SHOP), (HOLDER, SASH)];
    match file {
        RAIL => files.push((RAIL, CHISELS)),
        TOOLS | OF_TOOLS | OF_SET => {
            files.extend([(TOOLS, STOCKED), (OF_TOOLS, CAMS), (OF_SET, GOUGES)]);
        }
        OWN | OWN_STYLE => files.extend([(OWN, MALLETS), (OWN_STYLE, STYLE)]),
        _ => {}
    }
    files
}

fn written(files: &[(&str, String)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join("shed").join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    folder
}

fn told((file, from, to): &Slip) -> (Option<i32>, String) {
    let files = shed(file).into_iter().map(|(name, text)| {
        if name == *file {
            assert!(text.contains(from), "{from}");
            (name, text.replacen(from, to, 1))
        } else {
            (name, text.to_owned())
        }
    });
    made(written(&files.collect::<Vec<_>>()).path())
}

#[test]
fn the_shed_itself_is_right() {
    for file in [HOLDER, RAIL, TOOLS, OWN] {
        let files: Vec<(&str, String)> =
            shed(file).into_iter().map(|(name, text)| (name, text.to_owned())).collect();
        let (status, said) = made(written(&files).path());
        assert_eq!(status, Some(0), "{file}: {said}");
    }
}

#[test]
fn every_slip_is_told_in_full() {
    assert!(SLIPS.len() >= 60);
    let mut all = String::new();
    for slip in SLIPS {
        let (status, said) = told(slip);
        let (file, _, to) = slip;
        let _ = writeln!(all, "==== {file}: {}\n[{}]\n{said}", to.escape_debug(), status.unwrap());
        assert!(!said.contains(['\u{1b}', '\u{202e}', '\u{85}']), "{said}");
    }
    insta::assert_snapshot!("messages", all);
}
