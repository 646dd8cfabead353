//! Tab joints: every tab seats in its mortise, whatever the thickness, bit and fit.

use crate::Inputs;
use crate::carry::{Check, LoadQuestion, assess};
use crate::holder::{Feature, Finding, Holder, Joint, Level, Purpose, build};
use crate::length::STANDARD_GRAVITY;
use crate::reading::Source;
use crate::shop::Shop;
use crate::style::{HolderFile, Library};
use crate::tolerance::{FLATTENING, RELIEF_SLACK};
use geo::{
    Area, BooleanOps, Buffer, Contains, Distance, Euclidean, LineString, MultiPolygon, Polygon,
    Rect,
};
use proptest::prelude::*;

use super::{IN, made, part, shop, stops, text, volume};

const MEASURES: &str = "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = 4\n\
                        tool_length = 40\ntool_mass = \"3 kg\"";

/// A rack with tab joints of wood `thickness` mm thick, cut with a bit of `bit` mm.
fn rack(thickness: f64, bit: f64, fit: f64, relief: &str, made_by: &str) -> Holder {
    let shop = shop(&format!(
        "[[sheet]]\nname = \"ply\"\nthickness = \"{thickness} mm\"\nlength = \"2440 mm\"\nwidth = \"1220 mm\"\n\
         [router]\nbit = \"{bit} mm\"\n[cleat]\nfrom = \"ply\"\nwidth = \"60 mm\"\n"
    ));
    let choices = format!(
        "joint = \"tab\"\nmade_by = \"{made_by}\"\ntab_fit = \"{fit} mm\"\nrelief = \"{relief}\"\n\
         nose_margin = \"3 in\"\nflank = \"3 in\""
    );
    made(&text("twin-arm", MEASURES, &choices), &shop)
}

/// The tabs of the arms where they pass the back, in the back's own x and y, worked out from the
/// style's own words: arms stand on either side of a gap of 1/2 in, tabs between the cleats, tabs and the gaps
/// between them equally wide, in sixteenths of an inch.
fn tabs(holder: &Holder, thickness: f64) -> Vec<Rect<f64>> {
    let joint = &holder.joints[0];
    let back = part(holder, "back");
    let rows = joint.count / 2;
    let (room, spaces) = (back.width() - 120.0, (2 * rows - 1) as f64);
    let sixteenth = IN / 16.0;
    let width = ((room / spaces + 0.001) / sixteenth).floor() * sixteenth;
    let start = 60.0 + (room - spaces * width) / 2.0;
    let middle = back.length() / 2.0;
    let lefts = [middle - IN / 4.0 - thickness, middle + IN / 4.0];
    let place = |left: f64, i: usize| {
        let low = start + 2.0 * width * i as f64;
        Rect::new((left, low), (left + thickness, low + width))
    };
    lefts.into_iter().flat_map(|left| (0..rows).map(move |i| place(left, i))).collect()
}

fn openings(holder: &Holder) -> Vec<Polygon<f64>> {
    let back = part(holder, "back");
    let ring = |contour: &crate::kernel::Contour| {
        let points = contour.flatten(FLATTENING).into_iter().map(|p| (p.x, p.y));
        Polygon::new(LineString::from(points.collect::<Vec<_>>()), vec![])
    };
    back.region.openings().iter().map(ring).collect()
}

fn grown(rect: &Rect<f64>, by: f64) -> Rect<f64> {
    let (low, high) = (rect.min(), rect.max());
    Rect::new((low.x - by, low.y - by), (high.x + by, high.y + by))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// What a round bit can mill of the mortise, the mortise opened by the bit's disk, holds the
    /// whole tab; and the mortise is no larger than the tab with its fit and the reliefs.
    #[test]
    fn every_tab_seats(
        thickness in 9.0..25.0_f64,
        bit in 2.0..6.5_f64,
        fit in 0.0..0.5_f64,
        relief in prop_oneof![Just("corner"), Just("side")],
    ) {
        let (thickness, bit) = ((thickness * 10.0).round() / 10.0, (bit * 10.0).round() / 10.0);
        let holder = rack(thickness, bit, fit, relief, "router");
        prop_assume!(stops(&holder).is_empty());
        let (tabs, openings) = (tabs(&holder, thickness), openings(&holder));
        prop_assert_eq!(tabs.len(), openings.len());
        for tab in &tabs {
            let mortise = openings.iter().find(|o| o.contains(&tab.center()));
            let mortise = MultiPolygon::new(vec![mortise.expect("a mortise round the tab").clone()]);
            let milled = mortise.buffer(-bit / 2.0 + 0.002).buffer(bit / 2.0);
            let left = MultiPolygon::new(vec![tab.to_polygon()]).difference(&milled);
            prop_assert!(left.unsigned_area() < 0.05, "{} mm² of the tab is left", left.unsigned_area());
            // A relief bites no further than its own width past the corner.
            let most = grown(tab, fit + bit + 2.0 * RELIEF_SLACK + FLATTENING).to_polygon();
            prop_assert!(mortise.difference(&MultiPolygon::new(vec![most])).unsigned_area() < 1e-6);
            let reach = grown(tab, fit).to_polygon();
            let bites = mortise.difference(&MultiPolygon::new(vec![reach])).unsigned_area();
            let circle = std::f64::consts::PI * (bit / 2.0 + RELIEF_SLACK).powi(2);
            prop_assert!(bites <= 4.0 * circle, "{bites} mm² beyond the fit");
        }
    }

    /// Tab and mortise share no wood when there is any fit, by router or by hand.
    #[test]
    fn nothing_shares_space(fit in 0.0..1.0_f64, router in any::<bool>()) {
        let holder = rack(18.0, 6.0, fit, "corner", if router { "router" } else { "hand" });
        prop_assert!(stops(&holder).is_empty());
        for (arm, back) in part(&holder, "arm").places.iter().zip([&part(&holder, "back").places[0]; 2]) {
            let volume = volume::shared((part(&holder, "arm"), arm), (part(&holder, "back"), back));
            prop_assert!(volume <= volume::NOTHING, "{volume} mm³ at a fit of {fit}");
        }
    }
}

/// A press fit squeezes as much as it says: the volume told by the measure above is not nought.
#[test]
fn a_press_fit_is_felt() {
    let holder = rack(18.0, 6.0, -0.2, "none", "hand");
    let (arm, back) = (part(&holder, "arm"), part(&holder, "back"));
    let volume = volume::shared((arm, &arm.places[0]), (back, &back.places[0]));
    let joint: &Joint = &holder.joints[0];
    // Squeezed all round each of the arm's tabs, 0.2 mm deep, 18 mm through.
    let around = (joint.count / 2) as f64 * (2.0 * (joint.width + 18.0) * 0.2 - 4.0 * 0.04);
    assert!((volume - around * 18.0).abs() < 0.5, "{volume}, not {}", around * 18.0);
}

/// A mortise that a bit can't make says so, with figures.
#[test]
fn a_bit_too_large_is_told() {
    let holder = rack(9.0, 9.5, 0.1, "corner", "router");
    let stop = stops(&holder);
    assert!(!stop.is_empty());
    assert!(stop.iter().all(|finding| finding.message.contains("in")), "{stop:?}");
}

/// An edge too short for a tab says how much is needed, and how much of it counts.
#[test]
fn no_room_for_a_tab_is_told() {
    let measures = "inside_gap = 1\ntool_thickness = 1\ntool_mass = \"1 kg\"";
    let holder = made(&text("tongue", measures, "joint = \"tab\""), &super::usual_shop());
    let stop = stops(&holder);
    let told = stop.iter().find(|f| f.code == "no-room-for-tab").map(|f| f.message.as_str());
    assert!(told.is_some_and(|m| m.contains("3/4 in")), "{:?}", holder.findings);
}

/// A tray joined with tabs, as it is before anything is settled.
fn tray(length: &str, made_by: &str, choices: &str, shop: &Shop) -> Holder {
    let measures = format!(
        "inside_length = \"{length}\"\ninside_width = 6\ninside_height = \"2 1/2\"\nload_mass = \"8 lb\""
    );
    let choices = format!("joint = \"tab\"\nmade_by = \"{made_by}\"\n{choices}");
    made(&text("tray", &measures, &choices), shop)
}

/// The least wood between any screw hole of a holder, or its shank, and what was cut of the part, by another library:
/// distances from a hole's middle to the openings, reliefs and all; mortises that run over the lower edge are left out.
fn least_web(holder: &Holder) -> f64 {
    let mut least = f64::INFINITY;
    for part in &holder.parts {
        let rings = part.region.openings().iter().map(|contour| {
            let points = contour.flatten(FLATTENING).into_iter().map(|p| (p.x, p.y));
            Polygon::new(LineString::from(points.collect::<Vec<_>>()), vec![])
        });
        let rings: Vec<_> = rings.collect();
        let screw = holder.screws.first().map_or(0.0, |joint| joint.screw.shank());
        for hole in &part.drillings {
            if hole.purpose != Purpose::Countersink {
                let at = geo::Point::new(hole.at.x, hole.at.y);
                let near = rings.iter().map(|ring| Euclidean.distance(&at, ring));
                let thick = screw.max(hole.diameter);
                least = least.min(near.fold(f64::INFINITY, f64::min) - thick / 2.0);
            }
        }
    }
    least
}

/// Trays of whole inches, by router and by hand: their screws dodge the mortises of the back.
#[test]
fn screws_dodge_mortises() {
    for made_by in ["router", "hand"] {
        for length in 6..=24 {
            let holder = tray(&length.to_string(), made_by, "", &super::usual_shop());
            assert_eq!(stops(&holder), [] as [&Finding; 0], "{made_by}, {length} in");
            assert!(least_web(&holder) >= 3.0 - 0.01, "{made_by}, {length} in");
        }
    }
}

/// A metric tray `width` mm wide inside, joined with tabs, of one sheet of one or more readings.
fn metric_tray(width: u32, readings: &str, made_by: &str) -> Holder {
    let shop = shop(&format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = {readings}\nlength = 2440\nwidth = 1220\n\
         [router]\nbit = 4\n[cleat]\nfrom = \"ply\"\nwidth = 60\n"
    ));
    let measures = format!(
        "inside_length = 300\ninside_width = {width}\ninside_height = 80\nload_mass = \"3 kg\""
    );
    let choices = format!("joint = \"tab\"\nmade_by = \"{made_by}\"");
    made(&text("tray", &measures, &choices).replacen("units = \"in\"", "units = \"mm\"", 1), &shop)
}

/// Sheets by their readings; the last wider where it is thickest.
const READINGS: [&str; 8] = ["8", "12", "15", "18", "18.1", "18.4", "19", "[17.8, 18.1]"];

/// Nothing stops it, and tabs on one edge lie in a mirror of those on the other.
fn fits_either_way_round(width: u32, readings: &str, made_by: &str) {
    let holder = metric_tray(width, readings, made_by);
    let which = format!("{width} mm, {readings}, {made_by}");
    assert_eq!(stops(&holder), [] as [&Finding; 0], "{which}");
    let bottom = part(&holder, "bottom");
    let tabs = bottom.rows.iter().filter(|row| matches!(row.feature, Feature::Tab { .. }));
    let centers: Vec<_> = tabs.flat_map(|row| &row.centers).collect();
    assert!(centers.len() >= 4, "{which}");
    let (length, across) = (bottom.length(), bottom.width());
    for at in &centers {
        for (x, y) in [(length - at.x, at.y), (at.x, across - at.y)] {
            let there = centers.iter().any(|c| (c.x - x).hypot(c.y - y) < 1e-6);
            assert!(there, "{which}: a tab at {at} and none at {x}, {y}");
        }
    }
}

#[test]
fn tabs_stand_even_about_the_middle() {
    for (i, readings) in READINGS.into_iter().enumerate() {
        for width in [150 + i as u32, 180, 201, 243 + i as u32] {
            fits_either_way_round(width, readings, ["router", "hand"][i % 2]);
        }
    }
    fits_either_way_round(180, "18.1", "router");
}

/// The same of each width.
#[test]
#[ignore = "takes a minute"]
fn tabs_stand_even_at_every_width() {
    for readings in READINGS {
        for width in 150..=250 {
            for made_by in ["router", "hand"] {
                fits_either_way_round(width, readings, made_by);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// So they do at any length and in sheets of any thickness.
    #[test]
    fn screws_dodge_mortises_of_all_sizes(
        length in 110_u32..900,
        thickness in 80_u32..190,
        router in any::<bool>(),
        relief in prop_oneof![Just("corner"), Just("side")],
    ) {
        let thickness = f64::from(thickness) / 10.0;
        let shop = shop(&super::usual_text().replacen(
            "thickness = \"3/4\"", &format!("thickness = \"{thickness} mm\""), 1));
        let made_by = if router { "router" } else { "hand" };
        let holder = tray(&format!("{length} mm"), made_by, &format!("relief = \"{relief}\""), &shop);
        let beside: Vec<_> = stops(&holder).into_iter().filter(|f| f.code == "screw-beside-cut").collect();
        prop_assert!(beside.is_empty(), "{beside:?}");
        let out = stops(&holder).into_iter().any(|f| f.message.contains("hole"));
        prop_assert!(!out, "{:?}", stops(&holder));
    }
}

/// A pilot hole 0.09 mm from a mortise stops, and both are named; a screw of the row is put there by hand.
#[test]
fn a_hole_beside_a_mortise_is_told() {
    let board_in = |style: &str, aside: f64| {
        let library = Library::with(&Inputs::new().with("styles/board.toml", style));
        let text = text("board", "", &format!("aside = \"{aside} mm\""));
        let file = HolderFile::read(Source::new("board.toml", text), "board", &library).unwrap();
        build(&file, &super::usual_shop()).unwrap()
    };
    let board = |aside: f64| board_in(include_str!("board.toml"), aside);
    let beside_in = |style: &str, aside: f64| {
        let holder = board_in(style, aside);
        let stop = stops(&holder).into_iter().find(|f| f.code == "screw-beside-cut");
        stop.map(|stop| stop.message.clone())
    };
    let beside = |aside: f64| beside_in(include_str!("board.toml"), aside);
    let holder = board(20.0);
    assert_eq!(stops(&holder), [] as [&Finding; 0]);
    let pilot = part(&holder, "board").drillings[0].diameter;
    let told = beside(pilot / 2.0 + 0.09).unwrap();
    assert!(told.contains("the pilot hole of \"strip to the board\""), "{told}");
    assert!(told.contains("the mortise for the tabs of shelf"), "{told}");
    // The shank, which is thicker, needs as much.
    let shank = holder.screws[0].screw.shank();
    // A window close to the mortise is called by its own name.
    let window =
        "[[parts.board.cuts]]\nwindow = { at = \"4 in, 3 in\", size = \"1 in, 1/2 in\" }\n";
    let told = beside_in(&format!("{}\n{window}", include_str!("board.toml")), 11.0).unwrap();
    assert!(told.contains("and the window,"), "{told}");
    assert!(shank > pilot && beside(pilot / 2.0 + 3.01).unwrap().contains("the screw of"));
    assert!(beside(shank / 2.0 + 2.99).is_some() && beside(shank / 2.0 + 3.01).is_none());
}

/// Tabs that stand proud hide nothing but themselves: a block a millimeter deep in the shelf is found, and the strip
/// that the tabs reach into, until they are sanded, is not.
#[test]
fn proud_tabs_hide_no_collision() {
    let block = "[parts.block]\nabout = \"lies on the shelf\"\nsize = \"2 in, 2 in\"\n\
        sits = { at = \"3 in, 4 3/4 in - 1 mm, 2 1/2 in\" }\n";
    let collide = |more: &str| {
        let style = format!("{}\n{more}", include_str!("board.toml"));
        let library = Library::with(&Inputs::new().with("styles/board.toml", &style));
        let text = text("board", "", "tab_proud = \"1/16\"");
        let file = HolderFile::read(Source::new("board.toml", text), "board", &library).unwrap();
        let holder = build(&file, &super::usual_shop()).unwrap();
        let stops = stops(&holder).into_iter().filter(|f| f.code == "parts-collide");
        stops.map(|stop| stop.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(collide(""), [] as [&str; 0]);
    let told = collide(block);
    assert!(told.len() == 1 && told[0].contains("shelf and block"), "{told:?}");
    assert!(told[0].contains("3/64 in deep"), "{told:?}");
}

/// Mortises with no relief are one note, not a stop at each corner; the steps say what is to be done. Another sharp
/// corner is still found.
#[test]
fn corners_left_round_are_one_note() {
    let holder = tray("8", "router", "relief = \"none\"", &super::usual_shop());
    assert_eq!(stops(&holder), [] as [&Finding; 0]);
    let notes: Vec<_> = holder.findings.iter().filter(|f| f.code == "left-round").collect();
    let mortises = |name: &str| {
        let part = part(&holder, name);
        let rows = part.rows.iter().filter(|row| matches!(row.feature, Feature::Mortise { .. }));
        rows.map(|row| row.centers.len()).sum::<usize>() * part.quantity()
    };
    let count: usize = ["back", "front", "end"].into_iter().map(mortises).sum();
    assert!(notes.len() == 1 && count > 4, "{:?}", holder.findings);
    assert!(
        notes[0].message.contains(&format!("of {count} mortises and those beside their tabs")),
        "{}",
        notes[0].message
    );
    assert!(notes[0].message.contains("1/8 in"), "{}", notes[0].message);
    assert!(holder.steps.iter().any(|step| step.text.contains("square those of the mortises")));
    for relief in ["corner", "side"] {
        let holder = tray("8", "router", &format!("relief = \"{relief}\""), &super::usual_shop());
        assert!(holder.findings.iter().all(|found| found.code != "left-round"));
        assert!(holder.steps.iter().all(|step| !step.text.contains("square those")));
    }
}

/// The bottom of a tray lies on wood under its tabs, and both are worked out: by hand, 8 lb with knocks and the bottom
/// itself, shared by the tabs in the ends.
#[test]
fn a_bottom_lies_on_its_tabs() {
    let shop = super::usual_shop();
    let holder = tray("8", "hand", "", &shop);
    let (bottom, end) = (part(&holder, "bottom"), part(&holder, "end"));
    let foot = end.places[0].bounds().0[1];
    let tabs: Vec<_> = holder
        .joints
        .iter()
        .filter(|joint| joint.tabs == "bottom" && joint.into == "end")
        .flat_map(|joint| &joint.tabs_at)
        .collect();
    assert!(tabs.iter().all(|(low, _)| (low[1] - foot - 3.0 / 8.0 * IN).abs() < 1e-6));
    let carried = assess(&holder, &shop);
    let rows: Vec<_> = carried
        .checks
        .iter()
        .filter(|c| c.id.place.words() == "the bottom, on its tabs in the ends")
        .collect();
    let load = (8.0 * 0.453_592_37 * 1.5 + bottom.mass()) * STANDARD_GRAVITY;
    let each = load / tabs.len() as f64;
    let wide = tabs[0].1[2] - tabs[0].0[2];
    let [thick, deep] = [bottom, end].map(|part| part.stock.thickness);
    // Held at one end, or the wood under the mortise at both.
    let sheared = [1.5 * each / (wide * thick), 1.5 * each / 2.0 / (deep * 3.0 / 8.0 * IN)];
    let bent = [
        6.0 * each * deep / 2.0 / (wide * thick.powi(2)),
        6.0 * each * wide / 8.0 / (deep * (3.0 / 8.0 * IN).powi(2)),
    ];
    let row = |question| rows.iter().find(|check| check.id.question == question).unwrap();
    let (shear, bending) = (row(LoadQuestion::Shear), row(LoadQuestion::Bending));
    assert!((shear.asked - sheared[0].max(sheared[1])).abs() < 1e-6, "{sheared:?} {shear:?}");
    assert!(bent.iter().any(|bent| (bending.asked - bent).abs() < 1e-6), "{bent:?} {bending:?}");
    assert!(shear.ratio() < 1.0 && bending.ratio() < 1.0);
    let butt = made(
        &text(
            "tray",
            "inside_length = 8\ninside_width = 6\ninside_height = 3\nload_mass = \"8 lb\"",
            "",
        ),
        &shop,
    );
    let on_screws = |check: &Check| check.id.place.words() == "the bottom, on its screws";
    assert!(assess(&butt, &shop).checks.iter().any(on_screws));
}

/// Where nothing is under the tabs, glue alone holds, and that is warned of.
#[test]
fn a_bottom_in_open_notches_is_held_by_glue() {
    let shop = super::usual_shop();
    let mut holder = tray("8", "hand", "", &shop);
    let end = holder.parts.iter_mut().find(|part| part.name == "end").unwrap();
    // As if the ends stood no lower than the bottom's tabs.
    end.places.iter_mut().for_each(|place| place.at[1] += 3.0 / 8.0 * IN);
    let carried = assess(&holder, &shop);
    let row =
        carried.checks.iter().find(|c| c.id.place.words() == "the bottom, on its tabs in the ends");
    let row = row.unwrap();
    assert!(row.id.question == LoadQuestion::Tabs && row.can == 0.0 && row.besides.is_some());
}

/// A hole that leans is none for a CNC router: told with the way out, and in the steps; by hand, or square, it is not.
#[test]
fn a_leaning_hole_is_told_to_a_router() {
    let peg = |choices: &str| {
        let measures = "tool_thickness = 1\ntool_mass = \"0.2 kg\"";
        made(&text("peg", measures, choices), &super::usual_shop())
    };
    let leaning = |holder: &Holder| {
        let found = holder.findings.iter().find(|found| found.code == "leaning-hole");
        found.map(|found| (found.level, found.message.clone()))
    };
    let routed = peg("made_by = \"router\"");
    let (level, message) = leaning(&routed).unwrap();
    assert!(level == Level::Warn && message.contains("1 hole in back leans 5°"), "{message}");
    let bevel = peg("made_by = \"router\"\ntilt = \"7.26 deg\"");
    assert!(leaning(&bevel).unwrap().1.contains(" 7.3°"), "{bevel:?}");
    assert!(
        message.contains("ramp block") && message.ends_with("made_by = \"hand\"."),
        "{message}"
    );
    assert!(routed.steps.iter().any(|step| step.text.contains("ramp block")), "{:?}", routed.steps);
    for choices in ["made_by = \"hand\"", "made_by = \"router\"\ntilt = \"0 deg\""] {
        let holder = peg(choices);
        assert_eq!(leaning(&holder), None);
        assert!(
            holder.steps.iter().all(|step| !step.text.contains("ramp block")),
            "{:?}",
            holder.steps
        );
    }
}
