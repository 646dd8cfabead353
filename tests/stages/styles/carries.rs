//! What holders carry: that every style says what bears its load, how figures move with what is
//! asked, and that a change which is offered mends.

use crate::carry::{Assessment, Check, LoadQuestion, assess, say};
use crate::document::load;
use crate::export::md;
use crate::holder::{Holder, Level, build};
use crate::length::STANDARD_GRAVITY;
use crate::reading::{Entry, Source};
use crate::settle::{Settled, settle};
use crate::shop::{AskedScrew, Shop};
use crate::style::{HolderFile, Library};
use proptest::prelude::*;

use super::{made, shop, text, usual_shop};

/// Holders of every style, as a person would have them.
pub(in super::super) const USUAL: [(&str, &str); 15] = [
    (
        "twin-arm",
        "bar_thickness = \"3/8\"\nhead_width = 2\nstack_count = 3\nstack_depth = 5\ntool_length = 30\ntool_mass = \"2 kg\"",
    ),
    (
        "slotted-shelf",
        "bar_thickness = \"5/16\"\nhead_width = \"1 1/8\"\ntool_length = 40\ntool_mass = \"1 kg\"",
    ),
    (
        "hook-ledge",
        "foot_height = \"1/2\"\nthroat = 2\nhead_width = 2\ntool_length = 40\ntool_mass = \"3 kg\"",
    ),
    ("peg", "tool_thickness = \"1/2\"\ntool_mass = \"0.2 kg\""),
    ("tongue", "inside_gap = 4\ntool_thickness = 1\ntool_mass = \"0.5 kg\""),
    ("wall-cleat", ""),
    (
        "hole-rail",
        "shank_diameter = [\"1/2\", \"5/8\", \"3/8\"]\nhead_width = 1\nwidest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"",
    ),
    (
        "till",
        "blade_thickness = [\"1.5 mm\", \"1.2 mm\"]\nblade_width = [5, 4]\nhead_width = \"7/8\"\ntool_mass = \"0.6 kg\"",
    ),
    (
        "dock",
        "neck_thickness = [\"1 1/2\", \"1 1/2\"]\nneck_depth = 2\nbody_width = \"2 3/4\"\noverhang = 1\ntool_mass = \"1.5 kg\"",
    ),
    ("tray", "inside_length = 14\ninside_width = 6\ninside_height = 3\nload_mass = \"4 kg\""),
    ("shelf-lip", "tool_width = [3, 3, 3]\ntool_mass = \"0.8 kg\""),
    (
        "hammer-rack",
        "handle_thickness = [1, 1.25]\nhead_width = 5\ntool_thickness = [1, 2.5]\ntool_mass = \"0.8 kg\"",
    ),
    (
        "level-pegs",
        "tool_length = [48, 24]\ntool_height = 2\ntool_thickness = 1\ntool_mass = \"1 kg\"",
    ),
    (
        "plane-ramp",
        "tool_width = [2, 2.5]\ntool_length = 9\ntool_height = 5\ntool_mass = \"1.6 kg\"",
    ),
    ("pigeonholes", "tool_width = 4\ntool_height = 3\ntool_depth = 6\ntool_mass = \"1 kg\""),
];

fn file(text: &str) -> HolderFile {
    let source = Source::new("holder.toml", text);
    HolderFile::read(source, "holder", &Library::built_in()).unwrap()
}

/// Whether a check asks `question` of the place called so.
fn is(check: &Check, place: &str, question: LoadQuestion) -> bool {
    check.id.place.words() == place && check.id.question == question
}

/// Wood without weight: what is asked is then the tools' alone.
fn weightless(mut holder: Holder) -> Holder {
    for part in &mut holder.parts {
        part.stock.density = 0.0;
    }
    holder.mass = 0.0;
    holder
}

fn asked(text: &str, shop: &Shop) -> Assessment {
    assess(&weightless(made(text, shop)), shop)
}

#[test]
fn every_style_says_what_bears_its_load() {
    let names: Vec<String> = Library::built_in().names().map(str::to_owned).collect();
    assert!(USUAL.iter().all(|(name, _)| names.iter().any(|n| n == name)));
    assert_eq!(names.len(), USUAL.len(), "a new style wants a line above");
    for (style, measures) in USUAL {
        let holder = made(&text(style, measures, ""), &usual_shop());
        let found = assess(&holder, &usual_shop());
        assert!(found.failed.is_empty(), "{style}: {:?}", found.failed);
        let told = found.checks.iter().map(|check| check.id.place.words());
        let places: std::collections::BTreeSet<&str> = told.collect();
        let least = if style == "wall-cleat" { 1 } else { 2 };
        assert!(places.len() >= least, "{style}: {places:?}, {:?}", found.remarks);
        for check in &found.checks {
            assert!(check.asked >= 0.0 && check.asked.is_finite(), "{style}: {check:?}");
            assert!(check.can > 0.0, "{style}: {check:?}");
            assert!(
                !say::grounds(&check.grounds, holder.units).is_empty()
                    && check.id.question.source().len() > 10
            );
        }
        let whole = holder.mass + holder.weights.iter().map(|w| w.mass).sum::<f64>();
        super::near(found.whole, whole);
    }
}

/// Twice the tools ask for twice as much of everything, and nothing can more for it.
#[test]
fn twice_the_mass_asks_for_twice_as_much() {
    for (style, measures) in USUAL {
        let double = |line: &str| match line.split_once("mass = \"") {
            Some((name, rest)) => {
                let (figure, unit) = rest.split_once(' ').unwrap();
                format!("{name}mass = \"{} {unit}", 2.0 * figure.parse::<f64>().unwrap())
            }
            None => line.to_owned(),
        };
        let twice: Vec<String> = measures.lines().map(double).collect();
        let (measures, twice, choices) = match style {
            "wall-cleat" => {
                (String::new(), String::new(), ["per_stud = \"10 kg\"", "per_stud = \"20 kg\""])
            }
            // More pegs would share it.
            "peg" => (measures.to_owned(), twice.join("\n"), ["pegs = 1"; 2]),
            _ => (measures.to_owned(), twice.join("\n"), [""; 2]),
        };
        let one = asked(&text(style, &measures, choices[0]), &usual_shop());
        let two = asked(&text(style, &twice, choices[1]), &usual_shop());
        // The heavier one may have to hang over a stud.
        let strip = |check: &Check| {
            [LoadQuestion::Strip, LoadQuestion::OverStud].contains(&check.id.question)
        };
        let [one, two] = [one, two].map(|mut found| {
            found.checks.retain(|check| !strip(check));
            found
        });
        assert_eq!(one.checks.len(), two.checks.len(), "{style}");
        for (a, b) in one.checks.iter().zip(&two.checks) {
            // The reach of a load is no load.
            let times = if a.id.question == LoadQuestion::Staying { 1.0 } else { 2.0 };
            assert!(
                (b.asked - times * a.asked).abs() <= 1e-9 * b.asked.max(1.0),
                "{style}: {a:?} {b:?}"
            );
            assert!((b.can / a.can - 1.0).abs() < 1e-9, "{style}: {a:?} {b:?}");
        }
    }
}

/// The mass a holder could take, by hand: an arm is a cantilever with its load spread evenly, its
/// bending stress m g live a / 2 / (t h² / 6) (Wood Handbook table 9-1 and eq. 9-13).
#[test]
fn an_arm_by_hand() {
    let measures = USUAL[0].1;
    let found = asked(
        &text("twin-arm", measures, "arm_height = 12\nnose_end = 12\nnose_radius = 0"),
        &usual_shop(),
    );
    let bending = found.checks.iter().find(|c| is(c, "an arm", LoadQuestion::Bending));
    // Eight places of 2 kg on two arms; arms of 8 × 1 11/16 + 2 5/16 in, 12 in high and 3/4 in thick.
    let (long, high, thick) = ((8.0 * 1.6875 + 2.3125) * 25.4, 12.0 * 25.4, 0.75 * 25.4);
    let moment = 8.0 * STANDARD_GRAVITY * 1.5 * long / 2.0;
    let stress = moment / (thick * high * high / 6.0);
    let got = bending.unwrap().asked;
    assert!((got / stress - 1.0).abs() < 1e-3, "{got}, not {stress}");
}

/// Screws through an upright into two brackets, by hand: the moment about the brackets' foot is
/// shared as the squares of the heights.
#[test]
fn brackets_pull_on_their_screws_as_by_hand() {
    let holder = weightless(made(&text("dock", USUAL[8].1, ""), &usual_shop()));
    let found = assess(&holder, &usual_shop());
    let line = found
        .checks
        .iter()
        .find(|c| is(c, "screws from the upright into the brackets", LoadQuestion::Heads));
    let joint = holder.screws.iter().find(|j| j.about == "upright to the brackets").unwrap();
    let (load, out) = (3.0 * STANDARD_GRAVITY * 1.5, holder.weights[0].out);
    let heights: Vec<f64> = joint.screws.iter().map(|s| s.head[1]).collect();
    // The joint is the upright's front face, two thicknesses of 3/4 in off the wall.
    let moment = load * (out - 1.5 * 25.4);
    let most = heights.iter().copied().fold(0.0, f64::max);
    let pull = moment * most / heights.iter().map(|h| h * h).sum::<f64>();
    let got = line.unwrap().asked;
    assert!((got / pull - 1.0).abs() < 1e-9, "{got}, not {pull}");
}

/// One holder of the boat shed, with tools far too heavy for it.
const OVERLOADED: &str = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"5/16\"\n\
     head_width = \"1 1/8\"\nbehind_bar = 0\ntool_length = 40\ntool_mass = \"5 kg\"\n[choices]\ncount = 9\nspare = 2\n\
     upright_height = \"5 1/2\"\nfinger_gap = \"3/4\"\nscrew = 8\nscrew_pitch = 4\n\
     sheet = \"birch ply 3/4\"\nstrip_height = \"3/4\"\ninset = \"1 1/8\"\ndepth = \"3 3/4\"\n";

#[test]
fn an_overload_is_told_and_the_change_offered_clears_it() {
    let shed = shop(include_str!("../../../samples/boat-shed/shop.toml"));
    for mass in ["2.5 kg", "2.8 kg"] {
        let file = file(&OVERLOADED.replace("5 kg", mass));
        let Settled { holder, carried, .. } = settle(&file, &shed).unwrap();
        let before = carried.unwrap();
        assert!(before.could.unwrap() < before.tools, "{before:?}");
        let told =
            holder.findings.iter().find(|f| f.code == "overloaded" || f.code == "near-its-limit");
        let told = told.unwrap_or_else(|| panic!("{:?}", holder.findings));
        let (file, shed) = mended(&file, &shed, &told.message);
        let Settled { holder: mended, carried, .. } = settle(&file, &shed).unwrap();
        let after = carried.unwrap();
        assert!(after.highest().unwrap().ratio() <= 1.0, "{}: {after:?}", told.message);
        let loud = mended.findings.iter().any(|f| f.level != Level::Note);
        assert!(!loud, "{}: {:?}", told.message, mended.findings);
    }
}

/// The files with the change that a message offers, made as it is told: in the holder file or the shop file.
pub(super) fn mended(file: &HolderFile, shop: &Shop, message: &str) -> (HolderFile, Shop) {
    let (mut file, mut shop) = (file.clone(), shop.clone());
    let advice = message.split("Fix: ").nth(1).unwrap_or_else(|| panic!("{message}"));
    let advice = advice.split(['.', ';']).next().unwrap();
    for change in advice.split(" and ") {
        let (name, value) = change.split_once(" = ").unwrap_or_else(|| panic!("{message}"));
        let number = value.parse().map(Entry::Number);
        let stated = number.unwrap_or_else(|_| Entry::Text(value.trim_matches('"').to_owned()));
        if let Some(value) = value.strip_suffix(" under [cleat] in shop") {
            shop.cleat.width = inches(value);
        } else if let Some(value) = value.strip_suffix(" under [wall] in shop") {
            match name {
                "screws" => shop.wall.screws = value.parse().unwrap(),
                _ => {
                    let asked: AskedScrew = value.trim_matches('"').parse().unwrap();
                    shop.wall.screw = asked.screw;
                    shop.wall.screw_length = asked.length.unwrap_or(shop.wall.screw_length);
                }
            }
        } else {
            file = file.with_choice(name, stated);
        }
    }
    (file, shop)
}

#[test]
fn a_hopeless_overload_says_what_it_could_take() {
    let shed = shop(include_str!("../../../samples/boat-shed/shop.toml"));
    let file = file(&OVERLOADED.replace("5 kg", "14 kg"));
    let Settled { holder, carried, .. } = settle(&file, &shed).unwrap();
    let found = carried.unwrap();
    let stop = holder.findings.iter().find(|f| f.code == "overloaded").unwrap();
    assert_eq!(stop.level, Level::Stop);
    assert!(stop.message.contains("hang no more than"), "{}", stop.message);
    // At what it could take the worst check is just met.
    let scale = found.could.unwrap() / found.tools;
    let lighter = file_with_mass(14.0 * scale);
    let limit = assess(&build(&lighter, &shed).unwrap(), &shed).highest().unwrap().ratio();
    assert!((limit - 1.0).abs() < 1e-3, "{limit}");
}

/// The length of a quoted text, in mm.
fn inches(text: &str) -> f64 {
    crate::length::read(text.trim_matches('"')).unwrap().value
}

/// Screws that end in the drywall hold nothing: a stop, whatever hangs there, and no word of how
/// much it could take.
#[test]
fn drywall_alone_is_a_stop() {
    let mut shed = usual_shop();
    shed.wall.screw_length = 30.0;
    for (style, measures) in [USUAL[1], USUAL[5]] {
        let file = file(&text(style, measures, ""));
        let Settled { holder, carried: found, .. } = settle(&file, &shed).unwrap();
        let stop = holder.findings.iter().find(|f| f.level == Level::Stop);
        let stop = stop.unwrap_or_else(|| panic!("{style}: {:?}", holder.findings));
        assert!(
            ["overloaded", "screw-pokes-through", "no-screw"].contains(&stop.code.as_str()),
            "{stop:?}"
        );
        assert!(found.is_none_or(|f| f.highest().unwrap().ratio().is_infinite()));
    }
}

/// A strip between two studs, by hand: half the weight P at either end of the hook h long bends it most where one of
/// them is h / 4 beside the middle of the spacing s: P (s - h / 2)² / 2 s (two equal loads that move along a beam;
/// textbooks). It bends down, and outward as hard at 45°. The flat is (1 1/2 + 3/4) / 2 high.
#[test]
fn a_strip_between_studs_by_hand() {
    let shop = usual_shop();
    let light = USUAL[0].1.replace("2 kg", "0.5 kg");
    let holder = weightless(made(&text("twin-arm", &light, ""), &shop));
    let found = assess(&holder, &shop);
    let strip = found.checks.iter().find(|c| c.id.question == LoadQuestion::Strip);
    let strip = strip.unwrap_or_else(|| panic!("{:#?}", found.checks));
    let hook = holder.parts.iter().find(|p| p.name == "holder-cleat").unwrap().length();
    let spacing = 16.0 * 25.4;
    let half = 4.0 * STANDARD_GRAVITY * 1.5 / 2.0;
    let moment = half * (spacing - hook / 2.0).powi(2) / (2.0 * spacing);
    let inch: f64 = 25.4;
    // By hand for 3/4 in solid and 3/4 in more, 3/4 in thick: middle 7/12 in up, second moment
    // 0.1084 in⁴, the furthest fiber 11/12 in off.
    let down = moment / (0.108_398_4 / (11.0 / 12.0) * inch.powi(3));
    let outward = moment / (1.125 * 0.75 * 0.75 / 6.0 * inch.powi(3));
    assert!((strip.asked / (2.0 * down + outward) - 1.0).abs() < 1e-4, "{strip:?}");
}

/// Studs off the middle of a ledge, by statics: two supports, the load between them.
#[test]
fn a_ledge_leans_on_the_nearer_stud() {
    let ledge = |first: &str| {
        let choices =
            format!("stud_first = \"{first}\"\ncount = 10\nspare = 0\nwall_screw_number = 14");
        let holder = weightless(made(&text("hook-ledge", USUAL[2].1, &choices), &usual_shop()));
        let found = assess(&holder, &usual_shop());
        let long = holder.parts[0].length() / 25.4;
        let what = "screws from the ledge into the wall";
        let line = found.checks.into_iter().find(|c| is(c, what, LoadQuestion::Heads));
        (line.unwrap().asked, long)
    };
    let ((centered, long), (aside, _)) = (ledge("6 3/8"), ledge("1"));
    assert!((long - 28.75).abs() < 1e-9, "{long}");
    // At 6 3/8 and 22 3/8 each has half of what acts at 14 3/8; at 1 and 17 the right one has more.
    let share = (14.375 - 1.0) / 16.0;
    assert!((aside / centered - share / 0.5).abs() < 1e-9, "{aside} {centered}");
}

/// A peg 12 in long on a back 5 in high: too far out for a smooth cleat and for the least friction, so that it gets a
/// keeper strip. What that holds down, by moments about the hook's edge: W reach = (W + K) most - K t / 2.
#[test]
fn a_keeper_strip_holds_what_friction_alone_would() {
    let measures = "tool_thickness = 1\ntool_mass = \"0.2 lb\"";
    let choices = "count = 12\nspare = 0\nback_height = 5\nside_margin = 2";
    let settled = |more: &str| {
        let text = text("peg", measures, &format!("{choices}\n{more}"));
        settle(&file(&text), &usual_shop()).unwrap().holder
    };
    let holder = settled("");
    assert!(holder.findings.iter().all(|found| found.level == Level::Note));
    assert!(holder.settled.iter().any(|settled| settled.choice == "keeper_strip"));
    let bare = settled("keeper_strip = \"no\"\npegs = 1");
    let told = bare.findings.iter().find(|found| found.code == "held-by-friction").unwrap();
    assert!(
        told.level == Level::Warn && told.message.contains("keeper_strip = \"yes\""),
        "{told:?}"
    );
    // Its own weight left out: 2.4 lb, half as much again for knocks, 7 1/2 in out.
    let found = assess(&weightless(holder), &usual_shop());
    let line = found.checks.iter().find(|c| c.id.place.words().contains("keeper")).unwrap();
    let weight = 12.0 * 0.090_718_474 * STANDARD_GRAVITY * 1.5;
    let most = 0.75 * 2.0 + (5.0 - 1.5 - 0.25);
    let force = weight * (7.5 - most) / (most - 0.375);
    assert!((line.asked / (force / 2.0) - 1.0).abs() < 1e-6, "{line:?}, not {force} on two");
}

fn file_with_mass(kg: f64) -> HolderFile {
    file(&OVERLOADED.replace("5 kg", &format!("{kg} kg")))
}

/// A narrow board of solid wood whose grain runs into the joint: its end grain holds no screw.
#[test]
fn end_grain_is_told() {
    let shed = shop(
        &crate::shop::DEFAULT_SHOP.replace("wood = \"birch plywood\"", "wood = \"hard maple\""),
    );
    let light = USUAL[0].1.replace("2 kg", "0.4 kg");
    let file = file(&text("twin-arm", &light, "joint = \"butt\""));
    let Settled { holder, carried, .. } = settle(&file, &shed).unwrap();
    let found = carried.unwrap();
    let sheet = md::write(&load(&holder, &found));
    assert!(sheet.contains("screws in end grain, where nothing can be counted on."), "{sheet}");
    let told = holder.findings.iter().find(|f| f.code == "screws-in-end-grain");
    let told = told.unwrap_or_else(|| panic!("{:?}", holder.findings));
    assert!(told.level == Level::Stop && told.message.contains("wedged tabs"), "{}", told.message);
}

/// The mass a holder could take, alone of what it holds.
fn could(measures: &str, choices: &str, shop: &Shop) -> f64 {
    let holder = made(&text("twin-arm", measures, choices), shop);
    assess(&holder, shop).could.unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn less_wood_and_fewer_screws_never_carry_more(
        stack in 40_u32..120, more in 1_u32..60, pitch in 2_u32..6, thin in 8_u32..12,
    ) {
        let measures = |stack: u32| format!(
            "bar_thickness = \"3/8\"\nhead_width = 3\nstack_count = 3\nstack_depth = \"{stack}/16\"\n\
             tool_length = 30\ntool_mass = \"2 kg\""
        );
        let choices = |pitch: u32| format!("nose_radius = 0\narm_height = 14\nscrew_pitch = {pitch}");
        let usual = could(&measures(stack), &choices(pitch), &usual_shop());
        // Longer arms ask more of every place but one: where on the bevel the thrust lies moves with
        // the reach, and the screws of the holder cleat are pulled by how far that is from their line.
        let shares = |stack| {
            let found = asked(&text("twin-arm", &measures(stack), &choices(pitch)), &usual_shop());
            let checks = found.checks.into_iter();
            // The back below the arms is bent by the foot's push alone, less by what turns in there.
            let moves = |check: &Check| {
                check.id.place.words() == "the screws of the holder cleat" || check.id.question == LoadQuestion::Back
            };
            let others = checks.filter(|check| !moves(check));
            others.map(|check| (check.ratio(), check.id)).collect::<Vec<_>>()
        };
        for (short, long) in shares(stack).into_iter().zip(shares(stack + more)) {
            prop_assert!(long.0 >= short.0 * (1.0 - 1e-9), "longer arms: {long:?} under {short:?}");
        }
        let fewer = could(&measures(stack), &choices(2 * pitch), &usual_shop());
        prop_assert!(fewer <= usual * (1.0 + 1e-9), "fewer screws: {fewer} over {usual}");
        let thinner = shop(&crate::shop::DEFAULT_SHOP.replacen(
            "thickness = \"3/4\"", &format!("thickness = \"{thin}/16\""), 1,
        ));
        let arm = |shop: &Shop| {
            let found = asked(&text("twin-arm", &measures(stack), &choices(pitch)), shop);
            let check = found.checks.into_iter().find(|c| {
                is(c, "an arm", LoadQuestion::Bending)
            });
            check.map(|c| 1.0 / c.ratio()).unwrap()
        };
        prop_assert!(arm(&thinner) <= arm(&usual_shop()) * (1.0 + 1e-9));
    }
}

/// A level peg of 1 in that stands 3/4 in deep and 6 in out with two tools of 1 kg, by hand: the rim is pressed with
/// P (4 t + 6 a) / (D t²) (statics of a rigid rod), a being half of what stands out.
#[test]
fn the_rim_of_a_pegs_hole_by_hand() {
    let measures = "tool_thickness = 1\ntool_mass = \"1 kg\"";
    let choices = "count = 2\nspare = 0\npegs = 1\ntilt = \"0 deg\"";
    let found = asked(&text("peg", measures, choices), &usual_shop());
    let rim = |c: &&Check| is(c, "the hole of the peg, in the back", LoadQuestion::Rim);
    let check = found.checks.iter().find(rim).unwrap();
    let (deep, out, thick) = (0.75 * 25.4, 3.0 * 25.4, 25.4);
    let by_hand = 2.0 * STANDARD_GRAVITY * 1.5 * (4.0 * deep + 6.0 * out) / (thick * deep * deep);
    assert!((check.asked / by_hand - 1.0).abs() < 1e-9, "{check:?}, not {by_hand}");
    // Plywood bears 3.0 N/mm², less 1.67 for safety, and on 1 in 1.375 times that (NDS-2018 3.10.4).
    assert!((check.can - 3.0 / 1.67 * 1.375).abs() < 1e-9, "{check:?}");
}

/// Cleats of a board may split along their screws, those of plywood do not.
#[test]
fn cleats_of_boards_are_checked_for_splitting() {
    let splits = |shop: &Shop| {
        let found = asked(&text("tray", USUAL[9].1, ""), shop);
        found.checks.iter().filter(|c| c.id.question == LoadQuestion::Splitting).count()
    };
    let solid = super::usual_text().replace("from = \"plywood 3/4\"", "from = \"hardwood 3/4\"");
    assert_eq!((splits(&usual_shop()), splits(&shop(&solid))), (0, 2));
}
