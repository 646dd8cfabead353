//! Every check of every style on both sides of its limit, and the stops that hold for any style.

use std::collections::BTreeSet;

use crate::holder::{Finding, Holder, Level};
use crate::shop::Shop;
use crate::style::Library;

use super::{made, shop, text, usual_shop, usual_text};

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
        let shed = usual_text().replace("width = \"1 1/2\" ", &format!("width = \"{cleat}\" "));
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
    "foot_height = \"1/2\"\nthroat = 2\nhead_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"";
const SPRING: &str = "tool_thickness = 1\ntool_mass = \"0.2 kg\"";
const SASH: &str =
    "bar_thickness = \"3/8\"\nhead_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"";
const SCREWS: &str = "inside_gap = 3\ntool_thickness = 2\ntool_mass = \"1 kg\"";
const PLANK: &str = "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"";

const CHISELS: &str = "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = 1\nwidest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"";
const SAWS: &str = "blade_thickness = [\"1/16\", \"1/16\"]\nblade_width = 10\nhead_width = \"7/8\"\ntool_mass = \"0.5 kg\"";
const TRAY: &str = "inside_length = 12\ninside_width = 6\ninside_height = 3\nload_mass = \"3 kg\"";
const JARS: &str = "tool_width = [3, 3]\ntool_mass = \"0.5 kg\"";
const BOXES: &str = "tool_width = 4\ntool_height = 3\ntool_depth = 6\ntool_mass = \"1 kg\"";
const PLANE: &str = "tool_width = [2.5]\ntool_length = 10\ntool_height = 5\ntool_mass = \"1 kg\"";

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
         "foot_height = \"1/2\"\nthroat = \"@\"\nhead_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "1 31/64", "1 1/2", "1 31/64 in"),
    row!("hook-ledge", "board-too-narrow", Stop, PIPE, "face_height = \"@\"", USUAL, "5 33/64", "5 1/2", "5 1/2 in"),
    row!("hook-ledge", "foot-too-thick", Stop,
         "foot_height = \"1/2\"\nfoot_thickness = \"@\"\nthroat = 2\nhead_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "49/64", "3/4", "1/64 in thicker"),
    row!("hook-ledge", "lip-too-low", Stop, PIPE, "lip = \"@\"", USUAL, "31/64", "1/2", "31/64 in"),
    row!("hook-ledge", "backer-too-low", Stop, PIPE, "lip = \"@\"", USUAL, "3 33/64", "3 1/2", "3 33/64 in"),
    row!("hook-ledge", "heads-collide", Stop, PIPE, "pitch = \"@\"", USUAL, "1 63/64", "2", "1 63/64 in"),
    // Three tools: 2 x pitch + 4 in; the second stud is at 18 in, with 1/2 in of wood beyond.
    row!("hook-ledge", "no-stud", Stop, PIPE, "count = 3\nspare = 0\npitch = \"7 1/4\"\nstud_first = \"@\"", USUAL, "17 57/64", "17 7/8", "17 57/64 in"),
    row!("peg", "pegs-too-close", Stop, SPRING, "pegs = 2\npeg_pitch = \"@\"", USUAL, "31.7 mm", "31.8 mm", "1 1/4 in"),
    row!("peg", "slender-peg", Warn, SPRING, "least_reach = \"@\"", USUAL, "12 1/64", "12", "12 1/64 in"),
    row!("peg", "level-peg", Note, SPRING, "tilt = \"@\"", USUAL, "0 deg", "0.1 deg", "5 deg"),
    // Half of what it is thick stands in a back of 3/4 in.
    row!("peg", "shallow-hole", Stop, SPRING, "peg_diameter = \"@\"", USUAL, "1 33/64", "1 1/2", "49/64 in"),
    row!("peg", "flat-pegs-stand-square", Stop, SPRING, "joint = \"tab\"\ntilt = \"@\"", USUAL, "0.1 deg", "0 deg", "0 deg"),
    row!("peg", "cleat-too-narrow", Stop, SPRING, "", "@", "1 15/64", "1 1/4", "1 15/64 in"),
    row!("peg", "back-too-low", Stop, SPRING, "back_height = \"@\"", "4", "3 63/64", "4", "3 63/64 in"),
    // The cleat and a strip of 3/4 in.
    row!("peg", "no-room-for-strip", Stop, SPRING, "back_height = \"@\"", "4", "4 47/64", "4 3/4", "4 3/4 in"),
    row!("slotted-shelf", "heads-collide", Stop, SASH, "pitch = \"@\"", USUAL, "1 15/64", "1 1/4", "1 15/64 in"),
    row!("slotted-shelf", "head-falls-through", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"@\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "", USUAL, "1/2", "33/64", "1/2 in"),
    // 1/2 in and 1/8 in of play take the 5/8 in bit; a hair more takes the next, of 3/4 in.
    row!("slotted-shelf", "wider-than-asked", Note,
         "bar_thickness = \"@\"\nhead_width = 2\ntool_length = 30\ntool_mass = \"2 kg\"",
         "", USUAL, "33/64", "1/2", "7/64 in"),
    row!("slotted-shelf", "bars-meet-upright", Stop, SASH, "inset = \"@\"", USUAL, "1 23/64", "1 3/8", "1 3/8 in"),
    row!("slotted-shelf", "no-slot", Stop, SASH, "depth = \"3 1/2\"\ninset = \"@\"", USUAL, "3 17/64", "3 1/4", "3 17/64 in"),
    row!("slotted-shelf", "shallow-slot", Warn, SASH, "depth = \"3 1/2\"\ninset = \"@\"", USUAL, "2 33/64", "2 1/2", "63/64 in"),
    // Half of a 1/2 in slot and 1/16 in beside it.
    row!("slotted-shelf", "lip-block-too-short", Stop, SASH, "lip = \"1/2\"\nend_margin = \"@\"", USUAL, "51/64", "13/16", "1/2 in"),
    // No bit is larger than 2 in.
    row!("slotted-shelf", "no-bit", Stop,
         "bar_thickness = \"@\"\nhead_width = 4\ntool_length = 30\ntool_mass = \"2 kg\"",
         "", USUAL, "1 57/64", "1 7/8", "2 1/64 in"),
    row!("slotted-shelf", "larger-than-stock", Stop, SASH, "count = 24\npitch = \"@\"", USUAL, "4 1/64", "4", "96 23/64 in"),
    // 6 mm of wood stay between two slots sawn by hand, 3 mm by router.
    row!("slotted-shelf", "unsound", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"17/32\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\npitch = \"@\"", USUAL, "18.6 mm", "18.75 mm", "15/64 in"),
    row!("slotted-shelf", "unsound", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"17/32\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\nmade_by = \"router\"\npitch = \"@\"", USUAL, "15.6 mm", "15.75 mm", "1/8 in"),
    // A 1/4 in router bit mills no slot of 1/4 in: it would be trapped.
    row!("slotted-shelf", "wider-than-asked", Note,
         "bar_thickness = \"@\"\nhead_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\nmade_by = \"router\"", USUAL, "1/8", "9/64", "0.004 in"),
    row!("slotted-shelf", "head-falls-through", Stop,
         "bar_thickness = \"1/8\"\nhead_width = \"@\"\ntool_length = 30\ntool_mass = \"2 kg\"",
         "inset = \"1 1/4\"\nmade_by = \"router\"", USUAL, "1/4", "17/64", "joint_bit"),
    row!("hole-rail", "wider-than-asked", Note,
         "shank_diameter = [\"@\"]\nhead_width = 1\nwidest_below = \"1/8\"\nneck_thickness = \"1/8\"\ntool_mass = \"0.1 kg\"",
         "made_by = \"router\"", USUAL, "5/32", "15/64", "1/16 in"),
    row!("tongue", "tongue-too-low", Stop, "inside_gap = \"@\"\ntool_thickness = 2\ntool_mass = \"1 kg\"",
         "", USUAL, "55/64", "7/8", "31/64 in"),
    // A nose of 3/4 in, half a clamp of 1 in less 1/4 in beyond the screw's middle.
    row!("tongue", "clamp-on-the-nose", Stop, "inside_gap = 3\ntool_thickness = 1\ntool_mass = \"1 kg\"",
         "nose_margin = \"@\"", USUAL, "31/64", "1/2", "1/2 in"),
    row!("tongue", "back-too-low", Stop, "inside_gap = \"@\"\ntool_thickness = 2\ntool_mass = \"1 kg\"",
         "back_height = 5", USUAL, "4 9/64", "4 1/8", "5 1/64 in"),
    row!("tongue", "nose-radius-too-large", Stop, SCREWS, "nose_radius = \"@\"", USUAL, "1 29/64", "1 7/16", "1 29/64 in"),
    // 1/2 in of gap and 3/8 in on either arm.
    row!("twin-arm", "head-falls-through", Stop,
         "bar_thickness = \"3/8\"\nhead_width = \"@\"\nstack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"",
         "", USUAL, "31.7 mm", "31.8 mm", "1 1/4 in"),
    row!("twin-arm", "nose-radius-too-large", Stop, PLANK, "arm_height = 8\nnose_end = 8\nnose_radius = \"@\"", USUAL, "4 1/64", "4", "4 1/64 in"),
    row!("twin-arm", "arm-too-short", Stop, PLANK, "count = 1\nspare = 0\nnose_margin = \"@\"", USUAL, "23/64", "3/8", "2 23/64 in"),
    row!("twin-arm", "nose-strip-too-high", Stop, PLANK, "nose = \"strip\"\narm_height = 8\nnose_end = 8\nnose_height = \"@\"", USUAL, "8 1/64", "8", "8 1/64 in"),
    row!("twin-arm", "nose-end-too-high", Stop, PLANK, "arm_height = 8\nnose_end = \"@\"", USUAL, "8 1/64", "8", "8 in"),
    row!("twin-arm", "nose-strip-shows", Warn, PLANK, "nose = \"strip\"\narm_height = 8\nnose_end = 8\nnose_radius = 2\nnose_height = \"@\"", USUAL, "4 1/64", "4", "4 1/64 in"),
    // Each place is half of the stack; gap filler and raised nose take 1 5/8 in, the margin gives 1/2.
    row!("twin-arm", "fewer-than-planned", Warn,
         "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = \"@\"\ntool_length = 40\ntool_mass = \"3 kg\"",
         "nose_margin = \"1/2\"", USUAL, "2 7/8", "3", "make nose_margin at least"),
    row!("twin-arm", "widest-bar", Note,
         "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = \"@\"\ntool_length = 40\ntool_mass = \"3 kg\"",
         "nose_margin = \"1/2\"", USUAL, "3", "2 7/8", "3/8 in"),
    row!("twin-arm", "tail-does-not-pass", Stop,
         "bar_thickness = \"3/8\"\nhead_width = 4\ntail_width = \"@\"\nstack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"",
         "nose = \"strip\"", USUAL, "33/64", "1/2", "33/64 in"),
    // The raised nose takes 7/8 in.
    row!("twin-arm", "head-slides-off", Stop, PLANK, "nose_margin = \"@\"", USUAL, "2 7/64", "2 1/8", "2 1/8 in"),
    row!("wall-cleat", "no-stud", Stop, "", "length = 10\nstud_first = \"@\"", USUAL, "9 9/64", "9 1/8", "9 9/64 in"),
    row!("wall-cleat", "one-stud-only", Warn, "", "length = \"18 1/2\"\nstud_first = \"@\"", USUAL, "1 41/64", "1 5/8", "18 33/64 in"),
    row!("wall-cleat", "counted-with", Note, "", "length = 10\nstud_first = \"@\"", USUAL, "9 1/8", "9 9/64", "33 lb"),
    row!("wall-cleat", "stud-too-near-the-end", Stop, "", "stud_first = \"@\"", USUAL, "55/64", "7/8", "55/64 in"),
    row!("wall-cleat", "cleat-too-narrow", Stop, "", "", "@", "1 15/64", "1 1/4", "31/64 in"),
    row!("wall-cleat", "rows-too-close", Stop, "", "row_spacing = \"@\"", "2 1/4", "4 31/64", "4 1/2", "4 31/64 in"),
    // Holes of 5/8 in, the next bit, for shanks of 1/2 in with 1/32 in of play.
    row!("hole-rail", "head-falls-through", Stop, "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = \"@\"\nwidest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
         "", USUAL, "5/8", "41/64", "5/8 in"),
    row!("hole-rail", "wider-than-asked", Note, "shank_diameter = [\"@\"]\nhead_width = 1\nwidest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
         "", USUAL, "1/2", "19/32", "3/32 in"),
    row!("hole-rail", "tool-cannot-enter", Stop, "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = 1\nwidest_below = [\"1/4\", \"@\"]\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
         "open = \"no\"", USUAL, "41/64", "5/8", "Tool 2: a blade 41/64 in"),
    row!("hole-rail", "neck-wider-than-shank", Stop, "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = 1\nwidest_below = \"1/4\"\nneck_thickness = \"@\"\ntool_mass = \"0.2 kg\"",
         "", USUAL, "33/64", "1/2", "33/64 in"),
    row!("hole-rail", "head-bears-little", Warn, "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = \"@\"\nwidest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
         "", USUAL, "47/64", "3/4", "5/8 in"),
    row!("hole-rail", "tools-meet-upright", Stop, CHISELS, "inset = \"@\"", USUAL, "1 3/64", "1 1/16", "1 3/64 in"),
    // Half of a blade, 1/8 in of air and the upright.
    row!("hole-rail", "tools-meet-upright", Stop,
         "shank_diameter = [\"1/2\", \"1/2\"]\nhead_width = 1\nwidest_below = [\"1/4\", \"1 1/2\"]\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
         "inset = \"@\"", USUAL, "1 39/64", "1 5/8", "1 1/2 in"),
    // The middles lie 1 7/16 in from the back.
    row!("hole-rail", "rail-too-shallow", Stop, CHISELS, "depth = \"@\"", USUAL, "1 63/64", "2", "35/64 in"),
    row!("till", "wider-than-asked", Note, "blade_thickness = [\"@\"]\nblade_width = 4\nhead_width = 1\ntool_mass = \"0.2 kg\"",
         "made_by = \"router\"", USUAL, "7/32", "15/64", "0.004 in"),
    row!("till", "head-falls-through", Stop, "blade_thickness = [\"1/2\"]\nblade_width = 3\nhead_width = \"@\"\ntool_mass = \"0.5 kg\"",
         "", USUAL, "41/64", "21/32", "41/64 in"),
    // A shelf of 5 1/2 in and the cleat end 2 in behind the slot; 1/4 in stays free.
    row!("till", "handle-meets-wall", Stop, "blade_thickness = [\"1/16\"]\nblade_width = 4\nhead_width = 1\nhandle_depth = \"@\"\ntool_mass = \"0.5 kg\"",
         "behind = \"1/2\"", USUAL, "5 49/64", "5 3/4", "33/64 in"),
    // A slot of 10 1/4 in wants fingers of an eighth of it: 7/8 in of handle, the gap, less 1/8 in.
    row!("till", "slender-fingers", Warn, SAWS, "finger_gap = \"@\"", USUAL, "33/64", "17/32", "1 17/64 in"),
    row!("till", "deep-for-its-height", Warn, SAWS, "upright_height = \"@\"", USUAL, "4 63/64", "5", "4 63/64 in"),
    row!("till", "several-passes", Note, "blade_thickness = [\"@\"]\nblade_width = 3\nhead_width = 1\ntool_mass = \"0.5 kg\"",
         "", USUAL, "7/64", "3/32", "9/64 in"),
    row!("till", "bracket-too-flat", Warn, SAWS, "bracket_height = \"@\"", USUAL, "4 1/4", "4 5/16", "4 1/4 in"),
    // Openings of 1 3/4 in.
    row!("dock", "body-falls-through", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 2\nbody_width = \"@\"\noverhang = 1\ntool_mass = \"1 kg\"",
         "", USUAL, "2 15/64", "2 1/4", "2 15/64 in"),
    row!("dock", "mouths-too-close", Stop, "neck_thickness = [\"1 1/2\", \"1 1/2\"]\nneck_depth = 2\nbody_width = 3\noverhang = 1\ntool_mass = \"1 kg\"",
         "finger_gap = \"@\"", USUAL, "15/64", "1/4", "31/64 in"),
    row!("dock", "too-many-brackets", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 2\nbody_width = 3\noverhang = 1\ntool_mass = \"1 kg\"",
         "bracket_count = \"@\"", USUAL, "3", "2", "at most 2"),
    row!("dock", "bracket-between-batteries", Stop, "neck_thickness = [\"1 1/2\", \"1 1/2\"]\nneck_depth = 2\nbody_width = 3\noverhang = 1\ntool_mass = \"1 kg\"",
         "bracket_count = 3\nfinger_gap = \"@\"", USUAL, "63/64", "1", "63/64 in"),
    row!("hammer-rack", "head-falls-through", Stop, "handle_thickness = [2]\nhead_width = \"@\"\ntool_thickness = 1\ntool_mass = \"1 kg\"",
         "", USUAL, "2 63/64", "3", "3 in"),
    row!("hammer-rack", "rails-too-long", Warn, "handle_thickness = [1, 1, 1]\nhead_width = 5\ntool_thickness = \"@\"\ntool_mass = \"0.5 kg\"",
         "", USUAL, "6 17/32", "6 1/2", "24 1/4 in"),
    row!("hammer-rack", "nose-radius-too-large", Stop, "handle_thickness = [1]\nhead_width = 5\ntool_thickness = 3\ntool_mass = \"0.5 kg\"",
         "rail_height = \"3 1/2\"\nnose_radius = \"@\"", USUAL, "3 9/64", "3 1/8", "3 1/8 in"),
    row!("hammer-rack", "rail-too-low", Stop, "handle_thickness = [1]\nhead_width = 5\ntool_thickness = 3\ntool_mass = \"0.5 kg\"",
         "rail_height = 2\nlip = \"@\"", USUAL, "33/64", "1/2", "2 1/64 in"),
    row!("level-pegs", "too-short-for-pegs", Stop, "tool_length = [\"@\"]\ntool_height = 2\ntool_thickness = 1\ntool_mass = \"1 kg\"",
         "spread = 20", USUAL, "21 47/64", "21 3/4", "19 63/64 in"),
    row!("level-pegs", "tips-off", Warn, "tool_length = [\"@\"]\ntool_height = 2\ntool_thickness = 1\ntool_mass = \"1 kg\"",
         "spread = 6", USUAL, "30 1/64", "30", "6 in"),
    row!("level-pegs", "lip-too-high", Stop, "tool_length = [24]\ntool_height = 2\ntool_thickness = 1\ntool_mass = \"1 kg\"",
         "finger_gap = 1\nlip = \"@\"", USUAL, "57/64", "7/8", "1 1/64 in"),
    row!("dock", "mouth-at-the-end", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 2\nbody_width = \"2 1/4\"\noverhang = 1\ntool_mass = \"1 kg\"",
         "end_margin = 0\nmouth_radius = \"@\"", USUAL, "33/64", "1/2", "31/64 in"),
    row!("dock", "shelf-too-deep", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 5\nbody_width = 3\noverhang = 6\ntool_mass = \"1 kg\"",
         "nose = 3\nmouth_radius = \"@\"", USUAL, "49/64", "3/4", "16 1/16 in"),
    row!("dock", "bracket-too-high", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 2\nbody_width = 3\noverhang = 1\ntool_mass = \"1 kg\"",
         "upright_height = \"5 1/2\"\nbracket_height = \"@\"", USUAL, "5 33/64", "5 1/2", "5 33/64 in"),
    row!("dock", "bracket-too-short", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = \"@\"\nbody_width = 3\noverhang = 0\ntool_mass = \"1 kg\"",
         "nose = 0", USUAL, "7/8", "1", "1 15/16 in"),
    row!("dock", "bracket-sticks-out", Stop, "neck_thickness = [\"1 1/2\"]\nneck_depth = 2\nbody_width = 3\noverhang = 1\ntool_mass = \"1 kg\"",
         "bracket_depth = \"@\"", USUAL, "4 33/64", "4 1/2", "4 1/2 in"),
    row!("till", "bracket-sticks-out", Stop, "blade_thickness = [\"1/8\"]\nblade_width = 4\nhead_width = 1\ntool_mass = \"0.2 kg\"",
         "bracket_depth = \"@\"", USUAL, "4 49/64", "4 3/4", "4 3/4 in"),
    row!("shelf-lip", "bracket-sticks-out", Stop, "tool_width = [3]\ntool_mass = \"0.5 kg\"",
         "depth = 5\nbracket_depth = \"@\"", USUAL, "4 17/64", "4 1/4", "4 1/4 in"),
    row!("tray", "back-lower-than-front", Stop, TRAY, "base_sheet = \"plywood 3/4\"\nback_height = \"@\"", USUAL, "3 47/64", "3 3/4", "3 47/64 in"),
    row!("tray", "divider-too-high", Stop, TRAY, "divider_height = \"@\"", USUAL, "3 1/64", "3", "3 1/64 in"),
    row!("tray", "divider-outside", Stop, TRAY, "divider_sheet = \"plywood 3/4\"\ncross_dividers = [\"@\"]", USUAL, "47/64", "3/4", "47/64 in"),
    row!("tray", "divider-outside-along", Stop, TRAY, "divider_sheet = \"plywood 3/4\"\nlong_dividers = [\"@\"]", USUAL, "5 17/64", "5 1/4", "5 17/64 in"),
    row!("tray", "dividers-too-close", Stop, TRAY, "divider_sheet = \"plywood 3/4\"\ncross_dividers = [3, \"@\"]", USUAL, "4 15/64", "4 1/4", "1 15/64 in"),
    row!("tray", "dividers-too-close-along", Stop, TRAY, "divider_sheet = \"plywood 3/4\"\nlong_dividers = [2, \"@\"]", USUAL, "3 15/64", "3 1/4", "1 15/64 in"),
    row!("shelf-lip", "brackets-too-close", Stop, "tool_width = [\"@\"]\ntool_mass = \"0.5 kg\"", "", USUAL, "1 5/8", "1 3/4", "1 3/8 in"),
    row!("shelf-lip", "shelf-too-shallow", Stop, "tool_width = [4]\ntool_mass = \"0.5 kg\"", "depth = \"@\"", USUAL, "3 63/64", "4", "3 63/64 in"),
    row!("shelf-lip", "jar-board-too-shallow", Stop, JARS, "jar_board = \"openings\"\ndepth = \"@\"", USUAL, "3 55/64", "3 7/8", "3 55/64 in"),
    row!("shelf-lip", "openings-too-close", Stop, JARS, "jar_board = \"openings\"\nfinger_gap = \"@\"", USUAL, "23/64", "3/8", "15/64 in"),
    row!("shelf-lip", "low-lip", Warn, JARS, "lip = \"@\"", USUAL, "31/64", "1/2", "31/64 in"),
    row!("shelf-lip", "brackets-far-apart", Warn, "tool_width = [3, 3, 3, 3, 3, 3]\ntool_mass = \"0.5 kg\"",
         "bracket_count = 2\nfinger_gap = \"@\"", USUAL, "1 17/64", "1 1/4", "24 5/16 in"),
    // Centered 5/3 in above its sole, 5 in up from the edge of a 3/4 in stop: atan(0.1833) = 10.39 deg.
    row!("plane-ramp", "plane-tips-forward", Stop, PLANE, "lean = \"@\"", USUAL, "10.3 deg", "10.4 deg", "11°"),
    row!("plane-ramp", "ramp-too-short", Stop, PLANE, "ramp_height = \"@\"", USUAL, "6 15/64", "6 1/4", "6 1/4 in"),
    row!("plane-ramp", "ramp-too-low", Stop, "tool_width = [2]\ntool_length = 6\ntool_height = 3\ntool_mass = \"1 kg\"",
         "stop_width = 3\nramp_height = \"@\"", USUAL, "5 63/64", "6", "5 63/64 in"),
    // Eight planes of 2 1/2 in and seven dividers take 25 1/4 in without play.
    row!("plane-ramp", "wide-ramp", Warn,
         "tool_width = [2.5, 2.5, 2.5, 2.5, 2.5, 2.5, 2.5, 2.5]\ntool_length = 10\ntool_height = 5\ntool_mass = \"1 kg\"",
         "fit = \"@\"", USUAL, "19/32", "9/16", "30 1/4 in"),
    // 1 1/2 in / cos 40° + ramp x sin 40°.
    row!("plane-ramp", "stands-far-out", Warn, PLANE, "lean = \"40 deg\"\nramp_height = \"@\"", USUAL, "15 3/4", "15 9/16", "12 5/64 in"),
    row!("pigeonholes", "no-room-to-lift", Stop, BOXES, "lip = \"3/8\"\nfinger_gap = \"@\"", USUAL, "31/64", "1/2", "31/64 in"),
    row!("pigeonholes", "little-room-for-fingers", Note, BOXES, "lip = \"1/4\"\nfinger_gap = \"@\"", USUAL, "31/64", "1/2", "31/64 in"),
    // Two rows of 3 in, 7/8 in of room and 3/4 in of shelf.
    row!("pigeonholes", "back-lower-than-sides", Stop, BOXES, "count = 8\nspare = 0\nsheet = \"plywood 3/4\"\nback_height = \"@\"", USUAL, "9 15/64", "9 1/4", "9 15/64 in"),
];

/// Checks that a row can't try, for they look at the shop: each has a test of its own.
const BY_ITSELF: [(&str, &str); 2] =
    [("tray", "bottom-too-thin"), ("wall-cleat", "stud-too-narrow")];

#[test]
fn two_screws_want_a_stud_as_wide() {
    for (screws, width, stops) in [(2, "1 15/64", true), (2, "1 1/4", false), (1, "1", false)] {
        let shed = usual_text()
            .replace("stud_width = \"1 1/2\"", &format!("stud_width = \"{width}\""))
            .replace("screws = 2 ", &format!("screws = {screws} "));
        let findings = made(&text("wall-cleat", "", ""), &shop(&shed)).findings;
        let found = findings.iter().find(|f| f.code == "stud-too-narrow");
        assert_eq!(found.is_some(), stops, "{width}: {findings:?}");
        assert!(found.is_none_or(|f| f.message.contains("these are 1 15/64 in")), "{found:?}");
    }
}

#[test]
fn a_thin_bottom_is_not_screwed_through_its_edge() {
    for (thickness, stops) in [("23/64", true), ("3/8", false)] {
        let shed = shop(&format!(
            "units = \"in\"\n[[sheet]]\nname = \"ply\"\nthickness = \"3/4\"\nlength = 96\nwidth = 48\n\
             [[sheet]]\nname = \"thin\"\nthickness = \"{thickness}\"\nlength = 48\nwidth = 48\n"
        ));
        let findings = made(&text("tray", TRAY, "base_sheet = \"thin\""), &shed).findings;
        let found = findings.iter().find(|f| f.code == "bottom-too-thin");
        assert_eq!(found.is_some(), stops, "{findings:?}");
        assert!(found.is_none_or(|f| f.message.contains("23/64 in")), "{found:?}");
    }
}

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
                    .any(|row| row.code == check.name.get_ref() && (i > 0 || row.style == name));
                if !tried && !BY_ITSELF.contains(&(name, check.name.get_ref())) {
                    missing.insert(format!("{name}: {}", check.name.get_ref()));
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
