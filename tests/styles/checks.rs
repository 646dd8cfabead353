//! Every check of every style on both sides of its limit, and the stops that hold for any style.

use std::collections::BTreeSet;

use cleatwright::holder::{Finding, Holder, Level};
use cleatwright::shop::{DEFAULT_SHOP, Shop};
use cleatwright::style::Library;

use super::{made, shop, text, usual_shop};

/// One check: `@` in measures, choices or the shop's cleat width stands for the figure that
/// makes it fire, or just does not.
struct Row {
    style: &'static str,
    code: &'static str,
    level: Level,
    measures: &'static str,
    choices: &'static str,
    cleat: &'static str,
    fires: &'static str,
    passes: &'static str,
    /// What the message must name.
    names: &'static str,
}

impl Row {
    fn holder(&self, figure: &str) -> Holder {
        let cleat = self.cleat.replace('@', figure);
        let shed = DEFAULT_SHOP.replace("width = \"1 1/2\" ", &format!("width = \"{cleat}\" "));
        assert!(shed.contains(&format!("width = \"{cleat}\" ")));
        let (measures, choices) =
            (self.measures.replace('@', figure), self.choices.replace('@', figure));
        made(&text(self.style, &measures, &choices), &shop(&shed))
    }

    fn found(&self, figure: &str) -> Option<Finding> {
        let findings = self.holder(figure).findings;
        findings.into_iter().find(|f| f.code == self.code && f.level == self.level)
    }
}

const PIPE: &str =
    "foot_height = \"1/2\"\nthroat = 2\nfoot_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"";
const SPRING: &str = "tool_width = 1\ntool_mass = \"0.2 kg\"";
const SASH: &str =
    "bar_thickness = \"3/8\"\nhead_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"";
const SCREWS: &str = "inside_gap = 3\ntool_thickness = 2\ntool_mass = \"1 kg\"";
const PLANK: &str = "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"";

/// The usual cleat's width.
const USUAL: &str = "1 1/2";

macro_rules! row {
    ($style:literal, $code:literal, $level:ident, $measures:expr, $choices:expr, $cleat:expr,
     $fires:literal, $passes:literal, $names:literal) => {
        Row {
            style: $style,
            code: $code,
            level: Level::$level,
            measures: $measures,
            choices: $choices,
            cleat: $cleat,
            fires: $fires,
            passes: $passes,
            names: $names,
        }
    };
}

/// Limits worked out by hand, in inches unless they say mm: 3/4 in sheets, boards and cleats, a
/// 45° bevel that rises 3/4 in, a 1/2 in slot for a 3/8 in bar, a 1/2 in gap.
#[rustfmt::skip]
const ROWS: &[Row] = &[
    // Face and backer are 1 1/2 in together.
    row!("hook-ledge", "too-thick-for-throat", Stop,
         "foot_height = \"1/2\"\nthroat = \"@\"\nfoot_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "1 31/64", "1 1/2", "1 31/64 in"),
    row!("hook-ledge", "board-too-narrow", Stop, PIPE, "face_height = \"@\"", USUAL, "5 33/64", "5 1/2", "5 1/2 in"),
    row!("hook-ledge", "lip-too-low", Stop, PIPE, "lip = \"@\"", USUAL, "31/64", "1/2", "31/64 in"),
    row!("hook-ledge", "backer-too-low", Stop, PIPE, "lip = \"@\"", USUAL, "3 33/64", "3 1/2", "3 33/64 in"),
    row!("hook-ledge", "heads-collide", Stop, PIPE, "pitch = \"@\"", USUAL, "1 63/64", "2", "1 63/64 in"),
    // Three tools: 2 x pitch + 4 in; the second stud is at 18 in, with 1/2 in of wood beyond.
    row!("hook-ledge", "one-stud-only", Warn, PIPE, "count = 3\nspare = 0\npitch = \"@\"", USUAL, "7 15/64", "7 1/4", "18 15/32 in"),
    row!("peg", "pegs-too-close", Stop, SPRING, "pegs = 2\npeg_pitch = \"@\"", USUAL, "31.3 mm", "31.4 mm", "1 15/64 in"),
    row!("peg", "slender-peg", Warn, SPRING, "least_reach = \"@\"", USUAL, "12 1/64", "12", "12 1/64 in"),
    row!("peg", "level-peg", Note, SPRING, "tilt = \"@\"", USUAL, "0 deg", "0.1 deg", "5 deg"),
    row!("peg", "flat-pegs-stand-square", Stop, SPRING, "joint = \"tab\"\ntilt = \"@\"", USUAL, "0.1 deg", "0 deg", "0 deg"),
    row!("peg", "no-room-for-wall-cleat", Warn, SPRING, "strip_height = \"@\"", USUAL, "2 41/64", "2 5/8", "1/64 in"),
    row!("peg", "cleat-too-narrow", Stop, SPRING, "", "@", "1 15/64", "1 1/4", "1 15/64 in"),
    row!("peg", "back-too-low", Stop, SPRING, "base_height = \"@\"", "4", "3 63/64", "4", "3 63/64 in"),
    row!("slotted-shelf", "heads-collide", Stop, SASH, "pitch = \"@\"", USUAL, "1 15/64", "1 1/4", "1 15/64 in"),
    row!("slotted-shelf", "head-falls-through", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"@\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "", USUAL, "1/2", "33/64", "1/2 in"),
    row!("slotted-shelf", "bars-meet-upright", Stop, SASH, "inset = \"@\"", USUAL, "63/64", "1", "63/64 in"),
    row!("slotted-shelf", "no-slot", Stop, SASH, "inset = \"@\"", USUAL, "3 17/64", "3 1/4", "3 17/64 in"),
    row!("slotted-shelf", "shallow-slot", Warn, SASH, "inset = \"@\"", USUAL, "3 9/64", "3 1/8", "23/64 in"),
    // No bit is larger than 2 in.
    row!("slotted-shelf", "no-bit", Stop,
         "bar_thickness = \"@\"\nhead_width = 4\ntool_length = 30\ntool_mass = \"2 kg\"",
         "", USUAL, "1 57/64", "1 7/8", "2 1/64 in"),
    row!("slotted-shelf", "larger-than-stock", Stop, SASH, "count = 24\npitch = \"@\"", USUAL, "4 1/64", "4", "96 23/64 in"),
    // 6 mm of wood stay between two slots sawn by hand, 3 mm by router.
    row!("slotted-shelf", "unsound", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"17/32\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\npitch = \"@\"", USUAL, "18.6 mm", "18.75 mm", "1/4 in"),
    row!("slotted-shelf", "unsound", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"17/32\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\nmade_by = \"router\"\npitch = \"@\"", USUAL, "15.6 mm", "15.75 mm", "1/8 in"),
    // A 1/4 in router bit turns no tighter than a 1/4 in slot's end.
    row!("slotted-shelf", "unsound", Stop,
         "bar_thickness = \"@\"\nhead_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\nmade_by = \"router\"", USUAL, "3/32", "1/8", "1/4 in"),
    row!("tongue", "tongue-too-low", Stop, "inside_gap = \"@\"\ntool_thickness = 2\ntool_mass = \"1 kg\"",
         "", USUAL, "39/64", "5/8", "39/64 in"),
    row!("tongue", "base-too-low", Stop, "inside_gap = \"@\"\ntool_thickness = 2\ntool_mass = \"1 kg\"",
         "", USUAL, "4 9/64", "4 1/8", "5 1/64 in"),
    row!("tongue", "nose-radius-too-large", Stop, SCREWS, "nose_radius = \"@\"", USUAL, "1 29/64", "1 7/16", "1 29/64 in"),
    // 12.7 mm of gap and 10 mm on either arm.
    row!("twin-arm", "head-falls-through", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"@\"\nstack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "32.6 mm", "32.7 mm", "1 9/32 in"),
    row!("twin-arm", "nose-radius-too-large", Stop, PLANK, "arm_height = 8\nnose_radius = \"@\"", USUAL, "4 1/64", "4", "4 1/64 in"),
    row!("twin-arm", "arm-too-short", Stop, PLANK, "count = 1\nspare = 0\nnose_margin = \"@\"", USUAL, "15/64", "1/4", "2 15/64 in"),
    row!("twin-arm", "nose-strip-too-high", Stop, PLANK, "arm_height = 8\nnose_height = \"@\"", USUAL, "8 1/64", "8", "8 1/64 in"),
    row!("twin-arm", "nose-strip-shows", Warn, PLANK, "arm_height = 8\nnose_height = \"@\"", USUAL, "4 1/64", "4", "4 1/64 in"),
    // Each place is half of the stack; spacer and nose strip take 1 1/2 in, the margin gives 1/2.
    row!("twin-arm", "fewer-than-planned", Warn,
         "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = \"@\"\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "2 47/64", "2 3/4", "≈ 1/64 in"),
    row!("twin-arm", "widest-bar", Note,
         "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = \"@\"\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "2 3/4", "2 47/64", "3/8 in"),
    row!("twin-arm", "no-room-for-wall-cleat", Warn, PLANK, "arm_height = \"@\"", "2 1/4", "6 7/64", "6 1/8", "6 1/8 in"),
    row!("wall-rail", "no-stud", Stop, "", "length = 10\nstud_first = \"@\"", USUAL, "9 33/64", "9 1/2", "9 33/64 in"),
    row!("wall-rail", "one-stud-only", Warn, "", "length = \"18 1/2\"\nstud_first = \"@\"", USUAL, "2 1/64", "2", "18 33/64 in"),
    row!("wall-rail", "cleat-too-narrow", Stop, "", "", "@", "1 15/64", "1 1/4", "1 15/64 in"),
    row!("wall-rail", "rows-too-close", Stop, "", "row_spacing = \"@\"", "2 1/4", "4 31/64", "4 1/2", "4 31/64 in"),
];

#[test]
fn checks_fire_past_their_limit_and_not_on_it() {
    let mut wrong = Vec::new();
    for row in ROWS {
        let (style, code) = (row.style, row.code);
        match row.found(row.fires) {
            None => wrong.push(format!(
                "{style}: {code} is silent at {}: {:?}",
                row.fires,
                row.holder(row.fires).findings
            )),
            Some(found) if !found.message.contains(row.names) => {
                wrong.push(format!(
                    "{style}: {code} does not name {}: {}",
                    row.names, found.message
                ));
            }
            Some(_) => {}
        }
        if let Some(found) = row.found(row.passes) {
            wrong.push(format!("{style}: {code} speaks at {}: {}", row.passes, found.message));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A new check wants a row above.
#[test]
fn every_check_of_every_style_is_tried() {
    let library = Library::built_in();
    let mut missing = BTreeSet::new();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        for (i, layer) in style.layers.iter().enumerate() {
            for check in &layer.file.checks {
                // A group's checks are tried in one of the styles that take it in.
                let tried = ROWS
                    .iter()
                    .any(|row| row.code == check.code.get_ref() && (i > 0 || row.style == name));
                if !tried {
                    missing.insert(format!("{name}: {}", check.code.get_ref()));
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

fn stopped(text: &str, shop: &Shop) -> Finding {
    let holder = made(text, shop);
    assert!(!holder.findings.is_empty(), "nothing stands against it");
    holder.findings[0].clone()
}

#[test]
fn a_dowel_the_shop_does_not_have_is_named_with_those_it_has() {
    let found = stopped(&text("peg", SPRING, "peg_diameter = \"7/8\""), &usual_shop());
    assert_eq!((found.level, found.code.as_str()), (Level::Stop, "no-stock"));
    for size in ["7/8 in", "1 in", "3/4 in"] {
        assert!(found.message.contains(size), "{}", found.message);
    }
}

#[test]
fn a_shop_without_boards_makes_no_ledge() {
    let shed = shop(
        "units = \"in\"\n[[sheet]]\nname = \"ply\"\nthickness = \"3/4\"\nlength = 96\nwidth = 48\n",
    );
    let found = stopped(&text("hook-ledge", PIPE, ""), &shed);
    assert_eq!((found.level, found.code.as_str()), (Level::Stop, "no-stock"));
    assert!(found.message.contains("[[board]]"), "{}", found.message);
}

/// The arm is cut with its grain along its length: it may not be turned on a sheet with grain.
#[test]
fn a_part_follows_the_grain_of_its_stock() {
    let sheet = |grain| {
        shop(&format!(
            "units = \"in\"\n[[sheet]]\nname = \"ply\"\nthickness = \"3/4\"\nlength = 16\nwidth = 48\n\
             grain = {grain}\n[cleat]\nthickness = \"3/4\"\nwidth = 2\n"
        ))
    };
    // Eight places at 2 in make arms 18 in long.
    let text = text("twin-arm", PLANK, "nose_margin = 2");
    let grained: Vec<_> = made(&text, &sheet(true)).findings;
    let larger = grained.iter().filter(|f| f.code == "larger-than-stock");
    assert!(larger.clone().any(|f| f.message.starts_with("arm is 18 in")), "{grained:?}");
    let plain = made(&text, &sheet(false)).findings;
    assert!(!plain.iter().any(|f| f.code == "larger-than-stock"), "{plain:?}");
}
