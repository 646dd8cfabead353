//! Screws of what settles stand well off edges, ends and each other.

use super::{file, shop};
use crate::carry::close_calls;
use crate::holder::{Finding, Holder, Level, build};
use crate::length::Units;
use crate::reading::Source;
use crate::settle::{Known, finished, project};
use crate::shop::{DEFAULT_SHOP, Shop, read_shop};

/// An inch, in mm.
const IN: f64 = 25.4;

/// What is said of close screws in panels, which may break out, and in solid wood, which may split.
pub(super) const IN_PANELS: &str = "screw-may-break-out";
const IN_SOLID: &str = "screw-may-split";

/// What a holder's findings say of close screws.
pub(super) fn told(holder: &Holder) -> Vec<&Finding> {
    let close = |code: &str| [IN_PANELS, IN_SOLID].contains(&code);
    holder.findings.iter().filter(|found| close(&found.code)).collect()
}

/// Settled with what the shop leaves open, then what is said of close screws: level and message.
fn said(text: &str, shop: &Shop) -> Vec<(Level, String)> {
    let file = file(text);
    let project = project(&[&file], shop, vec![Known::default()]);
    let holder = finished(&file, &project.shop, project.moved[0].as_ref().unwrap()).unwrap().holder;
    told(&holder).into_iter().map(|found| (found.level, found.message.clone())).collect()
}

const LEVELS: &str = "style = \"level-pegs\"\nunits = \"in\"\n[measures]\ntool_length = [24, 48]\n\
    tool_height = [2, \"2 3/8\"]\ntool_thickness = [1, 1]\ntool_mass = [\"1 lb\", \"2 lb\"]\n[choices]\n";

/// Pegs of a sheet 1/2 in thick: #10 screws, 0.19 in thick, stand 1/4 in from either face, under 1.5 D = 0.285 in
/// (NDS-2018 12.5.1); #8, 0.164 in, do not (0.246 in), and nor do #10 in 3/4 in.
#[test]
fn screws_a_quarter_inch_from_a_face_are_warned_of_and_the_fix_serves() {
    let shop = shop(Units::Inches, None);
    let with = |choices: &str| said(&format!("{LEVELS}{choices}"), &shop);
    let pegs = "peg: a screw (#10, back to the pegs) stands 1/4 in from the nearer face and wants \
                \u{2248} 15/32 in: set it in the middle of wood \u{2248} 61/64 in thick, or take #8 screws.";
    let found = with("sheet = \"plywood 1/2\"\nscrew = \"#10\"");
    assert!(found.contains(&(Level::Warn, pegs.to_owned())), "{found:?}");
    let thinner = with("sheet = \"plywood 1/2\"\nscrew = \"#8\"");
    assert!(thinner.iter().all(|found| found.0 == Level::Note), "{thinner:?}");
    assert_eq!(with("screw = \"#8\""), []);
    let open = with("sheet = \"plywood 1/2\"");
    assert!(open.iter().all(|found| found.0 == Level::Note), "{open:?}");
}

/// Strips of hard maple: set 1/4 in in, #8 screws stand nearer to their ends than half of 5 D = 0.82 in, and
/// set 13/16 in in they lack no more than a mark of the tape (NDS-2018 12.5.1, commentary table C12.1.5.7).
#[test]
fn screws_set_a_quarter_inch_in_from_an_end_are_warned_of_and_the_fix_serves() {
    let text = DEFAULT_SHOP
        .replace("from = \"plywood 3/4\"         #", "from = \"hardwood 3/4\"         #");
    let shop = read_shop(&Source::new("shop.toml", text)).unwrap();
    let with = |choices: &str| said(&format!("{LEVELS}{choices}"), &shop);
    let found = with("screw_edge = \"1/4\"\nscrew = \"#8\"");
    let end = "spacer-strip: a screw (#8, spacer strip to the holder's back) stands 1/4 in from the end and wants \
               \u{2248} 13/16 in: move it in by \u{2248} 9/16 in, or make the part longer.";
    assert!(found.contains(&(Level::Warn, end.to_owned())), "{found:?}");
    assert_eq!(with("screw_edge = \"13/16\"\nscrew = \"#8\""), []);
    // Left open, the screws are settled to some that stand well.
    let open = with("screw_edge = \"1/4\"");
    assert!(open.iter().all(|found| found.0 == Level::Note && found.1.contains("#4")), "{open:?}");
}

/// A ledge of hard maple on the studs: its #12 screws, 0.216 in thick, want 5 D = 1.08 in to the end and 2.5 D =
/// 0.54 in to the edge; under half of the one and 1.5 D = 0.324 in they are warned of.
#[test]
fn stud_screws_a_quarter_inch_from_a_ledges_end_or_edge_are_warned_of() {
    let text = "style = \"hook-ledge\"\nunits = \"in\"\n[measures]\nfoot_height = \"1/2\"\n\
                foot_thickness = \"1/2\"\nthroat = 2\nhead_width = 2\ntool_length = 30\ntool_mass = \"2 lb\"\n\
                [choices]\nmount = \"wall\"\n";
    let shop = read_shop(&Source::new("shop.toml", DEFAULT_SHOP)).unwrap();
    let mut holder = build(&file(text), &shop).unwrap();
    assert_eq!(close_calls(&holder, &shop), []);
    let face = holder.parts.iter().position(|part| part.name == "face").unwrap();
    let height = holder.parts[face].width();
    let joint = holder.screws.iter().position(|joint| joint.about == "ledge to the wall").unwrap();
    let mut told = |x: f64, y: f64| -> Vec<(Level, String)> {
        holder.screws[joint]
            .screws
            .iter_mut()
            .for_each(|s| (s.head[0], s.head[1]) = (x * IN, y * IN));
        holder.screws[joint].screws.truncate(1);
        let found =
            close_calls(&holder, &shop).into_iter().map(|found| (found.level, found.message));
        found.filter(|(_, message)| message.contains("ledge to the wall")).collect()
    };
    let near = |to: &str, wants: &str, fix: &str| {
        let message = format!(
            "face: a screw (#12, ledge to the wall) stands 1/4 in from the {to} and wants \u{2248} {wants} in: {fix}."
        );
        (Level::Warn, message)
    };
    let middle = height / IN / 2.0;
    let end = "move it in by \u{2248} 53/64 in, or make the part longer";
    let found = told(0.25, middle);
    assert!(found.contains(&near("end", "1 5/64", end)), "{found:?}");
    let edge = "move it in by \u{2248} 19/64 in, or make the part wider, or take #8 screws";
    let found = told(4.0, 0.25);
    assert!(found.contains(&near("edge", "35/64", edge)), "{found:?}");
    assert_eq!(told(0.25 + 53.0 / 64.0, middle), []);
    assert_eq!(told(4.0, 0.25 + 19.0 / 64.0), []);
}
