//! What comes down on the studs behind a holder that hangs on a wall cleat.

use super::weight::{Loading, PieceWeight};
use crate::holder::{Holder, Part};
use crate::shop::Shop;
use crate::tolerance::COORDINATE;

/// What comes down on the studs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hung {
    /// How many studs are behind it wherever it hangs: its length over their spacing, rounded down, at least 1.
    pub studs: usize,
    /// What comes down on the one that has most to bear, in N: under all tools, those of the left half or those of the
    /// right half.
    pub per_stud: f64,
    /// All that comes down over what comes on that stud.
    pub shared: f64,
}

impl Hung {
    /// The wall cleat runs on past the holder, so no stud gets more than all of it.
    pub(super) fn of(
        (holder, wood): (&Holder, &[PieceWeight]),
        shop: &Shop,
        cleat: &Part,
        loading: Loading,
    ) -> Self {
        let row = StudRow::behind(cleat, shop.wall.stud_spacing);
        let wood = weighing(wood);
        let tools = tools(holder, row.middle, loading);
        let half = tools.len().div_ceil(2);
        let hung = [&tools[..], &tools[..half], &tools[tools.len() - half..]];
        let most = hung.map(|tools| row.most(&[&wood[..], tools].concat()));
        let per_stud = most.into_iter().fold(0.0, f64::max);
        let all = sum(&wood) + sum(&tools);
        let shared = if per_stud > 0.0 { all / per_stud } else { row.count as f64 };
        Self { studs: row.count, per_stud, shared }
    }

    /// All that comes down on its holder cleat, and where.
    pub(super) fn along(
        (holder, wood): (&Holder, &[PieceWeight]),
        cleat: &Part,
        loading: Loading,
    ) -> Vec<Along> {
        [weighing(wood), tools(holder, middle(cleat), loading)].concat()
    }
}

fn weighing(wood: &[PieceWeight]) -> Vec<Along> {
    wood.iter().map(|piece| [piece.at[0], piece.down]).collect()
}

/// The middle of a holder cleat, from the holder's left end.
fn middle(cleat: &Part) -> f64 {
    let left = cleat.places.first().map_or(0.0, |place| place.bounds().0[0]);
    left + cleat.length() / 2.0
}

/// A load on a cleat: how far from the left end of the holder it acts, in mm, and how heavy it is, in N.
pub(super) type Along = [f64; 2];

fn sum(loads: &[Along]) -> f64 {
    loads.iter().map(|[_, down]| down).sum()
}

/// The tools from left to right, all of one mass; in the `middle` where nothing is known of their places.
fn tools(holder: &Holder, middle: f64, loading: Loading) -> Vec<Along> {
    let down = loading.knocked(holder.weights.iter().map(|weight| weight.mass).sum());
    if holder.tools.is_empty() {
        return vec![[middle, down]];
    }
    let each = down / holder.tools.len() as f64;
    let mut tools: Vec<Along> = holder.tools.iter().map(|tool| [tool.at[0], each]).collect();
    tools.sort_by(|a, b| a[0].total_cmp(&b[0]));
    tools
}

/// The studs behind a cleat of which one can be sure, as far to the left of its middle as to the right.
#[derive(Debug, Clone, Copy)]
struct StudRow {
    count: usize,
    /// In mm.
    spacing: f64,
    middle: f64,
}

impl StudRow {
    fn behind(cleat: &Part, spacing: f64) -> Self {
        let count = ((cleat.length() + COORDINATE) / spacing).floor().max(1.0) as usize;
        Self { count, spacing, middle: middle(cleat) }
    }

    /// What comes on an outer stud at most, in N. The holder leans on them as a stiff beam on supports: 1/n + e x /
    /// sum of x², e how far off the middle a load acts and x where the stud is (elementary mechanics).
    fn most(&self, loads: &[Along]) -> f64 {
        let count = self.count as f64;
        let outer = (count - 1.0) / 2.0 * self.spacing;
        // The sum of x² of n places one spacing apart.
        let squares = self.spacing.powi(2) * count * (count * count - 1.0) / 12.0;
        let (all, turning) = (sum(loads), loads.iter().map(|[x, down]| down * (x - self.middle)));
        let leaning =
            if squares > 0.0 { turning.sum::<f64>().abs() * outer / squares } else { 0.0 };
        (all / count + leaning).min(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FEW: StudRow = StudRow { count: 2, spacing: 400.0, middle: 500.0 };

    /// Statics of a beam on two supports: of 300 N a fourth of the spacing right of the middle the right one gets 3/4.
    #[test]
    fn a_load_off_the_middle_leans_on_the_nearer_stud() {
        assert_eq!(FEW.most(&[[500.0, 300.0]]), 150.0);
        assert_eq!(FEW.most(&[[600.0, 300.0]]), 225.0);
        assert_eq!(FEW.most(&[[400.0, 300.0]]), 225.0);
        // Beyond the last stud the wall cleat runs on.
        assert_eq!(FEW.most(&[[900.0, 300.0]]), 300.0);
    }

    /// Of three the outer ones stand at x = 400, x² in all 320 000: 300 (1/3 + 100 × 400 / 320 000) = 137.5.
    #[test]
    fn three_studs_and_one() {
        let three = StudRow { count: 3, ..FEW };
        assert!((three.most(&[[600.0, 300.0]]) - 137.5).abs() < 1e-9);
        assert_eq!(StudRow { count: 1, ..FEW }.most(&[[600.0, 300.0], [0.0, 50.0]]), 350.0);
    }
}
