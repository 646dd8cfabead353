//! Where contours cross or touch themselves and each other.

use kurbo::{Point, Rect};

use super::polyline::near;
use super::{Contour, Segment};
use crate::tolerance::{CLOSING, COORDINATE};

/// A point shared by two contours, or by two stretches of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Contact {
    /// Position of the contours in the order given; equal when one meets itself.
    pub contours: (usize, usize),
    pub at: Point,
}

struct BoundedSegment {
    contour: usize,
    index: usize,
    /// How many segments the contour has.
    of: usize,
    segment: Segment,
    bounds: Rect,
}

/// Every contact between segments that come near `window`, in a fixed order.
pub(super) fn contacts<'a>(
    contours: impl IntoIterator<Item = &'a Contour>,
    window: Rect,
) -> Vec<Contact> {
    let mut pieces = pieces(contours, window);
    pieces.sort_by(|a, b| a.bounds.x0.total_cmp(&b.bounds.x0));
    let mut found = Vec::new();
    for (i, a) in pieces.iter().enumerate() {
        let reach = a.bounds.x1 + CLOSING;
        let others = pieces[i + 1..].iter().take_while(|b| b.bounds.x0 <= reach);
        for b in others.filter(|b| near(a.bounds, b.bounds, CLOSING)) {
            if let Some(at) = meeting(a, b) {
                let order = (a.contour.min(b.contour), a.contour.max(b.contour));
                found.push(Contact { contours: order, at });
            }
        }
    }
    found
}

/// Where a contour crosses or touches itself.
pub(super) fn self_contact(contour: &Contour) -> Option<Point> {
    contacts([contour], contour.bounds()).first().map(|c| c.at)
}

fn pieces<'a>(
    contours: impl IntoIterator<Item = &'a Contour>,
    window: Rect,
) -> Vec<BoundedSegment> {
    let mut pieces = Vec::new();
    for (contour, line) in contours.into_iter().enumerate() {
        for (index, segment) in line.segments().enumerate() {
            let bounds = segment.bounds();
            if near(bounds, window, CLOSING) {
                pieces.push(BoundedSegment {
                    contour,
                    index,
                    of: line.vertices().len(),
                    segment,
                    bounds,
                });
            }
        }
    }
    pieces
}

fn meeting(a: &BoundedSegment, b: &BoundedSegment) -> Option<Point> {
    let joints = joints(a, b);
    let at_joint = |p: Point| joints.iter().flatten().any(|j| (*j - p).hypot() <= COORDINATE);
    a.segment
        .gaps(&b.segment)
        .into_iter()
        .find(|gap| gap.width() <= CLOSING && !at_joint(gap.from))
        .map(|gap| gap.from)
}

/// The vertices at which two segments follow each other; both in a contour of two segments.
fn joints(a: &BoundedSegment, b: &BoundedSegment) -> [Option<Point>; 2] {
    let follows = |first: &BoundedSegment, second: &BoundedSegment| {
        let next = (first.index + 1) % first.of == second.index;
        (first.contour == second.contour && next).then_some(first.segment.end)
    };
    [follows(a, b), follows(b, a)]
}
