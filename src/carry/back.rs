//! The board that hangs on the cleat, bent between the cleat and its foot by what stands out in front of it.

use super::beam::across_or_along;
use super::check::{Check, CheckPlace, LoadQuestion};
use super::grounds::Grounds;
use super::net::Net;
use super::weight::Loading;
use crate::holder::{Carrier, Holder, Model, Part, Placement};
use crate::shop::{Service, find_wood};
use crate::strength::Wrong;
use crate::style::{Runs, Space};
use crate::tolerance::COORDINATE;

/// How the wall holds the board: heights in mm above the holder's foot, the push at the foot in N.
pub(super) struct Held {
    /// Of the wall's push at the foot.
    pub foot: f64,
    /// Of the lower edge of the cleat it hangs on.
    pub cleat: f64,
    /// The least and the most that push may come to.
    pub push: [f64; 2],
    /// What all loads turn with about the board's face, in N mm.
    pub turning: f64,
}

/// What turns the board where it stands out from it.
struct Turned {
    /// Over which heights it is fixed, in mm above the holder's foot.
    low: f64,
    high: f64,
    /// In N mm, of all its pieces.
    moment: f64,
    /// How wide its pieces are together, in mm.
    width: f64,
    pieces: f64,
}

/// The board that a holder cleat is screwed to, ready for loads of any size.
pub(super) struct Board<'a> {
    holder: &'a Holder,
    /// Which part it is.
    back: usize,
    /// The least and the greatest corner of its piece, in mm.
    bounds: (Space, Space),
    net: Net<'a>,
}

impl<'a> Board<'a> {
    /// `None` where it has no piece.
    pub(super) fn ready(holder: &'a Holder, back: usize) -> Option<Self> {
        let part = &holder.parts[back];
        let place = part.places.first()?;
        let [u, v, _] = place.faces.frame();
        let net = Net::new(part, u[1].abs() > v[1].abs(), true);
        Some(Self { holder, back, bounds: place.bounds(), net })
    }

    /// How far the middle of its thickness is from the wall, in mm.
    pub(super) fn middle(&self) -> f64 {
        let (low, high) = self.bounds;
        f64::midpoint(low[2], high[2])
    }
}

/// The check of a board; nothing where all that stands out from it is fixed down to its foot.
pub(super) fn bent(
    board: &Board<'_>,
    held: &Held,
    (loading, service): (Loading, Service),
) -> Result<Option<Check>, Wrong> {
    let Board { holder, back, bounds: (low, high), ref net } = *board;
    let part = &holder.parts[back];
    let turned = turned(holder, back, loading);
    let width = |at: f64| {
        let spread = spread(&turned, at);
        net.width(along(part, at)).min(spread)
    };
    let within = |at: &f64| {
        // What is fixed to it along a height is far stiffer than the board there (common practice, no source).
        let stiff = turned.iter().any(|t| *at > t.low + COORDINATE && *at < t.high - COORDINATE);
        !stiff && *at > held.foot && *at <= held.cleat && *at > low[1] && *at < high[1]
    };
    let stations = stations(&turned, held);
    let moments = stations.into_iter().filter(within);
    let stressed = moments.map(|at| {
        let modulus = width(at) * part.stock.thickness.powi(2) / 6.0;
        (at, moment(&turned, held, at) / modulus)
    });
    let Some((at, stress)) = stressed.max_by(|a, b| a.1.total_cmp(&b.1)) else { return Ok(None) };
    if stress <= 0.0 {
        return Ok(None);
    }
    let wood = find_wood(&part.stock.wood).wood;
    let (can, across) = across_or_along(part, (wood, service), net);
    let grounds = Grounds::Back {
        at,
        width: width(at),
        thickness: part.stock.thickness,
        wood: wood.name(),
        across,
    };
    let name = CheckPlace::Named(format!("the {}", part.name.replace('-', " ")));
    Ok(Some(Check::new(name, LoadQuestion::Back, [stress, can], grounds)))
}

/// Heights at which the board may be bent most: below and above whatever turns it, and at the cleat.
fn stations(turned: &[Turned], held: &Held) -> Vec<f64> {
    let ends = turned.iter().flat_map(|turned| [turned.low, turned.high]);
    ends.chain([held.cleat]).collect()
}

/// What bends the board at a height, in N mm: the foot's push below, less what has turned in; within what is fixed to
/// it, in proportion. Never more than turns in all.
fn moment(turned: &[Turned], held: &Held, at: f64) -> f64 {
    let all: f64 = turned.iter().map(|turned| turned.moment).sum();
    let real = if all > held.turning { held.turning / all } else { 1.0 };
    let share = |turned: &Turned| {
        let height = (turned.high - turned.low).max(COORDINATE);
        ((at - turned.low) / height).clamp(0.0, 1.0)
    };
    let turned_in: f64 = turned.iter().map(|turned| turned.moment * real * share(turned)).sum();
    let bends = |push: f64| (push * (at - held.foot) - turned_in).abs();
    held.push.map(bends).into_iter().fold(0.0, f64::max)
}

/// How wide a board bears at a height what is fixed to it: 45 degrees to either side. Common practice, no source.
fn spread(turned: &[Turned], at: f64) -> f64 {
    let wide = |turned: &Turned| {
        let away = (turned.low - at).max(at - turned.high).max(0.0);
        turned.width + 2.0 * (away + (turned.high - turned.low) / 2.0) * turned.pieces
    };
    turned.iter().map(wide).reduce(|all, one| all + one).unwrap_or(f64::INFINITY)
}

/// What stands out from the face of the board and is held there.
fn turned(holder: &Holder, back: usize, loading: Loading) -> Vec<Turned> {
    let Some((from, to)) = holder.parts[back].places.first().map(Placement::bounds) else {
        return Vec::new();
    };
    let of = |carrier: &Carrier| match carrier.model {
        Model::Cantilever { part, runs: Runs::Out, root, mass, at }
            if (from[2]..=to[2] + COORDINATE).contains(&root) =>
        {
            one(&holder.parts[part], [from, to], loading.knocked(mass), at)
        }
        _ => None,
    };
    holder.carriers.iter().filter_map(of).collect()
}

/// One part that carries `load` N on each of its pieces, `out` mm from the wall or else half way to its tip; nothing of
/// what does not stand before the board.
fn one(part: &Part, [from, to]: [Space; 2], load: f64, out: Option<f64>) -> Option<Turned> {
    let bounds: Vec<(Space, Space)> = part.places.iter().map(Placement::bounds).collect();
    let (low, high) = bounds.first()?;
    let out = out.unwrap_or_else(|| f64::midpoint(to[2], high[2]));
    let (low_at, high_at) = (low[1].max(from[1]), high[1].min(to[1]));
    let width: f64 = bounds.iter().map(|(low, high)| high[0] - low[0]).sum();
    let pieces = bounds.len() as f64;
    let moment = load * (out - f64::midpoint(from[2], to[2])).max(0.0) * pieces;
    (high_at >= low_at - COORDINATE).then_some(Turned {
        low: low_at,
        high: high_at,
        moment,
        width,
        pieces,
    })
}

/// A height in the holder along the part's own run.
fn along(part: &Part, height: f64) -> f64 {
    let Some(place) = part.places.first() else { return 0.0 };
    let (low, _) = place.bounds();
    let (at, _) = place.to_piece([low[0], height, low[2]]);
    let [u, v, _] = place.faces.frame();
    if u[1].abs() > v[1].abs() { at.x } else { at.y }
}
