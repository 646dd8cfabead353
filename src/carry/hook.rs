//! The whole holder, hooked on the wall's cleat: its rest, its own screws and those in the studs.

use super::check::{Check, Question};
use super::screwed::{Bite, bite, gravity};
use super::weight::{Loading, centres, of_piece};
use crate::holder::{Holder, Part, ScrewJoint};
use crate::shop::{Shop, find_wood};
use crate::strength::{
    self, Beam, Hook, Load, LoadDuration, Rest, Section, Support, Unrest, Wrong, allowable, rest,
};

/// What a holder on the wall's cleat comes to.
#[derive(Default)]
pub(super) struct Hung {
    pub checks: Vec<Check>,
    /// Why a check could not be worked out.
    pub failed: Vec<String>,
    /// How many studs share it.
    pub studs: f64,
    /// What comes down on each, in N.
    pub per_stud: f64,
}

/// A holder on the wall's cleat.
pub(super) struct Hooked<'a> {
    pub what: &'a str,
    pub holder: &'a Holder,
    pub shop: &'a Shop,
    pub cleat: &'a Part,
    pub screws: &'a ScrewJoint,
    pub bearing: f64,
    pub loading: Loading,
}

impl Hooked<'_> {
    /// The checks; where the holder can't come to rest, the one that says so.
    pub fn hung(&self) -> Hung {
        let Some(piece) = self.cleat.places.first() else { return Hung::default() };
        let bevel = self.cleat.bevel.map_or(self.shop.cleat.bevel, |bevel| bevel.angle);
        let (low, high) = piece.bounds();
        let hook = Hook { low: low[1], top: high[1], thickness: self.cleat.stock.thickness, bevel };
        let loads = self.loads();
        let down: f64 = loads.iter().map(|load| load.down).sum();
        let studs = self.studs();
        let per_stud = down / studs;
        let bearing = self.bearing.min(hook.low);
        let found = match rest(hook, bearing, &loads) {
            Ok(rest) => self.at_rest(hook, &rest, studs),
            Err(Unrest::TurnsOff { reach, most }) => vec![Ok(self.staying(reach, most))],
            Err(unrest) => vec![Err(unrest.to_string())],
        };
        let strip = self.between_studs(down).map_err(|wrong| wrong.to_string()).transpose();
        let mut hung = Hung { checks: Vec::new(), failed: Vec::new(), studs, per_stud };
        for check in found.into_iter().chain(strip) {
            match check {
                Ok(check) => hung.checks.push(check),
                Err(failed) => hung.failed.push(failed),
            }
        }
        hung
    }

    /// Tools, and the wood piece by piece.
    fn loads(&self) -> Vec<Load> {
        let tools = self.holder.weights.iter().map(|weight| Load {
            y: 0.0,
            z: weight.out,
            down: self.loading.knocked(weight.mass),
            out: 0.0,
        });
        let wood = self.holder.parts.iter().flat_map(|part| {
            centres(part).map(|at| Load { y: at[1], z: at[2], down: of_piece(part), out: 0.0 })
        });
        tools.chain(wood).collect()
    }

    /// How many studs share the load: the wall's cleat runs on past the holder, so that none gets
    /// more than what hangs within one spacing.
    fn studs(&self) -> f64 {
        (self.cleat.length() / self.shop.wall.stud_spacing).max(1.0)
    }

    fn at_rest(&self, hook: Hook, rest: &Rest, studs: f64) -> Vec<Result<Check, String>> {
        let checks = [
            Ok(self.staying(rest.reach, rest.most_reach)),
            self.bevel(hook, rest),
            self.own_screws(rest),
            self.in_studs(hook, rest, studs),
        ];
        checks.map(|check| check.map_err(|wrong| wrong.to_string())).into()
    }

    fn bevel(&self, hook: Hook, rest: &Rest) -> Result<Check, Wrong> {
        let wood = find_wood(&self.cleat.stock.wood).wood;
        let crushing = allowable(wood, LoadDuration::Permanent).crushing;
        let stress = rest.bevel_stress(self.cleat.length())?;
        let units = self.holder.units;
        let with = format!(
            "thrust {} at {:.0}° on {} of cleat",
            units.force(rest.thrust),
            hook.bevel,
            units.length(self.cleat.length())
        );
        Ok(self.check(Question::Bevel, stress, crushing, with))
    }

    fn staying(&self, reach: f64, most: f64) -> Check {
        let units = self.holder.units;
        let with =
            format!("all that hangs, wood too, acts {} out from the wall", units.length(reach));
        self.check(Question::Staying, reach, most, with)
    }

    fn check(&self, question: Question, asked: f64, can: f64, with: String) -> Check {
        Check { what: self.what.to_owned(), question, asked, can, with }
    }

    /// The screws of the hook cleat, which would pry it off the back.
    fn own_screws(&self, rest: &Rest) -> Result<Check, Wrong> {
        let screws = &self.screws.screws;
        let Some(first) = screws.first() else {
            return Err(Wrong::NotPositive { what: "the number of the hook's screws", value: 0.0 });
        };
        let bite = bite(self.holder, self.shop, self.screws, first);
        let (count, height) = (screws.len() as f64, first.head[1]);
        let [flush, worst] =
            [rest.hook_screws_at(&rest.flush(), height)?, rest.hook_screws(height)?];
        let told = format!("{} in all", screws.len());
        let found = self.screwed(
            Question::Screws,
            &bite,
            [flush, worst, rest.down].map(|f| f / count),
            &told,
        )?;
        Ok(Check { what: "the hook cleat on the holder's back".to_owned(), ..found })
    }

    /// The wall cleat's screws: it fits under the hook, as wide as the shop's strips are.
    fn in_studs(&self, hook: Hook, rest: &Rest, studs: f64) -> Result<Check, Wrong> {
        let (cleat, wall) = (&self.shop.cleat, &self.shop.wall);
        let foot = hook.low + cleat.rise() - cleat.width;
        let deep = wall.screw_length - cleat.thickness - wall.covering;
        let bite = Bite {
            screw: wall.screw,
            near: (cleat.thickness, gravity(cleat.wood_name())),
            far: (deep, gravity(&wall.wood)),
            thread: deep.min(wall.screw.thread(wall.screw_length)),
            gap: wall.covering,
            grain: strength::Grain::Side,
            panel_edge: false,
            under_head: cleat.thickness,
        };
        let count = studs * wall.screws as f64;
        let height = foot + cleat.screw_line(wall.screw);
        let [flush, worst] =
            [rest.wall_screws_at(&rest.flush(), foot, height)?, rest.wall_screws(foot, height)?];
        let told = format!("{} in each stud", wall.screws);
        self.screwed(Question::Studs, &bite, [flush, worst, rest.down].map(|f| f / count), &told)
    }

    fn screwed(
        &self,
        question: Question,
        bite: &Bite,
        [pull, worst, across]: [f64; 3],
        told: &str,
    ) -> Result<Check, Wrong> {
        let units = self.holder.units;
        let can = bite.can()?;
        let ratio = can.ratio(pull, across)?.max(pull / can.head);
        let asked = pull.hypot(across);
        let short = if can.diameters > 0.0 { "" } else { "too short to reach the wood behind; " };
        let with = format!(
            "{short}#{}, {told}, {:.1} diameters deep; each has {} along it where the bevels fit face to face (can {}, its head {}), and {} across (can {}); a bevel that bears on its edge alone would draw it with {}: see that they fit",
            bite.screw.number(),
            can.diameters,
            units.force(pull),
            units.force(can.pull.unwrap_or(0.0)),
            units.force(can.head),
            units.force(across),
            units.force(can.across),
            units.force(worst)
        );
        Ok(self.check(
            question,
            asked,
            if ratio > 0.0 { asked / ratio } else { f64::INFINITY },
            with,
        ))
    }

    /// The wall's cleat as a beam from stud to stud, the holder hung in the middle. Its back is far
    /// stiffer than the strip, which so bears it at the two ends of the hook (common practice, no
    /// source).
    ///
    /// Down it bends in its own plane, outward (as hard, times the tangent of the bevel) on its flat:
    /// what the one takes of the strength is added to what the other takes.
    fn between_studs(&self, down: f64) -> Result<Option<Check>, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let (thickness, rise, solid) = (cleat.thickness, cleat.rise(), cleat.width - cleat.rise());
        let spread = self.cleat.length();
        if spread >= spacing {
            return Ok(None);
        }
        let ends = [(spacing - spread) / 2.0, (spacing + spread) / 2.0];
        let bent = |section, force: f64| {
            let bare = Beam::uniform(Support::Simple, spacing, section);
            let beam = ends.into_iter().fold(bare, |beam, end| beam.with_load(end, force / 2.0));
            Ok::<_, Wrong>(beam.worst()?.bending)
        };
        let flat = Section::Rectangle { width: solid + rise / 2.0, height: thickness };
        let wood = find_wood(cleat.wood_name()).wood;
        let kept = if wood.kind.is_panel() { super::beam::PANEL_ON_EDGE } else { 1.0 };
        let on_edge = bent(Section::Bevelled { thickness, solid, rise }, down)? / kept;
        let asked = on_edge + bent(flat, down * cleat.bevel.to_radians().tan())?;
        let can = allowable(wood, LoadDuration::Permanent).bending;
        let units = self.holder.units;
        let with = format!(
            "{} down and outward at the ends of a hook {} long, on a strip {} wide of {} between studs {} apart",
            units.force(down),
            units.length(spread),
            units.length(cleat.width),
            wood.name(),
            units.length(spacing),
        );
        let what = "the wall's cleat".to_owned();
        Ok(Some(Check { what, question: Question::Strip, asked, can, with }))
    }
}
