//! Which holders that fit side by side bring most.

use crate::tolerance::COORDINATE;

/// In what steps widths are told apart, in mm: finer than any tape.
const CELL: f64 = 0.1;

/// What takes up room along the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SideBySide {
    /// In mm.
    pub width: f64,
    /// What it counts, 0 or more.
    pub worth: f64,
}

/// The places in `items` of those that fit into `room` mm and count most together, in their order: a knapsack filled
/// cell by cell (textbooks), exact for widths rounded down to [`CELL`].
pub(super) fn fullest(items: &[SideBySide], room: f64) -> Vec<usize> {
    let room = cells(room);
    let mut most = vec![0.0; room + 1];
    let taken: Vec<Vec<bool>> = items.iter().map(|item| take(*item, &mut most)).collect();
    let (mut left, mut picked) = (room, Vec::new());
    for (index, taken) in taken.iter().enumerate().rev() {
        if taken[left] {
            picked.push(index);
            left -= cells(items[index].width);
        }
    }
    picked.reverse();
    picked
}

/// In which rooms, up to the largest, one more item makes `most` more.
fn take(item: SideBySide, most: &mut [f64]) -> Vec<bool> {
    let (width, mut taken) = (cells(item.width), vec![false; most.len()]);
    for room in (width..most.len()).rev() {
        let with = most[room - width] + item.worth;
        if with > most[room] {
            (most[room], taken[room]) = (with, true);
        }
    }
    taken
}

fn cells(mm: f64) -> usize {
    ((mm + COORDINATE) / CELL).floor() as usize
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn worth(items: &[SideBySide], picked: impl Iterator<Item = usize>) -> f64 {
        picked.map(|index| items[index].worth).sum()
    }

    /// What the best of all choices of some items comes to, each tried.
    fn best(items: &[SideBySide], room: f64) -> f64 {
        let picks = (0_u32..1 << items.len()).map(|set| {
            let picked = (0..items.len()).filter(move |index| set >> index & 1 == 1);
            let width: f64 = picked.clone().map(|index| items[index].width).sum();
            if width <= room + COORDINATE { worth(items, picked) } else { 0.0 }
        });
        picks.fold(0.0, f64::max)
    }

    #[test]
    fn two_of_half_the_room_fit() {
        let eight = SideBySide { width: 203.2, worth: 41.0 };
        assert_eq!(fullest(&[eight, eight, eight], 406.4), [0, 1]);
        assert_eq!(fullest(&[SideBySide { width: 203.4, ..eight }, eight], 406.4), [0]);
        assert!(fullest(&[], 406.4).is_empty());
    }

    proptest! {
        #[test]
        fn no_other_choice_counts_more(
            sizes in prop::collection::vec((1_u32..5000, 0_u32..1000), 0..10),
            room in 500_u32..6000
        ) {
            let item = |(width, worth)| SideBySide { width: f64::from(width) / 10.0, worth: f64::from(worth) };
            let items: Vec<SideBySide> = sizes.into_iter().map(item).collect();
            let room = f64::from(room) / 10.0;
            let picked = fullest(&items, room);
            prop_assert!(picked.is_sorted());
            let width: f64 = picked.iter().map(|index| items[*index].width).sum();
            prop_assert!(width <= room + COORDINATE);
            let found = worth(&items, picked.into_iter());
            prop_assert!((found - best(&items, room)).abs() < 1e-9);
        }
    }
}
