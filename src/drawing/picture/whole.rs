//! `holder.svg`: a holder assembled with its tools, seen from behind, and taken apart.

use kurbo::{Point, Vec2};

use super::Pictured;
use super::label::{self, NamedSpot};
use super::plot::{PictureScale, extent, strokes};
use crate::drawing::canvas::{Canvas, Label};
use crate::drawing::table::NOTE;
use crate::drawing::{Drawing, Item, Line};
use crate::kernel::vector::plus;
use crate::solid::{Shell, Sight, TakenOff, View, ViewFrom, broken_off, taken_apart, tool_shell};
use crate::style::Space;

/// What a picture has room for, in mm: the one taken apart, the two above it.
const APART_ROOM: (f64, f64) = (128.0, 112.0);
const WHOLE_ROOM: (f64, f64) = (118.0, 92.0);
const BEHIND_ROOM: (f64, f64) = (62.0, 60.0);

/// How far a tool is drawn past the wood: a share of the holder's largest measure, and at least so much, in mm.
const TOOL_SHARE: f64 = 0.55;
const TOOL_REACH: f64 = 110.0;

/// White between pictures, in mm.
const BETWEEN: f64 = 9.0;

/// The picture of a whole holder; `None` without wood.
pub(crate) fn whole(pictured: &Pictured<'_>) -> Option<Drawing> {
    let mut sheet = Canvas::default();
    let (apart, named) = apart(pictured)?;
    let top = titled(&mut sheet, apart, "Taken apart", Point::ORIGIN);
    let whole = assembled(pictured)?;
    let at = Point::new(0.0, top + BETWEEN);
    let right = whole.bounds().width() + BETWEEN;
    titled(&mut sheet, whole, "Assembled", at);
    if let Some(behind) = behind(pictured, &named) {
        titled(&mut sheet, behind, "From behind", at + Vec2::new(right, 0.0));
    }
    Some(sheet.into_drawing(format!("{}, assembled and taken apart", pictured.holder.title)))
}

/// The holder assembled, out of the picture of the whole: to tell it from others.
pub(crate) fn assembled_alone(whole: &Drawing) -> Drawing {
    let mut canvas = Canvas::default();
    for item in &whole.items {
        if let Item::Stroke { line: line @ (Line::Assembled | Line::Tool), path } = item {
            canvas.stroke(*line, path.clone());
        }
    }
    canvas.into_drawing(whole.title.clone())
}

/// Puts a picture down with its lower left corner at a place, its title below it; how high all reaches.
fn titled(sheet: &mut Canvas, picture: Canvas, title: &str, at: Point) -> f64 {
    let bounds = picture.bounds();
    let label = Label::new(title, NOTE).bold();
    sheet.write_from(&label, at);
    let above = at + Vec2::new(0.0, 2.0 * NOTE);
    sheet.take(picture, above - bounds.origin());
    above.y + bounds.height()
}

fn assembled(pictured: &Pictured<'_>) -> Option<Canvas> {
    let view = View::new(ViewFrom::RightFront);
    let shells = || pictured.solids.iter().map(|solid| &solid.shell);
    let tools: Vec<Shell> = tools(pictured);
    let scale =
        PictureScale::fitting(extent(&view, shells().chain(&tools))?, WHOLE_ROOM.0, WHOLE_ROOM.1);
    let mut canvas = Canvas::default();
    let behind = Sight::new(view, shells().chain(&tools));
    let seen: Vec<_> = tools.iter().flat_map(|tool| behind.edges(tool)).collect();
    strokes(&mut canvas, Line::Tool, scale, &seen);
    let wood = Sight::new(view, shells());
    strokes(&mut canvas, Line::Assembled, scale, &wood.lines(shells()));
    Some(canvas)
}

/// The tools that hang in it, as far as they are near the wood.
fn tools(pictured: &Pictured<'_>) -> Vec<Shell> {
    let points = || pictured.solids.iter().flat_map(|solid| &solid.shell.points);
    let extreme = |axis: usize, of: fn(f64, f64) -> f64| {
        points().map(|point| point[axis]).reduce(of).unwrap_or_default()
    };
    let low: Space = std::array::from_fn(|axis| extreme(axis, f64::min));
    let high: Space = std::array::from_fn(|axis| extreme(axis, f64::max));
    let largest = (0..3).map(|axis| high[axis] - low[axis]).fold(0.0, f64::max);
    let reach = (largest * TOOL_SHARE).max(TOOL_REACH);
    let room = (low.map(|place| place - reach), high.map(|place| place + reach));
    let solids = pictured.holder.tools.iter().flat_map(|tool| &tool.body);
    solids.filter_map(|solid| broken_off(tool_shell(&solid.prism), room)).collect()
}

/// The picture taken apart, and which parts are named in it.
fn apart(pictured: &Pictured<'_>) -> Option<(Canvas, Vec<usize>)> {
    let view = View::new(ViewFrom::RightFront);
    let order = pictured.order();
    let offs = taken_apart(pictured.holder, &[], &order);
    let mut moved: Vec<Shell> = pictured.solids.iter().map(|solid| solid.shell.clone()).collect();
    for (piece, off) in order.iter().zip(&offs) {
        moved[*piece] = apart_from(&moved[*piece], off.by);
    }
    let scale = PictureScale::fitting(extent(&view, &moved)?, APART_ROOM.0, APART_ROOM.1);
    let sight = Sight::new(view, &moved);
    let mut canvas = Canvas::default();
    strokes(&mut canvas, Line::Apart, scale, &sight.lines(&moved));
    let ways: Vec<_> =
        offs.iter().flat_map(TakenOff::ways).flat_map(|way| sight.line(way)).collect();
    strokes(&mut canvas, Line::Way, scale, &ways);
    let spots = spots(pictured, &moved, &sight, scale);
    let named = spots.iter().map(|(part, _)| *part).collect();
    label::write(&mut canvas, spots.into_iter().map(|(_, spot)| spot).collect());
    Some((canvas, named))
}

/// The same body moved.
pub(super) fn apart_from(shell: &Shell, by: Space) -> Shell {
    shell.moved(|place| plus(place, by))
}

/// The holder from behind, with the names of the parts that are not in `named` and of those against the wall; `None`
/// where there are none.
fn behind(pictured: &Pictured<'_>, named: &[usize]) -> Option<Canvas> {
    let shells: Vec<Shell> = pictured.solids.iter().map(|solid| solid.shell.clone()).collect();
    let view = View::new(ViewFrom::Behind);
    let scale = PictureScale::fitting(extent(&view, &shells)?, BEHIND_ROOM.0, BEHIND_ROOM.1);
    let sight = Sight::new(view, &shells);
    let mut spots = spots(pictured, &shells, &sight, scale);
    spots.retain(|(part, _)| !named.contains(part) || pictured.is_behind(*part));
    if spots.is_empty() {
        return None;
    }
    let mut canvas = Canvas::default();
    strokes(&mut canvas, Line::Apart, scale, &sight.lines(&shells));
    label::write(&mut canvas, spots.into_iter().map(|(_, spot)| spot).collect());
    Some(canvas)
}

/// Of each part the place that is seen best, with the part's number.
fn spots(
    pictured: &Pictured<'_>,
    shells: &[Shell],
    sight: &Sight,
    scale: PictureScale,
) -> Vec<(usize, NamedSpot)> {
    let parts = 0..pictured.holder.parts.len();
    parts
        .filter_map(|part| {
            let at = spot(sight, scale, pictured.pieces(part).map(|piece| &shells[piece]))?;
            Some((part, NamedSpot { at, name: pictured.name(part) }))
        })
        .collect()
}

/// The place on the paper where bodies are seen best; `None` where nothing of them is.
pub(super) fn spot<'s>(
    sight: &Sight,
    scale: PictureScale,
    shells: impl Iterator<Item = &'s Shell>,
) -> Option<Point> {
    let spots = shells.flat_map(|shell| sight.spots(shell).collect::<Vec<_>>());
    let best = spots.max_by(|a, b| a.area.total_cmp(&b.area))?;
    Some(scale.at(best.at))
}
