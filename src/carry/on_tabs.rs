//! A part that lies on its tabs: what bends and shears them, and the wood under them.

use super::beam::strength;
use super::check::{Check, CheckPlace, HeldBy, LoadQuestion, share};
use super::grounds::Grounds;
use super::tabs::Tab;
use super::weight::{Loading, of_piece};
use crate::holder::{Holder, Joint, Part};
use crate::shop::{Service, find_wood};
use crate::strength::{Allowable, CrossSection, Support, allowable};
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// A piece of wood that a tab or its mortise comes to, bent by its share of what lies on all tabs.
struct TabWood<'a> {
    part: &'a Part,
    can: Allowable,
    support: Support,
    /// Out of the mortise, or across it, and the section there; in mm.
    length: f64,
    width: f64,
    height: f64,
}

/// The checks of what bends most and of what shears most, of tabs that share a mass evenly. Where nothing but glue is
/// under a tab, that alone.
pub(super) fn checks(
    place: &CheckPlace,
    holder: &Holder,
    joints: &[&Joint],
    mass: f64,
    (loading, service): (Loading, Service),
) -> Vec<Check> {
    let part = |name: &str| holder.parts.iter().find(|part| part.name == name);
    let named = joints.first().and_then(|joint| Some((part(&joint.tabs)?, part(&joint.into)?)));
    let Some((tabbed, into)) = named else { return Vec::new() };
    let tabs: Vec<_> = joints.iter().flat_map(|joint| &joint.tabs_at).collect();
    let load = loading.knocked(mass) + of_piece(tabbed) * tabbed.quantity() as f64;
    let each = load / tabs.len() as f64;
    let woods: Option<Vec<_>> = tabs.iter().map(|tab| woods(tabbed, into, tab, service)).collect();
    let Some(woods) = woods else {
        return vec![by_glue(place, (tabbed, into), joints, (load, service))];
    };
    let woods: Vec<TabWood<'_>> = woods.into_iter().flatten().collect();
    let worst = |question| worst(place, question, &woods, each);
    [LoadQuestion::Bending, LoadQuestion::Shear].into_iter().filter_map(worst).collect()
}

/// Nothing under the tabs but glue on their cheeks.
fn by_glue(
    place: &CheckPlace,
    (tabbed, into): (&Part, &Part),
    joints: &[&Joint],
    (load, service): (f64, Service),
) -> Check {
    let can = allowable(find_wood(&tabbed.stock.wood).wood, service);
    let (thickness, depth) = (tabbed.stock.thickness, into.stock.thickness);
    let holds = |joint: &&Joint| {
        let tab = Tab { width: joint.width, thickness, depth, can };
        tab.glue_holds() * joint.tabs_at.len() as f64
    };
    let glued: f64 = joints.iter().map(holds).sum();
    let count = joints.iter().map(|joint| joint.tabs_at.len()).sum();
    let grounds = Grounds::Tabs { load, count, wedged: false };
    let check = Check::new(place.clone(), LoadQuestion::Tabs, [load, 0.0], grounds);
    check.besides(HeldBy::Glue, share(load, glued))
}

fn worst(
    place: &CheckPlace,
    question: LoadQuestion,
    woods: &[TabWood<'_>],
    force: f64,
) -> Option<Check> {
    let checks = woods.iter().map(|wood| wood.check(place, question, force));
    checks.max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
}

/// A tab, and the wood under its mortise; `None` where there is none.
fn woods<'a>(
    tabbed: &'a Part,
    into: &'a Part,
    (low, high): &(Space, Space),
    service: Service,
) -> Option<[TabWood<'a>; 2]> {
    let (axis, foot) = entered(into, low)?;
    let run = 2 - axis;
    let bent = |part: &'a Part, along: usize| {
        let [u, _, w] = part.places.first()?.frame();
        let ways = (u[along].abs() > 0.5, w[1].abs() > 0.5);
        Some(strength(part, (find_wood(&part.stock.wood).wood, service), ways))
    };
    let (across, under) = (high[run] - low[run], low[1] - foot);
    let tab = TabWood {
        part: tabbed,
        can: bent(tabbed, axis)?,
        support: Support::Cantilever,
        length: into.stock.thickness / 2.0,
        width: across,
        height: high[1] - low[1],
    };
    let ledge = TabWood {
        part: into,
        can: bent(into, run)?,
        support: Support::Simple,
        length: across,
        width: into.stock.thickness,
        height: under,
    };
    (under > COORDINATE).then_some([tab, ledge])
}

/// The way a tab goes into a part that stands upright (0 across the wall, 2 out from it), and how high the foot is of
/// the piece that it goes into.
fn entered(into: &Part, tab: &Space) -> Option<(usize, f64)> {
    let pieces = into.places.iter().map(|place| (place, place.bounds()));
    let near = |(low, high): &(Space, Space)| {
        (0..3).map(|i| (low[i] - tab[i]).max(tab[i] - high[i])).fold(0.0, f64::max)
    };
    let (place, (low, _)) = pieces.min_by(|a, b| near(&a.1).total_cmp(&near(&b.1)))?;
    let [_, _, out] = place.frame();
    let axis = [0, 2].into_iter().find(|axis| out[*axis].abs() > 0.5)?;
    Some((axis, low[1]))
}

impl TabWood<'_> {
    fn check(&self, place: &CheckPlace, question: LoadQuestion, force: f64) -> Check {
        let Self { length, width, height, .. } = *self;
        // A tab is held at one end, its load at the other; the wood under a mortise at both, its load spread.
        let (moment, across) = match self.support {
            Support::Cantilever => (force * length, force),
            Support::Simple => (force * length / 8.0, force / 2.0),
        };
        let figures = match question {
            LoadQuestion::Shear => [1.5 * across / (width * height), self.can.shear],
            _ => [6.0 * moment / (width * height.powi(2)), self.can.bending],
        };
        let grounds = Grounds::Bent {
            force,
            length,
            wood: find_wood(&self.part.stock.wood).wood.name(),
            support: self.support,
            worst_at: if self.support == Support::Simple { length / 2.0 } else { 0.0 },
            section: Some(CrossSection::Rectangle { width, height }),
        };
        Check::new(place.clone(), question, figures, grounds)
    }
}
