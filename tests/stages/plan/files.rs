//! The files: letters are the same everywhere, offcuts go back into the shop file.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::cutting::CuttingPlan;
use crate::document::plan as order;
use crate::drawing::{Item, SCREEN, sawn};
use crate::export::{cut_tables, md};
use crate::holder::{Grain, Holder};
use crate::length::Units;
use crate::router;

use super::{SAW, holder, mixed, part, planned, ply, shop};

fn rows(bytes: &[u8]) -> Vec<Vec<String>> {
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    let row = |line: &str| line.split(',').map(str::to_owned).collect();
    text.lines().skip(1).map(row).collect()
}

#[test]
fn each_letter_is_in_the_plan_the_drawing_and_the_list() {
    let holders = mixed();
    let plan = planned(&holders, &ply("", SAW));
    let text = md::write(&order(&plan, &router::RouterPlan::default(), Units::Millimeters));
    let list = rows(&cut_tables::pieces(&plan, Units::Millimeters).unwrap());
    assert_eq!(list.len(), plan.pieces.len());
    let drawn = drawn(&plan);
    for (piece, row) in plan.pieces.iter().zip(&list) {
        let letter = &piece.letter;
        assert_eq!(&row[0], letter);
        assert_eq!(text.matches(&format!("**{letter}** {}", piece.name())).count(), 1, "{letter}");
        assert!(drawn.contains(letter.as_str()), "{letter} is not drawn");
        // The list's cut is the one that frees it.
        let line = text.lines().find(|line| line.contains(&format!("**{letter}** "))).unwrap();
        assert!(line.starts_with(&format!("| {} |", row[9])), "{line} {row:?}");
    }
    let letters: BTreeSet<&str> = plan.pieces.iter().map(|p| p.letter.as_str()).collect();
    assert_eq!(letters.len(), plan.pieces.len());
}

/// Words of all texts in the drawings of all sheets.
fn drawn(plan: &CuttingPlan) -> BTreeSet<String> {
    let drawings =
        (0..plan.sheets.len()).map(|index| sawn(plan, index, Units::Millimeters, SCREEN));
    let mut words = BTreeSet::new();
    for drawing in drawings {
        for item in drawing.items {
            if let Item::Text(text) = item {
                words.extend(text.text.split([' ', '|']).map(str::to_owned));
            }
        }
    }
    words
}

#[test]
fn every_cut_on_a_sheet_is_drawn_with_its_number() {
    let holders = mixed();
    let plan = planned(&holders, &ply("", SAW));
    let drawn = drawn(&plan);
    let square =
        plan.cuts().take_while(|(fence, _)| !matches!(fence, crate::cutting::Fence::Bevel { .. }));
    for (_, cut) in square {
        assert!(drawn.contains(&cut.number.to_string()), "cut {}", cut.number);
    }
}

#[test]
fn offcuts_go_back_into_the_shop_file() {
    for units in [Units::Millimeters, Units::Inches] {
        let holders: [Arc<Holder>; 1] =
            [holder("rack", vec![part("shelf", 777.7, 333.3, 3, Grain::Length)])];
        let plan = planned(&holders, &ply("", SAW));
        let text = cut_tables::offcuts(&plan, units);
        let sheet = "[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2440\nwidth = 1220\n";
        let read = shop(&format!("units = \"mm\"\n{sheet}{text}{SAW}"));
        assert_eq!(read.offcuts.len(), plan.left.len());
        assert!(!read.offcuts.is_empty());
        for (read, left) in read.offcuts.iter().zip(&plan.left) {
            let off = [left.length - read.length, left.width - read.width];
            // Never larger than it is, and no more than a mark smaller.
            assert!(off.iter().all(|off| (-1e-3..0.8).contains(off)), "{off:?}");
        }
    }
}

#[test]
fn what_to_buy_has_its_price() {
    let holders = [holder("screen", vec![part("panel", 1200.0, 600.0, 6, Grain::Length)])];
    let plan = planned(&holders, &ply("", SAW));
    let list = rows(&cut_tables::shopping(&plan, Units::Millimeters).unwrap());
    assert_eq!(list.len(), 1);
    let wanted = ["ply", "sheet", "2", "2440 mm", "1220 mm", "18 mm", "80.00", "160.00"];
    assert_eq!(list[0][..8], wanted);
}

#[test]
fn the_plan_says_how_good_it_is() {
    let holders = mixed();
    let plan = planned(&holders, &ply("", SAW));
    let text = md::write(&order(&plan, &router::RouterPlan::default(), Units::Millimeters));
    // All of it fills no more than one sheet, and less than one is not possible.
    assert!(text.contains("**ply**: 1 sheet. The fewest possible, proved."), "{text}");
    assert!(text.contains(&format!("The plan takes {} setups", plan.count.all())), "{text}");
    let fewer = plan.count.all() < plan.plain.all();
    assert_eq!(text.contains("fewer than a plan for least waste alone"), fewer, "{text}");
}
