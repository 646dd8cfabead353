//! All of a holder's screws that stand too near to something, each thing told once.

use super::close::CloseScrew;
use super::{close_stud, close_wood};
use crate::holder::Holder;
use crate::shop::Shop;

/// The nearest of each part and kind. What panels have that a thicker sheet alone would mend is told once, for the
/// nearest.
pub(super) fn close_screws(holder: &Holder, shop: &Shop) -> Vec<CloseScrew> {
    let mark = shop.tape(holder.units).grid;
    let parts = (0..holder.parts.len()).flat_map(|part| close_wood::in_part(holder, part, mark));
    let studs = holder.screws.iter().flat_map(|joint| close_stud::in_studs(joint, shop, mark));
    let mut found: Vec<CloseScrew> = Vec::new();
    for close in parts.chain(studs) {
        match found.iter_mut().find(|known| is_like(known, &close)) {
            Some(known) => take_in(known, close),
            None => found.push(close),
        }
    }
    found
}

fn is_like(known: &CloseScrew, close: &CloseScrew) -> bool {
    let advice = |close: &CloseScrew| !close.splits && !close.grave;
    let same = known.part == close.part && known.to == close.to;
    (advice(known) && advice(close)) || (same && advice(known) == advice(close))
}

/// Keeps the nearer one, and the names of the parts of both.
fn take_in(known: &mut CloseScrew, mut close: CloseScrew) {
    let share = |close: &CloseScrew| close.is / close.wants;
    if share(&close) < share(known) {
        std::mem::swap(known, &mut close);
        known.also = std::mem::take(&mut close.also);
    }
    known.also.push(close.part);
    let CloseScrew { part, also, .. } = known;
    also.retain(|name| name != part);
    also.sort_unstable();
    also.dedup();
}
