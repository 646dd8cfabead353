//! Unions and differences of two contours, and a check that nothing was lost on the way.

use cavalier_contours::polyline::{
    BooleanOp, BooleanResultPline, PlineBooleanOptions, PlineSource, Polyline,
};

use super::Contour;
use super::polyline::{to_contour, to_polyline};

/// What an operation leaves: pieces, and holes in them. Windings are not promised.
#[derive(Debug, Default)]
pub(super) struct Pieces {
    pub solid: Vec<Contour>,
    pub hollow: Vec<Contour>,
}

/// How close two points are taken for one, in mm, in the order tried. Edges that nearly coincide
/// or just touch come out right at one of them when another fails.
const SNAPS: [f64; 3] = [1e-5, 1e-6, 1e-4];

/// Area that may go astray for each mm of the contours, in mm²: what the coarsest snap moves.
const AREA_SLACK: f64 = 1e-4;

/// Everything within either contour. `None` when no trustworthy result is found.
pub(super) fn union(a: &Contour, b: &Contour) -> Option<Pieces> {
    operate(a, b, BooleanOp::Or, |common| a.area().abs() + b.area().abs() - common)
}

/// Everything within `a` and not within `b`. `None` when no trustworthy result is found.
pub(super) fn difference(a: &Contour, b: &Contour) -> Option<Pieces> {
    operate(a, b, BooleanOp::Not, |common| a.area().abs() - common)
}

/// Everything within both contours. `None` when no trustworthy result is found.
pub(super) fn common(a: &Contour, b: &Contour) -> Option<Pieces> {
    operate(a, b, BooleanOp::And, |common| common)
}

/// Runs the operation and holds its area against the one that follows from what the two have in
/// common: a or b = a + b - (a and b), a without b = a - (a and b).
fn operate(
    a: &Contour,
    b: &Contour,
    operation: BooleanOp,
    expected: impl Fn(f64) -> f64,
) -> Option<Pieces> {
    let (first, second) = (to_polyline(a), to_polyline(b));
    let slack = AREA_SLACK * (a.perimeter() + b.perimeter());
    SNAPS.into_iter().find_map(|snap| {
        let options = PlineBooleanOptions {
            pline1_aabb_index: None,
            pos_equal_eps: snap,
            collapsed_area_eps: None,
        };
        let common = first.boolean_opt(&second, BooleanOp::And, &options);
        let result = first.boolean_opt(&second, operation, &options);
        let area = net_area(&result.pos_plines, &result.neg_plines);
        let wanted = expected(net_area(&common.pos_plines, &common.neg_plines));
        ((area - wanted).abs() <= slack).then(|| Pieces {
            solid: contours(&result.pos_plines),
            hollow: contours(&result.neg_plines),
        })
    })
}

type Results = [BooleanResultPline<Polyline<f64>>];

fn net_area(solid: &Results, hollow: &Results) -> f64 {
    let sum = |all: &Results| all.iter().map(|p| p.pline.area().abs()).sum::<f64>();
    sum(solid) - sum(hollow)
}

/// The results as contours, without those that have next to no area.
fn contours(results: &Results) -> Vec<Contour> {
    results.iter().filter_map(|r| to_contour(&r.pline)).filter(|c| !c.is_sliver()).collect()
}
