//! A style that does not come with the program: every shape there is, with a group of its own,
//! from a folder given by hand and from a project's `styles` folder. No Rust is needed for it.

use std::path::Path;

use crate::holder::{Holder, MarkKind, Purpose, build};
use crate::reading::Source;
use crate::style::{HolderFile, Library};
use assert_cmd::Command;
use kurbo::Point;

use super::{IN, near, part, shop, stops};

/// A rack for mallets: a shelf with keyholes, and a bracket that sits in its window.
pub const STYLE: &str = r#"
title = "Mallet rack"
hangs = "mallets: the handles drop into keyholes"
makes = "a shelf with keyholes on two brackets"
include = ["making", "rubber"]

[measures.handle]
ask   = "How thick is the handle?"
with  = "caliper"
kind  = "length"
range = ["1/4 in", "1 in"]

[choices.count]
ask     = "How many"
kind    = "count"
range   = [1, 6]
default = "3"

[choices.sheet]
ask  = "Which sheet"
kind = "sheet"

[workings]
slot   = "bit_at_least(handle + 1/16 in)"
eye    = "bit_at_least(2 * handle)"
length = "count * 3 in + 4 in"

[[parts]]
name    = "shelf"
about   = "carries the heads"
from    = "sheet"
outline = { polygon = { corners = [["0 in", "0 in"], ["length", "0 in"], ["length", "6 in"], ["1 in", "6 in"], ["0 in", "5 in"]], radii = ["1/2 in", "1/2 in", "0 in", "0 in", "0 in"] } }
sits    = [{ at = ["0 in", "4 in", "0 in"], looks = "up" }]
lands   = ["bracket"]

[[parts.cuts]]
slot   = { end = ["3 1/2 in", "3 in"], toward = "bottom", width = "slot", end_diameter = "eye" }
repeat = { count = "count", step = ["3 in", "0 in"] }

[[parts.cuts]]
slot = { end = ["2 in", "4 3/4 in"], to = ["4 in", "4 3/4 in"], width = "3/8 in" }

[[parts.cuts]]
window = { at = ["length - 2 1/4 in", "3 1/2 in"], size = ["sheet.thickness", "1 1/2 in"], seat = true }

[[parts.cuts]]
notch = { edge = "top", middle = "length / 2", width = "2 in", depth = "1/2 in", seat = true }

[[parts.cuts]]
hole = { at = ["1 1/4 in", "2 in"], diameter = "1/2 in" }

[[parts.drillings]]
at       = ["length - 3/4 in", "1 in"]
diameter = "1/4 in"
depth    = "3/8 in"
purpose  = "peg"
repeat   = { count = "2", step = ["0 in", "1 in"] }

[[parts]]
name    = "bracket"
about   = "holds the shelf up"
from    = "sheet"
outline = { rectangle = { size = ["6 in", "4 in"], lower_right = "3 in" } }
sits    = [
  { at = ["1 in", "0 in", "0 in"], looks = "left" },
  { at = ["length - 1 in - sheet.thickness", "0 in", "0 in"], looks = "left" },
]

[[screws]]
about   = "shelf to the brackets"
through = "shelf"
into    = "bracket"
enters  = "show"
number  = "8"
rows    = [{ from = ["1 in + sheet.thickness / 2", "2 3/4 in"], to = ["1 in + sheet.thickness / 2", "4 in"], at_most = "3 in", repeat = { count = "2", step = ["length - 2 in - sheet.thickness", "0 in"] } }]

[[checks]]
stop = "eye > 2 in"
code = "eye-too-large"
say  = "The eye would be {eye} wide, at most 2 in fit."
"#;

/// The group it includes.
pub const GROUP: &str = r#"
[choices.pads]
ask     = "Rubber pads under the heads"
kind    = "count"
range   = [0, 20]
default = "2 * count"

[[hardware]]
item     = "rubber pad"
used_for = "under the heads"
quantity = "pads"
when     = "pads > 0"

[[steps]]
do = "Glue {pads} pads on."
"#;

const HOLDER: &str = "style = \"mallet-rack\"\nunits = \"in\"\n[measures]\nhandle = \"5/8\"\n";

const SHOP: &str = "units = \"in\"\n\
    [[sheet]]\nname = \"ply\"\nthickness = \"3/4\"\nlength = 96\nwidth = 48\nwood = \"birch plywood\"\n\
    [bits]\ndrill = [\"7/64\", \"3/16\", \"1/4\", \"3/8\", \"1/2\"]\n\
    forstner = [\"1/2\", \"3/4\", \"1 1/4\"]\n\
    [router]\nbit = \"1/4\"\n[cleat]\nfrom = \"ply\"\n";

/// Writes the style and its group into `folder`.
fn write_style(folder: &Path) {
    std::fs::create_dir_all(folder.join("groups")).unwrap();
    std::fs::write(folder.join("mallet-rack.toml"), STYLE).unwrap();
    std::fs::write(folder.join("groups/rubber.toml"), GROUP).unwrap();
}

fn rack(made_by: &str) -> Holder {
    let folder = tempfile::tempdir().unwrap();
    write_style(folder.path());
    let mut library = Library::built_in();
    library.add_folder(folder.path()).unwrap();
    let text = format!("{HOLDER}[choices]\nmade_by = \"{made_by}\"\n");
    let file = HolderFile::read(Source::new("rack.toml", text), "rack", &library).unwrap();
    build(&file, &shop(SHOP)).unwrap()
}

/// Area of a circle's part beyond a chord that sees the middle under `half` radians either way.
fn segment(radius: f64, half: f64) -> f64 {
    radius * radius * (half - half.sin() * half.cos())
}

/// The shelf's area in square inches, worked out by hand, with square inside corners.
fn area_by_hand() -> f64 {
    let pi = std::f64::consts::PI;
    let blank = 13.0 * 6.0 - 0.5 - 2.0 * 0.25 * (1.0 - pi / 4.0);
    // Three keyholes: a 1 1/4 in eye 3 in up, and a 3/4 in slot from it to the edge.
    let reach = (0.625_f64.powi(2) - 0.375_f64.powi(2)).sqrt();
    let eye = pi * 0.625_f64.powi(2) - segment(0.625, (0.375_f64 / 0.625).asin());
    let keyhole = eye + 0.75 * (3.0 - reach);
    let closed = 2.0 * 0.375 + pi * 0.1875_f64.powi(2);
    blank - 3.0 * keyhole - closed - 0.75 * 1.5 - 2.0 * 0.5 - pi * 0.0625
}

#[test]
fn by_hand_its_shapes_are_those_it_says() {
    let rack = rack("hand");
    assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
    let shelf = part(&rack, "shelf");
    near(shelf.length() / IN, 13.0);
    near(shelf.region.area() / IN / IN, area_by_hand());
    assert_eq!(shelf.region.openings().len(), 3);
    let count = |purpose| shelf.drillings.iter().filter(|d| d.purpose == purpose).count();
    // Each slot is drilled at its end and sawn along both sides.
    assert_eq!(count(Purpose::SlotEnd), 4);
    assert_eq!(count(Purpose::Clearance), 4);
    assert_eq!(count(Purpose::Peg), 2);
    let saws = shelf.marks.iter().filter(|m| matches!(m.kind, MarkKind::Saw { .. })).count();
    assert_eq!(saws, 8);
    assert_eq!(part(&rack, "bracket").quantity(), 2);
    let pads = rack.hardware.iter().find(|h| h.item == "rubber pad").unwrap();
    assert_eq!(pads.quantity, 6);
    assert!(rack.steps.iter().any(|step| step == "Glue 6 pads on."));
    assert!(super::space::faults(&rack).is_empty(), "{:?}", super::space::faults(&rack));
}

/// By router the corners of the seats are opened so that square wood fits in fully.
#[test]
fn by_router_its_seats_are_relieved() {
    let rack = rack("router");
    assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
    let shelf = part(&rack, "shelf");
    assert!(!shelf.drillings.iter().any(|d| d.purpose == Purpose::SlotEnd));
    assert!(shelf.region.area() / IN / IN < area_by_hand() - 1e-3);
    // Beside each corner, half a millimetre beyond the wall that rises from it, there is wood by
    // hand and air by router: the bit's circle through the corner reaches r (1 - sqrt(1/2)) =
    // 0.93 mm past the wall, r sqrt(1/2) = 2.2 mm from the corner.
    let corners = [
        (10.75, 3.5, -0.5, 2.2),
        (11.5, 3.5, 0.5, 2.2),
        (11.5, 5.0, 0.5, -2.2),
        (10.75, 5.0, -0.5, -2.2),
        (5.5, 5.5, -0.5, 2.2),
        (7.5, 5.5, 0.5, 2.2),
    ];
    let hand = self::rack("hand");
    for (x, y, beyond, along) in corners {
        let at = Point::new(x * IN + beyond, y * IN + along);
        assert!(part(&hand, "shelf").region.contains(at), "{x}, {y} by hand");
        assert!(!shelf.region.contains(at), "{x}, {y} by router");
    }
}

#[test]
fn without_a_router_there_is_no_relief() {
    let folder = tempfile::tempdir().unwrap();
    write_style(folder.path());
    let mut library = Library::built_in();
    library.add_folder(folder.path()).unwrap();
    let text = format!("{HOLDER}[choices]\nmade_by = \"router\"\n");
    let file = HolderFile::read(Source::new("rack.toml", text), "rack", &library).unwrap();
    let shed = shop(&SHOP.replace("[router]\nbit = \"1/4\"\n", ""));
    let rack = build(&file, &shed).unwrap();
    assert!(stops(&rack).iter().any(|f| f.code == "no-router"), "{:?}", rack.findings);
}

/// The same by the program: from a folder named on the command line, and from the project's own.
#[test]
fn it_is_found_in_a_folder_named_and_in_the_projects_own() {
    let folder = tempfile::tempdir().unwrap();
    let holder = folder.path().join("rack.toml");
    std::fs::write(&holder, HOLDER).unwrap();
    let run =
        |args: &[&std::ffi::OsStr]| Command::cargo_bin("cleatwright").unwrap().args(args).assert();
    let (make, check) = ("make".as_ref(), "check".as_ref());
    run(&[check, holder.as_ref()]).code(2);
    let apart = folder.path().join("elsewhere");
    write_style(&apart);
    run(&[check, holder.as_ref(), "--styles".as_ref(), apart.as_ref()]).code(0);
    let listed = run(&["styles".as_ref(), "--styles".as_ref(), apart.as_ref()]).success();
    let listed = String::from_utf8_lossy(&listed.get_output().stdout).into_owned();
    assert!(listed.contains("mallet-rack"), "{listed}");

    let project = folder.path().join("project");
    std::fs::create_dir_all(project.join("holders")).unwrap();
    std::fs::rename(&holder, project.join("holders/rack.toml")).unwrap();
    run(&[make, project.as_ref()]).code(2);
    write_style(&project.join("styles"));
    run(&[make, project.as_ref()]).code(0);
    for file in ["shelf.svg", "shelf.dxf", "bracket.svg", "bracket.dxf", "pages-letter.pdf"] {
        assert!(project.join("made/rack").join(file).is_file(), "{file}");
    }
}
