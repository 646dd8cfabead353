//! Two dowels in the waste bring a sheet back to its place once it is turned over.

use kurbo::{Point, Rect, Size};

use super::job::{JobBit, MillCut, MillPath, MillWork, turned_over};
use crate::kernel::Region;
use crate::router::{RoutedPiece, RoutedSheet};

/// Wood left round a dowel's hole, in mm. Common practice, no source.
const AROUND: f64 = 3.0;

/// How far up a sheet the holes are, as a share of its width: off its middle, so that a sheet turned the wrong way
/// does not fit.
const UP: [f64; 6] = [0.3, 0.25, 0.35, 0.2, 0.4, 0.15];

/// Two holes that lie across from one another about the flip line, so that each comes to lie where the other was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DowelPair {
    /// Left and right.
    pub at: [Point; 2],
    /// In mm: that of the bit which bores them.
    pub diameter: f64,
}

impl DowelPair {
    pub(super) fn cuts(&self) -> impl Iterator<Item = MillCut> + '_ {
        self.at.iter().map(|center| MillCut {
            work: MillWork::Dowel { diameter: self.diameter },
            bit: JobBit::Usual,
            depth: None,
            path: MillPath::Circle { center: *center, radius: self.diameter / 2.0 },
            piece: 0,
            bridges: Vec::new(),
            clears: false,
        })
    }

    fn mirrored(left: Point, size: Size, diameter: f64) -> Self {
        Self { at: [left, turned_over(size) * left], diameter }
    }
}

/// Holes of `diameter` beside a part of `size` by itself.
pub(super) fn of_part(size: Size, diameter: f64) -> DowelPair {
    let left = Point::new(-(1.5 * diameter + 2.0 * AROUND), UP[0] * size.height);
    DowelPair::mirrored(left, size, diameter)
}

/// Holes of `diameter` in the waste of a sheet that is turned over: in the zone at its ends if that is wide enough, else
/// where no part lies. `None` where nothing is worked on both faces, and where there is no such place.
pub(crate) fn dowels(sheet: &RoutedSheet, diameter: f64) -> Option<DowelPair> {
    sheet.parts.iter().find(|piece| piece.part.is_turned_over())?;
    let regions: Vec<Region> = sheet.parts.iter().map(RoutedPiece::region).collect();
    let clear = 1.5 * diameter + AROUND;
    let edge = diameter / 2.0 + AROUND;
    let is_waste = |at: Point| {
        let near = |region: &&Region| region.bounds().inflate(clear, clear).contains(at);
        sheet.area().inset(-edge).contains(at)
            && regions.iter().filter(near).all(|region| region.room_at(at) <= -clear)
    };
    let zone = f64::max(sheet.hold_down / 2.0, edge);
    let steps = (sheet.size.width / 2.0 / edge) as usize;
    let along = (0..steps).map(|step| zone + step as f64 * edge);
    let places = along.flat_map(|x| UP.map(|up| Point::new(x, up * sheet.size.height)));
    let pairs = places.map(|left| DowelPair::mirrored(left, sheet.size, diameter));
    pairs
        .into_iter()
        .find(|pair| pair.at.iter().all(|at| is_waste(*at)) && is_apart(pair, sheet.area()))
}

/// Whether the two lie far enough apart to hold the sheet true.
fn is_apart(pair: &DowelPair, area: Rect) -> bool {
    let [left, right] = pair.at;
    right.x - left.x >= area.width() / 3.0
}
