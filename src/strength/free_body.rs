//! A holder at rest on its cleats, as a rigid body, with as much friction on the bevel as it needs.
//!
//! ```text
//!   y ^
//!     |  wall        holder's back
//!     |     |          |
//!     |  T->|__________|  top
//!     |     |          |
//!     |     |   hook   |           N   thrust of the wall cleat, square to the bevel:
//!     |     |   cleat _|               N cos b carries all weight, N sin b draws the
//!     |     |       _/ |               hook toward the wall
//!     |     |     _/   |           b   bevel: degrees the saw was tilted from square
//!     |     |  N\/     |           T, L  pushes of the wall at the holder cleat's upper
//!     |  L->| _/ wall  |               and lower edge
//!     |     |/  cleat  |  low      B   push of the wall at the spacer strip
//!     |     |__________|           W   loads and the holder's own weight
//!     |     |          |           H   what pulls outward
//!     |     |          |    | W
//!     |     |__________|    v
//!     |  B->| bearing  |  -> H
//!     |     |__________|
//!     +------------------------------> z
//! ```
//!
//! No contact pulls. N may lie anywhere on the bevel, from its edge at the wall (s = 0) to its
//! edge at the holder (s = thickness t), and the wall may push anywhere on the holder cleat's face.
//! Up and down, outward, and turning about the point (low, wall):
//!
//! ```text
//! N cos b = W          T + L + B = W tan b - H
//! N s / cos b + B (low - bearing) - T (top - low) = W z + H (y - low)
//! ```
//!
//! So the weight alone fixes N and all that the wall's pushes come to, whatever the overturning;
//! overturning only moves them about. It can be met up to
//! `z = t / cos² b + (low - bearing) tan b` (for H = 0); further out the holder turns off its
//! cleat. Below that more than one set of pushes is in balance, and which one comes about depends
//! on how tight each contact fits. Nothing is guessed: every figure asked for is the largest (or
//! least) over all of them, which is found at the corners of their range.
//!
//! Friction on the bevel, wood on wood, lets N lean from square toward the wall by up to its angle, atan f:
//! what then turns the hook off has to slide it up the bevel. Written with a, the angle of N from plumb (b to
//! b + atan f), the same sums are
//!
//! ```text
//! N cos a = W          T + L + B = W tan a - H
//! N s cos(a - b) / cos b + B (low - bearing) - T (top - low) = W z + H (y - low)
//! ```
//!
//! Only as much of it is taken as the loads ask for; the wall's own face is counted as smooth.
//!
//! Source: statics of a rigid body with unilateral contacts and dry friction; elementary mechanics.

use thiserror::Error;

use super::beam::bearing_stress;
use super::wrong::{Wrong, finite, not_negative, positive};

/// The holder cleat on a holder. Heights in mm on one scale with bearing and loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hook {
    /// Height of its lowest edge, the sharp one at the wall.
    pub low: f64,
    /// Height of its upper edge.
    pub top: f64,
    /// Its thickness in mm: how far the holder's back stands off the wall.
    pub thickness: f64,
    /// Degrees the bevel is tilted from square; the shop's `cleat.bevel`.
    pub bevel: f64,
}

/// A force on the holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Load {
    /// Height of the place it acts at, in mm.
    pub y: f64,
    /// How far out from the wall that is, in mm.
    pub z: f64,
    /// Its downward part in N.
    pub down: f64,
    /// Its outward part in N.
    pub out: f64,
}

/// One set of pushes on the holder that is in balance, in N, each 0 or more.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Contacts {
    /// Square to the bevel at its edge at the wall.
    pub bevel_inner: f64,
    /// Square to the bevel at its edge at the holder's back.
    pub bevel_outer: f64,
    /// Outward at the holder cleat's lower edge.
    pub hook_low: f64,
    /// Outward at its upper edge.
    pub hook_top: f64,
    /// Outward at the spacer strip.
    pub bearing: f64,
}

impl Contacts {
    fn between(a: &Self, b: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Self {
            bevel_inner: mix(a.bevel_inner, b.bevel_inner),
            bevel_outer: mix(a.bevel_outer, b.bevel_outer),
            hook_low: mix(a.hook_low, b.hook_low),
            hook_top: mix(a.hook_top, b.hook_top),
            bearing: mix(a.bearing, b.bearing),
        }
    }
}

/// Why a holder does not stay on its cleat.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub(crate) enum Unrest {
    #[error(transparent)]
    Wrong(#[from] Wrong),
    /// The hook's top is not above its low edge, or the bearing not below it. In mm.
    #[error("the {what} is at {at} mm, on the wrong side of the hook's lower edge at {low} mm")]
    WrongSide { what: &'static str, at: f64, low: f64 },
    /// A pull outward, in N, lifts the hook up the bevel; `most` is what the weight holds.
    #[error(
        "a pull of {out} N lifts the hook off its cleat, which the weight holds up to {most} N"
    )]
    PulledOff { out: f64, most: f64 },
    /// The loads lie too far out: the hook turns off its cleat. `reach` is their moment about the
    /// hook's lower edge by their weight, `most` what the cleats can meet, in mm.
    #[error("the loads act {reach} mm out, and the cleats hold them up to {most} mm")]
    TurnsOff { reach: f64, most: f64 },
    /// The loads swing the holder's foot off the wall. As `TurnsOff`, with the least reach.
    #[error("the loads act {reach} mm out, and the cleats hold them from {least} mm on")]
    SwingsOut { reach: f64, least: f64 },
}

/// A holder at rest.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rest {
    hook: Hook,
    /// The lever of the bearing below the hook's lower edge, in mm.
    arm: f64,
    /// All weight in N: what the holder cleat's and the wall cleat's screws bear across.
    pub down: f64,
    /// All outward pulls in N.
    pub out: f64,
    /// On the bevel, in N: N of the drawing.
    pub thrust: f64,
    /// Degrees of the thrust from plumb: the bevel's own where no friction is needed.
    lean: f64,
    /// Moment of the loads about the hook's lower edge by their weight, in mm.
    pub reach: f64,
    corners: Vec<Contacts>,
}

/// What all loads on a holder come to.
#[derive(Clone, Copy)]
struct Sum {
    down: f64,
    out: f64,
    /// About the hook's lower edge at the wall, in N mm.
    moment: f64,
}

fn sum(hook: Hook, loads: &[Load]) -> Result<Sum, Wrong> {
    let mut sum = Sum { down: 0.0, out: 0.0, moment: 0.0 };
    for load in loads {
        sum.down += not_negative("a load", load.down)?;
        sum.out += not_negative("an outward pull", load.out)?;
        sum.moment += load.down * load.z + load.out * (load.y - hook.low);
    }
    positive("the weight", sum.down)?;
    finite("the loads' moment", sum.moment)?;
    Ok(sum)
}

/// The furthest reach, in mm, at which a holder under `loads` stays on its cleats with so much `friction` on the
/// bevel; infinite where the hook can't slide up it at all. `bearing` as for [`rest`].
///
/// # Errors
/// As [`rest`], but for a holder that comes off.
pub(crate) fn farthest(
    hook: Hook,
    bearing: f64,
    friction: f64,
    loads: &[Load],
) -> Result<f64, Unrest> {
    let (arm, sum) = (check(hook, bearing)?, sum(hook, loads)?);
    let lean = hook.bevel + friction.atan().to_degrees();
    if lean >= 90.0 {
        return Ok(f64::INFINITY);
    }
    Ok(most_moment(hook, arm, sum, lean) / sum.down)
}

/// What the cleats can meet where the thrust leans so many degrees from plumb.
fn most_moment(hook: Hook, arm: f64, sum: Sum, lean: f64) -> f64 {
    let (sin, cos) = lean.to_radians().sin_cos();
    let thrust = sum.down / cos;
    thrust * hook.lever(lean) + (thrust * sin - sum.out) * arm
}

impl Hook {
    /// How much higher the bevel's outer edge is than its inner one, in mm.
    fn rise(self) -> f64 {
        self.thickness * self.bevel.to_radians().tan()
    }

    /// The lever of a thrust at the bevel's outer edge about its inner one, in mm.
    fn lever(self, lean: f64) -> f64 {
        let Self { thickness, bevel, .. } = self;
        thickness * (lean - bevel).to_radians().cos() / bevel.to_radians().cos()
    }
}

/// Degrees from plumb at which a thrust at the bevel's outer edge, and the spacer strip, just meet the loads: of
/// [`most_moment`] = moment, solved for the tangent of the angle.
fn needed_lean(hook: Hook, arm: f64, sum: Sum) -> f64 {
    let rise = hook.bevel.to_radians().tan();
    let tangent = (sum.moment / sum.down - hook.thickness + sum.out * arm / sum.down)
        / (hook.thickness * rise + arm);
    tangent.atan().to_degrees()
}

/// The holder's balance under its loads, own weight among them, with as little friction on the bevel as it needs
/// and at most `friction`. `bearing` is the height of the spacer strip (its lower edge gives the longest lever,
/// its upper edge the careful one), in mm; where there is none, the hook's own lower edge.
///
/// # Errors
/// [`Unrest`] when a figure is no size, or when the holder comes off.
pub(crate) fn rest(
    hook: Hook,
    bearing: f64,
    friction: f64,
    loads: &[Load],
) -> Result<Rest, Unrest> {
    let (arm, sum) = (check(hook, bearing)?, sum(hook, loads)?);
    let most = farthest(hook, bearing, friction, loads)?;
    let reach = sum.moment / sum.down;
    if reach > most {
        return Err(Unrest::TurnsOff { reach, most });
    }
    let alone = most_moment(hook, arm, sum, hook.bevel);
    let lean = if sum.moment > alone { needed_lean(hook, arm, sum) } else { hook.bevel };
    let (sin, cos) = lean.to_radians().sin_cos();
    let thrust = sum.down / cos;
    let push = thrust * sin - sum.out;
    if push < 0.0 {
        return Err(Unrest::PulledOff { out: sum.out, most: thrust * sin });
    }
    let span = hook.top - hook.low;
    let least = -push * span;
    finite("the moment the cleats can meet", alone - least)?;
    if sum.moment < least {
        return Err(Unrest::SwingsOut { reach, least: least / sum.down });
    }
    let outer = hook.lever(lean);
    let turning = |c: &Contacts| c.bevel_outer * outer + c.bearing * arm - c.hook_top * span;
    // Where friction just holds it, there is one way only.
    let corners = if lean > hook.bevel {
        vec![Contacts { bevel_outer: thrust, bearing: push, ..Contacts::default() }]
    } else {
        corners(thrust, push, turning, sum.moment)
    };
    let Sum { down, out, .. } = sum;
    Ok(Rest { hook, arm, down, out, thrust, lean, reach, corners })
}

/// The lever of the bearing below the hook's lower edge, in mm.
fn check(hook: Hook, bearing: f64) -> Result<f64, Unrest> {
    let Hook { low, top, thickness, bevel } = hook;
    positive("the holder cleat's thickness", thickness)?;
    positive("the bevel", bevel)?;
    positive("what the bevel lacks of a right angle", 90.0 - bevel)?;
    let wrong = |what, at| Err(Unrest::WrongSide { what, at, low });
    if top.partial_cmp(&low) != Some(std::cmp::Ordering::Greater) || !(top - low).is_finite() {
        return wrong("hook's upper edge", top);
    }
    let arm = low - bearing;
    if arm >= 0.0 && arm.is_finite() { Ok(arm) } else { wrong("spacer strip", bearing) }
}

/// The corners of the range of pushes in balance. The thrust is shared by two places and the push
/// by three; the ways to do so form a prism, and the balance of moments cuts its edges.
fn corners(
    thrust: f64,
    push: f64,
    turning: impl Fn(&Contacts) -> f64,
    moment: f64,
) -> Vec<Contacts> {
    let none = Contacts::default();
    let thrusts =
        [Contacts { bevel_inner: thrust, ..none }, Contacts { bevel_outer: thrust, ..none }];
    let prism: Vec<(usize, usize, Contacts)> = (0..2)
        .zip(thrusts)
        .flat_map(|(i, at)| {
            let pushes = [
                Contacts { hook_low: push, ..at },
                Contacts { hook_top: push, ..at },
                Contacts { bearing: push, ..at },
            ];
            (0..3).zip(pushes).map(move |(j, at)| (i, j, at))
        })
        .collect();
    let mut met = Vec::new();
    for (at, (i, j, one)) in prism.iter().enumerate() {
        for (k, l, other) in prism.iter().skip(at + 1) {
            if i == k || j == l {
                met.extend(balance(one, other, &turning, moment));
            }
        }
    }
    met
}

/// Where on the way from one set of pushes to another the moments balance.
fn balance(
    one: &Contacts,
    other: &Contacts,
    turning: impl Fn(&Contacts) -> f64,
    moment: f64,
) -> Option<Contacts> {
    let (from, to) = (turning(one), turning(other));
    if from == to {
        // Both ends are in balance or neither; their other edges meet them too.
        return (from == moment).then_some(*one);
    }
    let share = (moment - from) / (to - from);
    (0.0..=1.0).contains(&share).then(|| Contacts::between(one, other, share))
}

impl Rest {
    /// The largest value of a figure over all pushes in balance.
    pub(crate) fn most(&self, figure: impl Fn(&Contacts) -> f64) -> f64 {
        self.corners.iter().map(figure).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The height of the hook's upper edge, in mm.
    pub(crate) fn hook_top(&self) -> f64 {
        self.hook.top
    }

    /// The largest push at the spacer strip, in N.
    pub(crate) fn bearing(&self) -> f64 {
        self.most(|c| c.bearing)
    }

    /// The pushes of a well-fitted cleat: the wall's thrust lies in the middle of the bevel's face,
    /// and the spacer strip or the hook's upper edge meets what overturning is left; only what
    /// they can't meet moves the thrust along the bevel. Common practice, no source.
    pub(crate) fn flush(&self) -> Contacts {
        let Self { hook, thrust, lean, .. } = *self;
        let push = thrust * lean.to_radians().sin() - self.out;
        let whole = thrust * hook.lever(lean);
        let (span, moment) = (hook.top - hook.low, self.reach * self.down);
        let left = moment - whole / 2.0;
        // Toward the room the spacer strip pushes, toward the wall the hook's upper edge.
        let (most, lever) =
            if left >= 0.0 { (push * self.arm, self.arm) } else { (push * span, span) };
        let met = left.abs().min(most);
        let pushed = if lever > 0.0 { met / lever } else { 0.0 };
        let beyond = (left.abs() - met) * left.signum();
        let outer = if whole > 0.0 { (0.5 + beyond / whole).clamp(0.0, 1.0) } else { 0.5 };
        let (bearing, hook_top) = if left >= 0.0 { (pushed, 0.0) } else { (0.0, pushed) };
        Contacts {
            bevel_inner: thrust * (1.0 - outer),
            bevel_outer: thrust * outer,
            hook_low: push - pushed,
            hook_top,
            bearing,
        }
    }

    /// What draws the holder's back off its holder cleat, in N: bearing push and outward pulls, at
    /// their largest. The net pull in the screws, before prying: [`Rest::hook_screws`].
    pub(crate) fn pull(&self) -> f64 {
        self.bearing() + self.out
    }

    /// What draws the wall cleat out of the wall, in N: W tan a, whatever the overturning. Its
    /// screws are pried on besides: [`Rest::wall_screws`].
    pub(crate) fn wall_pull(&self) -> f64 {
        self.thrust * self.lean.to_radians().sin()
    }

    /// Compression square to the bevel in N/mm², for a cleat `length` mm along the wall: the thrust
    /// on half the bevel's face, as it leans on one edge (common practice, no source).
    ///
    /// # Errors
    /// When the length is not above 0.
    pub(crate) fn bevel_stress(&self, length: f64) -> Result<f64, Wrong> {
        let slope = self.hook.thickness / self.hook.bevel.to_radians().cos();
        let square = self.thrust * (self.lean - self.hook.bevel).to_radians().cos();
        bearing_stress(square, positive("the cleat's length", length)? * slope / 2.0)
    }

    /// The pull in N in all wall screws that hold the wall cleat, at height `screws`, prying about
    /// its lower edge at height `foot` counted: the largest over all pushes in balance.
    ///
    /// # Errors
    /// When the screws are not above the foot.
    pub(crate) fn wall_screws(&self, foot: f64, screws: f64) -> Result<f64, Wrong> {
        let lever = wall_lever(foot, screws)?;
        Ok((self.most(|c| self.wall_turning(c, foot)) / lever).max(self.wall_pull()))
    }

    /// The same for one set of pushes, such as [`Rest::flush`].
    ///
    /// # Errors
    /// When the screws are not above the foot.
    pub(crate) fn wall_screws_at(
        &self,
        at: &Contacts,
        foot: f64,
        screws: f64,
    ) -> Result<f64, Wrong> {
        Ok((self.wall_turning(at, foot) / wall_lever(foot, screws)?).max(self.wall_pull()))
    }

    /// The pull in N in all screws that hold the holder cleat to the holder's back, at height
    /// `screws`, prying about the cleat's upper edge counted and glue not: the largest over all
    /// pushes in balance.
    ///
    /// # Errors
    /// When the screws are not below the cleat's upper edge.
    pub(crate) fn hook_screws(&self, screws: f64) -> Result<f64, Wrong> {
        let lever = hook_lever(self.hook, screws)?;
        Ok((self.most(|c| self.hook_turning(c)) / lever).max(self.pull()))
    }

    /// The same for one set of pushes, such as [`Rest::flush`].
    ///
    /// # Errors
    /// When the screws are not below the cleat's upper edge.
    pub(crate) fn hook_screws_at(&self, at: &Contacts, screws: f64) -> Result<f64, Wrong> {
        let lever = hook_lever(self.hook, screws)?;
        Ok((self.hook_turning(at) / lever).max(at.bearing + self.out))
    }

    /// What bends the holder cleat's hook away from the holder's back, in N mm at the height `screws`: the largest over
    /// all pushes in balance. What bends it the other way lies on the back.
    pub(crate) fn hook_bending(&self, screws: f64) -> f64 {
        let Hook { low, thickness, .. } = self.hook;
        let (sin, cos) = self.lean.to_radians().sin_cos();
        let edges = [low, low + self.hook.rise()];
        let [inner, outer] = edges.map(|edge| (screws - edge).max(0.0) * sin);
        let (half, wall) = (thickness / 2.0 * cos, (screws - low).max(0.0));
        let on_bevel =
            |c: &Contacts| c.bevel_inner * (inner + half) + c.bevel_outer * (outer - half);
        self.most(|c| on_bevel(c) - c.hook_low * wall).max(0.0)
    }

    /// What bends the wall cleat's hook away from the wall, in N mm at the height `screws`: the same.
    pub(crate) fn wall_bending(&self, screws: f64) -> f64 {
        let Hook { low, thickness, .. } = self.hook;
        let (sin, cos) = self.lean.to_radians().sin_cos();
        let edges = [low, low + self.hook.rise()];
        let [inner, outer] = edges.map(|edge| (edge - screws).max(0.0) * sin);
        let half = thickness / 2.0 * cos;
        self.most(|c| c.bevel_inner * (inner - half) + c.bevel_outer * (outer + half)).max(0.0)
    }

    /// What turns the wall cleat about its foot, in N mm.
    fn wall_turning(&self, at: &Contacts, foot: f64) -> f64 {
        let Hook { low, thickness, .. } = self.hook;
        let (sin, cos) = self.lean.to_radians().sin_cos();
        let outer = at.bevel_outer * (thickness * cos + (low + self.hook.rise() - foot) * sin);
        at.bevel_inner * (low - foot) * sin + outer
    }

    /// What turns the holder cleat about its upper edge at the holder's back, in N mm.
    fn hook_turning(&self, at: &Contacts) -> f64 {
        let Hook { low, top, thickness, .. } = self.hook;
        let (sin, cos) = self.lean.to_radians().sin_cos();
        let (span, rise) = (top - low, self.hook.rise());
        let inner = at.bevel_inner * (thickness * cos + span * sin);
        inner + at.bevel_outer * (span - rise) * sin - at.hook_low * span
    }
}

fn wall_lever(foot: f64, screws: f64) -> Result<f64, Wrong> {
    positive("the height of the screws above the cleat's foot", screws - foot)
}

fn hook_lever(hook: Hook, screws: f64) -> Result<f64, Wrong> {
    positive("the height of the hook's edge above the screws", hook.top - screws)
}
