//! What is written beside a part.

use kurbo::{Point, Rect};

use super::{DxfLayer, DxfText, Entity, Follow, Shape, WordsAt};
use crate::holder::{Face, Grain, Part};
use crate::length::Units;

/// Height of the capital letters in mm (a size of ISO 3098).
const HEIGHT: f64 = 5.0;

/// The notes, one above the other over the part's `bounds`.
pub(super) fn entities(
    part: &Part,
    follow: Follow<'_>,
    units: Units,
    bounds: Rect,
) -> impl Iterator<Item = Entity> {
    above(lines(part, follow, units), bounds)
}

/// Lines of words, one above the other over `bounds`.
pub(super) fn above(lines: Vec<String>, bounds: Rect) -> impl Iterator<Item = Entity> {
    lines.into_iter().rev().enumerate().map(move |(row, words)| {
        let y = bounds.y1 + HEIGHT * (2.0 + 1.6 * row as f64);
        let at = Point::new(bounds.x0, y);
        let text = DxfText { at, words, height: HEIGHT, turn: 0.0, place: WordsAt::Start };
        Entity { layer: DxfLayer::Note, shape: Shape::Text(text) }
    })
}

fn lines(part: &Part, follow: Follow<'_>, units: Units) -> Vec<String> {
    let pieces = match part.quantity() {
        1 => "1 piece".to_owned(),
        count => format!("{count} pieces"),
    };
    let thickness = plain_length(units, part.stock.thickness);
    let size = if part.is_round() {
        format!("{thickness} across, drawn from the side")
    } else {
        format!("{thickness} thick")
    };
    let mut lines =
        vec![format!("{}, {pieces}", part.name), format!("{}, {size}", part.stock.name)];
    lines.extend(grain(part.grain).map(str::to_owned));
    lines.extend(bevel(part));
    lines.extend([course(follow, units), format!("lengths in {}", units.symbol())]);
    lines
}

/// Whether lines are edges or the bit's path.
pub(super) fn course(follow: Follow<'_>, units: Units) -> String {
    match follow {
        Follow::Edges => "lines are the true edges of the part".to_owned(),
        Follow::BitCenter { bit, .. } => {
            // To 0.01 mm: by the 0.1 mm of a tape a 1/4 in bit would be another one.
            let bit = match units {
                Units::Inches => plain_length(units, bit),
                Units::Millimeters => format!("{bit:.2} mm"),
            };
            format!("lines are the path of the center of a bit {bit} across")
        }
    }
}

/// A length without the sign for "nearly", which plain fonts lack.
pub(super) fn plain_length(units: Units, mm: f64) -> String {
    units.length(mm).replace('≈', "about")
}

fn grain(grain: Grain) -> Option<&'static str> {
    match grain {
        Grain::Length => Some("grain from left to right"),
        Grain::Width => Some("grain from bottom to top"),
        Grain::Any => None,
    }
}

fn bevel(part: &Part) -> Option<String> {
    let bevel = part.bevel?;
    let edge = bevel.edge.word();
    let face = match bevel.full_face {
        Face::Show => "show face",
        Face::Back => "back",
    };
    Some(format!("{edge} edge sawn at {:.1} degrees, full width on the {face}", bevel.angle))
}
