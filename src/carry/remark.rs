//! What no figure says, and what could not be worked out.

use super::check::CheckPlace;
use crate::holder::{Holder, Joint};
use crate::shop::{Shop, find_wood};
use crate::strength::Unrest;

/// A place for which no figure could be worked out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NotWorkedOut {
    pub place: CheckPlace,
    pub why: Unrest,
}

/// What a table of figures leaves unsaid.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum LoadRemark {
    /// A wood of unknown strength, and the weakest of its kind, for which it is taken.
    UnknownWood { name: String, taken: &'static str },
    /// A wood for which no standard gives screws a value.
    NoScrewValue { name: String },
    /// Tabs that glue holds in too, and the area of their flanks in mm².
    Glued { count: usize, tabs: String, into: String, area: f64 },
}

/// What is to be said of a holder beside its figures: its woods, then its glue.
pub(super) fn remarks(holder: &Holder, shop: &Shop) -> Vec<LoadRemark> {
    let woods = woods(holder, shop).into_iter().filter_map(of_wood);
    woods.chain(holder.joints.iter().map(|joint| glued(holder, joint))).collect()
}

/// The woods that screws and loads meet, each once.
fn woods<'a>(holder: &'a Holder, shop: &'a Shop) -> Vec<&'a str> {
    let mut names: Vec<&str> = holder.parts.iter().map(|part| part.stock.wood.as_str()).collect();
    if shop.wall.masonry.is_none() {
        names.push(&shop.wall.wood);
    }
    names.sort_unstable();
    names.dedup();
    names
}

fn of_wood(name: &str) -> Option<LoadRemark> {
    let found = find_wood(name);
    let name = name.to_owned();
    if !found.known {
        return Some(LoadRemark::UnknownWood { name, taken: found.wood.name() });
    }
    found.wood.nds_gravity.is_none().then_some(LoadRemark::NoScrewValue { name })
}

/// Glue lines of a tab joint, which no figure counts.
fn glued(holder: &Holder, joint: &Joint) -> LoadRemark {
    let part = holder.parts.iter().find(|part| part.name == joint.into);
    let depth = part.map_or(0.0, |part| part.stock.thickness);
    LoadRemark::Glued {
        count: joint.count,
        tabs: joint.tabs.clone(),
        into: joint.into.clone(),
        area: 2.0 * joint.width * depth * joint.count as f64,
    }
}
