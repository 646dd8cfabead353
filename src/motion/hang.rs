//! How a holder comes on its wall cleat, with the wall cleats above and below it where the wall has rows of them.

use kurbo::Point;

use super::hooking::{Hooking, WayOff, least_lift, least_tilt, straight};
use super::scene::HungView;
use super::side::SideView;
use crate::holder::Holder;
use crate::shop::Shop;

/// Wall cleats so near the holder's lower or upper end, in mm, may be in its way when it is tilted.
const NEARBY: f64 = 100.0;

/// Rows that are looked at above and below: no holder covers more.
const MOST_ROWS: usize = 12;

/// How a holder comes on a wall cleat, and on which.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hanging {
    pub hooking: Hooking,
    pub on: OnRow,
    /// How it comes on there without any tilt; `None` where it doesn't, and where that was not asked for.
    pub level: Option<WayOff>,
    /// What it was found for.
    pub view: HungView,
}

/// The rows of wall cleats that a holder can hang on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OnRow {
    Any,
    /// The one with none below.
    Lowest,
    /// The one with none above.
    Highest,
    /// One with none above and none below.
    Alone,
}

impl OnRow {
    /// The word used in summary.json.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Any => "any",
            Self::Lowest => "lowest",
            Self::Highest => "highest",
            Self::Alone => "alone",
        }
    }

    /// Whether there may be a cleat above it, and one below.
    fn neighbors(self) -> [bool; 2] {
        match self {
            Self::Any => [true, true],
            Self::Lowest => [true, false],
            Self::Highest => [false, true],
            Self::Alone => [false, false],
        }
    }
}

/// How a holder comes on, with the least lift; `None` for one that does not hang on a cleat.
pub(crate) fn hanging(holder: &Holder, shop: &Shop) -> Option<Hanging> {
    let (side, spacing) = (SideView::of(holder, shop)?, shop.wall.row_spacing);
    let hanging = on_rows(&side, spacing, least_lift);
    Some(Hanging { level: straight(&hanging.view).way().cloned(), ..hanging })
}

/// The same with the least tilt, which is sooner told.
pub(crate) fn soon_hanging(holder: &Holder, shop: &Shop) -> Option<Hanging> {
    Some(on_rows(&SideView::of(holder, shop)?, shop.wall.row_spacing, least_tilt))
}

/// On any row where that goes from the front, else on one at an end of all, else by itself; where it never goes from
/// the front, the same for sliding it on.
pub(super) fn on_rows(
    side: &SideView,
    spacing: Option<f64>,
    plan: fn(&HungView) -> Hooking,
) -> Hanging {
    let planned = |on: OnRow| {
        let view = side.hung(&others(side, spacing, on));
        Hanging { hooking: plan(&view), on, level: None, view }
    };
    let mut tried = vec![planned(OnRow::Any)];
    for on in [OnRow::Lowest, OnRow::Highest, OnRow::Alone] {
        let last = &tried[tried.len() - 1];
        if spacing.is_none() || last.hooking.way().is_some() {
            break;
        }
        tried.push(planned(on));
    }
    let first = |wanted: fn(&Hooking) -> bool| tried.iter().position(|on| wanted(&on.hooking));
    let hooked = first(|hooking| hooking.way().is_some());
    let best = hooked.or_else(|| first(|hooking| *hooking == Hooking::FromEnd)).unwrap_or(0);
    tried.swap_remove(best)
}

/// The wall cleats that stand fast where a holder and its tools are, from `low` to `high`, each its outline from the
/// side: its own first. None for a holder that hangs on none.
pub(crate) fn cleats_between(
    holder: &Holder,
    shop: &Shop,
    on: OnRow,
    [low, high]: [f64; 2],
) -> Vec<Vec<Point>> {
    let Some(side) = SideView::of(holder, shop) else { return Vec::new() };
    let others = rows_between(&side, shop.wall.row_spacing, on, [low, high]);
    side.hung(&others).fixed
}

/// A holder on a wall cleat, asked whether it hangs there with others above and below.
#[derive(Debug, Clone)]
pub(crate) struct AmongRows(SideView);

impl AmongRows {
    /// `None` for a holder that hangs otherwise.
    pub(crate) fn of(holder: &Holder, shop: &Shop) -> Option<Self> {
        SideView::of(holder, shop).map(Self)
    }

    /// The top edge of its wall cleat above its foot, in mm.
    pub(crate) fn top(&self) -> f64 {
        self.0.cleat.foot + self.0.cleat.width
    }

    /// Those of other wall cleats, so much higher than its own in mm, that are near enough to be in its way.
    pub(crate) fn near(&self, others: impl Iterator<Item = f64>) -> Vec<f64> {
        let heights = self.0.moving.iter().flat_map(|part| &part.outline).map(|at| at.y);
        let [low, high] = heights.fold([0.0_f64; 2], |[low, high], y| [low.min(y), high.max(y)]);
        let foot = self.0.cleat.foot;
        let is_near = |up: &f64| foot + up < high + NEARBY && self.top() + up > low - NEARBY;
        others.filter(|up| *up != 0.0).filter(is_near).collect()
    }

    /// Whether it comes on from the front with others so much higher.
    pub(crate) fn hooks_on(&self, others: &[f64]) -> bool {
        least_tilt(&self.0.hung(others)).way().is_some()
    }
}

/// How much higher than its own the wall cleats near the holder are, in mm; those below it are below zero.
fn others(side: &SideView, spacing: Option<f64>, on: OnRow) -> Vec<f64> {
    let heights = side.moving.iter().flat_map(|part| &part.outline).map(|at| at.y);
    let reach = heights.fold([0.0_f64; 2], |[low, high], y| [low.min(y), high.max(y)]);
    rows_between(side, spacing, on, reach)
}

fn rows_between(
    side: &SideView,
    spacing: Option<f64>,
    on: OnRow,
    [low, high]: [f64; 2],
) -> Vec<f64> {
    let Some(spacing) = spacing.filter(|spacing| *spacing > 0.0) else { return Vec::new() };
    let (foot, top) = (side.cleat.foot, side.cleat.foot + side.cleat.width);
    let rows = || (1..=MOST_ROWS).map(|row| row as f64 * spacing);
    let [above, below] = on.neighbors();
    let above = rows().filter(|up| above && foot + up < high + NEARBY);
    let below = rows().filter(|down| below && top - down > low - NEARBY);
    below.map(|down| -down).chain(above).collect()
}
