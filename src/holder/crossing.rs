//! Screws that would run into one another inside the wood.

use super::finding::Finding;
use super::screws::Seated;
use crate::kernel::vector::{dot, minus};
use crate::length::Units;
use crate::shop::Screw;
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// Wood to be left between two screws, in mm. Common practice, no source.
const BETWEEN: f64 = 1.0;

/// A screw where it ends up, from its head to its tip.
#[derive(Debug, Clone)]
pub(super) struct Body<'a> {
    pub head: Space,
    pub tip: Space,
    /// Diameter of its shank, in mm.
    pub shank: f64,
    /// What it joins.
    pub about: &'a str,
}

impl<'a> Body<'a> {
    /// That of a screw of some length.
    pub(super) fn of(seated: &Seated, screw: Screw, length: f64, about: &'a str) -> Self {
        Self {
            head: seated.head,
            tip: std::array::from_fn(|i| seated.head[i] + seated.ahead[i] * length),
            shank: screw.shank(),
            about,
        }
    }

    /// Whether wood enough stays between this screw and another.
    pub(super) fn clears(&self, other: &Self) -> bool {
        let least = self.least(other);
        // Most stand far from one another.
        self.beside(other) > least + COORDINATE || distance(self, other) >= least
    }

    /// How far apart the level boxes around both are along one axis, in mm: they are no nearer than that.
    fn beside(&self, other: &Self) -> f64 {
        let ends =
            |body: &Self, i: usize| (body.head[i].min(body.tip[i]), body.head[i].max(body.tip[i]));
        let gap = |i: usize| {
            let ((low, high), (near, far)) = (ends(self, i), ends(other, i));
            (near - high).max(low - far)
        };
        (0..3).map(gap).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The least distance from middle to middle, in mm.
    fn least(&self, other: &Self) -> f64 {
        f64::midpoint(self.shank, other.shank) + BETWEEN
    }
}

/// A stop for each two joints whose screws meet, told at their closest.
pub(super) fn crossings(bodies: &[Body<'_>], units: Units) -> Vec<Finding> {
    let mut found: Vec<(&str, &str, f64, f64)> = Vec::new();
    for (i, one) in bodies.iter().enumerate() {
        for other in &bodies[i + 1..] {
            if one.clears(other) {
                continue;
            }
            let (apart, least) = (distance(one, other), one.least(other));
            let same = |f: &&mut (&str, &str, f64, f64)| f.0 == one.about && f.1 == other.about;
            match found.iter_mut().find(same) {
                Some(known) => known.2 = known.2.min(apart),
                None => found.push((one.about, other.about, apart, least)),
            }
        }
    }
    let say = |(one, other, apart, least)| {
        let message = format!(
            "Screws run into each other in the wood: those of {one} and {other} come within {}, center to \
             center, and need {}. Change their spacing or their distance from the edge, or make the \
             holder longer or higher.",
            units.length(apart),
            units.length(least)
        );
        Finding::stop("screws-meet", message)
    };
    found.into_iter().map(say).collect()
}

/// The least distance between the middles of two screws, in mm: the closest points of two straight
/// lines of finite length.
fn distance(one: &Body<'_>, other: &Body<'_>) -> f64 {
    let (u, v) = (minus(one.tip, one.head), minus(other.tip, other.head));
    let w = minus(one.head, other.head);
    let (a, b, c, d, e) = (dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w));
    let clamp =
        |along: f64, whole: f64| if whole > 0.0 { (along / whole).clamp(0.0, 1.0) } else { 0.0 };
    // The closest points lie within both lines, or one of them is an end.
    let square = a * c - b * b;
    let within = if square > 1e-9 * a * c { clamp(b * e - c * d, square) } else { 0.0 };
    let starts = [within, 0.0, 1.0];
    let pairs = starts.into_iter().map(|s| (s, clamp(b * s + e, c)));
    let ends = [0.0, 1.0].into_iter().map(|t| (clamp(b * t - d, a), t));
    let apart = |(s, t): (f64, f64)| {
        let between: Space = std::array::from_fn(|i| w[i] + u[i] * s - v[i] * t);
        dot(between, between).sqrt()
    };
    pairs.chain(ends).map(apart).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn screw(head: Space, tip: Space) -> Body<'static> {
        Body { head, tip, shank: 4.0, about: "a joint" }
    }

    #[test]
    fn crossed_side_by_side_and_in_line() {
        let down = screw([0.0, 0.0, 0.0], [0.0, -40.0, 0.0]);
        let near = |other: Body<'_>, wanted: f64| {
            let (one, two) = (distance(&down, &other), distance(&other, &down));
            assert!((one - wanted).abs() < 1e-9 && (two - wanted).abs() < 1e-9, "{one} {two}");
        };
        near(screw([0.0, -10.0, -20.0], [0.0, -10.0, 20.0]), 0.0);
        near(screw([3.0, -10.0, -20.0], [3.0, -10.0, 20.0]), 3.0);
        near(screw([5.0, 0.0, 0.0], [5.0, -40.0, 0.0]), 5.0);
        near(screw([0.0, -50.0, 0.0], [0.0, -90.0, 0.0]), 10.0);
        near(screw([3.0, 4.0, -9.0], [3.0, 4.0, 9.0]), 5.0);
        near(screw([0.0, -10.0, 7.0], [0.0, -10.0, 30.0]), 7.0);
    }

    #[test]
    fn screws_that_keep_apart_are_not_told() {
        let one = screw([0.0; 3], [0.0, -40.0, 0.0]);
        assert_eq!(
            crossings(&[one.clone(), screw([5.1, 0.0, 0.0], [5.1, -40.0, 0.0])], Units::Inches),
            []
        );
        let met = crossings(&[one, screw([4.9, 0.0, 0.0], [4.9, -40.0, 0.0])], Units::Millimeters);
        assert!(met.len() == 1 && met[0].message.contains("4.9 mm"), "{met:?}");
    }
}
