//! Rabbets and pockets: areas milled to a depth.

use kurbo::{Affine, Point, Rect, Vec2};

use super::bench::Bench;
use super::feature::Feature;
use super::finding::{Finding, Refusal};
use super::part::{MadeBy, Pocket, Row};
use crate::kernel::{Region, Relief, rectangle, relieve};
use crate::style::{Face, PartSpec, PocketSpec};
use crate::tolerance::{COORDINATE, LEAST_FLOOR};

/// The pockets of a part `thickness` thick, and the rows they make.
///
/// # Errors
/// When a formula fails, a pocket lies outside the part or goes too deep.
pub(super) fn pockets(
    bench: &Bench<'_>,
    spec: &PartSpec,
    region: &Region,
    thickness: f64,
) -> Result<(Vec<Pocket>, Vec<Row>), Refusal> {
    let (mut pockets, mut rows): (Vec<Pocket>, Vec<Row>) = (Vec::new(), Vec::new());
    for pocket in &spec.pockets {
        bench.rounds_when(pocket.repeat.as_ref(), pocket.when.as_ref(), |[x, y]: [f64; 2]| {
            let (one, step) = (one(bench, pocket, thickness)?, Vec2::new(x, y));
            let contour = one.contour.transformed(Affine::translate(step));
            let moved = Pocket { contour, area: one.area + step, ..one };
            inside(bench, &moved, region)?;
            Row::add(&mut rows, feature(&moved), moved.area.center());
            pockets.push(moved);
            Ok(())
        })?;
    }
    Ok((pockets, rows))
}

fn feature(pocket: &Pocket) -> Feature {
    let Pocket { area, depth, face, .. } = *pocket;
    Feature::Pocket { length: area.width(), width: area.height(), depth, face }
}

fn one(bench: &Bench<'_>, spec: &PocketSpec, thickness: f64) -> Result<Pocket, Refusal> {
    let (at, size) = (bench.pair(&spec.at)?, bench.pair(&spec.size)?);
    let depth = bench.size(&spec.depth)?;
    if thickness - depth < LEAST_FLOOR - COORDINATE {
        let message = format!(
            "{}: a pocket {} deep leaves {} of a part {} thick; at least {} must stay. Make it \
             shallower, or the part thicker.",
            bench.name,
            bench.write(depth),
            bench.write((thickness - depth).max(0.0)),
            bench.write(thickness),
            bench.write(LEAST_FLOOR)
        );
        return Err(Finding::stop("pocket-too-deep", message).into());
    }
    let contour = rectangle(at, size.x, size.y, [0.0; 4]).map_err(|e| bench.unmade(&e))?;
    let face = spec.face.unwrap_or(Face::Show);
    let area = Rect::from_origin_size(at, (size.x, size.y));
    if !(spec.seat && bench.made_by == MadeBy::Router) {
        return Ok(Pocket { contour, area, depth, face });
    }
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
    let bit = bench.joint_bit()?;
    let round = area.inflate(4.0 * bit, 4.0 * bit);
    let board = rectangle(round.origin(), round.width(), round.height(), [0.0; 4])
        .map_err(|e| bench.unmade(&e))?;
    let relieved = relieve(
        &Region::new(board, vec![contour.clone()]),
        &corners.map(Point::from),
        Relief::Corner,
        bit,
    )
    .map_err(|e| bench.unmade(&e))?;
    let contour = relieved.openings().first().cloned().unwrap_or(contour).counter_clockwise();
    Ok(Pocket { contour, area, depth, face })
}

/// A pocket may run out at the part's edge (a rabbet), but not past it.
fn inside(bench: &Bench<'_>, pocket: &Pocket, region: &Region) -> Result<(), Refusal> {
    let (bounds, room) = (pocket.area, region.bounds().inflate(COORDINATE, COORDINATE));
    if room.contains_rect(bounds) {
        return Ok(());
    }
    let message = format!(
        "{}: the pocket of {} × {} at {}, {} reaches past the part, which is {} × {}. Make the part \
         larger or the pocket smaller.",
        bench.name,
        bench.write(bounds.width()),
        bench.write(bounds.height()),
        bench.write(bounds.x0),
        bench.write(bounds.y0),
        bench.write(region.bounds().width()),
        bench.write(region.bounds().height())
    );
    Err(Finding::stop("pocket-outside", message).into())
}
