//! Blanks that may be larger than they must be, so as to share a cut with others.

use super::super::least::{ItemType, StockSize};

/// How much larger than it must be a shaped blank may become so as to share a width or a stop, in
/// micrometers: 1/2 in. Common practice, no source.
const SNAP: i64 = 12_700;

/// How an item may grow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Growth {
    /// It is sawn to its size.
    None,
    /// It is shaped afterwards along these of its sizes: it may take the size of another.
    Shaped([bool; 2]),
    /// It is crosscut later: it may be as long as the panel.
    Longer,
}

/// For each item the sizes it may be sawn at, its own first and then the least.
pub(crate) fn sizes(
    items: &[ItemType],
    growth: &[Growth],
    stock: &[StockSize],
) -> Vec<Vec<[i64; 2]>> {
    let fixed = |axis: usize| -> Vec<i64> {
        let all = items.iter().zip(growth);
        let fixed = all.filter(|(_, growth)| match growth {
            Growth::None => true,
            Growth::Shaped(shaped) => !shaped[axis],
            Growth::Longer => false,
        });
        fixed.map(|(item, _)| item.size[axis]).collect()
    };
    let targets = [fixed(0), fixed(1)];
    let fits = |size: &[i64; 2]| stock.iter().any(|s| size[0] <= s.size[0] && size[1] <= s.size[1]);
    let grown = |item: &ItemType, growth: &Growth| {
        let [lengths, widths] = [0, 1].map(|axis| match growth {
            Growth::Shaped(shaped) if shaped[axis] => near(item.size[axis], &targets[axis]),
            Growth::Longer if axis == 0 => longer(item.size[0], stock),
            _ => vec![item.size[axis]],
        });
        let all = lengths.iter().flat_map(|l| widths.iter().map(|w| [*l, *w]));
        let mut sizes: Vec<[i64; 2]> = all.filter(fits).collect();
        sizes.retain(|size| *size != item.size);
        sizes.sort_by_key(|size| (-i64::from(size[0] != item.size[0]), size[0], size[1]));
        sizes.insert(0, item.size);
        sizes
    };
    items.iter().zip(growth).map(|(item, growth)| grown(item, growth)).collect()
}

/// The size itself and those it may grow to.
fn near(size: i64, targets: &[i64]) -> Vec<i64> {
    let mut sizes: Vec<i64> =
        targets.iter().copied().filter(|t| (size..=size + SNAP).contains(t)).collect();
    sizes.push(size);
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

fn longer(size: i64, stock: &[StockSize]) -> Vec<i64> {
    let mut sizes: Vec<i64> = stock.iter().map(|s| s.size[0]).filter(|s| *s > size).collect();
    sizes.push(size);
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}
