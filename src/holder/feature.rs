//! What a row of like things on a part is: its kind and its figures.

use std::mem::discriminant;

use kurbo::Vec2;

use crate::style::{Face, Purpose};
use crate::tolerance::COORDINATE;

/// How near its edge a corner that a bit rounds still is, in mm.
const OWN: f64 = 0.5;

/// One kind of thing cut, bored or milled into a part. Figures in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Feature {
    /// Made with a bit; the part's drillings say the rest.
    Hole {
        purpose: Purpose,
        diameter: f64,
    },
    Slot {
        width: f64,
        form: SlotForm,
    },
    RoundOpening {
        diameter: f64,
    },
    TracedOpening {
        length: f64,
        width: f64,
    },
    Window {
        length: f64,
        width: f64,
    },
    Notch {
        width: f64,
        depth: f64,
    },
    Pocket {
        length: f64,
        width: f64,
        depth: f64,
        face: Face,
    },
    Tab {
        length: f64,
        width: f64,
    },
    Mortise {
        length: f64,
        width: f64,
    },
}

/// How a slot goes from its end to where it leads. Figures in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SlotForm {
    /// As wide as its end all along.
    Straight,
    /// A keyhole: its end is wider.
    Keyhole { end_diameter: f64 },
    /// Wider at the edge than at its end.
    Tapered { mouth_width: f64 },
    /// Rounded where its sides meet the edge.
    Eased { mouth_radius: f64 },
}

impl Feature {
    /// Whether two would be called by the same name: of one kind, figures equal.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        let ours = self.figures();
        let mut pairs = ours.iter().zip(other.figures());
        self.is_of_kind(other) && pairs.all(|(a, b)| (a - b).abs() < COORDINATE)
    }

    /// How much room it takes beside its middle: width of a slot, diameter of a hole, in mm.
    pub(crate) fn size(&self) -> f64 {
        match *self {
            Self::Hole { diameter: size, .. }
            | Self::RoundOpening { diameter: size }
            | Self::Slot { width: size, .. }
            | Self::Notch { width: size, .. }
            | Self::Window { length: size, .. }
            | Self::Tab { length: size, .. }
            | Self::Mortise { length: size, .. } => size,
            Self::TracedOpening { length, width } | Self::Pocket { length, width, .. } => {
                length.min(width)
            }
        }
    }

    /// How far a place so far `off` its middle is from its edge, in mm. Of a slot the middle is that of its end, and it
    /// runs along x or y; a notch may lie either way.
    pub(super) fn to_edge(self, off: Vec2) -> f64 {
        let boxed = |size: Vec2| {
            let out = Vec2::new(off.x.abs() - size.x / 2.0, off.y.abs() - size.y / 2.0);
            let within = -out.x.max(out.y);
            if within > 0.0 { within } else { Vec2::new(out.x.max(0.0), out.y.max(0.0)).hypot() }
        };
        match self {
            Self::Hole { diameter, .. } | Self::RoundOpening { diameter } => {
                (off.hypot() - diameter / 2.0).abs()
            }
            Self::Slot { width, form } => {
                let end = if let SlotForm::Keyhole { end_diameter } = form {
                    end_diameter
                } else {
                    width
                };
                let sides = [(off.x.abs(), width), (off.y.abs(), width), (off.hypot(), end)];
                let aways = sides.map(|(from, size)| (from - size / 2.0).abs());
                aways.into_iter().fold(f64::INFINITY, f64::min)
            }
            Self::Notch { width, depth } => {
                boxed(Vec2::new(width, depth)).min(boxed(Vec2::new(depth, width)))
            }
            Self::TracedOpening { length, width }
            | Self::Window { length, width }
            | Self::Pocket { length, width, .. }
            | Self::Tab { length, width }
            | Self::Mortise { length, width } => boxed(Vec2::new(length, width)),
        }
    }

    /// Whether a corner of the outline, so far `off` its middle, is its own: it lies on its edge.
    pub(crate) fn has_corner(self, off: Vec2) -> bool {
        match self {
            Self::Slot { form: SlotForm::Tapered { mouth_width }, .. } => {
                let aside = [off.x, off.y].map(|from| (from.abs() - mouth_width / 2.0).abs());
                aside.into_iter().any(|off| off < OWN)
            }
            Self::Slot { .. } | Self::Notch { .. } | Self::Tab { .. } | Self::Pocket { .. } => {
                self.to_edge(off) < OWN
            }
            _ => false,
        }
    }

    /// What one of its kind is called, without figures.
    pub(super) fn word(&self) -> &'static str {
        match self {
            Self::Hole { .. } => "hole",
            Self::Slot { .. } => "slot",
            Self::RoundOpening { .. } => "round opening",
            Self::TracedOpening { .. } => "traced opening",
            Self::Window { .. } => "window",
            Self::Notch { .. } => "notch",
            Self::Pocket { .. } => "pocket",
            Self::Tab { .. } => "root of a tab",
            Self::Mortise { .. } => "mortise",
        }
    }

    fn is_of_kind(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Hole { purpose: a, .. }, Self::Hole { purpose: b, .. }) => a == b,
            (Self::Pocket { face: a, .. }, Self::Pocket { face: b, .. }) => a == b,
            (Self::Slot { form: a, .. }, Self::Slot { form: b, .. }) => {
                discriminant(a) == discriminant(b)
            }
            _ => discriminant(self) == discriminant(other),
        }
    }

    fn figures(&self) -> [f64; 3] {
        match *self {
            Self::Hole { diameter, .. } | Self::RoundOpening { diameter } => [diameter, 0.0, 0.0],
            Self::Slot { width, form } => [width, form.figure(), 0.0],
            Self::Notch { width, depth } => [width, depth, 0.0],
            Self::TracedOpening { length, width }
            | Self::Window { length, width }
            | Self::Tab { length, width }
            | Self::Mortise { length, width } => [length, width, 0.0],
            Self::Pocket { length, width, depth, .. } => [length, width, depth],
        }
    }
}

impl SlotForm {
    fn figure(self) -> f64 {
        match self {
            Self::Straight => 0.0,
            Self::Keyhole { end_diameter: figure }
            | Self::Tapered { mouth_width: figure }
            | Self::Eased { mouth_radius: figure } => figure,
        }
    }
}
