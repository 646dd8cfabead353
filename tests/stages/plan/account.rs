//! One account of the stock: what the router and the saw use of it together.

use std::sync::Arc;

use kurbo::{Rect, Size};
use proptest::prelude::*;

use crate::cutting::{
    Budget, CutWay, CuttingPlan, KeptFrom, PartedFrom, PartedInto, Parting, plan as cutting_plan,
};
use crate::document::plan as order;
use crate::export::{cut_tables, md};
use crate::holder::{Grain, Holder, MadeBy, Part};
use crate::length::{Tape, Units};
use crate::router::{Parter, Portion, PortionFate, RouterPlan, plan as router_plan};
use crate::shop::Shop;

use super::{SAW, STEPS, cleat, holder, part, planned, ply, shop};

const ROUTER: &str = "[router]\nbit = 6\nmargin = 2\nhold_down = 12\n";

fn routed(name: &str, length: f64, width: f64, pieces: usize) -> Part {
    let mut part = part(name, length, width, pieces, Grain::Length);
    part.made_by = MadeBy::Router;
    part
}

fn by_both(router: Part, hand: Part) -> Vec<Arc<Holder>> {
    vec![holder("routed", vec![router]), holder("sawn", vec![hand])]
}

/// Both plans and what is told of them.
fn told(holders: &[Arc<Holder>], shop: &Shop) -> (RouterPlan, CuttingPlan, String) {
    let router = router_plan(holders, shop);
    let plan = cutting_plan(holders, shop, &router, Budget { steps: STEPS });
    let text = md::write(&order(&plan, &router, Units::Millimeters));
    (router, plan, text)
}

fn shopping(plan: &CuttingPlan) -> Vec<Vec<String>> {
    let text = String::from_utf8(cut_tables::shopping(plan, Units::Millimeters).unwrap()).unwrap();
    text.lines().skip(1).map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// What is used, its total, why, and how much of it is bought.
fn row(row: &[String]) -> [&str; 4] {
    [&row[2], &row[7], &row[8], &row[9]]
}

#[test]
fn sheets_of_the_router_are_bought_too() {
    // Each takes a sheet of its own: neither leaves enough for the other.
    let holders =
        by_both(routed("back", 2000.0, 1100.0, 1), part("top", 2400.0, 1200.0, 1, Grain::Length));
    let more = format!("{SAW}{ROUTER}");
    let (_, plan, text) = told(&holders, &ply("", &more));
    let rows = shopping(&plan);
    assert_eq!(rows.len(), 1);
    assert_eq!(row(&rows[0]), ["2", "160.00", "the CNC router and the saw use it", "2"]);
    assert!(text.contains("**ply**: 2 sheets, 1 for the CNC router and 1 to saw."), "{text}");
    // Of what is at hand nothing is bought; what is short is.
    let (_, plan, _) = told(&holders, &ply("quantity = 2", &more));
    assert_eq!(row(&shopping(&plan)[0])[3], "0");
    let (_, plan, _) = told(&holders, &ply("quantity = 1", &more));
    let rows = shopping(&plan);
    assert_eq!(row(&rows[0]), ["1", "80.00", "the CNC router uses it", "0"]);
    assert_eq!(row(&rows[1]), ["1", "80.00", "not enough at hand", "1"]);
    let (router, plan, _) = told(&holders[..1], &ply("quantity = 0", &more));
    assert_eq!(row(&shopping(&plan)[0]), ["1", "80.00", "not enough at hand", "1"]);
    assert!(router.findings[0].message.contains("Buy one more"), "{:?}", router.findings);
}

#[test]
fn a_stock_that_only_the_router_uses_is_told() {
    let (_, plan, text) = told(
        &[holder("a", vec![routed("back", 600.0, 400.0, 1)])],
        &ply("", &format!("{SAW}{ROUTER}")),
    );
    assert_eq!(row(&shopping(&plan)[0]), ["1", "80.00", "the CNC router uses it", "1"]);
    assert!(text.contains("**ply**: 1 sheet for the CNC router."), "{text}");
}

#[test]
fn a_strip_is_sawn_from_what_the_router_leaves() {
    let holders = by_both(routed("back", 600.0, 400.0, 1), cleat("cleat", 1500.0, 60.0, 2));
    let (router, plan, text) = told(&holders, &ply("", &format!("{SAW}{ROUTER}")));
    assert_eq!((router.new_ones("ply"), plan.uses[0].sawn), (1, 0));
    assert_eq!((plan.verdicts[0].used, plan.verdicts[0].left), (0, 1));
    // 12 are held down, the bit takes 6 either side of 600.
    let cut = &plan.partings[0];
    assert_eq!((cut.number, cut.way, cut.at), (1, CutWay::Across, 624.0));
    let left = "remainder of ply-1, right end";
    assert_eq!(plan.sheets[0].left.as_deref(), Some(left));
    assert_eq!(plan.sheets[0].size, [2_440_000 - 624_000 - 3_000, 1_220_000]);
    let told = format!(
        "| 1 | ply-1, 2440 × 1220, crosscut at 624 mm | waste 624 × 1220 | **{left}**, 1813 × 1220 |"
    );
    assert!(text.replace("panel 1, 624 × 1220", "waste 624 × 1220").contains(&told), "{text}");
    // The saw goes on counting where these cuts end.
    let first = plan.cuts().map(|(_, cut)| cut.number).min();
    assert_eq!(first, Some(plan.partings.len() + 1));
    assert!(
        text.contains("1 sheet for the CNC router and 1 remainder that the CNC router leaves"),
        "{text}"
    );
}

#[test]
fn what_nobody_saws_is_listed_as_an_offcut() {
    let holders = [holder("a", vec![routed("back", 600.0, 400.0, 1)])];
    let (_, plan, text) = told(&holders, &ply("quantity = 3", &format!("{SAW}{ROUTER}")));
    let list = cut_tables::offcuts(&plan, Units::Millimeters);
    assert!(
        list.contains("# ply: lower its quantity by 1.") && !list.contains("measure"),
        "{list}"
    );
    let sheet = "[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2440\nwidth = 1220\n";
    let read = shop(&format!("units = \"mm\"\n{sheet}{list}{SAW}"));
    let sizes: Vec<[f64; 2]> = read.offcuts.iter().map(|o| [o.length, o.width]).collect();
    assert_eq!(sizes, [[624.0, 1220.0 - 424.0 - 3.0], [1813.0, 1220.0]]);
    assert!(plan.left.iter().all(|left| matches!(left.from, KeptFrom::Router(_))));
    assert!(text.contains("remainder of ply-1, upper edge"), "{text}");
}

#[test]
fn edges_are_trimmed_before_the_routers_sheet_is_sawn() {
    let holders = by_both(routed("back", 600.0, 400.0, 1), cleat("cleat", 1500.0, 60.0, 2));
    let (_, plan, text) = told(&holders, &ply("", &format!("{SAW}edge_trim = 10\n{ROUTER}")));
    assert_eq!(plan.partings[0].at, 614.0);
    assert_eq!(plan.sheets[0].size, [2_420_000 - 614_000 - 3_000, 1_200_000]);
    assert!(text.contains("Trim 10 mm off each of the four edges of a new sheet"), "{text}");
}

const BED: &str = "bed = [900, 600]\n";

#[test]
fn a_sheet_larger_than_the_bed_is_sawn_in_panels_first() {
    let holders = [holder("a", vec![routed("back", 800.0, 250.0, 3)])];
    let (router, plan, text) = told(&holders, &ply("", &format!("{SAW}{ROUTER}{BED}")));
    let sizes: Vec<Size> = router.sheets.iter().map(|sheet| sheet.size).collect();
    assert_eq!(sizes, [Size::new(900.0, 600.0), Size::new(900.0, 600.0)]);
    assert_eq!(router.new_ones("ply"), 1);
    let cuts: Vec<(bool, CutWay, f64)> =
        plan.partings.iter().map(|cut| (cut.before, cut.way, cut.at)).collect();
    assert_eq!(cuts[..2], [(true, CutWay::Across, 900.0), (true, CutWay::Along, 600.0)]);
    let on_bed = |cut: &Parting| {
        cut.halves.iter().filter(|half| matches!(half.becomes, PartedInto::Bed(_))).count()
    };
    assert_eq!(plan.partings.iter().map(on_bed).sum::<usize>(), 2);
    assert!(text.contains("panel for router/ply-1, 900 × 600"), "{text}");
    // The rest of the sheet is kept, and sawn from.
    assert!(plan.left.iter().any(|left| [left.length, left.width] == [2440.0 - 903.0, 1220.0]));
}

#[test]
fn what_the_bed_does_not_take_is_told_with_the_bed() {
    let holders = [holder("a", vec![routed("back", 1000.0, 250.0, 1)])];
    let (router, ..) = told(&holders, &ply("", &format!("{SAW}{ROUTER}{BED}")));
    let finding = &router.findings[0];
    assert_eq!(finding.code, "larger-than-sheet");
    assert!(finding.message.contains("on its bed, 900 mm × 600 mm"), "{}", finding.message);
}

/// Every parting made again on rectangles of its own.
fn parted_again(plan: &CuttingPlan, router: &RouterPlan, kerf: f64) -> Result<(), TestCaseError> {
    let mut hand: Vec<(PartedFrom, [f64; 2])> = Vec::new();
    for taken in &router.taken {
        let file = &router.sheets[taken.sheets.start].file;
        let name = format!("the sheet of {file}");
        hand.push((PartedFrom::Sheet(name), [taken.size.width, taken.size.height]));
    }
    for sheet in &router.sheets {
        hand.push((PartedFrom::Sheet(sheet.file.clone()), [sheet.size.width, sheet.size.height]));
    }
    for (number, cut) in (1..).zip(&plan.partings) {
        prop_assert_eq!(cut.number, number);
        let at = hand.iter().position(|(name, _)| *name == cut.from);
        let Some(at) = at else { return Err(TestCaseError::fail("not in hand")) };
        let (_, size) = hand.remove(at);
        let axis = usize::from(cut.way == CutWay::Along);
        let (mut first, mut rest) = (size, size);
        first[axis] = cut.at;
        rest[axis] = (size[axis] - cut.at - kerf).max(0.0);
        for (half, size) in cut.halves.iter().zip([first, rest]) {
            prop_assert!((half.size[0] - size[0]).abs() + (half.size[1] - size[1]).abs() < 1e-6);
        }
        for (half, name) in cut.halves.iter().zip([PartedFrom::Cut(number), cut.from.clone()]) {
            if half.becomes == PartedInto::Panel {
                hand.push((name, half.size));
            }
        }
    }
    Ok(())
}

fn overlap(one: Rect, other: Rect) -> bool {
    let common = one.intersect(other);
    common.width() > 0.001 && common.height() > 0.001
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// What is free lies clear of the bit's way round every part; sides and kerfs make up the sheet.
    #[test]
    fn remainders_lie_clear_of_the_bit(
        sizes in prop::collection::vec((60.0..700.0_f64, 60.0..500.0_f64, 1..4_usize), 1..8),
        bed in any::<bool>(),
        strips in 1..4_usize,
    ) {
        let routed = sizes.into_iter().enumerate();
        let mut parts: Vec<Part> =
            routed.map(|(i, (l, w, pieces))| routed_part(i, l, w, pieces)).collect();
        parts.push(part("strip", 500.0, 80.0, strips, Grain::Length));
        let holders = [holder("any", parts)];
        let shop = ply("", &format!("{SAW}{ROUTER}{}", if bed { BED } else { "" }));
        let router = router_plan(&holders, &shop);
        for sheet in &router.sheets {
            let area = Rect::from_origin_size(sheet.corner, sheet.size);
            let parter = Parter { kerf: 3.0, tape: Tape { grid: 1.0 }, usable: &|s| s.area() > 1e4 };
            let portion = sheet.parted(area, &[], &parter);
            let cut = |placed: &crate::router::RoutedPiece| {
                placed.part.region.transformed(placed.map()).bounds().inset(6.0) + sheet.corner.to_vec2()
            };
            for leaf in portion.leaves().into_iter().filter(|leaf| leaf.fate == PortionFate::Free) {
                prop_assert!(sheet.parts.iter().all(|placed| !overlap(cut(placed), leaf.area)));
            }
            sides_make_up(&portion)?;
        }
        let plan = cutting_plan(&holders, &shop, &router, Budget { steps: 100_000 });
        parted_again(&plan, &router, 3.0)?;
        prop_assert_eq!(plan.uses[0].used(), router.new_ones("ply") + plan.verdicts[0].used);
    }
}

fn routed_part(i: usize, length: f64, width: f64, pieces: usize) -> Part {
    routed(&format!("p{i}"), length, width, pieces)
}

fn sides_make_up(portion: &Portion) -> Result<(), TestCaseError> {
    let PortionFate::Sawn(halves) = &portion.fate else { return Ok(()) };
    let [first, rest] = &**halves;
    prop_assert!(!overlap(first.area, rest.area));
    let apart = (rest.area.x0 - first.area.x1).max(rest.area.y0 - first.area.y1);
    prop_assert!((apart - 3.0).abs() < 1e-9);
    prop_assert_eq!(first.area.union(rest.area), portion.area);
    halves.iter().try_for_each(sides_make_up)
}

#[test]
fn the_same_offcuts_go_first() {
    // A strip that an offcut has room for is not sawn from a remainder that must be parted first.
    let offcut = "[[offcut]]\nof = \"ply\"\nlength = 800\nwidth = 100\n";
    let holders =
        by_both(routed("back", 1000.0, 400.0, 1), part("lip", 700.0, 80.0, 1, Grain::Length));
    let plan = planned(&holders, &ply("", &format!("{offcut}{SAW}{ROUTER}")));
    assert_eq!((plan.verdicts[0].offcuts, plan.verdicts[0].left), (1, 0), "{:?}", plan.sheets);
}

/// A dowel's hole near the far end takes the end of what is left, not all of it.
#[test]
fn holes_in_the_waste_are_kept_out_of_what_is_left() {
    let holders = [holder("a", vec![routed("back", 600.0, 400.0, 1)])];
    let router = router_plan(&holders, &ply("", &format!("{SAW}{ROUTER}")));
    let sheet = &router.sheets[0];
    let holes = [Rect::new(10.0, 300.0, 16.0, 306.0), Rect::new(2424.0, 300.0, 2430.0, 306.0)];
    let parter = Parter { kerf: 3.0, tape: Tape { grid: 1.0 }, usable: &|s| s.area() > 1e5 };
    let portion = sheet.parted(sheet.area(), &holes, &parter);
    let free: Vec<Rect> = portion
        .leaves()
        .into_iter()
        .filter(|leaf| leaf.fate == PortionFate::Free)
        .map(|leaf| leaf.area)
        .collect();
    assert!(free.iter().all(|area| holes.iter().all(|hole| !overlap(*hole, *area))), "{free:?}");
    let largest = free.iter().map(Rect::area).fold(0.0, f64::max);
    assert!(largest >= 1790.0 * 1220.0, "{free:?}");
    sides_make_up(&portion).unwrap();
}
