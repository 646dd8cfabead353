//! How heavy things are taken to be.

use kurbo::Point;

use crate::holder::{Holder, Part};
use crate::kernel::Contour;
use crate::length::STANDARD_GRAVITY;
use crate::style::Space;
use crate::tolerance::FLATTENING;

/// By what tools' weights are multiplied for knocks and pulls when a style does not say.
/// Common practice, no source.
const LIVE_LOAD: f64 = 1.5;

/// How tools' masses are turned into loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Loading {
    /// For knocks and pulls.
    pub live: f64,
    /// How many times the tools of the holder file.
    pub times: f64,
}

impl Loading {
    /// The holder's tools as they are.
    pub(super) fn of(holder: &Holder) -> Self {
        Self { live: holder.live_load.unwrap_or(LIVE_LOAD), times: 1.0 }
    }

    /// The same tools where nobody knocks or pulls them.
    pub(super) fn at_rest(self) -> Self {
        Self { live: 1.0, ..self }
    }

    /// The load of tools of `mass` kg when they are knocked or pulled, in N.
    pub(super) fn knocked(self, mass: f64) -> f64 {
        self.still(mass) * self.live
    }

    /// Their load at rest, in N.
    pub(super) fn still(self, mass: f64) -> f64 {
        mass * self.times * STANDARD_GRAVITY
    }
}

/// The tools one by one, the outermost first: their mass in kg, as if all weighed alike, and how far out from the wall
/// they act, in mm. As the style tells their weights where it does not say where they hang.
pub(super) fn hung_apart(holder: &Holder) -> Vec<(f64, f64)> {
    let mass: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
    let each = mass / holder.tools.len() as f64;
    let mut apart: Vec<(f64, f64)> = match holder.tools.is_empty() {
        true => holder.weights.iter().map(|weight| (weight.mass, weight.out)).collect(),
        false => holder.tools.iter().map(|tool| (each, tool.at[2])).collect(),
    };
    apart.sort_by(|a, b| b.1.total_cmp(&a.1));
    apart
}

/// The weight of one piece of a part, in N.
pub(super) fn of_piece(part: &Part) -> f64 {
    part.mass() / part.quantity().max(1) as f64 * STANDARD_GRAVITY
}

/// What one piece of wood weighs, in N, and where that acts in the holder.
#[derive(Debug, Clone, Copy)]
pub(super) struct PieceWeight {
    pub at: Space,
    pub down: f64,
}

/// The wood of a holder piece by piece.
pub(super) fn wood(holder: &Holder) -> Vec<PieceWeight> {
    let pieces = |part| {
        let down = of_piece(part);
        centers(part).map(move |at| PieceWeight { at, down })
    };
    holder.parts.iter().flat_map(pieces).collect()
}

/// Where the weight of each piece of a part acts, in the holder.
pub(crate) fn centers(part: &Part) -> impl Iterator<Item = Space> + '_ {
    let center = centroid(part.region.contours());
    part.places.iter().map(move |place| place.to_space(center, place.size[2] / 2.0))
}

/// The centroid of an area: contours clockwise take away.
fn centroid<'a>(contours: impl Iterator<Item = &'a Contour>) -> Point {
    let (mut area, mut x, mut y) = (0.0, 0.0, 0.0);
    for contour in contours {
        let points = contour.flatten(FLATTENING);
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            let twice = a.x * b.y - b.x * a.y;
            area += twice / 2.0;
            x += (a.x + b.x) * twice / 6.0;
            y += (a.y + b.y) * twice / 6.0;
        }
    }
    Point::new(x / area, y / area)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_a_plate_with_a_hole() {
        let plate = Contour::circle(Point::new(10.0, 20.0), 6.0);
        let hole = Contour::circle(Point::new(13.0, 20.0), 2.0).clockwise();
        let at = centroid([&plate, &hole].into_iter());
        // 36 parts at 10 less 4 parts at 13, over 32.
        assert!((at.x - 9.625).abs() < 1e-3 && (at.y - 20.0).abs() < 1e-6, "{at:?}");
    }
}
