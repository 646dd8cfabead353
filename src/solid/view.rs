//! Where a body is seen from.

use kurbo::Point;

use crate::style::Space;

/// A parallel projection onto paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// What goes right on the paper, what goes up, and what comes toward the eye.
    right: Space,
    up: Space,
    toward: Space,
}

/// From where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ViewFrom {
    /// Isometric, from in front of the wall, above and at the right.
    RightFront,
    /// The same at the left.
    LeftFront,
    /// Isometric, from within the wall, above and at the left as one stands before it.
    Behind,
    /// Straight at the wall, so that figures are true.
    Front,
    /// From the right end.
    End,
    Top,
}

/// The cosine and sine of 30 degrees: the axes' angle on the paper.
const COS: f64 = 0.866_025_403_784_438_6;
const SIN: f64 = 0.5;

/// The square root of 3: a step along each axis toward the eye brings a point nearer by one of these of its length.
const ROOT: f64 = 1.732_050_807_568_877_2;

impl View {
    /// Isometric views draw lengths along each axis in full, which is larger by the square root of 3/2 than what is
    /// seen (ISO 5456-3: axes at 30 degrees to the horizontal and upright, one scale for all three).
    pub(crate) fn new(from: ViewFrom) -> Self {
        let isometric = |[x, z]: [f64; 2]| Self {
            right: [z * COS, 0.0, -x * COS],
            up: [-x * SIN, 1.0, -z * SIN],
            toward: [x / ROOT, 1.0 / ROOT, z / ROOT],
        };
        let along = |right, up, toward| Self { right, up, toward };
        let [x, y, z] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        match from {
            ViewFrom::RightFront => isometric([1.0, 1.0]),
            ViewFrom::LeftFront => isometric([-1.0, 1.0]),
            ViewFrom::Behind => isometric([-1.0, -1.0]),
            ViewFrom::Front => along(x, y, z),
            ViewFrom::End => along(z.map(|part| 0.0 - part), y, x),
            ViewFrom::Top => along(x, z.map(|part| 0.0 - part), y),
        }
    }

    /// Where a place lies on the paper, in mm of the body.
    pub(crate) fn on_paper(&self, place: Space) -> Point {
        let along = |axis: Space| axis.iter().zip(place).map(|(a, b)| a * b).sum();
        Point::new(along(self.right), along(self.up))
    }

    /// How near a place is to the eye, in mm; of a direction of length 1 how much it comes toward it.
    pub(crate) fn nearness(&self, place: Space) -> f64 {
        self.toward.iter().zip(place).map(|(a, b)| a * b).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 5456-3: the axes of an isometric drawing, from memory; the formula x' = (x - y) cos 30, y' = (x + y) sin 30 +
    /// z with the standard's z up. Here y is up: its x is our z and its y our x, as seen from the right front.
    #[test]
    fn isometric_axes_lie_as_the_standard_has_them() {
        let view = View::new(ViewFrom::RightFront);
        let degrees = |axis: Space| view.on_paper(axis).to_vec2().atan2().to_degrees();
        let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        for (axis, angle) in axes.into_iter().zip([-30.0, 90.0, -150.0]) {
            assert!((degrees(axis) - angle).abs() < 1e-9);
            assert!((view.on_paper(axis).to_vec2().hypot() - 1.0).abs() < 1e-9);
            // Seen truly, an axis is shortened to the root of 2/3: 0.8165.
            let toward: f64 = view.nearness(axis);
            assert!(((1.0 - toward * toward).sqrt() - 0.816_496_580_927_726).abs() < 1e-12);
        }
    }

    #[test]
    fn every_view_keeps_right_and_left() {
        let all = [ViewFrom::RightFront, ViewFrom::LeftFront, ViewFrom::Behind, ViewFrom::Front];
        for from in all.into_iter().chain([ViewFrom::End, ViewFrom::Top]) {
            let View { right, up, toward } = View::new(from);
            let turn = crate::kernel::vector::cross(right, up);
            assert!(crate::kernel::vector::dot(turn, toward) > 0.0, "{from:?}");
        }
    }
}
