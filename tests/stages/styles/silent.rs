//! Faults of a style that its drawings do not show: each is found, and the message names the place.

use crate::Inputs;
use crate::holder::{Holder, Level, build};
use crate::reading::{Problems, Source};
use crate::style::{HolderFile, Library};

use super::usual_shop;

const STYLE: &str = r#"title = "Ledge on arms"
hangs = "coils of rope"
makes = "a board on two arms"
include = ["back", "spacer-strip"]
[measures]
tool_mass = {}
[choices]
sheet = {}
[workings]
hang_width = "12 in"
hang_height = "8 in"
acts_out = "front + 3 in"
[parts.arm]
about = "carries the board"
size = "6 in, 4 in"
edges = { left = "against the back" }
sits = [
  { faces = "left", in_front_of = "back", x = "2 in" },
  { faces = "right", half_turn = true, in_front_of = "back", x = "8 in" },
]
[parts.board]
about = "the coils lie on it"
size = "12 in, 6 in"
sits = { faces = "up", on = "arm", x = 0 }
[screws."back to the arms"]
through = "back"
into = "arm"
from_ends = "1 in"
[weights]
mass = "tool_mass"
path = ["arm", "back"]
[carries."the board"]
span = { part = "board", from = "2 3/4 in", to = "8 in", mass = "tool_mass" }
"#;

fn built(style: &str) -> Result<Holder, Problems> {
    let library = Library::with(&Inputs::new().with("styles/ledge.toml", style));
    let text = "style = \"ledge\"\nunits = \"in\"\n[measures]\ntool_mass = \"2 kg\"\n";
    build(&HolderFile::read(Source::new("rope.toml", text), "rope", &library)?, &usual_shop())
}

/// The style with `from` changed to `to`.
fn changed(from: &str, to: &str) -> String {
    assert_eq!(STYLE.matches(from).count(), 1, "{from}");
    STYLE.replacen(from, to, 1)
}

/// A stop of some code whose message says all of `says`.
#[track_caller]
fn stops(style: &str, code: &str, says: &[&str]) {
    let holder = built(style).unwrap();
    let found = holder.findings.iter().find(|f| f.level == Level::Stop && f.code == code);
    let message = &found.unwrap_or_else(|| panic!("no {code}: {:?}", holder.findings)).message;
    assert!(says.iter().all(|said| message.contains(said)), "{message}");
}

/// A problem whose message says all of `says`.
#[track_caller]
fn refused(style: &str, says: &[&str]) {
    let told = built(style).unwrap_err().to_string();
    assert!(says.iter().all(|said| told.contains(said)), "{told}");
}

#[test]
fn the_style_itself_is_sound() {
    let holder = built(STYLE).unwrap();
    assert_eq!(holder.findings, vec![]);
    assert_eq!(holder.carriers.len(), 4, "{:?}", holder.carriers);
}

#[test]
fn a_part_in_the_air_is_found() {
    stops(
        &changed("x = 0 }", "x = 0, y = \"5 in\", z = \"5 in\" }"),
        "in-the-air",
        &["board", "1 in from arm"],
    );
}

#[test]
fn a_part_behind_the_wall_is_found() {
    let behind = changed("on = \"arm\", x = 0 }", "at = \"0, 20 in, -1 in\" }");
    stops(&behind, "behind-the-wall", &["board", "1 in behind"]);
}

#[test]
fn a_mirrored_part_is_found() {
    let mirrored = changed("half_turn = true, ", "");
    stops(&mirrored, "mirrored", &["arm, piece 2", "left edge", "against the back", "half_turn"]);
}

/// The middle of what they share lies in the window, and the wood beside it meets.
#[test]
fn an_overlap_of_a_millimeter_beside_an_opening_is_found() {
    let low = changed("x = 0 }", "x = 0, y = \"4 in - 1 mm\" }");
    let window = "[[parts.board.cuts]]\nwindow = { at = \"1 in, 2 in\", size = \"3 in, 2 in\" }\n";
    stops(&format!("{low}{window}"), "parts-collide", &["arm and board", "≈ 3/64 in deep"]);
}

#[test]
fn a_piece_in_an_opening_that_fits_does_not_collide() {
    let low = changed("x = 0 }", "x = 0, y = \"4 in - 1 mm\" }");
    let windows = "[[parts.board.cuts]]\n\
        window = { at = \"2 in, -1 in\", size = \"3/4 in, 8 in\" }\n\
        [[parts.board.cuts]]\nwindow = { at = \"8 in, -1 in\", size = \"3/4 in, 8 in\" }\n";
    let holder = built(&format!("{low}{windows}")).unwrap();
    assert!(holder.findings.iter().all(|f| f.code != "parts-collide"), "{:?}", holder.findings);
}

#[test]
fn a_mass_that_nothing_bears_is_found() {
    let (style, _) = STYLE.split_once("[weights]").unwrap();
    refused(style, &["ledge.toml, line 6", "measures.tool_mass", "nothing is said to bear it"]);
}

#[test]
fn a_reach_of_nothing_is_found() {
    let span =
        "span = { part = \"board\", from = \"2 3/4 in\", to = \"8 in\", mass = \"tool_mass\" }";
    let held = "cantilever = { part = \"board\", root = \"front + 6 in\", mass = \"tool_mass\" }";
    stops(&changed(span, held), "no-reach", &["the board", "reaches 0 beyond"]);
}

#[test]
fn a_support_beyond_the_part_is_found() {
    let beyond = changed("to = \"8 in\", mass", "to = \"13 in\", mass");
    stops(&beyond, "support-outside", &["the board", "from 0 in to 12 in", "13 in"]);
}

#[test]
fn a_reversed_range_is_found() {
    let range = "sheet = {}\nwide = { ask = \"How wide\", length = [\"9 in\", \"2 in\"], default = \"3 in\" }";
    refused(&changed("sheet = {}", range), &["line 9", "choices.wide", "from 9 in down to 2 in"]);
}

#[test]
fn a_default_outside_its_range_is_found() {
    let range = "sheet = {}\nwide = { ask = \"How wide\", length = [\"2 in\", \"9 in\"], default = \"1 in\" }";
    refused(&changed("sheet = {}", range), &["line 9", "choices.wide", "its default of 1 in"]);
}

#[test]
fn what_a_group_needs_is_named() {
    let lacking = changed("hang_width = \"12 in\"\n", "");
    refused(&lacking, &["group back needs \"hang_width\", how wide the back is"]);
}

#[test]
fn a_load_whose_parts_do_not_touch_is_found() {
    let apart = changed("path = [\"arm\", \"back\"]", "path = [\"arm\", \"spacer-strip\"]");
    stops(&apart, "load-path", &["from arm to spacer-strip"]);
}

/// Three ribs, each an inch longer than the one before, in place of the second arm.
#[test]
fn parts_that_differ_by_n() {
    let ribs = "[parts.rib]\nabout = \"differs\"\nrepeat = 3\nsize = \"(n + 1) * 1 in, 2 in\"\n\
                edges = { left = \"against the back\" }\n\
                sits = { faces = \"left\", in_front_of = \"back\", x = \"3 in + n * 1 in\" }\n\
                [screws.\"back to the ribs\"]\nthrough = \"back\"\ninto = \"rib\"\nfrom_ends = \"1/2 in\"\n\
                [weights]\nmass = \"tool_mass\"\npath = [\"rib\", \"back\"]\n";
    let style =
        STYLE.replace("[weights]\nmass = \"tool_mass\"\npath = [\"arm\", \"back\"]\n", ribs);
    let holder = built(&style).unwrap();
    let ribs: Vec<_> = holder.parts.iter().filter(|part| part.kind == "rib").collect();
    let names: Vec<_> = ribs.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["rib-1", "rib-2", "rib-3"]);
    for (n, rib) in ribs.iter().enumerate() {
        super::near(rib.length() / super::IN, n as f64 + 2.0);
        super::near(rib.places[0].at[0] / super::IN, n as f64 + 4.0);
    }
    let joint = holder.screws.iter().find(|joint| joint.about == "back to the ribs").unwrap();
    assert_eq!(joint.screws.len(), 6);
    let ribs = holder.carriers.iter().filter(|carrier| carrier.what.contains("rib"));
    assert_eq!(ribs.count(), 6, "{:?}", holder.carriers);
}

/// Two masses on one span bend it as the handbook's beam does: each at its place, moments added.
#[test]
fn several_loads_on_one_span() {
    use crate::carry::{LoadQuestion, assess};
    let bending = |loads: &str| {
        let span = "from = \"2 3/4 in\", to = \"8 in\", mass = \"tool_mass\" }";
        let holder =
            built(&changed(span, &format!("from = \"2 in\", to = \"8 in\", {loads} }}"))).unwrap();
        let found = assess(&holder, &usual_shop());
        let of = |check: &&crate::carry::Check| {
            check.id.place.words() == "the board" && check.id.question == LoadQuestion::Bending
        };
        found.checks.iter().find(of).unwrap().asked
    };
    let [left, right, both, none] = [
        "loads = [{ mass = \"tool_mass\", at = \"4 in\" }]",
        "loads = [{ mass = \"tool_mass\", at = \"6 in\" }]",
        "loads = [{ mass = \"tool_mass\", at = \"4 in\" }, { mass = \"tool_mass\", at = \"6 in\" }]",
        "loads = [{ mass = \"tool_mass / 1000000\" }]",
    ]
    .map(bending);
    super::near(left - none, right - none);
    // Each alone: W a b / L at its place, 8/6 W. Both: W a all along between them, 2 W. The board's own
    // weight is spread, and bends it most in the middle.
    let ratio = (both - none) / (left - none);
    assert!((1.4..1.7).contains(&ratio), "{ratio}");
}

#[test]
fn what_a_choice_of_ones_own_lacks_is_named() {
    for (lacks, says) in [
        ("length = [\"2 in\", \"9 in\"], default = \"3 in\"", "it asks nothing"),
        ("ask = \"How wide\", default = \"3 in\"", "it has no range"),
        ("ask = \"How wide\", length = [\"2 in\", \"9 in\"]", "it has no default"),
        ("ask = \"How wide\", length = [\"2 in\", \"9 in\"], count = [1, 2]", "exactly one of"),
    ] {
        refused(
            &changed("sheet = {}", &format!("sheet = {{}}\nwide = {{ {lacks} }}")),
            &["line 9", says],
        );
    }
}

#[test]
fn parts_that_wait_for_one_another_are_told() {
    let circle = changed("on = \"arm\", x = 0 }", "on = \"spare\" }").replace(
        "[screws.",
        "[parts.spare]\nabout = \"waits\"\nsize = \"2 in, 2 in\"\nsits = { on = \"board\" }\n[screws.",
    );
    stops(&circle, "sits-in-a-circle", &["board", "spare"]);
}

/// A strip in the middle of the gap between two others.
#[test]
fn a_part_between_two_others() {
    let holder = built(&STYLE.replacen("[screws.", &strip_of("8 in"), 1)).unwrap();
    let strip = holder.parts.iter().find(|part| part.name == "strip").unwrap();
    super::near(strip.places[0].at[0] / super::IN, 2.0);
    super::near(strip.places[0].at[1] / super::IN, 5.0);
    // Longer than the gap it is told: it goes an inch into either, as deep as they are thick.
    let long = STYLE.replacen("[screws.", &strip_of("10 in"), 1);
    stops(&long, "parts-collide", &["strip", "3/4 in deep"]);
}

fn strip_of(length: &str) -> String {
    format!(
        "[parts.left]\nabout = \"ends it\"\nsize = \"2 in, 2 in\"\nsits = {{ in_front_of = \"back\", y = \"5 in\" }}\n\
         [parts.right]\nabout = \"ends it\"\nsize = \"2 in, 2 in\"\n\
         sits = {{ in_front_of = \"back\", x = \"10 in\", y = \"5 in\" }}\n\
         [parts.strip]\nabout = \"fills it\"\nsize = \"{length}, 2 in\"\nsits = {{ between = [\"left\", \"right\"] }}\n[screws."
    )
}

#[test]
fn a_second_path_is_refused() {
    let two = changed("[weights]\n", "[[weights]]\n").replace(
        "[carries.",
        "[[weights]]\nmass = \"tool_mass\"\npath = [\"arm\", \"back\"]\n[carries.",
    );
    refused(&two, &["a second path for a load"]);
}

/// A row of screws may be called as a part is.
#[test]
fn a_row_of_screws_called_as_a_part_leaves_the_part() {
    let named = STYLE.replace("[screws.\"back to the arms\"]", "[screws.back]");
    let holder = built(&named).unwrap();
    assert!(holder.parts.iter().any(|part| part.name == "back"), "{:?}", holder.findings);
}
