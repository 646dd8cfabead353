//! `views.svg`: a holder straight from the front, from its right end and from above (third angle, ISO 5456-2).

use kurbo::{Point, Rect, Vec2};

use super::Pictured;
use super::plot::{PictureScale, extent, strokes};
use crate::drawing::canvas::Canvas;
use crate::drawing::dimension::{self, Base, Chain, Side};
use crate::drawing::{Drawing, Line};
use crate::holder::{Feature, Holder, Model, Purpose};
use crate::length::Units;
use crate::solid::{Shell, Sight, View, ViewFrom};
use crate::style::Space;

/// What all three have room for, in mm.
const ROOM: (f64, f64) = (150.0, 120.0);

/// White between views, for a dimension, in mm.
const BETWEEN: f64 = 24.0;

/// From a view to its dimension, in mm.
const FIRST: f64 = 4.0;

/// Places nearer than this are one, in mm, and more than so many are left to the patterns.
const SAME: f64 = 1.0;
const MOST: usize = 24;

/// The three views at one scale with width, height, depth and the places that a builder checks; `None` without wood.
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
    let places = BuilderPlaces::of(pictured.holder, front);
    let below = Base { side: Side::Below, edge: 0.0 };
    let across = chains(&[places.across], front.width(), scale, units);
    dimension::stack(&mut canvas, below, FIRST, &across, None);
    let left = Base { side: Side::Left, edge: 0.0 };
    let upward = chains(&[places.upward, places.cleats], front.height(), scale, units);
    dimension::stack(&mut canvas, left, FIRST, &upward, None);
    let mut depth = Canvas::default();
    let deep = chains(&[], end.width(), scale, units);
    dimension::stack(&mut depth, below, FIRST, &deep, None);
    canvas.take(depth, Point::new(width + BETWEEN, 0.0).to_vec2());
    Some(canvas.into_drawing(format!("{}, front, end and top", pictured.holder.title)))
}

/// What a builder checks with a tape: dimensions by way of each of `places`, then the whole.
fn chains(places: &[Vec<f64>], whole: f64, scale: PictureScale, units: Units) -> Vec<Chain> {
    let by_way = places.iter().filter(|places| !places.is_empty());
    let by_way = by_way.map(|places| Chain::through(places, whole, true, units));
    let single = Chain::single(0.0, whole, units.bare_length(whole));
    by_way.chain([single]).map(|chain| chain.drawn(scale.0)).collect()
}

/// Places worth a dimension in a view from the front, from its lower left corner, ascending.
#[derive(Default)]
struct BuilderPlaces {
    /// What stands beside each other: the row with most in it.
    across: Vec<f64>,
    /// What stands above each other, where nothing stands beside it.
    upward: Vec<f64>,
    /// Lower edges of the cleat that it hangs by, or of the wall cleats that it is.
    cleats: Vec<f64>,
}

impl BuilderPlaces {
    fn of(holder: &Holder, front: Rect) -> Self {
        let within = |places: Vec<f64>, from: f64, whole: f64| {
            let mut places: Vec<f64> = places.into_iter().map(|place| place - from).collect();
            places.sort_by(f64::total_cmp);
            places.dedup_by(|a, b| *a - *b < SAME);
            places.retain(|place| (SAME..whole - SAME).contains(place));
            if places.len() <= MOST { places } else { Vec::new() }
        };
        let row = row(holder);
        let axis = |axis: usize| row.iter().map(|place| place[axis]).collect();
        let across = within(axis(0), front.x0, front.width());
        let upward = match across.len() {
            0 | 1 => within(axis(1), front.y0, front.height()),
            _ => Vec::new(),
        };
        Self { across, upward, cleats: within(cleats(holder), front.y0, front.height()) }
    }
}

/// Where the things of the longest row of what tools hang in or on are.
fn row(holder: &Holder) -> Vec<Space> {
    let wanted = |feature: Feature| match feature {
        Feature::Hole { purpose, .. } => matches!(purpose, Purpose::Peg | Purpose::Tool),
        Feature::Slot { .. }
        | Feature::RoundOpening { .. }
        | Feature::TracedOpening { .. }
        | Feature::Window { .. }
        | Feature::Notch { .. } => true,
        Feature::Pocket { .. } | Feature::Tab { .. } | Feature::Mortise { .. } => false,
    };
    let rows = holder.parts.iter().flat_map(|part| {
        let place = part.places.first();
        let rows = part.rows.iter().filter(|row| wanted(row.feature));
        rows.filter_map(move |row| {
            let place = place?;
            Some(row.centers.iter().map(|at| place.to_space(*at, 0.0)).collect::<Vec<_>>())
        })
    });
    // The first of those as long.
    let longest = rows.reduce(|best, next| if next.len() > best.len() { next } else { best });
    longest.unwrap_or_default()
}

fn cleats(holder: &Holder) -> Vec<f64> {
    let hooks = holder.carriers.iter().filter_map(|carrier| match carrier.model {
        Model::Hook { cleat, .. } => holder.parts[cleat].places.first(),
        _ => None,
    });
    let hooks = hooks.map(|place| place.bounds().0[1]);
    hooks.chain(holder.wall_cleats.iter().copied()).collect()
}
