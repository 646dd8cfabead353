//! The whole holder, hooked on the wall cleat: its rest, its own screws and those in the studs.

use super::check::{Check, CheckPlace, LoadQuestion, NEAR};
use super::grounds::{CleatScrews, Grounds, ScrewCan, ScrewShare};
use super::hung::Hung;
use super::screwed::{ScrewedWood, gravity, screwed_wood};
use super::weight::{Loading, centers, of_piece};
use crate::holder::{Holder, Part, ScrewJoint};
use crate::shop::{Screw, Shop, find_wood};
use crate::strength::{
    Beam, CrossSection, DRY_FRICTION, Hook, LOWEST_FRICTION, Load, Rest, ScrewGrain, Support,
    Unrest, Wrong, allowable, farthest, rest,
};

/// A holder on the wall cleat.
pub(super) struct Hooked<'a> {
    pub place: CheckPlace,
    pub holder: &'a Holder,
    pub shop: &'a Shop,
    pub cleat: &'a Part,
    pub screws: &'a ScrewJoint,
    /// Height at which the wall pushes at the holder's foot, in mm.
    pub bearing: f64,
    /// Of a keeper strip under the wall cleat.
    pub kept_by: Option<&'a ScrewJoint>,
    pub loading: Loading,
}

/// Tools, and the wood piece by piece.
fn loads(holder: &Holder, loading: Loading) -> Vec<Load> {
    let tools = holder.weights.iter().map(|weight| Load {
        y: 0.0,
        z: weight.out,
        down: loading.knocked(weight.mass),
        out: 0.0,
    });
    let wood = holder.parts.iter().flat_map(|part| {
        centers(part).map(|at| Load { y: at[1], z: at[2], down: of_piece(part), out: 0.0 })
    });
    tools.chain(wood).collect()
}

/// What a keeper strip must hold a holder down with, in N, so that loads that act too far out for a smooth cleat don't
/// turn it off: K presses down half a thickness out, and with it the cleats hold (W + K) most = W reach + K t / 2.
fn held_down(hook: Hook, bearing: f64, loads: &[Load]) -> Result<f64, Unrest> {
    let most = farthest(hook, bearing, 0.0, loads)?;
    let moment: f64 = loads.iter().map(|load| load.down * load.z).sum();
    let lacking = moment - down(loads) * most;
    // The least more, so that what is worked out from it is at rest.
    Ok((lacking / (most - hook.thickness / 2.0)).max(0.0) * (1.0 + 1e-9))
}

fn down(loads: &[Load]) -> f64 {
    loads.iter().map(|load| load.down).sum()
}

impl Hooked<'_> {
    /// The checks; where the holder can't come to rest, the one that says so.
    pub(super) fn checks(&self) -> Vec<Result<Check, Unrest>> {
        let Some(piece) = self.cleat.places.first() else { return Vec::new() };
        let bevel = self.cleat.bevel.map_or(self.shop.cleat.bevel, |bevel| bevel.angle);
        let (low, high) = piece.bounds();
        let hook = Hook { low: low[1], top: high[1], thickness: self.cleat.stock.thickness, bevel };
        let bearing = self.bearing.min(hook.low);
        let mut loads = loads(self.holder, self.loading);
        let weight = down(&loads);
        let mut kept = Vec::new();
        if let Some(joint) = self.kept_by {
            let force = held_down(hook, bearing, &loads).unwrap_or(0.0);
            loads.push(Load { y: 0.0, z: hook.thickness / 2.0, down: force, out: 0.0 });
            kept.push(self.kept(joint, force).map_err(Unrest::from));
        }
        let mut checks = match rest(hook, bearing, DRY_FRICTION, &loads) {
            Ok(rest) => self.at_rest(hook, &rest),
            Err(Unrest::TurnsOff { .. }) => Vec::new(),
            Err(unrest) => vec![Err(unrest)],
        };
        if self.kept_by.is_none() && !checks.iter().any(Result::is_err) {
            checks.insert(0, self.staying(hook, bearing, &loads));
        }
        checks.extend(kept);
        checks.extend(self.strip(weight).map_err(Unrest::from).transpose());
        checks
    }

    fn at_rest(&self, hook: Hook, rest: &Rest) -> Vec<Result<Check, Unrest>> {
        let checks = [self.bevel(hook, rest), self.own_screws(rest)];
        let in_wall = match self.in_wall(hook, rest) {
            Ok(checks) => checks.into_iter().map(Ok).collect(),
            Err(wrong) => vec![Err(wrong)],
        };
        checks.into_iter().chain(in_wall).map(|check| check.map_err(Unrest::from)).collect()
    }

    fn bevel(&self, hook: Hook, rest: &Rest) -> Result<Check, Wrong> {
        let wood = find_wood(&self.cleat.stock.wood).wood;
        let crushing = allowable(wood).crushing;
        let length = self.cleat.length();
        let stress = rest.bevel_stress(length)?;
        let grounds = Grounds::Thrust { force: rest.thrust, bevel: hook.bevel, length };
        Ok(self.check(LoadQuestion::Bevel, [stress, crushing], grounds))
    }

    /// The screws of a keeper strip that holds the holder down with `force` N.
    fn kept(&self, joint: &ScrewJoint, force: f64) -> Result<Check, Wrong> {
        let Some(first) = joint.screws.first() else {
            return Err(Wrong::NotPositive {
                what: "the number of the keeper's screws",
                value: 0.0,
            });
        };
        let can = screwed_wood(self.holder, self.shop, joint, first).can()?.across;
        let count = joint.screws.len();
        let each = force / count as f64;
        let grounds = Grounds::Kept { screw: joint.screw, count, each, can };
        let place = CheckPlace::Named("the screws of the keeper strip".to_owned());
        Ok(Check::new(place, LoadQuestion::Screws, [each, can], grounds))
    }

    /// How far out all acts, and how far out it may with the least friction that was measured.
    fn staying(&self, hook: Hook, bearing: f64, loads: &[Load]) -> Result<Check, Unrest> {
        let far = |friction| farthest(hook, bearing, friction, loads);
        let (alone, least, dry) = (far(0.0)?, far(LOWEST_FRICTION)?, far(DRY_FRICTION)?);
        let reach = loads.iter().map(|load| load.down * load.z).sum::<f64>() / down(loads);
        let grounds = Grounds::Reach { reach, alone, dry };
        Ok(self.check(LoadQuestion::Staying, [reach, least], grounds))
    }

    fn check(&self, question: LoadQuestion, asked_and_can: [f64; 2], grounds: Grounds) -> Check {
        Check::new(self.place.clone(), question, asked_and_can, grounds)
    }

    /// The screws of the holder cleat, which would pry it off the back.
    fn own_screws(&self, rest: &Rest) -> Result<Check, Wrong> {
        let screws = &self.screws.screws;
        let Some(first) = screws.first() else {
            return Err(Wrong::NotPositive { what: "the number of the hook's screws", value: 0.0 });
        };
        let wood = screwed_wood(self.holder, self.shop, self.screws, first);
        let (count, height) = (screws.len() as f64, first.head[1]);
        let [flush, worst] =
            [rest.hook_screws_at(&rest.flush(), height)?, rest.hook_screws(height)?];
        let forces = [flush, worst, rest.down].map(|force| force / count);
        let drawn = Drawn::of(&wood, forces)?;
        let grounds = drawn.grounds(CleatScrews::InAll(screws.len()));
        let asked_and_can = [drawn.asked, drawn.most];
        Ok(Check::new(CheckPlace::HolderCleat, LoadQuestion::Screws, asked_and_can, grounds))
    }

    /// The wall cleat's screws: it fits under the hook, as wide as the shop's strips are. In masonry the
    /// wood under their heads alone is rated.
    fn in_wall(&self, hook: Hook, rest: &Rest) -> Result<Vec<Check>, Wrong> {
        let (cleat, wall) = (&self.shop.cleat, &self.shop.wall);
        let foot = hook.low + cleat.rise() - cleat.width;
        let shared = Hung::of(self.holder, self.shop, self.cleat, self.loading).shared;
        let count = shared * wall.screws as f64;
        let height = foot + cleat.screw_line(wall.screw, self.shop.tape(self.shop.units));
        let [flush, worst] =
            [rest.wall_screws_at(&rest.flush(), foot, height)?, rest.wall_screws(foot, height)?];
        let forces = [flush, worst, rest.down].map(|force| force / count);
        let drawn = Drawn::of(&stud_wood(self.shop), forces)?;
        let Drawn { each, worst_pull, can, screw, .. } = drawn;
        if wall.masonry.is_none() {
            let grounds = drawn.grounds(CleatScrews::InEachStud(wall.screws));
            let asked_and_can = [drawn.asked, drawn.most];
            return Ok(vec![self.check(LoadQuestion::Studs, asked_and_can, grounds)]);
        }
        let heads = [each.pull, can.head];
        // Nobody rates the plug, so it is told what the worst fit of the bevels asks.
        let each = ScrewShare { pull: worst_pull.max(each.pull), ..each };
        let asked = each.pull.hypot(each.across);
        let grounds = Grounds::InPlugs { screw, each };
        let place = CheckPlace::WallCleat;
        Ok(vec![
            Check::new(place.clone(), LoadQuestion::Heads, heads, grounds.clone()),
            Check::unrated(place, LoadQuestion::Plugs, asked, grounds),
        ])
    }

    /// The wall cleat as a beam from stud to stud, the holder hung in the middle; where that is too much, hung
    /// over a stud, half of it to either side. Its back is far stiffer than the strip, which so bears it at the
    /// two ends of the hook (common practice, no source).
    ///
    /// Down it bends in its own plane, outward (as hard, times the tangent of the bevel) on its flat:
    /// what the one takes of the strength is added to what the other takes.
    fn strip(&self, down: f64) -> Result<Option<Check>, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let spread = self.cleat.length();
        if spread >= spacing {
            return Ok(None);
        }
        let wood = find_wood(cleat.wood_name()).wood;
        let can = allowable(wood).bending;
        let between =
            [(spacing - spread) / 2.0, (spacing + spread) / 2.0].map(|end| (end, down / 2.0));
        let (asked, over_a_stud) = match self.bent(&between)? {
            asked if asked <= NEAR * can => (asked, false),
            _ => (self.bent(&[(spread / 2.0, down / 2.0)])?, true),
        };
        let grounds = Grounds::Strip {
            held_by: self.shop.wall.held_by(),
            over_a_stud,
            down,
            hook: spread,
            width: cleat.width,
            wood: wood.name(),
            spacing,
        };
        let question = LoadQuestion::Strip;
        Ok(Some(Check::new(CheckPlace::WallCleat, question, [asked, can], grounds)))
    }

    /// Stress in the wall cleat from one stud to the next, in N/mm², under forces at places between them.
    fn bent(&self, forces: &[(f64, f64)]) -> Result<f64, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let (thickness, rise, solid) = (cleat.thickness, cleat.rise(), cleat.width - cleat.rise());
        let in_section = |section, times: f64| {
            let bare = Beam::uniform(Support::Simple, spacing, section);
            let loaded = |beam: Beam, (at, force): &(f64, f64)| beam.with_load(*at, force * times);
            Ok::<_, Wrong>(forces.iter().fold(bare, loaded).worst()?.bending)
        };
        let flat = CrossSection::Rectangle { width: solid + rise / 2.0, height: thickness };
        let panel = find_wood(cleat.wood_name()).wood.kind.is_panel();
        let kept = if panel { super::beam::PANEL_ON_EDGE } else { 1.0 };
        let on_edge = in_section(CrossSection::Beveled { thickness, solid, rise }, 1.0)? / kept;
        Ok(on_edge + in_section(flat, cleat.bevel.to_radians().tan())?)
    }
}

/// One of a cleat's screws, drawn by the hook.
struct Drawn {
    screw: Screw,
    /// What comes on it where the bevels fit, and its pull where they bear on an edge alone.
    each: ScrewShare,
    worst_pull: f64,
    can: ScrewCan,
    /// Of pull and side load in one, and the most it may be, in N.
    asked: f64,
    most: f64,
}

impl Drawn {
    /// A screw in `wood` that is pulled, pulled at worst, and loaded across by so many N.
    fn of(wood: &ScrewedWood, [pull, worst_pull, across]: [f64; 3]) -> Result<Self, Wrong> {
        let can = wood.can()?;
        let ratio = can.taken(pull, across)?;
        let asked = pull.hypot(across);
        let most = if ratio > 0.0 { asked / ratio } else { f64::INFINITY };
        let each = ScrewShare { pull, across };
        Ok(Self { screw: wood.screw, each, worst_pull, can, asked, most })
    }

    fn grounds(&self, count: CleatScrews) -> Grounds {
        let Self { screw, each, worst_pull, can, .. } = *self;
        Grounds::OfCleat { screw, count, each, worst_pull, can }
    }
}

/// What a screw of the wall cleat goes through and into.
pub(super) fn stud_wood(shop: &Shop) -> ScrewedWood {
    let (cleat, wall) = (&shop.cleat, &shop.wall);
    let deep = wall.screw_length - cleat.thickness - wall.covering;
    ScrewedWood {
        screw: wall.screw,
        near: (cleat.thickness, gravity(cleat.wood_name())),
        far: (deep, gravity(&wall.wood)),
        thread: deep.min(wall.screw.thread(wall.screw_length)),
        gap: wall.covering,
        grain: ScrewGrain::Side,
        panel_edge: false,
        under_head: cleat.thickness,
    }
}
