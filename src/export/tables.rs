//! The tables of a run as CSV: what to cut and what to buy.

use super::cut_tables::letters;
use super::words;
use crate::cutting::CuttingPlan;
use crate::holder::caution::SMALL_PART;
use crate::holder::{Hardware, Holder};

/// The cut list: a row a part, with the letters of its pieces in the cutting plan and a caution for
/// small ones. Sizes stand as a tape reads and, beside that, in mm.
///
/// # Errors
/// When the table can't be written (out of memory).
pub fn cut_list(holders: &[&Holder], plan: &CuttingPlan) -> csv::Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record([
        "holder",
        "part",
        "quantity",
        "stock",
        "thickness",
        "length",
        "width",
        "grain along",
        "thickness mm",
        "length mm",
        "width mm",
        "what it is",
        "letters",
        "caution",
    ])?;
    for holder in holders {
        let units = holder.units;
        for part in &holder.parts {
            let sizes = [part.stock.thickness, part.length(), part.width()];
            let [thickness, length, width] = sizes.map(|mm| units.length(mm));
            let [thickness_mm, length_mm, width_mm] = sizes.map(|mm| format!("{mm:.1}"));
            table.write_record([
                holder.name.as_str(),
                &part.name,
                &part.quantity().to_string(),
                &part.stock.name,
                &thickness,
                &length,
                &width,
                part.grain.word(),
                &thickness_mm,
                &length_mm,
                &width_mm,
                &part.about,
                &letters(plan, &holder.name, &part.name),
                if part.is_small() { SMALL_PART } else { "" },
            ])?;
        }
    }
    finish(table)
}

/// The hardware of all holders together: a row for each item and size, with the bits it wants.
///
/// # Errors
/// When the table can't be written (out of memory).
pub fn hardware(holders: &[&Holder]) -> csv::Result<Vec<u8>> {
    let mut totals: Vec<Total<'_>> = Vec::new();
    for holder in holders {
        for item in &holder.hardware {
            match totals.iter_mut().find(|total| total.first.is_like(item)) {
                Some(total) => total.add(item, holder),
                None => totals.push(Total::of(item, holder)),
            }
        }
    }
    totals.sort_by_cached_key(|total| words::item(total.first));
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record([
        "item",
        "size",
        "quantity",
        "boxes",
        "clearance",
        "pilot",
        "countersink",
        "holders",
    ])?;
    for total in totals {
        let [item, size] = words::item(total.first);
        let [clearance, pilot, countersink] = total.bits.map(|bits| bits.join(" or "));
        let boxes = if clearance.is_empty() { String::new() } else { boxes(total.quantity) };
        table.write_record([
            item.as_str(),
            &size,
            &total.quantity.to_string(),
            &boxes,
            &clearance,
            &pilot,
            &countersink,
            &total.holders.join(", "),
        ])?;
    }
    finish(table)
}

/// What all holders want of one item and size.
struct Total<'a> {
    first: &'a Hardware,
    quantity: usize,
    /// Clearance, pilot and countersink, each size once.
    bits: [Vec<String>; 3],
    holders: Vec<&'a str>,
}

impl<'a> Total<'a> {
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
        if self.holders.last() != Some(&holder.name.as_str()) {
            self.holders.push(&holder.name);
        }
    }
}

/// Boxes of 100, 50 and 25 that hold at least `quantity`, as few as can be: `2 × 100 + 1 × 25`.
fn boxes(quantity: usize) -> String {
    let (mut hundreds, rest) = (quantity / 100, quantity % 100);
    let small = match rest {
        0 => "",
        1..=25 => "1 × 25",
        26..=50 => "1 × 50",
        _ => {
            hundreds += 1;
            ""
        }
    };
    let large = if hundreds > 0 { format!("{hundreds} × 100") } else { String::new() };
    [large.as_str(), small].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(" + ")
}

pub(super) fn finish(table: csv::Writer<Vec<u8>>) -> csv::Result<Vec<u8>> {
    table.into_inner().map_err(|e| csv::Error::from(e.into_error()))
}

#[cfg(test)]
mod tests {
    use super::boxes;

    #[test]
    fn screws_come_in_boxes() {
        let told = [1, 25, 26, 50, 51, 100, 101, 130, 160].map(boxes);
        let wanted = [
            "1 × 25",
            "1 × 25",
            "1 × 50",
            "1 × 50",
            "1 × 100",
            "1 × 100",
            "1 × 100 + 1 × 25",
            "1 × 100 + 1 × 50",
            "2 × 100",
        ];
        assert_eq!(told, wanted);
    }
}
