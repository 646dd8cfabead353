//! Where a piece sits in the finished holder.

use kurbo::{Point, Vec2};

use crate::style::{Edge, Facing, Space};

/// Where one piece sits: the box it fills in the finished holder and which way it looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placement {
    /// The corner of the box with the least x, y and z, before it is tilted.
    pub at: Space,
    pub faces: Facing,
    /// Turned half round in its own plane.
    pub half_turn: bool,
    /// Length, width and thickness of the piece, in mm.
    pub size: Space,
    /// Degrees the piece is tilted about its near lower edge, the line along x through `at`: its
    /// far (largest z) end is lifted, its top goes back toward the wall.
    pub tilt: f64,
}

impl Placement {
    /// The directions of its length (x), width (y) and out of its show face.
    pub(crate) fn frame(&self) -> [Space; 3] {
        self.level_frame().map(|axis| turned_about(0.0, 0.0, self.tilt, axis))
    }

    /// Where the point `(x, y)` of the piece lies, `depth` mm below its show face.
    pub(crate) fn to_space(self, point: Point, depth: f64) -> Space {
        let [u, v, w] = self.level_frame();
        let origin = self.show_origin();
        let level =
            std::array::from_fn(|i| origin[i] + u[i] * point.x + v[i] * point.y - w[i] * depth);
        self.tilted(level, self.tilt)
    }

    /// The inverse of [`Placement::to_space`]: position on the piece and depth below its show face.
    pub(crate) fn to_piece(self, place: Space) -> (Point, f64) {
        let [u, v, w] = self.level_frame();
        let (origin, place) = (self.show_origin(), self.tilted(place, -self.tilt));
        let from: Space = std::array::from_fn(|i| place[i] - origin[i]);
        let along = |axis: Space| axis.iter().zip(from).map(|(a, b)| a * b).sum::<f64>();
        (Point::new(along(u), along(v)), -along(w))
    }

    /// The opposite corners of the level box around the piece as it sits, tilt included.
    pub(crate) fn bounds(&self) -> (Space, Space) {
        let extent = self.extent();
        let far: Space = std::array::from_fn(|i| self.at[i] + extent[i]);
        let [x0, y0, z0] = self.at;
        let corners = [[x0, y0, z0], [x0, y0, far[2]], [x0, far[1], z0], far];
        let corners = corners.map(|corner| self.tilted(corner, self.tilt));
        let pick = |i: usize, of: fn(f64, f64) -> f64, from: f64| {
            corners.iter().map(|corner| corner[i]).fold(from, of)
        };
        (
            std::array::from_fn(|i| pick(i, f64::min, f64::INFINITY)),
            std::array::from_fn(|i| pick(i, f64::max, f64::NEG_INFINITY)),
        )
    }

    /// The opposite corners of the level box around some pieces; `None` without any.
    pub(super) fn around<'p>(
        places: impl IntoIterator<Item = &'p Placement>,
    ) -> Option<(Space, Space)> {
        places.into_iter().map(Self::bounds).reduce(|(low, high), (near, far)| {
            let least = std::array::from_fn(|i| f64::min(low[i], near[i]));
            (least, std::array::from_fn(|i| f64::max(high[i], far[i])))
        })
    }

    /// The place of a piece that has grown by `by` along its length or width at `edge`, the rest
    /// of it staying where it is.
    pub(super) fn grow(&mut self, edge: Edge, by: Vec2) {
        let [u, v, _] = self.frame();
        let (axis, amount) = match edge {
            Edge::Left => (u.map(|i| -i), by.x),
            Edge::Right => (u, by.x),
            Edge::Bottom => (v.map(|i| -i), by.y),
            Edge::Top => (v, by.y),
        };
        for (at, along) in self.at.iter_mut().zip(axis) {
            *at += along.min(0.0) * amount;
        }
        self.size[0] += by.x;
        self.size[1] += by.y;
    }

    /// The frame before the piece is tilted.
    fn level_frame(&self) -> [Space; 3] {
        let [u, v, w] = self.faces.frame();
        if self.half_turn { [u.map(|i| -i), v.map(|i| -i), w] } else { [u, v, w] }
    }

    fn tilted(&self, place: Space, by: f64) -> Space {
        if by == 0.0 { place } else { turned_about(self.at[1], self.at[2], by, place) }
    }

    /// Size of the level box along x, y and z.
    fn extent(&self) -> Space {
        Self::extent_of(self.faces, self.size)
    }

    /// Size along x, y and z of the level box of a piece of `size` that looks some way.
    pub(super) fn extent_of(faces: Facing, size: Space) -> Space {
        let frame = faces.frame();
        std::array::from_fn(|i| frame.iter().zip(size).map(|(axis, s)| axis[i].abs() * s).sum())
    }

    /// Where the piece's origin lies on its show face, before it is tilted.
    fn show_origin(&self) -> Space {
        let [u, v, w] = self.level_frame();
        let extent = self.extent();
        // The corner is at the near end of an axis that runs up the coordinate, else at the far end.
        std::array::from_fn(|i| {
            let toward = u[i] + v[i] - w[i];
            if toward > 0.0 { self.at[i] } else { self.at[i] + extent[i] }
        })
    }
}

/// `place` turned by `degrees` about the line along x through `y` and `z`: what lies out from the
/// wall goes up, what lies up goes back toward the wall.
pub(super) fn turned_about(y: f64, z: f64, degrees: f64, place: Space) -> Space {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (up, out) = (place[1] - y, place[2] - z);
    [place[0], y + up * cos + out * sin, z + out * cos - up * sin]
}
