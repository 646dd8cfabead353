//! What all holders of a project take besides wood, each item once.

use super::words;
use crate::holder::{Hardware, HardwareKind, Holder};

/// What all holders want of one item and size.
pub(crate) struct HardwareTotal<'a> {
    /// The first that wants it; all others are like it.
    pub first: &'a Hardware,
    pub quantity: usize,
    /// Clearance, pilot and countersink, each size once.
    pub bits: [Vec<String>; 3],
    /// Each once, in their order.
    pub holders: Vec<&'a Holder>,
}

/// What `holders` take, by what it is called.
pub(crate) fn totals<'a>(holders: &[&'a Holder]) -> Vec<HardwareTotal<'a>> {
    let mut totals: Vec<HardwareTotal<'a>> = Vec::new();
    for holder in holders {
        for item in &holder.hardware {
            match totals.iter_mut().find(|total| total.first.is_like(item)) {
                Some(total) => total.add(item, holder),
                None => totals.push(HardwareTotal::of(item, holder)),
            }
        }
    }
    totals.sort_by_cached_key(|total| words::item(total.first));
    totals
}

impl<'a> HardwareTotal<'a> {
    fn of(first: &'a Hardware, holder: &'a Holder) -> Self {
        let mut total = Self { first, quantity: 0, bits: Default::default(), holders: Vec::new() };
        total.add(first, holder);
        total
    }

    fn add(&mut self, item: &Hardware, holder: &'a Holder) {
        self.quantity = if item.is_shared() {
            self.quantity.max(item.quantity)
        } else {
            self.quantity + item.quantity
        };
        for (known, bit) in
            self.bits.iter_mut().zip(words::bits(item, holder.units).into_iter().flatten())
        {
            if !known.contains(&bit) {
                known.push(bit);
            }
        }
        if self.holders.last().is_none_or(|last| last.name != holder.name) {
            self.holders.push(holder);
        }
    }

    /// How many boxes of so many screws hold them: `2 × 100`; `None` for what is no screw.
    pub(crate) fn boxes(&self, in_box: usize) -> Option<String> {
        let screws = matches!(self.first.what, HardwareKind::Screws { .. });
        screws.then(|| format!("{} × {in_box}", self.quantity.div_ceil(in_box)))
    }
}
