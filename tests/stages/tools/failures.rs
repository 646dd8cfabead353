//! What was made before tools had bodies, and no tool could use: found now with its figures and its cure. Backs too low
//! to be hooked on and strips that land on the row below are in `motion.rs`.

use super::super::settled::shop;
use crate::Inputs;
use crate::holder::{Finding, Holder, Level};
use crate::length::Units;
use crate::reading::Source;
use crate::settle::{Known, finished, project};
use crate::style::{HolderFile, Library};

/// What is found of a holder in inches, but notes; its style with `changes` where there are some.
fn found(style: &str, measures: &str, choices: &str, changes: &[[&str; 2]]) -> Vec<Finding> {
    let mut text = std::fs::read_to_string(format!("templates/{style}.toml")).unwrap();
    for [from, to] in changes {
        assert_eq!(text.matches(from).count(), 1, "{from}");
        text = text.replace(from, to);
    }
    let library = match changes {
        [] => Library::built_in(),
        _ => Library::with(&Inputs::new().with(&format!("styles/{style}.toml"), &text)),
    };
    let text = format!(
        "style = \"{style}\"\nunits = \"in\"\n[measures]\n{measures}\n[choices]\n{choices}\n"
    );
    let file = HolderFile::read(Source::new("holder.toml", text), "holder", &library).unwrap();
    let findings = settled_file(&file).findings;
    findings.into_iter().filter(|found| found.level != Level::Note).collect()
}

/// What it comes to with what it and the built-in shop leave open settled.
fn settled_file(file: &HolderFile) -> Holder {
    let project = project(&[file], &shop(Units::Inches, None), vec![Known::default()]);
    finished(file, &project.shop, project.moved[0].as_ref().unwrap()).unwrap().holder
}

/// The one stop among them.
#[track_caller]
fn stop(found: &[Finding]) -> (&str, &str) {
    let mut stops = found.iter().filter(|found| found.level == Level::Stop);
    let stop = stops.next().unwrap_or_else(|| panic!("{found:#?}"));
    (&stop.code, &stop.message)
}

#[track_caller]
fn passes(found: &[Finding]) {
    assert!(found.is_empty(), "{found:#?}");
}

/// Two blades 3 in wide below handles of 1 1/4 in: spaced by their handles with 1/2 in between, they overlap by 1 1/4 in.
#[test]
fn wide_blades_do_not_hang_side_by_side_spaced_by_their_handles() {
    let knives = "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = \"1 1/4\"\nwidest_below = 3\n\
                  neck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"";
    let before = [["larger(head_width, widest_below)", "head_width"]];
    let crowded = found("hole-rail", knives, "", &before);
    let (code, message) = stop(&crowded);
    assert_eq!(code, "tool-in-the-way");
    assert!(
        message.contains("blade and tool 2 would share the same space, 1 1/4 in deep"),
        "{message}"
    );
    passes(&found("hole-rail", knives, "", &[]));
}

/// A tail 2 in wide does not go down through a gap of 3/8 + 1/8 in behind a closed nose; from the front it goes in.
#[test]
fn a_closed_nose_lets_no_wide_tail_in() {
    let clamps = "bar_thickness = \"3/8\"\nhead_width = 2\ntail_width = 2\nstack_count = 3\n\
                  stack_depth = 5\ntool_length = 30\ntool_mass = \"2 kg\"";
    let closed = found("twin-arm", clamps, "nose = \"strip\"", &[]);
    let (code, message) = stop(&closed);
    assert_eq!(code, "tail-does-not-pass");
    assert!(message.contains("2 in, and the gap 1/2 in"), "{message}");
    // Without the style's own word for it, it is found by its way.
    let unsaid = [["stop = \"closed and tail_width > gap\"", "stop = \"no\""]];
    let stuck = found("twin-arm", clamps, "nose = \"strip\"", &unsaid);
    let (code, message) = stop(&stuck);
    assert_eq!(code, "tool-does-not-come-off");
    assert!(message.contains("its tail meets arm"), "{message}");
    passes(&found("twin-arm", clamps, "nose = \"open\"", &[]));
}

/// Behind the lip of a ledge on the studs there is as much room as its backer is thick, 3/4 in.
#[test]
fn a_foot_thicker_than_the_room_behind_the_lip_is_told() {
    let clamps = "foot_height = \"1/2\"\nfoot_thickness = \"1 1/4\"\nthroat = 2\nhead_width = 2\n\
                  tool_length = 40\ntool_mass = \"3 kg\"";
    let thick = found("hook-ledge", clamps, "mount = \"wall\"", &[]);
    let (code, message) = stop(&thick);
    assert_eq!(code, "foot-too-thick");
    assert!(message.contains("1 1/4 in thick") && message.contains("3/4 in deep"), "{message}");
    passes(&found("hook-ledge", clamps, "mount = \"cleat\"", &[]));
}

/// An arm that slides on the bar stands 1 in out behind it: slots that end 1 1/4 in from the back leave it no room.
#[test]
fn what_stands_behind_a_bar_is_clear_of_the_upright() {
    let clamps = "bar_thickness = \"5/16\"\nhead_width = \"1 1/8\"\nbehind_bar = 1\ntool_length = 40\n\
                  tool_mass = \"1 kg\"";
    let near = found("slotted-shelf", clamps, "inset = \"1 1/4\"", &[]);
    let (code, message) = stop(&near);
    assert_eq!(code, "bars-meet-upright");
    let (_, least) = message.rsplit_once("inset at least ").unwrap();
    let least = least.trim_end_matches('.');
    passes(&found("slotted-shelf", clamps, &format!("inset = \"{least}\""), &[]));
    let unsaid = [["stop = \"inset < inset_least\"", "stop = \"no\""]];
    let met = found("slotted-shelf", clamps, "inset = \"1 1/4\"", &unsaid);
    let (code, message) = stop(&met);
    assert_eq!(code, "tool-in-the-way");
    assert!(message.contains("sliding arm and upright"), "{message}");
}

/// What is offered against a bump mends it.
#[test]
fn a_lip_keeps_what_is_bumped() {
    let told = |style: &str, measures: &str, choices: &str| {
        let text = format!(
            "style = \"{style}\"\nunits = \"in\"\n[measures]\n{measures}\n[choices]\n{choices}\n"
        );
        let library = Library::built_in();
        let file = HolderFile::read(Source::new("holder.toml", text), "holder", &library).unwrap();
        let bumped = settled_file(&file)
            .findings
            .into_iter()
            .find(|found| found.code == "slides-off-when-bumped");
        bumped.map(|found| found.message)
    };
    let hand_screws = "inside_gap = 4\ntool_thickness = 1\ntool_mass = \"0.5 kg\"";
    let message = told("tongue", hand_screws, "lip = 0\nnose_margin = 0").unwrap();
    assert!(message.contains("bumped by 1 in: lip = \"1/4 in\""), "{message}");
    assert_eq!(told("tongue", hand_screws, "lip = \"1/4\""), None);
    let clamps = "bar_thickness = \"1/4\"\nhead_width = 2\nstack_count = 5\nstack_depth = 5\n\
                  tool_length = 20\ntool_mass = \"0.5 kg\"";
    let message = told("twin-arm", clamps, "lip = 0").unwrap();
    assert!(message.contains("lip = \"1/4 in\""), "{message}");
    assert_eq!(told("twin-arm", clamps, "lip = \"1/4\""), None);
    let sash = "bar_thickness = \"1/4\"\nhead_width = 1\ntool_length = 22\ntool_mass = \"1 kg\"";
    let message = told("slotted-shelf", sash, "depth = \"2 1/4\"").unwrap();
    assert!(message.contains("lip = \"1/2 in\""), "{message}");
    assert_eq!(told("slotted-shelf", sash, "lip = \"1/2\""), None);
}

/// At the ends of what may be chosen tools still fit.
#[test]
fn tools_fit_at_the_ends_of_ranges() {
    let spring = "tool_thickness = \"1/2\"\ntool_mass = \"0.2 kg\"";
    passes(&found("peg", spring, "tilt = \"10 deg\"", &[]));
    passes(&found("peg", &format!("{spring}\ntool_width = \"3/4\""), "", &[]));
    let sash = "bar_thickness = \"1/4\"\nhead_width = 1\ntool_length = 22\ntool_mass = \"1 kg\"";
    passes(&found("slotted-shelf", sash, "lip = 2", &[]));
    let hand_screws = "inside_gap = 4\ntool_thickness = 1\ntool_mass = \"0.5 kg\"";
    passes(&found("tongue", hand_screws, "lip = 1", &[]));
    let levels = "tool_length = [48]\ntool_height = 2\ntool_thickness = 1\ntool_mass = \"1 kg\"";
    passes(&found("level-pegs", levels, "fit = \"1/16\"", &[]));
}
