//! Stock that is short, pieces that are too large, what to buy.

use std::sync::Arc;

use crate::cutting::{CuttingPlan, PieceIndex};
use crate::holder::{Grain, Holder, MadeBy};

use super::{SAW, cleat, holder, part, planned, ply, shop};

fn finding<'p>(plan: &'p CuttingPlan, code: &str) -> &'p str {
    let found = plan.findings.iter().find(|finding| finding.code == code);
    found.map_or("", |finding| finding.message.as_str())
}

/// Six panels of which four fill a sheet.
fn screens() -> Vec<Arc<Holder>> {
    vec![holder("screen", vec![part("panel", 1200.0, 600.0, 6, Grain::Length)])]
}

#[test]
fn what_the_stock_is_short_of_is_named_and_to_be_bought() {
    let holders = screens();
    let plan = planned(&holders, &ply("quantity = 1", SAW));
    assert_eq!(plan.missing, [PieceIndex(4), PieceIndex(5)]);
    let said = finding(&plan, "stock-short");
    assert!(said.contains("E (screen panel 5), F (screen panel 6)"), "{said}");
    assert!(said.contains("Buy one more"), "{said}");
    assert_eq!(plan.uses.len(), 1);
    assert_eq!((plan.uses[0].sawn, plan.uses[0].bought(), plan.uses[0].short), (1, 0, 1));
    assert_eq!(plan.uses[0].price, Some(80.0));
}

#[test]
fn with_no_quantity_all_is_bought() {
    let holders = screens();
    let plan = planned(&holders, &ply("", SAW));
    assert!(plan.missing.is_empty());
    assert_eq!((plan.uses[0].used(), plan.uses[0].bought()), (2, 2));
    assert_eq!(
        (plan.verdicts[0].used, plan.verdicts[0].least, plan.verdicts[0].proved),
        (2, 2, true)
    );
}

#[test]
fn what_is_at_hand_is_not_bought() {
    let holders = screens();
    let uses = &planned(&holders, &ply("quantity = 2", SAW)).uses[0];
    assert_eq!((uses.used(), uses.bought(), uses.short), (2, 0, 0));
}

#[test]
fn a_piece_larger_than_any_sheet_is_named_with_both_sizes() {
    let holders = [holder("wall", vec![cleat("cleat", 3000.0, 60.0, 1)])];
    let plan = planned(&holders, &ply("", SAW));
    assert_eq!(plan.missing, [PieceIndex(0)]);
    let said = finding(&plan, "larger-than-stock");
    assert!(said.contains("A (wall cleat)") && said.contains("3000 mm × 60 mm"), "{said}");
    assert!(said.contains("2440 mm × 1220 mm"), "{said}");
}

#[test]
fn grain_decides_what_is_too_large() {
    let tall = [holder("door", vec![part("panel", 1300.0, 300.0, 1, Grain::Width)])];
    assert!(!planned(&tall, &ply("", SAW)).missing.is_empty());
    let any = [holder("door", vec![part("panel", 1300.0, 300.0, 1, Grain::Any)])];
    assert!(planned(&any, &ply("", SAW)).missing.is_empty());
}

#[test]
fn sheets_of_the_router_are_not_there_for_the_saw() {
    // What it leaves has no room for the panel.
    let mut routed = part("routed", 2000.0, 1100.0, 1, Grain::Length);
    routed.made_by = MadeBy::Router;
    let holders = [
        holder("a", vec![routed]),
        holder("b", vec![part("panel", 1200.0, 600.0, 1, Grain::Length)]),
    ];
    let more = format!("{SAW}[router]\nbit = 6\n");
    let one = planned(&holders, &ply("quantity = 1", &more));
    assert_eq!(one.missing, [PieceIndex(1)]);
    let two = planned(&holders, &ply("quantity = 2", &more));
    assert!(two.missing.is_empty());
    // Letters run over all pieces; what the router makes has no blank.
    assert!(two.pieces[0].blank.is_none() && two.pieces[1].letter == "B");
}

#[test]
fn offcuts_come_first() {
    let offcut = "[[offcut]]\nof = \"ply\"\nlength = 800\nwidth = 400\n";
    let holders = [holder("a", vec![part("panel", 700.0, 300.0, 1, Grain::Length)])];
    let plan = planned(&holders, &ply("quantity = 1", &format!("{offcut}{SAW}")));
    assert_eq!(plan.sheets.len(), 1);
    assert!(plan.sheets[0].offcut);
    assert_eq!((plan.verdicts[0].used, plan.verdicts[0].offcuts), (0, 1));
}

#[test]
fn a_sheet_hardly_used_is_told_with_the_holder_to_leave_out() {
    let holders = [
        holder("big", vec![part("panel", 1200.0, 600.0, 4, Grain::Length)]),
        holder("small", vec![part("block", 300.0, 200.0, 1, Grain::Length)]),
    ];
    let plan = planned(&holders, &ply("", SAW));
    let said = finding(&plan, "save-a-sheet");
    assert!(said.contains("leave out small, and 1 instead of 2 are enough"), "{said}");
    // Without it, one sheet does.
    let rest = planned(&holders[..1], &ply("", SAW));
    assert_eq!(rest.verdicts[0].used, 1);
}

#[test]
fn a_cleat_without_stock_is_told() {
    let mut rail = cleat("cleat", 900.0, 60.0, 1);
    rail.stock.name = "cleat strip".to_owned();
    let holders = [holder("wall", vec![rail])];
    let plan = planned(&holders, &shop("units = \"mm\"\n"));
    assert_eq!(plan.missing, [PieceIndex(0)]);
    assert!(finding(&plan, "no-stock-to-saw").contains("A (wall cleat)"));
}
