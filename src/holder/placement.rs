//! Where a piece sits in the finished holder.

use kurbo::Point;

/// A point or a size in space: x right, y up, z out of the wall, in mm.
pub type Space = [f64; 3];

/// Which way a piece's show face looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Looks {
    /// Away from the wall: length runs right, width up.
    Front,
    /// To the wall: length runs left, width up.
    Back,
    /// Up: length runs right, width to the wall.
    Up,
    /// Down: length runs right, width away from the wall.
    Down,
    /// To the left: length runs away from the wall, width up.
    Left,
    /// To the right: length runs to the wall, width up.
    Right,
}

impl Looks {
    /// The directions of length (x), width (y) and out of the show face: a right-handed frame.
    pub fn frame(self) -> [Space; 3] {
        match self {
            Self::Front => [[1., 0., 0.], [0., 1., 0.], [0., 0., 1.]],
            Self::Back => [[-1., 0., 0.], [0., 1., 0.], [0., 0., -1.]],
            Self::Up => [[1., 0., 0.], [0., 0., -1.], [0., 1., 0.]],
            Self::Down => [[1., 0., 0.], [0., 0., 1.], [0., -1., 0.]],
            Self::Left => [[0., 0., 1.], [0., 1., 0.], [-1., 0., 0.]],
            Self::Right => [[0., 0., -1.], [0., 1., 0.], [1., 0., 0.]],
        }
    }
}

/// Where one piece sits: the box it fills in the finished holder and which way it looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// The corner of the box with the least x, y and z.
    pub at: Space,
    pub looks: Looks,
    /// Length, width and thickness of the piece, in mm.
    pub size: Space,
    /// Degrees its far (largest z) end is lifted about its near lower edge.
    pub tilt: f64,
}

impl Placement {
    /// Where the point `(x, y)` of the piece lies, `depth` mm below its show face.
    /// The tilt is left out: it turns pegs only, whose drillings lie elsewhere.
    pub fn to_space(&self, point: Point, depth: f64) -> Space {
        let [u, v, w] = self.looks.frame();
        let origin = self.show_origin();
        std::array::from_fn(|i| origin[i] + u[i] * point.x + v[i] * point.y - w[i] * depth)
    }

    /// The inverse of [`Placement::to_space`]: position on the piece and depth below its show face.
    pub fn to_piece(&self, place: Space) -> (Point, f64) {
        let [u, v, w] = self.looks.frame();
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
        let [u, v, w] = self.looks.frame();
        let extent = self.extent();
        // The corner is at the near end of an axis that runs up the coordinate, else at the far end.
        std::array::from_fn(|i| {
            let toward = u[i] + v[i] - w[i];
            if toward > 0.0 { self.at[i] } else { self.at[i] + extent[i] }
        })
    }
}
