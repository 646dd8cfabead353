//! Where a piece sits in the finished holder.

use kurbo::Point;

use crate::style::{Looks, Space};

/// Where one piece sits: the box it fills in the finished holder and which way it looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// The corner of the box with the least x, y and z.
    pub at: Space,
    pub looks: Looks,
    /// Turned half round in its own plane.
    pub half_turn: bool,
    /// Length, width and thickness of the piece, in mm.
    pub size: Space,
    /// Degrees its far (largest z) end is lifted about its near lower edge.
    pub tilt: f64,
}

impl Placement {
    /// The directions of its length (x), width (y) and out of its show face.
    pub fn frame(&self) -> [Space; 3] {
        let [u, v, w] = self.looks.frame();
        if self.half_turn { [u.map(|i| -i), v.map(|i| -i), w] } else { [u, v, w] }
    }

    /// Where the point `(x, y)` of the piece lies, `depth` mm below its show face.
    /// The tilt is left out: it turns pegs only, whose drillings lie elsewhere.
    pub fn to_space(&self, point: Point, depth: f64) -> Space {
        let [u, v, w] = self.frame();
        let origin = self.show_origin();
        std::array::from_fn(|i| origin[i] + u[i] * point.x + v[i] * point.y - w[i] * depth)
    }

    /// The inverse of [`Placement::to_space`]: position on the piece and depth below its show face.
    pub fn to_piece(&self, place: Space) -> (Point, f64) {
        let [u, v, w] = self.frame();
        let origin = self.show_origin();
        let from: Space = std::array::from_fn(|i| place[i] - origin[i]);
        let along = |axis: Space| axis.iter().zip(from).map(|(a, b)| a * b).sum::<f64>();
        (Point::new(along(u), along(v)), -along(w))
    }

    /// The opposite corners of the box the piece fills, tilt included.
    pub fn bounds(&self) -> (Space, Space) {
        let extent = self.extent();
        let far: Space = std::array::from_fn(|i| self.at[i] + extent[i]);
        let (sin, cos) = self.tilt.to_radians().sin_cos();
        let [_, height, reach] = extent;
        let turned_far =
            [far[0], self.at[1] + height * cos + reach * sin, self.at[2] + reach * cos];
        let turned_near = [self.at[0], self.at[1], self.at[2] - height * sin];
        if self.tilt == 0.0 { (self.at, far) } else { (turned_near, turned_far) }
    }

    /// Size of the box along x, y and z.
    fn extent(&self) -> Space {
        let frame = self.looks.frame();
        std::array::from_fn(|i| {
            frame.iter().zip(self.size).map(|(axis, s)| axis[i].abs() * s).sum()
        })
    }

    /// Where the piece's origin lies on its show face.
    fn show_origin(&self) -> Space {
        let [u, v, w] = self.frame();
        let extent = self.extent();
        // The corner is at the near end of an axis that runs up the coordinate, else at the far end.
        std::array::from_fn(|i| {
            let toward = u[i] + v[i] - w[i];
            if toward > 0.0 { self.at[i] } else { self.at[i] + extent[i] }
        })
    }
}
