//! Every cut made again on panels that are kept apart from the plan's own: a panel is there before
//! it is sawn, cuts run right across, kerfs are lost, each piece is made once at its size.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::cutting::{
    Area, BlankIndex, BlankUse, Content, Cut, CutSide, CutWay, CuttingPlan, Fence, PieceIndex,
    Precaution, SheetIndex, WorkName,
};
use crate::holder::{Grain, Holder};
use crate::shop::Shop;
use proptest::prelude::*;

use super::{SAW, cleat, holder, mixed, part, planned, ply};

/// What is in hand, by name.
type Hand = BTreeMap<WorkName, Area>;

fn made(plan: &CuttingPlan, kerf: i64) -> Result<Vec<BlankIndex>, String> {
    let mut hand: Hand = plan
        .sheets
        .iter()
        .enumerate()
        .map(|(i, sheet)| (WorkName::Sheet(SheetIndex(i)), Area { at: [0, 0], size: sheet.size }))
        .collect();
    let mut blanks = Vec::new();
    for sheet in &plan.sheets {
        blanks.extend(sheet.blanks.iter().filter(|b| b.cut.is_none()).map(|b| (b.blank, b.area)));
    }
    for (expected, (fence, cut)) in (1 + plan.partings.len()..).zip(plan.cuts()) {
        if cut.number != expected {
            return Err(format!("cut {} comes in place {expected}", cut.number));
        }
        let area = hand.remove(&cut.from).ok_or(format!("{:?} is not there", cut.from))?;
        if area != cut.area {
            return Err(format!("cut {}: {area:?} is in hand, not {:?}", cut.number, cut.area));
        }
        match fence {
            Fence::Bevel { .. } => tilted(cut, &mut hand)?,
            _ => square(cut, area, kerf, &mut hand)?,
        }
        for body in cut.both() {
            if let Content::Blank { blank, .. } = body.content {
                blanks.push((blank, body.area));
            }
            // What is done with is out of hand; a strip for the tilted blade stays.
            let strip = matches!(body.content, Content::Blank { blank, .. }
                if matches!(plan.blanks[blank.0], BlankUse::Strip(_)));
            if body.content != Content::Panel && !strip {
                hand.remove(&body.name).ok_or("what is freed is not in hand")?;
            }
        }
    }
    sizes(plan, &blanks)?;
    Ok(blanks.into_iter().map(|(blank, _)| blank).collect())
}

fn square(cut: &Cut, area: Area, kerf: i64, hand: &mut Hand) -> Result<(), String> {
    let axis = usize::from(cut.way == CutWay::Along);
    let mut first = area;
    first.size[axis] = cut.at;
    let mut second = area;
    second.at[axis] += cut.at + kerf;
    second.size[axis] -= cut.at + kerf;
    if cut.at <= 0 || cut.at >= area.size[axis] || first != cut.gives.area {
        return Err(format!("cut {} gives {:?}, not {first:?}", cut.number, cut.gives.area));
    }
    hand.insert(cut.gives.name, first);
    match cut.rest {
        Some(rest) if rest.area == second && rest.name == cut.from => {
            hand.insert(rest.name, second);
            Ok(())
        }
        None if second.size[axis] <= 0 => Ok(()),
        rest => Err(format!("cut {} leaves {rest:?}, not {second:?}", cut.number)),
    }
}

/// The tilted blade's strips are as long as their blank; their widths `bevel.rs` checks.
fn tilted(cut: &Cut, hand: &mut Hand) -> Result<(), String> {
    for body in cut.both() {
        if body.area.size[0] != cut.area.size[0] {
            return Err(format!("cut {} changes a length", cut.number));
        }
        hand.insert(body.name, body.area);
    }
    Ok(())
}

/// Each blank once, and a piece's at the size of its part, grain and all.
fn sizes(plan: &CuttingPlan, blanks: &[(BlankIndex, Area)]) -> Result<(), String> {
    let mut times = vec![0; plan.blanks.len()];
    for (blank, area) in blanks {
        times[blank.0] += 1;
        let BlankUse::Piece(piece) = plan.blanks[blank.0] else { continue };
        let part = &plan.pieces[piece.0].part;
        let um = |mm: f64| (mm * 1000.0).round() as i64;
        let (length, width) = (um(part.length()), um(part.width()));
        let right = match part.grain {
            Grain::Length => area.size == [length, width],
            Grain::Width => area.size == [width, length],
            Grain::Any => area.size == [length, width] || area.size == [width, length],
        };
        if !right {
            return Err(format!("{} is {:?}", plan.pieces[piece.0].name(), area.size));
        }
    }
    if times.iter().any(|count| *count != 1) {
        return Err(format!("blanks are freed {times:?} times"));
    }
    let mut sawn: Vec<PieceIndex> = plan
        .blanks
        .iter()
        .filter_map(|blank| match blank {
            BlankUse::Piece(piece) => Some(*piece),
            BlankUse::Strip(_) => None,
        })
        .chain(plan.missing.iter().copied())
        .collect();
    sawn.sort_unstable();
    let wanted = plan.pieces.iter().enumerate().filter(|(_, piece)| piece.blank.is_some());
    let wanted: Vec<PieceIndex> = wanted.map(|(at, _)| PieceIndex(at)).collect();
    if sawn == wanted { Ok(()) } else { Err(format!("{sawn:?} are sawn or missing")) }
}

pub fn check(holders: &[Arc<Holder>], shop: &Shop) {
    let plan = planned(holders, shop);
    made(&plan, 3000).unwrap();
    fences(&plan, shop);
}

/// What the shop file says of the saw holds for every cut.
fn fences(plan: &CuttingPlan, shop: &Shop) {
    let um = |mm: f64| (mm * 1000.0).round() as i64;
    let saw = shop.saw;
    let mut tilted = false;
    for (fence, cut) in plan.cuts() {
        let axis = usize::from(cut.way == CutWay::Along);
        let rest = cut.rest.map_or(0, |rest| rest.area.size[axis]);
        let held = if cut.held == CutSide::Slice { cut.at } else { rest };
        match fence {
            Fence::Rip(width) => {
                assert!(!tilted && cut.way == CutWay::Along && width == held);
                assert!(cut.push_stick == (held < um(saw.narrowest_rip)), "cut {}", cut.number);
                assert!(saw.widest_rip.is_none_or(|widest| held <= um(widest)));
                assert!(runs_along(cut, um(saw.shortest_rip)), "cut {}", cut.number);
            }
            Fence::Narrow(width) => {
                assert!(runs_along(cut, um(saw.shortest_rip)), "cut {}", cut.number);
                assert!(!tilted && width == cut.at && width < um(saw.narrowest_rip));
                assert!(rest >= um(saw.narrowest_rip));
                assert!(saw.widest_rip.is_none_or(|widest| rest <= um(widest)));
            }
            Fence::Stop(length) => {
                assert_eq!(length, cut.at);
                let across = cut.area.size[1 - axis];
                assert!(saw.longest_crosscut.is_none_or(|longest| across <= um(longest)));
            }
            Fence::Bevel { wide, .. } => {
                tilted = true;
                assert_eq!(cut.push_stick, wide < um(saw.narrowest_rip), "cut {}", cut.number);
                let fits = saw.widest_rip.is_none_or(|widest| wide <= um(widest));
                let safe = fits && runs_along(cut, um(saw.shortest_rip));
                assert_eq!(cut.care == Some(Precaution::Tilted), !safe, "cut {}", cut.number);
                told(plan, cut, "tilted-rip", !safe);
                told(plan, cut, "narrow-rip", cut.push_stick);
            }
            Fence::Straightedge => {}
        }
    }
}

/// Kickback: wood with its short edge on the fence, or too short, turns (common practice, no source).
fn runs_along(cut: &Cut, shortest: i64) -> bool {
    cut.area.size[0] >= cut.area.size[1].max(shortest)
}

/// Whether a finding names the cut.
fn told(plan: &CuttingPlan, cut: &Cut, code: &str, wanted: bool) {
    let said = plan.findings.iter().find(|finding| finding.code == code);
    let words = said.map_or("", |finding| finding.message.as_str());
    let number = cut.number.to_string();
    let named = words.split([' ', ',', ':']).any(|word| word == number);
    assert_eq!(named, wanted, "cut {number}, {code}: {words}");
}

#[test]
fn a_broad_short_panel_is_held_by_the_miter_gauge() {
    // As broad as the sheet and shorter than broad: no edge to run along the fence.
    let holders = [holder("door", vec![part("panel", 600.0, 1220.0, 4, Grain::Length)])];
    let plan = planned(&holders, &ply("", SAW));
    assert!(plan.cuts().all(|(fence, _)| !matches!(fence, Fence::Rip(_) | Fence::Narrow(_))));
    let holders = [holder("door", vec![part("panel", 300.0, 600.0, 1, Grain::Length)])];
    let offcut = "[[offcut]]\nof = \"ply\"\nlength = 300\nwidth = 900\n";
    let plan = planned(&holders, &ply("quantity = 0", &format!("{offcut}{SAW}")));
    let cuts: Vec<Fence> = plan.cuts().map(|(fence, _)| fence).collect();
    assert_eq!(cuts, [Fence::Stop(600_000)]);
}

#[test]
fn short_bevels_are_told() {
    let holders = [holder("wall", vec![cleat("hook", 150.0, 60.0, 1)])];
    let offcut = "[[offcut]]\nof = \"ply\"\nlength = 150\nwidth = 300\n";
    let shop = ply("quantity = 0", &format!("{offcut}{SAW}"));
    let plan = planned(&holders, &shop);
    assert!(plan.missing.is_empty());
    fences(&plan, &shop);
    assert!(plan.findings.iter().any(|finding| finding.code == "tilted-rip"));
    let narrow = ply("", &format!("{SAW}narrowest_rip = 70\n"));
    let holders = [holder("wall", vec![cleat("cleat", 1500.0, 60.0, 3)])];
    let plan = planned(&holders, &narrow);
    fences(&plan, &narrow);
    let mut tilted = plan.cuts().filter(|(fence, _)| matches!(fence, Fence::Bevel { .. }));
    assert!(tilted.all(|(_, cut)| cut.push_stick));
}

#[test]
fn a_mixed_wall_is_sawn_as_written() {
    check(&mixed(), &ply("", SAW));
    check(&mixed(), &ply("quantity = 1", &format!("{SAW}edge_trim = 10\n")));
}

#[test]
fn limits_of_the_saw_hold() {
    let saw = format!("{SAW}widest_rip = 610\nlongest_crosscut = 900\nnarrowest_rip = 60\n");
    let shop = ply("", &saw);
    check(&mixed(), &shop);
    let big = [holder("screen", vec![part("panel", 1800.0, 1100.0, 1, Grain::Length)])];
    check(&big, &shop);
    let plan = planned(&big, &shop);
    let by_hand = plan.cuts().filter(|(fence, _)| *fence == Fence::Straightedge).count();
    assert!(by_hand > 0, "1100 mm across is more than 900");
    assert!(plan.findings.iter().any(|finding| finding.code == "beyond-the-saw"));
}

#[test]
fn a_checker_that_can_fail() {
    let holders = mixed();
    let mut plan = planned(&holders, &ply("", SAW));
    let setup = plan.setups.iter_mut().find(|s| s.cuts.len() > 1).unwrap();
    setup.cuts.swap(0, 1);
    assert!(made(&plan, 3000).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_wall_is_sawn_as_written(
        parts in prop::collection::vec((20.0..1200.0_f64, 15.0..500.0_f64, 1..5_usize, 0..4_u8), 1..9),
        widest in prop::option::of(300.0..1300.0_f64),
        narrowest in 0.0..80.0_f64,
    ) {
        let parts = parts.into_iter().enumerate().map(|(i, (length, width, pieces, sort))| {
            let name = format!("p{i}");
            // Whole tenths of a mm, as a rule reads.
            let [length, width] = [length, width].map(|mm| (mm * 10.0).round() / 10.0);
            match sort {
                0 => part(&name, length, width, pieces, Grain::Length),
                1 => part(&name, length, width, pieces, Grain::Width),
                2 => part(&name, length, width, pieces, Grain::Any),
                _ => cleat(&name, length, width.max(40.0), pieces),
            }
        });
        let holders = [holder("any", parts.collect())];
        let widest = widest.map_or(String::new(), |w| format!("widest_rip = {w:.1}\n"));
        let shop = ply("", &format!("{SAW}narrowest_rip = {narrowest:.1}\n{widest}"));
        let router = crate::router::plan(&holders, &shop);
        let budget = crate::cutting::Budget { steps: 200_000 };
        let plan = crate::cutting::plan(&holders, &shop, &router, budget);
        prop_assert!(plan.missing.is_empty());
        if let Err(wrong) = made(&plan, 3000) {
            return Err(TestCaseError::fail(wrong));
        }
        fences(&plan, &shop);
    }
}
