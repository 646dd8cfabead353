//! The whole holder, hooked on the wall's cleat: its rest, its own screws and those in the studs.

use super::check::{Check, Question};
use super::screwed::Bite;
use super::weight::{Loading, centres, of_piece};
use crate::holder::{Holder, Part, ScrewJoint};
use crate::shop::{CAREFUL_GRAVITY, NdsGravity, Shop, find_wood};
use crate::strength::{
    self, Beam, Hook, Load, LoadDuration, Rest, Section, Support, Unrest, Wrong, allowable,
    fastener_ratio, rest,
};

/// What a holder on the wall's cleat comes to.
pub(super) struct Hung {
    pub checks: Vec<Check>,
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
    pub fn hung(&self) -> Result<Hung, Wrong> {
        let Some(piece) = self.cleat.places.first() else {
            return Ok(Hung { checks: Vec::new(), studs: 0.0, per_stud: 0.0 });
        };
        let bevel = self.cleat.bevel.map_or(self.shop.cleat.bevel, |bevel| bevel.angle);
        let (low, high) = piece.bounds();
        let hook = Hook { low: low[1], top: high[1], thickness: self.cleat.stock.thickness, bevel };
        let loads = self.loads();
        let down: f64 = loads.iter().map(|load| load.down).sum();
        let studs = self.studs();
        let per_stud = down / studs;
        let bearing = self.bearing.min(hook.low);
        let mut checks = match rest(hook, bearing, &loads) {
            Ok(rest) => self.at_rest(hook, &rest, studs)?,
            Err(Unrest::TurnsOff { reach, most }) => vec![self.staying(reach, most)],
            Err(Unrest::Wrong(wrong)) => return Err(wrong),
            // Neither can come of weights that act in front of the wall.
            Err(Unrest::PulledOff { .. } | Unrest::SwingsOut { .. } | Unrest::WrongSide { .. }) => {
                Vec::new()
            }
        };
        checks.extend(self.between_studs(down)?);
        Ok(Hung { checks, studs, per_stud })
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

    fn at_rest(&self, hook: Hook, rest: &Rest, studs: f64) -> Result<Vec<Check>, Wrong> {
        let wood = find_wood(&self.cleat.stock.wood).wood;
        let crushing = allowable(wood, LoadDuration::Permanent).crushing;
        let stress = rest.bevel_stress(self.cleat.length())?;
        let units = self.holder.units;
        let bevel = format!(
            "thrust {} at {:.0}° on {} of cleat",
            units.force(rest.thrust),
            hook.bevel,
            units.length(self.cleat.length())
        );
        Ok(vec![
            self.staying(rest.reach, rest.most_reach),
            self.check(Question::Bevel, stress, crushing, bevel),
            self.own_screws(hook, rest)?,
            self.in_studs(hook, rest, studs)?,
        ])
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
    fn own_screws(&self, hook: Hook, rest: &Rest) -> Result<Check, Wrong> {
        let ScrewJoint { screw, length, ref screws, .. } = *self.screws;
        let count = screws.len().max(1) as f64;
        let height = screws.first().map_or(hook.low, |s| s.head[1]);
        let passed = screws.first().map_or(0.0, |s| s.passed);
        let into = screws.first().and_then(|s| s.into).map(|into| &self.holder.parts[into.part]);
        let far = gravity(&into.map_or(self.cleat, |part| part).stock.wood);
        let bite = Bite {
            screw,
            near: (passed, gravity(&self.cleat.stock.wood)),
            far: (length - passed, far),
            thread: (length - passed).min(screw.thread(length)),
            gap: 0.0,
            grain: strength::Grain::Side,
            panel_edge: false,
        };
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
        let wood = if cleat.wood.is_empty() { &cleat.from } else { &cleat.wood };
        let bite = Bite {
            screw: wall.screw,
            near: (cleat.thickness, gravity(wood)),
            far: (deep, gravity(&wall.wood)),
            thread: deep.clamp(0.0, wall.screw.thread(wall.screw_length)),
            gap: wall.covering,
            grain: strength::Grain::Side,
            panel_edge: false,
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
        let ratio = fastener_ratio(pull, across, can.pull, can.across)?;
        let ratio = ratio.max(pull / can.head);
        let asked = pull.hypot(across);
        let with = format!(
            "#{}, {told}, {:.1} diameters deep; each has {} along it where the bevels fit, {} were they to bear on an edge (can {}, its head {}), and {} across (can {})",
            bite.screw.number(),
            can.diameters,
            units.force(pull),
            units.force(worst),
            units.force(can.pull.unwrap_or(0.0)),
            units.force(can.head),
            units.force(across),
            units.force(can.across)
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
    fn between_studs(&self, down: f64) -> Result<Vec<Check>, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let (thickness, rise, solid) = (cleat.thickness, cleat.rise(), cleat.width - cleat.rise());
        let spread = self.cleat.length();
        if spread >= spacing {
            return Ok(Vec::new());
        }
        let ends = [(spacing - spread) / 2.0, (spacing + spread) / 2.0];
        let section = Section::Bevelled { thickness, solid, rise };
        let beam =
            ends.into_iter().fold(Beam::uniform(Support::Simple, spacing, section), |beam, end| {
                beam.with_load(end, down / 2.0)
            });
        let wood = find_wood(if cleat.wood.is_empty() { &cleat.from } else { &cleat.wood }).wood;
        let kept = if wood.kind.is_panel() { super::beam::PANEL_ON_EDGE } else { 1.0 };
        let can = allowable(wood, LoadDuration::Permanent).bending * kept;
        let units = self.holder.units;
        let with = format!(
            "{} at the ends of a hook {} long, on a strip {} wide of {} between studs {} apart",
            units.force(down),
            units.length(spread),
            units.length(cleat.width),
            wood.name(),
            units.length(spacing),
        );
        let what = "the wall's cleat".to_owned();
        let asked = beam.worst()?.bending;
        Ok(vec![Check { what, question: Question::Strip, asked, can, with }])
    }
}

fn gravity(wood: &str) -> NdsGravity {
    find_wood(wood).wood.nds_gravity.unwrap_or(CAREFUL_GRAVITY)
}
