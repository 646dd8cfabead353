//! What is written beside a part.

use kurbo::{Point, Rect};

use super::{DxfText, Entity, Shape, WordsAt};
use crate::holder::{Face, Grain, Part};
use crate::length::Units;
use crate::milling::{JobLayer, MillJob};

/// Height of the capital letters in mm (a size of ISO 3098).
const HEIGHT: f64 = 5.0;

/// The notes, one above the other over the part.
pub(super) fn entities(
    part: &Part,
    up: Face,
    job: &MillJob,
    units: Units,
) -> impl Iterator<Item = Entity> {
    above(lines(part, up, job, units), job.area)
}

/// Lines of words, one above the other over `bounds`.
pub(super) fn above(lines: Vec<String>, bounds: Rect) -> impl Iterator<Item = Entity> {
    lines.into_iter().rev().enumerate().map(move |(row, words)| {
        let y = bounds.y1 + HEIGHT * (2.0 + 1.6 * row as f64);
        let at = Point::new(bounds.x0, y);
        let text = DxfText { at, words, height: HEIGHT, turn: 0.0, place: WordsAt::Start };
        Entity { layer: JobLayer::Note, shape: Shape::Text(text) }
    })
}

fn lines(part: &Part, up: Face, job: &MillJob, units: Units) -> Vec<String> {
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
    if up == Face::Back {
        lines.push("seen from the back: the back is up".to_owned());
    }
    lines.extend(course(job, units));
    lines.push(format!("lengths in {}", units.symbol()));
    lines
}

/// Whether lines are edges or the bit's path; nothing of holes alone.
pub(super) fn course(job: &MillJob, units: Units) -> Vec<String> {
    let bits = job.bits.filter(|_| job.by_center);
    let Some(bits) = bits else { return vec!["lines are the true edges of the part".to_owned()] };
    // To 0.01 mm: by the 0.1 mm of a tape a 1/4 in bit would be another one.
    let bit = |mm: f64| match units {
        Units::Inches => plain_length(units, mm),
        Units::Millimeters => format!("{mm:.2} mm"),
    };
    let outline = bit(bits.outline);
    let mut lines = vec![format!("lines are the path of the center of a bit {outline} across")];
    if bits.joint < bits.outline {
        lines.push(format!("on layers with B in their name of a bit {} across", bit(bits.joint)));
    }
    lines
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
