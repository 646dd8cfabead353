//! The whole holder, hooked on the wall cleat: its rest, its own screws and those in the studs.

use super::back::{self, Board, Held};
use super::check::{Check, CheckPlace, HeldBy, LoadQuestion, share};
use super::glue::GlueLine;
use super::grounds::{CleatScrews, Grounds, ScrewCan, ScrewShare};
use super::hung::Hung;
use super::screwed::{ScrewedWood, gravity, screwed_wood};
use super::splitting;
use super::weight::{Loading, PieceWeight, hung_apart, wood};
use crate::holder::{Holder, Model, Part, ScrewJoint};
use crate::shop::{Screw, Shop, find_wood};
use crate::strength::{
    Beam, CrossSection, DRY_FRICTION, Hook, LOWEST_FRICTION, Load, Rest, ScrewGrain, Support,
    Unrest, Wrong, allowable, farthest, rest,
};
use crate::tolerance::COORDINATE;

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
    pub unloaded: &'a Unloaded<'a>,
}

/// What is the same under all loads, worked out once for them.
pub(super) struct Unloaded<'a> {
    wood: Vec<PieceWeight>,
    /// The tools one by one, the outermost first.
    tools: Vec<(f64, f64)>,
    /// Behind the holder cleat.
    board: Option<Board<'a>>,
    /// What the first screw of the holder cleat can; `None` where it has none.
    own_screw: Option<Result<ScrewCan, Wrong>>,
    /// What a screw of the wall cleat can.
    stud_screw: Result<ScrewCan, Wrong>,
}

impl<'a> Unloaded<'a> {
    pub(super) fn of(holder: &'a Holder, shop: &Shop, joint: &ScrewJoint) -> Self {
        let into = joint.screws.iter().find_map(|screw| screw.into);
        let own = joint.screws.first();
        Self {
            wood: wood(holder),
            tools: hung_apart(holder),
            board: into.and_then(|into| Board::ready(holder, into.part)),
            own_screw: own.map(|screw| screwed_wood(holder, shop, joint, screw).can()),
            stud_screw: stud_wood(shop).can(),
        }
    }

    /// Tools, and the wood piece by piece.
    fn with<'t>(&self, tools: impl Iterator<Item = Load> + 't) -> Vec<Load> {
        let wood = |piece: &PieceWeight| Load {
            y: piece.at[1],
            z: piece.at[2],
            down: piece.down,
            out: 0.0,
        };
        tools.chain(self.wood.iter().map(wood)).collect()
    }
}

fn tool(loading: Loading, mass: f64, out: f64) -> Load {
    Load { y: 0.0, z: out, down: loading.knocked(mass), out: 0.0 }
}

/// The loads of the outermost tools alone, or of all of them where each hangs, that act farthest out with the wood, and
/// how many these are of those that may be left out; `None` where all tools as the style tells them act no less far out.
fn outermost(
    unloaded: &Unloaded<'_>,
    all: &[Load],
    loading: Loading,
) -> Option<(Option<usize>, Vec<Load>)> {
    let hung = &unloaded.tools;
    let alone = |count: usize| {
        let tools = hung[..count].iter().map(|(mass, out)| tool(loading, *mass, *out));
        unloaded.with(tools)
    };
    let reaches = (0..=hung.len()).map(|count| (count, reach(&alone(count))));
    let (count, farthest) = reaches.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let some = (count < hung.len()).then_some(count);
    (farthest > reach(all) + COORDINATE).then(|| (some, alone(count)))
}

/// How far out all loads act, in mm.
fn reach(loads: &[Load]) -> f64 {
    loads.iter().map(|load| load.down * load.z).sum::<f64>() / down(loads)
}

/// What takes an empty holder off its cleat when it is pulled straight toward the room, in N: on a smooth bevel b from the
/// horizontal a pull of its weight × tan b slides it up (statics of a body on an inclined plane). `None` where a keeper strip holds it, or where it hangs on no cleat.
pub(super) fn pulled_off(holder: &Holder, shop: &Shop) -> Option<f64> {
    let hook = holder.carriers.iter().find_map(|carrier| match carrier.model {
        Model::Hook { cleat, kept_by: None, .. } => Some(&holder.parts[cleat]),
        _ => None,
    })?;
    let bevel = hook.bevel.map_or(shop.cleat.bevel, |bevel| bevel.angle);
    let weight: f64 = wood(holder).iter().map(|piece| piece.down).sum();
    Some(weight * bevel.to_radians().tan())
}

/// What a keeper strip must hold a holder down with, in N, so that loads that act too far out for a smooth cleat don't
/// turn it off: K presses down half a thickness out, and with it the cleats hold (W + K) most = W reach + K t / 2.
fn held_down(hook: Hook, bearing: f64, loads: &[Load]) -> Result<f64, Unrest> {
    let most = farthest(hook, bearing, 0.0, loads)?;
    let lacking = down(loads) * (reach(loads) - most);
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
        let mut sets = vec![self.loads()];
        let farthest = outermost(self.unloaded, &sets[0], self.loading);
        let count = farthest.as_ref().and_then(|(count, _)| *count);
        sets.extend(farthest.map(|(_, loads)| loads));
        let kept = self.kept_by.map(|joint| (joint, keep_down(hook, bearing, &mut sets)));
        let mut checks = self.resting(hook, bearing, &sets);
        match (kept, sets.last()) {
            (Some((joint, force)), _) => {
                checks.push(self.kept(joint, force).map_err(Unrest::from));
            }
            (None, Some(farthest)) if !checks.iter().any(Result::is_err) => {
                checks.insert(0, self.staying(hook, bearing, farthest, count));
            }
            _ => {}
        }
        checks.extend(self.strips(pushes(hook, bearing, &sets)).map_or_else(
            |wrong| vec![Err(wrong.into())],
            |strips| strips.into_iter().map(Ok).collect(),
        ));
        checks
    }

    /// All tools as the style tells them, and the wood.
    fn loads(&self) -> Vec<Load> {
        let weights = self.holder.weights.iter();
        self.unloaded.with(weights.map(|weight| tool(self.loading, weight.mass, weight.out)))
    }

    /// The checks of a holder that rests under each set of loads, the worst of all.
    fn resting(&self, hook: Hook, bearing: f64, sets: &[Vec<Load>]) -> Vec<Result<Check, Unrest>> {
        let under = |loads: &Vec<Load>| match rest(hook, bearing, DRY_FRICTION, loads) {
            Ok(rest) => self.at_rest(hook, &rest),
            Err(Unrest::TurnsOff { .. }) => Vec::new(),
            Err(unrest) => vec![Err(unrest)],
        };
        sets.iter().map(under).reduce(worse).unwrap_or_default()
    }

    fn at_rest(&self, hook: Hook, rest: &Rest) -> Vec<Result<Check, Unrest>> {
        let checks = [self.bevel(hook, rest), self.own_screws(rest)];
        let back = self.back(hook, rest).transpose();
        let in_wall = match self.in_wall(hook, rest) {
            Ok(checks) => checks.into_iter().map(Ok).collect(),
            Err(wrong) => vec![Err(wrong)],
        };
        let split =
            splitting::checks((&self.place, self.cleat), self.screws, self.shop, (hook, rest));
        let checks = checks.into_iter().chain(in_wall).chain(split).chain(back);
        checks.map(|check| check.map_err(Unrest::from)).collect()
    }

    /// The board behind the holder cleat.
    fn back(&self, hook: Hook, rest: &Rest) -> Result<Option<Check>, Wrong> {
        let Some(board) = &self.unloaded.board else { return Ok(None) };
        let held = Held {
            foot: self.bearing.min(hook.low),
            cleat: hook.low,
            push: [-rest.most(|at| -at.bearing), rest.bearing()],
            turning: rest.down * (rest.reach - board.middle()).max(0.0),
        };
        back::bent(board, &held, (self.loading, self.shop.service))
    }

    fn bevel(&self, hook: Hook, rest: &Rest) -> Result<Check, Wrong> {
        let wood = find_wood(&self.cleat.stock.wood).wood;
        let crushing = allowable(wood, self.shop.service).crushing;
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
    fn staying(
        &self,
        hook: Hook,
        bearing: f64,
        loads: &[Load],
        outermost: Option<usize>,
    ) -> Result<Check, Unrest> {
        let far = |friction| farthest(hook, bearing, friction, loads);
        let (alone, least, dry) = (far(0.0)?, far(LOWEST_FRICTION)?, far(DRY_FRICTION)?);
        let reach = reach(loads);
        let grounds = Grounds::Reach { reach, alone, dry, outermost };
        let check = self.check(LoadQuestion::Staying, [reach, least], grounds);
        Ok(check.besides(HeldBy::DryFriction, share(reach, dry)))
    }

    fn check(&self, question: LoadQuestion, asked_and_can: [f64; 2], grounds: Grounds) -> Check {
        Check::new(self.place.clone(), question, asked_and_can, grounds)
    }

    /// The screws of the holder cleat, which would pry it off the back.
    fn own_screws(&self, rest: &Rest) -> Result<Check, Wrong> {
        let screws = &self.screws.screws;
        let Some((first, can)) = screws.first().zip(self.unloaded.own_screw) else {
            return Err(Wrong::NotPositive { what: "the number of the hook's screws", value: 0.0 });
        };
        let (count, height) = (screws.len() as f64, first.head[1]);
        let [flush, worst] =
            [rest.hook_screws_at(&rest.flush(), height)?, rest.hook_screws(height)?];
        let forces = [flush, worst, rest.down].map(|force| force / count);
        let drawn = Drawn::of((self.screws.screw, can?), forces)?;
        let grounds = drawn.grounds(CleatScrews::InAll(screws.len()));
        let asked_and_can = [drawn.asked, drawn.most];
        let check =
            Check::new(CheckPlace::HolderCleat, LoadQuestion::Screws, asked_and_can, grounds);
        let opened = flush * (rest.hook_top() - height);
        Ok(match first.into {
            Some(into) => check.besides(HeldBy::Glue, self.glued(into.part, opened, rest.down)),
            None => check,
        })
    }

    /// What part of its strength the glue between the holder cleat and the board behind it would be asked.
    fn glued(&self, back: usize, moment: f64, across: f64) -> f64 {
        let woods = [&self.cleat.stock.wood, &self.holder.parts[back].stock.wood];
        let (length, width) = (self.cleat.length(), self.cleat.width());
        let line = GlueLine { length, width, woods: woods.map(String::as_str) };
        line.share(moment, across, self.shop.service)
    }

    /// The wall cleat's screws: it fits under the hook, as wide as the shop's strips are. In masonry the
    /// wood under their heads alone is rated.
    fn in_wall(&self, hook: Hook, rest: &Rest) -> Result<Vec<Check>, Wrong> {
        let wall = &self.shop.wall;
        let [foot, height] = self.shop.wall_cleat_under(hook.low);
        let wood = (self.holder, &self.unloaded.wood[..]);
        let shared = Hung::of(wood, self.shop, self.cleat, self.loading).shared;
        let count = shared * wall.screws as f64;
        let [flush, worst] =
            [rest.wall_screws_at(&rest.flush(), foot, height)?, rest.wall_screws(foot, height)?];
        let forces = [flush, worst, rest.down].map(|force| force / count);
        let drawn = Drawn::of((wall.screw, self.unloaded.stud_screw?), forces)?;
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

    /// The wall cleat as a beam from stud to stud, the holder hung where it bends it most, and with its middle over a
    /// stud, half of it to either side; nothing of a holder that is never between two studs. Its back is far stiffer
    /// than the strip, which so bears it at the two ends of the hook (common practice, no source).
    ///
    /// Down it bends in its own plane, outward (as hard as its screws are drawn) on its flat:
    /// what the one takes of the strength is added to what the other takes.
    fn strips(&self, pushes: [f64; 2]) -> Result<Vec<Check>, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let hook = self.cleat.length();
        if hook >= spacing {
            return Ok(Vec::new());
        }
        let wood = find_wood(cleat.wood_name()).wood;
        let can = allowable(wood, self.shop.service).bending;
        let strip = |question, asked| {
            let grounds = Grounds::Strip {
                held_by: self.shop.wall.held_by(),
                over_a_stud: question == LoadQuestion::OverStud,
                down: pushes[0],
                outward: pushes[1],
                hook,
                width: cleat.width,
                wood: wood.name(),
                spacing,
            };
            Check::new(CheckPlace::WallCleat, question, [asked, can], grounds)
        };
        let mut anywhere = 0.0_f64;
        for ends in between(hook, spacing) {
            anywhere = anywhere.max(self.bent(&ends, pushes)?);
        }
        let over = self.bent(&[hook / 2.0], pushes)?;
        Ok(vec![strip(LoadQuestion::Strip, anywhere), strip(LoadQuestion::OverStud, over)])
    }

    /// Stress in the wall cleat from one stud to the next, in N/mm², under half of what pushes it down and outward at
    /// each of some places between them.
    fn bent(&self, places: &[f64], [down, outward]: [f64; 2]) -> Result<f64, Wrong> {
        let (cleat, spacing) = (&self.shop.cleat, self.shop.wall.stud_spacing);
        let (thickness, rise, solid) = (cleat.thickness, cleat.rise(), cleat.width - cleat.rise());
        let in_section = |section, push: f64| {
            let bare = Beam::uniform(Support::Simple, spacing, section);
            let loaded = places.iter().fold(bare, |beam, at| beam.with_load(*at, push / 2.0));
            Ok::<_, Wrong>(loaded.worst()?.bending)
        };
        let flat = CrossSection::Rectangle { width: solid + rise / 2.0, height: thickness };
        let panel = find_wood(cleat.wood_name()).wood.kind.is_panel();
        let kept = if panel { super::beam::PANEL_ON_EDGE } else { 1.0 };
        let on_edge = in_section(CrossSection::Beveled { thickness, solid, rise }, down)? / kept;
        Ok(on_edge + in_section(flat, outward)?)
    }
}

/// Where the two ends of a hook stand between two studs when they bend a strip most: one of them as far on one side of
/// the middle as half way to the other is on the other side (two equal loads that move along a beam; textbooks), or
/// one alone in the middle, the other beyond a stud.
fn between(hook: f64, spacing: f64) -> Vec<Vec<f64>> {
    let first = spacing / 2.0 - hook / 4.0;
    let both = vec![first, first + hook];
    let alone = vec![spacing / 2.0];
    let both_fit = first + hook <= spacing;
    if both_fit { vec![both, alone] } else { vec![alone] }
}

/// Of two lists of checks of one holder the worse of each, and what is in one of them alone.
fn worse(
    mut one: Vec<Result<Check, Unrest>>,
    other: Vec<Result<Check, Unrest>>,
) -> Vec<Result<Check, Unrest>> {
    for check in other {
        let same =
            one.iter_mut().flatten().find(|known| check.as_ref().is_ok_and(|c| c.id == known.id));
        match (same, check) {
            (Some(known), Ok(check)) if check.ratio() > known.ratio() => *known = check,
            (Some(_), _) => {}
            (None, check) => one.push(check),
        }
    }
    one
}

/// Adds to each set of loads what a keeper strip holds down with, and tells the most it has to, in N.
fn keep_down(hook: Hook, bearing: f64, sets: &mut [Vec<Load>]) -> f64 {
    let held = |loads: &mut Vec<Load>| {
        let down = held_down(hook, bearing, loads).unwrap_or(0.0);
        loads.push(Load { y: 0.0, z: hook.thickness / 2.0, down, out: 0.0 });
        down
    };
    sets.iter_mut().map(held).fold(0.0, f64::max)
}

/// The most that comes down on a wall cleat and pushes it outward, in N; of what turns off it as without friction.
fn pushes(hook: Hook, bearing: f64, sets: &[Vec<Load>]) -> [f64; 2] {
    let of = |loads: &Vec<Load>| match rest(hook, bearing, DRY_FRICTION, loads) {
        Ok(rest) => [rest.down, rest.wall_pull()],
        Err(_) => [down(loads), down(loads) * hook.bevel.to_radians().tan()],
    };
    let most = |a: [f64; 2], b: [f64; 2]| [a[0].max(b[0]), a[1].max(b[1])];
    sets.iter().map(of).fold([0.0; 2], most)
}

/// One of a cleat's screws, drawn by the hook.
struct Drawn {
    screw: Screw,
    /// What comes on it where the bevels fit; its pull where they bear on an edge alone, and the share of what it can.
    each: ScrewShare,
    worst_pull: f64,
    on_edge: f64,
    can: ScrewCan,
    /// Of pull and side load in one, and the most it may be, in N.
    asked: f64,
    most: f64,
}

impl Drawn {
    /// A screw, with what it can, that is pulled, pulled at worst, and loaded across by so many N.
    fn of(
        (screw, can): (Screw, ScrewCan),
        [pull, worst_pull, across]: [f64; 3],
    ) -> Result<Self, Wrong> {
        let share = |pull: f64| can.taken(pull, across);
        let (ratio, on_edge) = (share(pull)?, share(worst_pull)?);
        let asked = pull.hypot(across);
        let most = if ratio > 0.0 { asked / ratio } else { f64::INFINITY };
        let each = ScrewShare { pull, across };
        Ok(Self { screw, each, worst_pull, on_edge, can, asked, most })
    }

    fn grounds(&self, count: CleatScrews) -> Grounds {
        let Self { screw, each, worst_pull, on_edge, can, .. } = *self;
        Grounds::OfCleat { screw, count, each, worst_pull, on_edge, can }
    }
}

/// What a screw of the wall cleat goes through and into.
pub(super) fn stud_wood(shop: &Shop) -> ScrewedWood {
    let (cleat, wall) = (&shop.cleat, &shop.wall);
    let begins = cleat.thickness + wall.covering;
    let deep = wall.screw_length - begins;
    ScrewedWood {
        screw: wall.screw,
        near: (cleat.thickness, gravity(cleat.wood_name())),
        far: (deep, gravity(&wall.wood)),
        thread: wall.screw.thread_within(wall.screw_length, [begins, f64::INFINITY]),
        gap: wall.covering,
        grain: ScrewGrain::Side,
        panel_edge: false,
        under_head: cleat.thickness,
        service: shop.service,
    }
}
