//! Tabs that are pulled out of their mortises by what turns the joint open.

use super::check::{Check, CheckPlace, HeldBy, LoadQuestion, share};
use super::grounds::Grounds;
use super::weight::{Loading, of_piece};
use crate::holder::{Holder, Joint, Turn};
use crate::length::MM_PER_INCH;
use crate::shop::{Service, find_wood};
use crate::strength::{Allowable, LOWEST_FRICTION, allowable};
use crate::style::Space;

/// How much wider than its neck a wedge drives a tab's far end at either edge, in mm. Common practice, no source.
const FLARE: f64 = MM_PER_INCH / 16.0;

/// Part of a tab's cheeks that glues long grain on long grain: a panel's other layers stand end on. Common practice, no
/// source.
const GLUED: f64 = 0.5;

/// The check of the tab that is pulled most.
pub(super) fn pulled(
    place: &CheckPlace,
    holder: &Holder,
    joint: &Joint,
    (mass, turn, up): (f64, Turn, bool),
    (loading, service): (Loading, Service),
) -> Option<Check> {
    let part = |name: &str| holder.parts.iter().find(|part| part.name == name);
    let (tabs, into) = (part(&joint.tabs)?, part(&joint.into)?);
    // With what stands out, as if it weighed as far out as what hangs on it.
    let own = if up { into } else { tabs };
    let load = loading.knocked(mass) + of_piece(own) * own.quantity() as f64;
    let asked = pull(joint, load, turn, up);
    let tab = Tab {
        width: joint.width,
        thickness: tabs.stock.thickness,
        depth: into.stock.thickness,
        can: allowable(find_wood(&tabs.stock.wood).wood, service),
    };
    let grounds = Grounds::Tabs { load, count: joint.tabs_at.len(), wedged: joint.wedged };
    let check = |can| Check::new(place.clone(), LoadQuestion::Tabs, [asked, can], grounds);
    if joint.wedged {
        return Some(check(tab.wedge_holds()));
    }
    Some(check(0.0).besides(HeldBy::Glue, share(asked, tab.glue_holds())))
}

/// One tab in its mortise, in mm.
pub(super) struct Tab {
    /// Along the edge it stands on.
    pub width: f64,
    pub thickness: f64,
    pub depth: f64,
    pub can: Allowable,
}

impl Tab {
    /// What a wedge holds, in N: both ends of the tab bear on the flared mortise, crushed no more than is allowable
    /// across the grain, with the least friction that was measured: 2 c t d (sin a + f cos a), a the flare over the
    /// depth d (elementary mechanics).
    fn wedge_holds(&self) -> f64 {
        let (sin, cos) = (FLARE / self.depth).atan().sin_cos();
        let bears = self.can.crushing * self.thickness * self.depth;
        2.0 * bears * (sin + LOWEST_FRICTION * cos)
    }

    /// What glue holds, in N: the allowable shear of the wood on [`GLUED`] of both cheeks.
    pub(super) fn glue_holds(&self) -> f64 {
        self.can.shear * 2.0 * self.width * self.depth * GLUED
    }
}

/// What pulls on the tab that stands farthest from the line the joint turns open about, in N: each as much more as
/// it stands farther from it (elementary mechanics, rigid parts).
fn pull(joint: &Joint, load: f64, turn: Turn, up: bool) -> f64 {
    let middle = |(low, high): &(Space, Space), axis: usize| f64::midpoint(low[axis], high[axis]);
    let lever = |tab: &(Space, Space)| {
        let lever = if up { turn.pivot - middle(tab, 2) } else { middle(tab, 1) - turn.pivot };
        lever.max(0.0)
    };
    let arm = match joint.tabs_at.first() {
        Some(_) if up => turn.out - turn.pivot,
        Some(tab) => turn.out - middle(tab, 2),
        None => 0.0,
    };
    let squares: f64 = joint.tabs_at.iter().map(|tab| lever(tab).powi(2)).sum();
    let farthest = joint.tabs_at.iter().map(lever).fold(0.0, f64::max);
    let moment = load * arm.max(0.0);
    if moment <= 0.0 {
        0.0
    } else if squares <= 0.0 {
        f64::INFINITY
    } else {
        moment * farthest / squares
    }
}
