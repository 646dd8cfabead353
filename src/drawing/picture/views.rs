//! `views.svg`: a holder straight from the front, from its right end and from above (third angle, ISO 5456-2).

use kurbo::{Point, Rect, Vec2};

use super::Pictured;
use super::plot::{PictureScale, extent, strokes};
use crate::drawing::canvas::Canvas;
use crate::drawing::dimension::{self, Base, Chain, Side};
use crate::drawing::{Drawing, Line};
use crate::solid::{Shell, Sight, View, ViewFrom};

/// What all three have room for, in mm.
const ROOM: (f64, f64) = (170.0, 190.0);

/// White between views, for a dimension, in mm.
const BETWEEN: f64 = 16.0;

/// From a view to its dimension, in mm.
const FIRST: f64 = 4.0;

/// The three views at one scale with width, height and depth; `None` without wood.
pub(crate) fn views(pictured: &Pictured<'_>) -> Option<Drawing> {
    let shells: Vec<&Shell> = pictured.solids.iter().map(|solid| &solid.shell).collect();
    let of = |from| extent(&View::new(from), shells.iter().copied());
    let (front, end, top) = (of(ViewFrom::Front)?, of(ViewFrom::End)?, of(ViewFrom::Top)?);
    let all = Rect::new(0.0, 0.0, front.width() + end.width(), front.height() + top.height());
    let scale = PictureScale::fitting(all, ROOM.0 - BETWEEN, ROOM.1 - BETWEEN);
    let mut canvas = Canvas::default();
    let mut put = |from, area: Rect, at: Vec2| {
        let sight = Sight::new(View::new(from), shells.iter().copied());
        let mut view = Canvas::default();
        strokes(&mut view, Line::Assembled, scale, &sight.lines(shells.iter().copied()));
        let corner = scale.at(area.origin()).to_vec2();
        canvas.take(view, at - corner);
    };
    let [width, height] = [front.width(), front.height()].map(|size| size * scale.0);
    put(ViewFrom::Front, front, Vec2::ZERO);
    put(ViewFrom::End, end, Vec2::new(width + BETWEEN, 0.0));
    put(ViewFrom::Top, top, Vec2::new(0.0, height + BETWEEN));
    let units = pictured.holder.units;
    let single = |size: f64, of: f64| [Chain::single(0.0, size, units.bare_length(of))];
    let below = Base { side: Side::Below, edge: 0.0 };
    dimension::stack(&mut canvas, below, FIRST, &single(width, front.width()), None);
    let left = Base { side: Side::Left, edge: 0.0 };
    dimension::stack(&mut canvas, left, FIRST, &single(height, front.height()), None);
    let mut depth = Canvas::default();
    let deep = end.width() * scale.0;
    dimension::stack(&mut depth, below, FIRST, &single(deep, end.width()), None);
    canvas.take(depth, Point::new(width + BETWEEN, 0.0).to_vec2());
    Some(canvas.into_drawing(format!("{}, front, end and top", pictured.holder.title)))
}
