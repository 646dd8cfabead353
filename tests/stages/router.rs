//! Sheets for the router, checked with the polygons of the `geo` crate, which had no part in
//! laying them: distances, what lies inside what, every piece once.

use std::sync::Arc;

use super::flat_parts;

use std::collections::BTreeMap;
use std::time::Instant;

use crate::holder::{Grain, Holder, MadeBy, Part, StockKind};
use crate::kernel::{Contour, Region, open_slot, polygon, rectangle};
use crate::reading::Source;
use crate::router::{RoutedPiece, RoutedSheet, RouterPlan, plan};
use crate::shop::{Shop, read_shop};
use geo::{Area, Contains, Distance, Euclidean, LineString, Polygon};
use kurbo::{Point, Rect};
use proptest::prelude::*;
use proptest::strategy::ValueTree;

const BIT: f64 = 6.0;
const MARGIN: f64 = 2.0;
const HOLD_DOWN: f64 = 12.0;

/// Chords for arcs here stand off by less than this; so do the distances found.
const CHORD: f64 = 0.01;

/// A shop with `sheets` sheets of 1200 × 600 mm and offcuts of the sizes given.
fn shop(sheets: usize, grain: bool, offcuts: &[(f64, f64)], more: &str) -> Shop {
    let offcuts: String = offcuts
        .iter()
        .map(|(length, width)| {
            format!("[[offcut]]\nof = \"ply\"\nlength = {length}\nwidth = {width}\n")
        })
        .collect();
    let text = format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 1200\nwidth = 600\n\
         quantity = {sheets}\ngrain = {grain}\n{offcuts}\
         [router]\nbit = {BIT}\nmargin = {MARGIN}\nhold_down = {HOLD_DOWN}\n{more}"
    );
    read_shop(&Source::new("shop.toml", text)).unwrap()
}

fn part(name: &str, region: Region, pieces: usize, grain: Grain) -> Part {
    flat_parts::part(name, region, pieces, grain, MadeBy::Router)
}

fn holder(parts: Vec<Part>) -> Arc<Holder> {
    flat_parts::holder("rack", parts)
}

fn board(length: f64, width: f64) -> Contour {
    rectangle(Point::ORIGIN, length, width, [0.0; 4]).unwrap()
}

fn plain(length: f64, width: f64) -> Region {
    Region::new(board(length, width), vec![])
}

/// A board of one of five forms: plain, rounded, a triangle, slotted, with a window.
fn shape(form: u8, length: f64, width: f64) -> Region {
    let small = length.min(width);
    match form {
        0 => plain(length, width),
        1 => {
            let radii = [small * 0.1, small * 0.4, 0.0, small * 0.3];
            Region::new(rectangle(Point::ORIGIN, length, width, radii).unwrap(), vec![])
        }
        2 => {
            let corners = [(0.0, 0.0), (length, 0.0), (0.0, width)];
            let corners = corners.map(|(x, y)| (Point::new(x, y), 2.0));
            Region::new(polygon(&corners).unwrap(), vec![])
        }
        3 => {
            let (end, mouth) =
                (Point::new(length / 2.0, width / 2.0), Point::new(length / 2.0, -1.0));
            let slot = open_slot(end, mouth, small * 0.3, small * 0.3).unwrap();
            plain(length, width).cut(&slot).unwrap()
        }
        _ => {
            let inset = small * 0.15;
            let window = Rect::new(inset, inset, length - inset, width - inset);
            let window =
                rectangle(window.origin(), window.width(), window.height(), [3.0; 4]).unwrap();
            plain(length, width).cut(&window).unwrap()
        }
    }
}

fn line(contour: &Contour) -> LineString {
    LineString::from(contour.flatten(CHORD).iter().map(|p| (p.x, p.y)).collect::<Vec<_>>())
}

/// The wood of a piece on its sheet.
fn wood(placed: &RoutedPiece) -> Polygon {
    let region = placed.part.region.transformed(placed.map());
    Polygon::new(line(region.outline()), region.openings().iter().map(line).collect())
}

/// All that must hold of every plan.
fn check(plan: &RouterPlan, holders: &[Arc<Holder>], shop: &Shop) -> Result<(), TestCaseError> {
    for sheet in &plan.sheets {
        check_sheet(sheet, shop.router_sheets.fill_openings)?;
    }
    let mut pieces: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
    for placed in plan.sheets.iter().flat_map(|s| &s.parts) {
        let name = (placed.part.holder().name.as_str(), placed.part.name.as_str());
        pieces.entry(name).or_default().push(placed.piece);
    }
    for holder in holders {
        for part in &holder.parts {
            let name = (holder.name.as_str(), part.name.as_str());
            let mut laid = pieces.remove(&name).unwrap_or_default();
            laid.sort_unstable();
            prop_assert_eq!(&laid, &(1..=laid.len()).collect::<Vec<_>>());
            let is_it = |l: &&crate::router::LeftOut| {
                l.part.holder().name == holder.name && l.part.name == part.name
            };
            let left: usize = plan.left_out.iter().filter(is_it).map(|l| l.pieces).sum();
            prop_assert_eq!(laid.len() + left, part.quantity());
        }
    }
    prop_assert!(pieces.is_empty());
    prop_assert_eq!(plan.left_out.is_empty(), plan.findings.is_empty());
    Ok(())
}

fn check_sheet(sheet: &RoutedSheet, openings_in_use: bool) -> Result<(), TestCaseError> {
    let woods: Vec<Polygon> = sheet.parts.iter().map(wood).collect();
    let inset = HOLD_DOWN + BIT - 1e-6;
    let clear = sheet.area().inset(-inset);
    let mut area = 0.0;
    for (i, (placed, wood)) in sheet.parts.iter().zip(&woods).enumerate() {
        let bounds = placed.part.region.transformed(placed.map()).bounds();
        prop_assert!(clear.union(bounds) == clear, "{bounds:?} beyond {clear:?}");
        prop_assert!((bounds.origin() - placed.at).hypot() < 1e-9);
        let sideways = placed.turn.degrees() % 180 == 90;
        match placed.part.grain {
            Grain::Any => {}
            Grain::Length => prop_assert!(!sheet.grain || !sideways),
            Grain::Width => prop_assert!(!sheet.grain || sideways),
        }
        for other in &woods[..i] {
            // Of one within the other's wood the distance is 0.
            let apart = Euclidean.distance(wood, other);
            prop_assert!(apart >= BIT + 2.0 * MARGIN - 2.0 * CHORD, "{apart} mm apart");
            if !openings_in_use {
                let whole = Polygon::new(other.exterior().clone(), vec![]);
                prop_assert!(!whole.contains(wood));
            }
        }
        area += wood.unsigned_area();
    }
    let filling = area / (sheet.size.width * sheet.size.height);
    prop_assert!((filling - sheet.filling()).abs() < 1e-3);
    Ok(())
}

fn parts() -> impl Strategy<Value = Vec<Part>> {
    let grain = prop_oneof![Just(Grain::Any), Just(Grain::Length), Just(Grain::Width)];
    let one = (0..5_u8, 30.0..500.0_f64, 30.0..400.0_f64, 1..5_usize, grain);
    proptest::collection::vec(one, 1..9).prop_map(|all| {
        let named = all.into_iter().enumerate();
        named
            .map(|(i, (form, length, width, pieces, grain))| {
                part(&format!("part-{i}"), shape(form, length, width), pieces, grain)
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn parts_keep_their_distance_and_none_is_lost(
        parts in parts(),
        sheets in 0..3_usize,
        grain in any::<bool>(),
        fill_openings in any::<bool>(),
        offcuts in proptest::collection::vec((40.0..900.0_f64, 40.0..500.0_f64), 0..3),
    ) {
        let shop = shop(sheets, grain, &offcuts, &format!("fill_openings = {fill_openings}"));
        let holders = [holder(parts)];
        let plan = plan(&holders, &shop);
        check(&plan, &holders, &shop)?;
        let offcuts_in_use = plan.sheets.iter().filter(|s| s.offcut).count();
        prop_assert!(offcuts_in_use <= offcuts.len());
        prop_assert!(plan.sheets.len() - offcuts_in_use <= sheets);
        prop_assert!(plan.sheets.iter().all(|sheet| !sheet.parts.is_empty()));
        let again = crate::router::plan(&holders, &shop);
        prop_assert_eq!(format!("{plan:?}"), format!("{again:?}"));
    }
}

/// 300 × 200 with a window of 240 × 140, and three pieces that only the windows have room for.
#[test]
fn small_parts_lie_in_openings_of_large_ones() {
    let frame = plain(300.0, 200.0)
        .cut(&rectangle(Point::new(30.0, 30.0), 240.0, 140.0, [5.0; 4]).unwrap())
        .unwrap();
    // A sheet on which nothing but the frame has room: 12 + 6 mm are kept at each edge.
    let offcut = [(300.0 + 36.0, 200.0 + 36.0)];
    let parts = || {
        vec![
            part("frame", frame.clone(), 1, Grain::Any),
            part("lid", plain(200.0, 50.0), 2, Grain::Any),
        ]
    };
    let holders = [holder(parts())];
    let filled = plan(&holders, &shop(0, true, &offcut, ""));
    check(&filled, &holders, &shop(0, true, &offcut, "")).unwrap();
    assert_eq!(filled.sheets[0].parts.len(), 3);
    let shop = shop(0, true, &offcut, "fill_openings = false");
    let unfilled = plan(&holders, &shop);
    check(&unfilled, &holders, &shop).unwrap();
    assert_eq!((unfilled.sheets[0].parts.len(), unfilled.left_out[0].pieces), (1, 2));
}

#[test]
fn outlines_count_and_not_their_boxes() {
    let triangle = || shape(2, 500.0, 300.0);
    let holders = [holder(vec![part("bracket", triangle(), 2, Grain::Any)])];
    // Two brackets head to tail lie in less than the boxes of two.
    let offcut = [(500.0 + 36.0 + 60.0, 300.0 + 36.0 + 40.0)];
    let shop = shop(0, false, &offcut, "");
    let plan = plan(&holders, &shop);
    check(&plan, &holders, &shop).unwrap();
    assert!(plan.left_out.is_empty(), "{:?}", plan.findings);
}

#[test]
fn what_does_not_fit_is_named_with_its_size_and_the_way_out() {
    let shop = shop(1, true, &[], "");
    let holders = [holder(vec![
        part("long", plain(1300.0, 100.0), 1, Grain::Length),
        part("across", plain(700.0, 100.0), 2, Grain::Width),
        part("many", plain(500.0, 250.0), 9, Grain::Any),
    ])];
    let plan = plan(&holders, &shop);
    check(&plan, &holders, &shop).unwrap();
    let left: Vec<(&str, usize)> =
        plan.left_out.iter().map(|l| (l.part.name.as_str(), l.pieces)).collect();
    assert_eq!(left, [("long", 1), ("across", 2), ("many", 5)]);
    let codes: Vec<&str> = plan.findings.iter().map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["larger-than-sheet", "larger-than-sheet", "no-room"]);
    assert!(plan.findings[0].message.contains("1300 mm × 100 mm"), "{}", plan.findings[0].message);
    assert!(plan.findings[0].message.contains("1164 mm × 564 mm"), "{}", plan.findings[0].message);
    assert!(plan.findings[2].message.contains("5 pieces of many of rack, 500 mm × 250 mm"));
}

#[test]
fn offcuts_are_used_before_sheets() {
    let shop = shop(2, true, &[(400.0, 200.0), (300.0, 150.0)], "");
    let holders = [holder(vec![part("strip", plain(250.0, 100.0), 3, Grain::Length)])];
    let plan = plan(&holders, &shop);
    check(&plan, &holders, &shop).unwrap();
    let used: Vec<(bool, f64)> = plan.sheets.iter().map(|s| (s.offcut, s.size.width)).collect();
    assert_eq!(used, [(true, 300.0), (true, 400.0), (false, 1200.0)]);
}

/// A part as large as what is free of a sheet has room on it, to the last hair.
#[test]
fn a_part_may_fill_the_whole_of_what_is_free() {
    let shop = shop(1, true, &[], "");
    let holders = [holder(vec![part("all", plain(1164.0, 564.0), 1, Grain::Length)])];
    assert_eq!(plan(&holders, &shop).sheets.len(), 1);
}

#[test]
fn parts_made_by_hand_and_from_boards_stay_away() {
    let mut by_hand = part("by-hand", plain(100.0, 100.0), 1, Grain::Any);
    by_hand.made_by = MadeBy::Hand;
    let mut plank = part("plank", plain(100.0, 100.0), 1, Grain::Any);
    plank.stock.kind = StockKind::Board;
    let holders = [holder(vec![by_hand, plank])];
    let plan = plan(&holders, &shop(1, true, &[], ""));
    assert!(plan.sheets.is_empty() && plan.findings.is_empty());
}

/// Says how well sheets are filled: `cargo test --release --test router -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement, not a check"]
fn measure_filling() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    for _ in 0..12 {
        let mut all = Vec::new();
        for _ in 0..3 {
            all.extend(parts().new_tree(&mut runner).unwrap().current());
        }
        for (i, part) in all.iter_mut().enumerate() {
            part.name = format!("part-{i}");
        }
        let holders = [holder(all)];
        let shop = shop(40, false, &[], "");
        let start = Instant::now();
        let plan = plan(&holders, &shop);
        let took = start.elapsed().as_millis();
        let full = &plan.sheets[..plan.sheets.len() - 1];
        let filling = full.iter().map(RoutedSheet::filling).sum::<f64>() / full.len() as f64;
        let boxes = |s: &RoutedSheet| {
            s.parts.iter().map(|p| p.part.region.bounds().area()).sum::<f64>() / s.size.area()
        };
        let boxed = full.iter().map(boxes).sum::<f64>() / full.len() as f64;
        eprintln!(
            "{} pieces on {} sheets, full ones {filling:.2} wood, {boxed:.2} boxes, {took} ms",
            holders[0].parts.iter().map(Part::quantity).sum::<usize>(),
            plan.sheets.len()
        );
    }
}
