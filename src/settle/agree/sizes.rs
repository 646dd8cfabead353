//! The widths and lengths of a holder's parts.

use crate::holder::Part;

/// In millionths of a millimeter: all marks of a tape are whole, and sizes that are cut alike are equal.
pub(super) type Size = i64;

/// A width or a length as it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum CutSize {
    Length(Size),
    Width(Size),
}

impl CutSize {
    pub(super) fn size(self) -> Size {
        match self {
            Self::Length(size) | Self::Width(size) => size,
        }
    }

    /// The same, of another size.
    fn with(self, size: Size) -> Self {
        match self {
            Self::Length(_) => Self::Length(size),
            Self::Width(_) => Self::Width(size),
        }
    }
}

/// Length and width of every part, in the order of the parts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sizes(Vec<CutSize>);

impl Sizes {
    pub(super) fn of(parts: &[Part]) -> Self {
        let size = |mm: f64| (mm * 1e6).round() as Size;
        let cuts = |part: &Part| {
            [CutSize::Length(size(part.length())), CutSize::Width(size(part.width()))]
        };
        Self(parts.iter().flat_map(cuts).collect())
    }

    pub(super) fn cuts(&self) -> impl Iterator<Item = CutSize> {
        self.0.iter().copied()
    }

    /// Which part has the cut at a place.
    pub(super) fn part(place: usize) -> usize {
        place / 2
    }

    /// How much each cut is larger in `other`, in millionths of a millimeter; `None` where that has other parts.
    pub(super) fn steps(&self, other: &Self) -> Option<Vec<Size>> {
        let pairs = self.0.iter().zip(&other.0);
        (self.0.len() == other.0.len())
            .then(|| pairs.map(|(one, other)| other.size() - one.size()).collect())
    }

    /// With so many of `steps` more.
    pub(super) fn plus(&self, steps: &[Size], times: Size) -> Self {
        let each = self.0.iter().zip(steps);
        Self(each.map(|(cut, step)| cut.with(cut.size() + times * step)).collect())
    }
}
