//! Shaped parts that are cut by hand more than once: how they come out alike, as the trade does it.

use super::feature::Feature;
use super::part::{MadeBy, Part};
use super::step::Step;
use crate::kernel::Contour;
use crate::kernel::convex::{double_area, hull};
use crate::length::{MM_PER_INCH, Units, in_round_mm};
use crate::tolerance::{COORDINATE, FLATTENING};

/// From so many alike on a master is worth making. Common practice, no source.
const WORTH_A_MASTER: usize = 3;

/// How far outside the line a part is roughed out before it is trimmed, in inches. Common practice, no source.
const ROUGH: f64 = 1.0 / 8.0;

/// A flush trim bit of the usual size, in mm. Common practice, no source.
const USUAL_BIT: f64 = MM_PER_INCH / 2.0;

/// So many bits wide a slot or notch is worth trimming: a narrower one is sawn. Common practice, no source.
const WIDE: f64 = 2.0;

/// What a part may lack of its box and still be a plain rectangle, in mm².
const UNSEEN: f64 = 1.0;

/// The shaped parts that come in numbers.
pub(super) struct Alike<'a> {
    /// The flush trim bit; `None` where the shop has none.
    bit: Option<f64>,
    /// Flush trimmed to a master of their kind.
    trimmed: Vec<&'a Part>,
    /// Sawn as a stack.
    stacked: Vec<&'a Part>,
}

impl<'a> Alike<'a> {
    /// Those among `parts`, for a shop with the flush trim bit `bit`, in mm.
    pub(super) fn of(parts: &'a [Part], bit: Option<f64>) -> Self {
        let shaped = |part: &&Part| part.quantity() > 1 && is_shaped(part, bit);
        let worth = |part: &&Part| bit.is_some() && part.quantity() >= WORTH_A_MASTER;
        let (trimmed, stacked) = parts.iter().filter(shaped).partition(worth);
        Self { bit, trimmed, stacked }
    }

    /// Whether the bit with the bearing is used.
    pub(super) fn trims(&self) -> bool {
        !self.trimmed.is_empty()
    }

    /// The step that makes them; `None` where there is none of them.
    pub(super) fn step(&self, units: Units) -> Option<Step> {
        let bit = self.bit.filter(|_| self.trims());
        let said = [bit.map(|bit| self.trim(bit, units)), self.stack()];
        let said = said.into_iter().flatten().collect::<Vec<_>>().join(" ");
        (!said.is_empty()).then(|| said.into())
    }

    fn trim(&self, bit: f64, units: Units) -> String {
        let [each, its] = match self.trimmed.len() {
            1 => ["", "it"],
            _ => [" of each", "its master"],
        };
        let outside = match units {
            Units::Inches => ROUGH * MM_PER_INCH,
            Units::Millimeters => in_round_mm(ROUGH * MM_PER_INCH),
        };
        let left: String = self.trimmed.iter().filter_map(|part| left(part, bit, units)).collect();
        format!(
            "{}: make one master{each} from the pattern and smooth its edges. Rough out the others {} outside the line, \
             fix each to {its} with double-sided tape, and flush trim it with the {} bearing bit, the bearing on the \
             master.{left}",
            counted(&self.trimmed),
            units.length(outside),
            units.length(bit)
        )
    }

    fn stack(&self) -> Option<String> {
        let most = self.stacked.iter().map(|part| part.quantity()).max()?;
        let at_once = if most > 2 { ", as many at once as the saw takes" } else { "" };
        Some(format!(
            "{}: trace the pattern once, tape the blanks together, the same face up, and saw and smooth them as a \
             stack{at_once}, so that they match.",
            counted(&self.stacked)
        ))
    }
}

/// As in the list of pieces.
fn counted(parts: &[&Part]) -> String {
    let each = parts.iter().map(|part| format!("{} × {}", part.quantity(), part.name));
    each.collect::<Vec<_>>().join(", ")
}

/// Whether it is cut by hand to a line that a pattern gives and a bit follows: no plain rectangle, nor one with
/// nothing but narrow slots in it.
fn is_shaped(part: &Part, bit: Option<f64>) -> bool {
    let follows = |feature: &Feature| feature.size() > WIDE * bit.unwrap_or(USUAL_BIT);
    let mut cuts = cuts(part);
    part.made_by == MadeBy::Hand && (!is_box(part.region.outline()) || cuts.any(follows))
}

/// Whether its outer shape is its box, whatever is cut into that.
fn is_box(outline: &Contour) -> bool {
    let around = hull(&outline.flatten(FLATTENING));
    outline.bounds().area() - double_area(&around) / 2.0 < UNSEEN
}

/// What is sawn into it or out of it, apart from holes that a bit makes.
fn cuts(part: &Part) -> impl Iterator<Item = &Feature> {
    part.rows.iter().map(|row| &row.feature).filter(|feature| {
        matches!(
            feature,
            Feature::Slot { .. }
                | Feature::Notch { .. }
                | Feature::Window { .. }
                | Feature::TracedOpening { .. }
        )
    })
}

/// What the bit does not reach of a part.
fn left(part: &Part, bit: f64, units: Units) -> Option<String> {
    let radii = part.region.contours().map(Contour::least_inside_radius);
    let tightest = radii.fold(f64::INFINITY, f64::min);
    let corners = (tightest < bit / 2.0 - COORDINATE).then(|| {
        let tightest = match tightest > COORDINATE {
            true => format!("of {} radius", units.length(tightest)),
            false => "that are square".to_owned(),
        };
        format!("inside corners {tightest}, where the bit leaves {}", units.length(bit / 2.0))
    });
    let narrow = cuts(part).map(Feature::size).filter(|size| *size < bit - COORDINATE);
    let narrow = narrow
        .reduce(f64::min)
        .map(|narrow| format!("slots of {}, narrower than the bit", units.length(narrow)));
    let left: Vec<String> = corners.into_iter().chain(narrow).collect();
    (!left.is_empty()).then(|| {
        format!(" Of {} these are left to saw, chisel or drill: {}.", part.name, left.join("; "))
    })
}
