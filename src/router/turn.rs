//! Quarter turns, in which parts lie on a sheet.

use kurbo::{Affine, Point, Rect, Size};

use crate::holder::Grain;

/// Counter-clockwise turn of a piece on its sheet, seen from the show face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum QuarterTurn {
    None,
    Quarter,
    Half,
    ThreeQuarters,
}

impl QuarterTurn {
    const ALL: [Self; 4] = [Self::None, Self::Quarter, Self::Half, Self::ThreeQuarters];

    /// The turns that leave the grain of a part along the length of its sheet; all of them where
    /// either of the two does not mind.
    pub(crate) fn allowed(part: Grain, sheet_has_grain: bool) -> impl Iterator<Item = Self> {
        let fits = move |turn: &Self| {
            !sheet_has_grain
                || match part {
                    Grain::Any => true,
                    Grain::Length => !turn.is_sideways(),
                    Grain::Width => turn.is_sideways(),
                }
        };
        Self::ALL.into_iter().filter(fits)
    }

    pub(crate) fn degrees(self) -> u16 {
        match self {
            Self::None => 0,
            Self::Quarter => 90,
            Self::Half => 180,
            Self::ThreeQuarters => 270,
        }
    }

    /// Whether length and width change places.
    pub(crate) fn is_sideways(self) -> bool {
        matches!(self, Self::Quarter | Self::ThreeQuarters)
    }

    /// The size of something of `size` once turned.
    pub(crate) fn size(self, size: Size) -> Size {
        if self.is_sideways() { Size::new(size.height, size.width) } else { size }
    }

    /// Turns something that fills `bounds` and brings its lower left corner to `at`. Exact, for
    /// the sines of quarter turns are whole numbers.
    pub(crate) fn map(self, bounds: Rect, at: Point) -> Affine {
        let (sin, cos) = match self {
            Self::None => (0.0, 1.0),
            Self::Quarter => (1.0, 0.0),
            Self::Half => (0.0, -1.0),
            Self::ThreeQuarters => (-1.0, 0.0),
        };
        let turn = Affine::new([cos, sin, -sin, cos, 0.0, 0.0]);
        let corner = Rect::from_points(
            turn * Point::new(bounds.x0, bounds.y0),
            turn * Point::new(bounds.x1, bounds.y1),
        )
        .origin();
        Affine::translate(at - corner) * turn
    }
}
