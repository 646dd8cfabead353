//! What each holder brings to the stud that bears most of it.

use super::super::assess::{Bearer, bearers, lines};
use super::super::grounds::{CleatScrews, Grounds, ScrewCan, ScrewShare};
use super::super::hook::stud_wood;
use super::super::weight::Loading;
use crate::holder::Holder;
use crate::length::STANDARD_GRAVITY;
use crate::shop::{Shop, SizedScrew};
use crate::strength::{Hook, Load, Unrest, rest};

/// A holder on a wall cleat, and what it brings to each screw in its most loaded stud.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HungUp {
    pub name: String,
    /// What it takes of the wall cleat, in mm; no more than one stud spacing.
    pub width: f64,
    /// At rest, and with knocks counted.
    pub still: ScrewShare,
    pub knocked: ScrewShare,
}

impl HungUp {
    /// `None` for a holder that hangs otherwise, or comes off its cleat.
    pub(super) fn of(holder: &Holder, shop: &Shop) -> Option<Self> {
        let knocked = Loading::of(holder);
        let still = knocked.at_rest();
        let bearers = bearers(holder, shop);
        Some(Self {
            name: holder.name.clone(),
            width: holder.size[0].min(shop.wall.stud_spacing),
            still: in_stud(&bearers, still)?,
            knocked: in_stud(&bearers, knocked)?,
        })
    }
}

/// What the check of the screws in the studs counts on each.
pub(super) fn in_stud(bearers: &[Bearer<'_>], loading: Loading) -> Option<ScrewShare> {
    let checks = lines(bearers, loading);
    checks.into_iter().find_map(|check| match check.grounds {
        Grounds::OfCleat { count: CleatScrews::InEachStud(_), each, .. } => Some(each),
        _ => None,
    })
}

/// The screws that hold a wall cleat to one stud.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StudScrews {
    pub screw: SizedScrew,
    pub count: usize,
    can: ScrewCan,
    /// What 1 kg that hangs smoothly on the wall cleat brings to each of them.
    of_one_kg: ScrewShare,
}

impl StudScrews {
    /// # Errors
    /// When the shop's figures are no sizes.
    pub(crate) fn of(shop: &Shop) -> Result<Self, Unrest> {
        let wall = &shop.wall;
        Ok(Self {
            screw: SizedScrew { screw: wall.screw, length: wall.screw_length },
            count: wall.screws,
            can: stud_wood(shop).can()?,
            of_one_kg: smooth(shop)?,
        })
    }

    /// What part of a screw's strength is taken; infinite where there is nothing to count on.
    pub(crate) fn taken(&self, each: ScrewShare) -> f64 {
        self.can.taken(each.pull, each.across).unwrap_or(f64::INFINITY)
    }

    /// What they bear of what hangs smoothly, in kg.
    pub(crate) fn most(&self) -> f64 {
        1.0 / self.taken(self.of_one_kg)
    }

    /// The mass in kg whose weight comes on all of them.
    pub(super) fn mass(&self, each: ScrewShare) -> f64 {
        each.across * self.count as f64 / STANDARD_GRAVITY
    }
}

/// What 1 kg brings to each screw of a stud where it bears in the middle of the bevel's face, so that neither friction
/// nor the wall behind the holder is needed: t / 2 cos² b out from the wall.
fn smooth(shop: &Shop) -> Result<ScrewShare, Unrest> {
    let (cleat, wall) = (&shop.cleat, &shop.wall);
    let (thickness, bevel, low) = (cleat.thickness, cleat.bevel, cleat.width - cleat.rise());
    let hook = Hook { low, top: low + cleat.width, thickness, bevel };
    let out = thickness / 2.0 / bevel.to_radians().cos().powi(2);
    let load = Load { y: 0.0, z: out, down: STANDARD_GRAVITY, out: 0.0 };
    let rest = rest(hook, low, 0.0, &[load])?;
    let height = cleat.screw_line(wall.screw, shop.tape(shop.units));
    let pull = rest.wall_screws_at(&rest.flush(), 0.0, height)?;
    let [pull, across] = [pull, rest.down].map(|force| force / wall.screws as f64);
    Ok(ScrewShare { pull, across })
}
