//! Whether every piece has the wall or another piece to be fastened to, and none lies in the wall.

use super::finding::Finding;
use super::part::Part;
use super::placement::Placement;
use crate::length::Units;
use crate::limits;
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// A part with the level box around one of its pieces: its least and its greatest corner.
type Boxed<'p> = (&'p Part, (Space, Space));

/// A stop for every part that lies behind the wall's face, and for every one that no row of touching
/// pieces joins to the wall. Pieces are taken as the boxes around them.
pub(super) fn loose(parts: &[Part], units: Units) -> Vec<Finding> {
    let pieces: Vec<Boxed<'_>> = parts.iter().flat_map(boxed).collect();
    let behind = pieces.iter().filter_map(|piece| behind(piece, units));
    let held = held(&pieces);
    let (fast, free): (Vec<_>, Vec<_>) = pieces.iter().zip(held).partition(|(_, held)| *held);
    let fast: Vec<&Boxed<'_>> = fast.into_iter().map(|(piece, _)| piece).collect();
    let free = free.into_iter().map(|(piece, _)| in_the_air(piece, &fast, units));
    behind.chain(free).take(limits::FAULTS).collect()
}

fn boxed(part: &Part) -> impl Iterator<Item = Boxed<'_>> {
    part.places.iter().map(move |place| (part, Placement::bounds(place)))
}

fn behind((part, (low, _)): &Boxed<'_>, units: Units) -> Option<Finding> {
    let depth = -low[2];
    (depth > COORDINATE).then(|| {
        let message = format!(
            "{} lies {} behind the face of the wall: move it out by as much (z in its sits).",
            part.name,
            units.length(depth)
        );
        Finding::stop("behind-the-wall", message)
    })
}

/// Which pieces the wall holds, by themselves or through others.
fn held(pieces: &[Boxed<'_>]) -> Vec<bool> {
    let mut held: Vec<bool> = pieces.iter().map(|(_, (low, _))| low[2] <= COORDINATE).collect();
    let mut reached: Vec<usize> = (0..pieces.len()).filter(|i| held[*i]).collect();
    while let Some(at) = reached.pop() {
        for (i, (_, bounds)) in pieces.iter().enumerate() {
            if !held[i] && apart(&pieces[at].1, bounds) <= COORDINATE {
                held[i] = true;
                reached.push(i);
            }
        }
    }
    held
}

/// The least distance between two boxes, in mm; 0 where they touch or share space.
fn apart((a_low, a_high): &(Space, Space), (b_low, b_high): &(Space, Space)) -> f64 {
    let gap = |i: usize| (b_low[i] - a_high[i]).max(a_low[i] - b_high[i]).max(0.0);
    gap(0).hypot(gap(1)).hypot(gap(2))
}

fn in_the_air((part, bounds): &Boxed<'_>, fast: &[&Boxed<'_>], units: Units) -> Finding {
    let others = fast.iter().map(|(other, beside)| (other.name.as_str(), apart(bounds, beside)));
    let (nearest, gap) = others
        .chain([("the wall", bounds.0[2])])
        .fold(("", f64::INFINITY), |best, one| if one.1 < best.1 { one } else { best });
    let message = format!(
        "{} hangs in the air, {} from {nearest}: bring them together (at in its sits), or make one \
         of them larger.",
        part.name,
        units.length(gap)
    );
    Finding::stop("in-the-air", message)
}
