//! Names beside a picture, each with a leader to what it names.
//!
//! They stand in a column at either side, in the order of what they name, so that no leader crosses another; a pair that
//! would is changed over, which makes both shorter together.

use kurbo::{Point, Rect};

use crate::drawing::Line;
use crate::drawing::canvas::{Canvas, Label, cross};
use crate::drawing::dimension::FIGURE;
use crate::drawing::near::spread;
use crate::kernel::Contour;

/// White between the picture and a column, in mm.
const BESIDE: f64 = 7.0;

/// From one name to the next, in mm.
const PITCH: f64 = 5.0;

/// White between a leader and its name, in mm.
const GAP: f64 = 1.0;

/// Radius of the dot at a leader's foot, in mm.
const DOT: f64 = 0.45;

/// What is named, and the place on the paper that the leader leads to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NamedSpot {
    pub at: Point,
    pub name: String,
}

/// Writes the names beside what is drawn so far.
pub(super) fn write(canvas: &mut Canvas, spots: Vec<NamedSpot>) {
    let bounds = canvas.bounds();
    let middle = bounds.center().x;
    let (mut left, mut right): (Vec<_>, Vec<_>) =
        spots.into_iter().partition(|spot| spot.at.x < middle);
    for (column, x, sign) in
        [(&mut left, bounds.x0 - BESIDE, -1.0), (&mut right, bounds.x1 + BESIDE, 1.0)]
    {
        for (spot, y) in placed(column, x, bounds) {
            let label = Label::new(spot.name.clone(), FIGURE);
            let end = Point::new(x, y);
            canvas.line(Line::Leader, spot.at, end);
            canvas.fill(Contour::circle(spot.at, DOT));
            let aside = sign * (label.extent().width / 2.0 + GAP);
            canvas.write(&label, Point::new(x + aside, y));
        }
    }
}

/// The spots of one column with the heights of their names.
fn placed(spots: &mut [NamedSpot], x: f64, bounds: Rect) -> Vec<(&NamedSpot, f64)> {
    spots.sort_by(|a, b| a.at.y.total_cmp(&b.at.y).then(a.at.x.total_cmp(&b.at.x)));
    let wanted = spots.iter().map(|spot| spot.at.y.clamp(bounds.y0, bounds.y1));
    let heights = spread(wanted, PITCH);
    let mut order: Vec<usize> = (0..spots.len()).collect();
    let crossed = |one: usize, other: usize, (y, z): (f64, f64)| {
        cross(spots[one].at, Point::new(x, y), spots[other].at, Point::new(x, z))
    };
    // Every change makes the leaders shorter in all, so it ends; as many rounds as there are pairs are plenty.
    for _ in 0..spots.len() * spots.len() {
        let pairs = (0..order.len()).flat_map(|a| (a + 1..order.len()).map(move |b| (a, b)));
        let found = pairs
            .into_iter()
            .find(|(a, b)| crossed(order[*a], order[*b], (heights[*a], heights[*b])));
        match found {
            Some((a, b)) => order.swap(a, b),
            None => break,
        }
    }
    order.into_iter().zip(heights).map(|(spot, y)| (&spots[spot], y)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_apart_and_their_leaders_do_not_cross() {
        let spot = |x: f64, y: f64| NamedSpot { at: Point::new(x, y), name: "x".to_owned() };
        let bounds = Rect::new(0.0, 0.0, 50.0, 40.0);
        let mut spots: Vec<NamedSpot> = (0..12_i32)
            .map(|i| spot(f64::from(i * 7 % 12) * 4.0, 20.0 + f64::from(i * 5 % 12) / 4.0))
            .collect();
        let placed = placed(&mut spots, 60.0, bounds);
        let ends: Vec<[Point; 2]> =
            placed.iter().map(|(spot, y)| [spot.at, Point::new(60.0, *y)]).collect();
        for (i, one) in ends.iter().enumerate() {
            for other in &ends[i + 1..] {
                assert!(!cross(one[0], one[1], other[0], other[1]), "{one:?} {other:?}");
                assert!((one[1].y - other[1].y).abs() > PITCH - 1e-9);
            }
        }
    }
}
