//! Dimensions after ISO 129-1: extension lines, filled arrow heads, figures above the line,
//! readable from the bottom and from the right.

use kurbo::{Point, Rect, Vec2};

use super::Line;
use super::canvas::{Canvas, Care, Label, LabelSize};
use crate::kernel::{Contour, Vertex};
use crate::length::Units;
use crate::tolerance::COORDINATE;

/// Letter size of a figure, in mm.
pub(super) const FIGURE: f64 = 3.0;

/// From one line of figures to the next, in mm.
const LEVEL: f64 = 4.5;

/// An arrow head's length and half its width, in mm.
pub(super) const ARROW: (f64, f64) = (2.5, 0.45);

/// White between the part and an extension line, and how far it runs past the dimension line.
pub(super) const GAP: f64 = 1.0;
pub(super) const OVERSHOOT: f64 = 1.0;

/// White between a figure and its line.
pub(super) const LIFT: f64 = 1.3;

/// Levels in which a figure wider than its place is looked a place for first, how far it may be
/// moved out at most, and how far aside, in mm.
const NEAR: u32 = 3;
const FURTHEST: u32 = 40;
const ASLANT: f64 = 40.0;

/// From a dimension line to the figures of the next one, in mm.
const BETWEEN: f64 = 2.0;

/// Four equally spaced stops or more are dimensioned in one: `11 × 2 = 22`.
const RUN: usize = 3;

/// On which side of what they measure a stack of dimensions stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Below,
    Left,
    Right,
}

/// An edge that dimensions stand beside: its side, and its y (`Below`) or x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Base {
    pub side: Side,
    pub edge: f64,
}

/// Dimensions one after the other on one line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    /// Where the extension lines stand, ascending.
    stops: Vec<f64>,
    /// What is written between each two.
    figures: Vec<String>,
    /// What is measured, said at its beginning; empty where no other chain could be taken for it.
    about: String,
}

/// `11 × 2 = 22`; a step that makes up the span only before it is rounded has `≈`.
fn in_steps(steps: usize, span: f64, units: Units) -> String {
    let each = span / steps as f64;
    let made_up = (each * 10.0).round() / 10.0 * steps as f64;
    let rounded = units == Units::Millimeters && (made_up - span).abs() > 0.05;
    let about = if rounded { "≈ " } else { "" };
    format!("{steps} × {about}{} = {}", units.bare_length(each), units.bare_length(span))
}

impl Chain {
    /// One dimension from `from` to `to`.
    pub(super) fn single(from: f64, to: f64, figure: String) -> Self {
        Self { stops: vec![from, to], figures: vec![figure], about: String::new() }
    }

    /// From 0 by way of `places` (ascending, all between) to `end`. With `runs`, evenly spaced
    /// places are taken together.
    pub(super) fn through(places: &[f64], end: f64, runs: bool, units: Units) -> Self {
        let mut chain = Self { stops: vec![0.0], figures: Vec::new(), about: String::new() };
        let mut rest = places;
        while let [first, others @ ..] = rest {
            chain.step(*first, units);
            let steps = if runs { even_steps(rest) } else { 0 };
            rest = if let (true, Some(last)) = (steps >= RUN, rest.get(steps)) {
                let span = last - first;
                let figure = in_steps(steps, span, units);
                chain.stops.push(*last);
                chain.figures.push(figure);
                rest.get(steps + 1..).unwrap_or_default()
            } else {
                others
            };
        }
        chain.step(end, units);
        chain
    }

    /// The same with what it measures said beside it.
    pub(super) fn named(self, about: &str) -> Self {
        Self { about: about.to_owned(), ..self }
    }

    /// The same on a drawing to scale, its figures as they are.
    pub(super) fn drawn(self, scale: f64) -> Self {
        Self { stops: self.stops.iter().map(|stop| stop * scale).collect(), ..self }
    }

    fn step(&mut self, to: f64, units: Units) {
        let from = self.stops.last().copied().unwrap_or(0.0);
        self.stops.push(to);
        self.figures.push(units.bare_length(to - from));
    }

    fn spans(&self) -> impl Iterator<Item = (f64, f64, &str)> {
        let pairs = self.stops.iter().zip(self.stops.iter().skip(1));
        pairs.zip(&self.figures).map(|((a, b), figure)| (*a, *b, figure.as_str()))
    }
}

/// How many equal steps `places` starts with.
fn even_steps(places: &[f64]) -> usize {
    let steps = places.iter().zip(places.iter().skip(1)).map(|(a, b)| b - a);
    let [first, second, ..] = places else { return 0 };
    steps.take_while(|s| (s - (second - first)).abs() < 0.01).count()
}

impl Base {
    /// The point `along` the edge and `out` from it.
    fn point(self, along: f64, out: f64) -> Point {
        match self.side {
            Side::Below => Point::new(along, self.edge - out),
            Side::Left => Point::new(self.edge - out, along),
            Side::Right => Point::new(self.edge + out, along),
        }
    }

    fn figure(self, text: &str) -> Label {
        Label::new(text, FIGURE).upright(self.side != Side::Below)
    }

    /// Out from a dimension line to the middle of a figure above it (level 0), or of one moved
    /// out to a further level. "Above" is toward the part, but at the left away from it.
    fn level(self, level: u32) -> f64 {
        let half = super::cap_height(FIGURE) / 2.0;
        match (self.side, level) {
            (Side::Left, level) => LIFT + half + f64::from(level) * LEVEL,
            (Side::Below | Side::Right, 0) => -LIFT - half,
            (Side::Below | Side::Right, level) => {
                OVERSHOOT + LIFT + half + f64::from(level - 1) * LEVEL
            }
        }
    }
}

/// Draws `chains` one outside the other, the first beyond `start` mm out from the edge, each beyond
/// all figures of the one before. Extension lines begin beyond `beside`, a text beside the edge,
/// where they would cross it. Returns how far out the outermost line stands, in mm; `None` as soon as pages do not take
/// them, when some may be drawn already.
pub(super) fn stack(
    canvas: &mut Canvas,
    base: Base,
    start: f64,
    chains: &[Chain],
    beside: Option<Rect>,
) -> Option<f64> {
    if !may_reach(canvas, base, start, chains) {
        return None;
    }
    let (mut lines, mut out, begun) = (Vec::new(), start, canvas.drawn());
    for (i, chain) in chains.iter().enumerate() {
        out += LEVEL;
        let further = chains.get(i + 1..).unwrap_or_default();
        let row = FigureRow { base, out, chain, passing: passing(further, chain) };
        dimension_line(canvas, base, out, chain);
        if !canvas.keeps_in(begun) {
            return None;
        }
        lines.push((chain, out));
        let levels = row.write(canvas);
        name(canvas, base, out, chain);
        out += BETWEEN + f64::from(levels) * LEVEL;
    }
    Some(extension_lines(canvas, base, &lines, beside))
}

/// Whether a page may take the outermost of `chains`, standing as near as it can.
fn may_reach(canvas: &Canvas, base: Base, start: f64, chains: &[Chain]) -> bool {
    /// Of sums, in mm.
    const HAIR: f64 = 1e-6;
    let count = chains.len() as f64;
    let least = start + count * (LEVEL + BETWEEN) - BETWEEN + OVERSHOOT - HAIR;
    let mut stops = chains.last().into_iter().flat_map(|chain| &chain.stops);
    stops.all(|stop| canvas.may_reach(base.point(*stop, least)))
}

/// Where extension lines of `chains` run through the figures of `inner`.
fn passing(chains: &[Chain], inner: &Chain) -> Vec<f64> {
    let own = |stop: &f64| inner.stops.iter().any(|s| (s - stop).abs() < COORDINATE);
    chains.iter().flat_map(|chain| &chain.stops).copied().filter(|stop| !own(stop)).collect()
}

/// One extension line for each place, out to the last chain that uses it.
fn extension_lines(
    canvas: &mut Canvas,
    base: Base,
    lines: &[(&Chain, f64)],
    name: Option<Rect>,
) -> f64 {
    let of = |(chain, out): &(&Chain, f64)| {
        let out = *out;
        chain.stops.iter().map(move |s| (*s, out)).collect::<Vec<_>>()
    };
    let mut stops: Vec<(f64, f64)> = lines.iter().flat_map(of).collect();
    stops.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    stops.dedup_by(|a, b| (a.0 - b.0).abs() < COORDINATE);
    for (stop, out) in &stops {
        let from = name.map_or(GAP, |name| beyond(base, *stop, name));
        let ends = [from, out + OVERSHOOT].map(|out| base.point(*stop, out));
        canvas.yielding(Line::Dimension, ends[0], ends[1]);
    }
    stops.iter().map(|s| s.1).fold(0.0, f64::max)
}

/// Where an extension line at `stop` begins: clear of `name`.
fn beyond(base: Base, stop: f64, name: Rect) -> f64 {
    let (from, to, out) = match base.side {
        Side::Below => (name.x0, name.x1, base.edge - name.y0),
        Side::Left => (name.y0, name.y1, base.edge - name.x0),
        Side::Right => (name.y0, name.y1, name.x1 - base.edge),
    };
    if (from - GAP..=to + GAP).contains(&stop) { out + GAP } else { GAP }
}

/// The line of a chain with its arrow heads: inside where there is room, else outside, and a dot
/// between two narrow places (ISO 129-1 allows it where arrow heads find no room).
fn dimension_line(canvas: &mut Canvas, base: Base, out: f64, chain: &Chain) {
    let roomy = |a: f64, b: f64| b - a >= 2.0 * ARROW.0 + 1.0;
    let at = |along: f64| base.point(along, out);
    let mut before = None;
    for (a, b, _) in chain.spans() {
        canvas.line(Line::Dimension, at(a), at(b));
        terminator(canvas, at, a, before, Some(roomy(a, b)));
        before = Some(roomy(a, b));
    }
    if let Some(last) = chain.stops.last() {
        terminator(canvas, at, *last, before, None);
    }
}

/// The end of a dimension at `stop`: whether the places before and after it (if any) have room
/// for an arrow head tells what is drawn.
fn terminator(
    canvas: &mut Canvas,
    at: impl Fn(f64) -> Point,
    stop: f64,
    before: Option<bool>,
    after: Option<bool>,
) {
    let outward = |sign: f64| (at(stop), at(stop + sign * 2.0 * ARROW.0));
    match (before, after) {
        (Some(true), Some(true)) => {
            arrow(canvas, at(stop), at(stop + 1.0) - at(stop));
            arrow(canvas, at(stop), at(stop - 1.0) - at(stop));
        }
        (_, Some(true)) => arrow(canvas, at(stop), at(stop + 1.0) - at(stop)),
        (Some(true), _) => arrow(canvas, at(stop), at(stop - 1.0) - at(stop)),
        (None, _) | (_, None) => {
            let (tip, tail) = outward(if before.is_none() { -1.0 } else { 1.0 });
            canvas.line(Line::Dimension, tip, tail);
            arrow(canvas, tip, (tail - tip).normalize());
        }
        (Some(false), Some(false)) => canvas.fill(Contour::circle(at(stop), ARROW.1)),
    }
}

/// A filled arrow head with its tip at `tip`, its shaft running `toward` (a unit vector).
pub(super) fn arrow(canvas: &mut Canvas, tip: Point, toward: Vec2) {
    let base = tip + toward * ARROW.0;
    let half = Vec2::new(-toward.y, toward.x) * ARROW.1;
    let corners = [tip, base + half, base - half].map(|p| Vertex::line(p.x, p.y));
    if let Some(head) = Contour::new(corners) {
        canvas.fill(head);
    }
}

/// What a chain measures, before its beginning or behind its end, where there is room.
fn name(canvas: &mut Canvas, base: Base, out: f64, chain: &Chain) {
    let (Some(first), Some(last)) = (chain.stops.first(), chain.stops.last()) else { return };
    if chain.about.is_empty() {
        return;
    }
    let label = base.figure(&chain.about);
    let size = LabelSize::of(&label);
    let away = |i: u32| 2.0 * ARROW.0 + label.run() / 2.0 + f64::from(i);
    let places = (0..60).flat_map(|i| [first - away(i), last + away(i)]);
    let found = places
        .map(|along| base.point(along, out + base.level(0)))
        .find(|place| canvas.has_room_for(&size, *place, Care::All));
    if let Some(place) = found {
        canvas.write(&label, place);
    }
}

/// The figures of a chain on its line `out` from the edge.
struct FigureRow<'c> {
    base: Base,
    out: f64,
    chain: &'c Chain,
    /// Where extension lines of other chains will run through.
    passing: Vec<f64>,
}

/// Where a figure stands: along the edge, and in which level.
#[derive(Debug, Clone, Copy)]
struct FigurePlace {
    along: f64,
    level: u32,
}

impl FigureRow<'_> {
    /// Writes the figures, each above its own place; where it is too wide, beside the end of the
    /// chain; else moved out, with a leader. Returns the furthest level that is taken.
    fn write(&self, canvas: &mut Canvas) -> u32 {
        let last = self.chain.figures.len().saturating_sub(1);
        let mut furthest = 0;
        for (i, (a, b, text)) in self.chain.spans().enumerate() {
            let figure = self.base.figure(text);
            let ends = (i == 0, i == last);
            let found = self
                .above(canvas, (a, b), &figure)
                .or_else(|| self.beside(canvas, (a, b), ends, &figure))
                .or_else(|| self.moved_out(canvas, (a, b), &figure));
            let place = found.unwrap_or_else(|| self.far_out(canvas, (a, b), &figure));
            canvas.write(&figure, self.point(place));
            furthest = furthest.max(place.level);
        }
        furthest
    }

    fn point(&self, place: FigurePlace) -> Point {
        self.base.point(place.along, self.out + self.base.level(place.level))
    }

    fn is_free(&self, canvas: &Canvas, figure: &LabelSize, place: FigurePlace) -> bool {
        canvas.has_room_for(figure, self.point(place), Care::Firm)
    }

    /// The first of some `free` places for a figure that runs so far; one where no extension line breaks, if there is one.
    fn first(&self, run: f64, free: impl Iterator<Item = FigurePlace>) -> Option<FigurePlace> {
        let half = run / 2.0 + LIFT / 2.0;
        let breaks =
            |place: FigurePlace| self.passing.iter().any(|stop| (stop - place.along).abs() < half);
        let mut broken = None;
        for place in free {
            if !breaks(place) {
                return Some(place);
            }
            broken = broken.or(Some(place));
        }
        broken
    }

    /// The free place above the line nearest to the middle.
    fn above(&self, canvas: &Canvas, (a, b): (f64, f64), figure: &Label) -> Option<FigurePlace> {
        let (run, size) = (figure.run(), LabelSize::of(figure));
        let places = shifts((b - a - run) / 2.0 - 0.5)
            .map(|shift| FigurePlace { along: a.midpoint(b) + shift, level: 0 });
        self.first(run, places.filter(|place| self.is_free(canvas, &size, *place)))
    }

    /// The place beside the first or last arrow of the chain, over the line drawn on.
    fn beside(
        &self,
        canvas: &mut Canvas,
        (a, b): (f64, f64),
        (first, last): (bool, bool),
        figure: &Label,
    ) -> Option<FigurePlace> {
        let reach = 2.0 * ARROW.0 + figure.run() / 2.0;
        let places = [(last, b, b + reach), (first, a, a - reach)];
        let at = |along| FigurePlace { along, level: 0 };
        let size = LabelSize::of(figure);
        let free = |along| self.is_free(canvas, &size, at(along));
        let (_, stop, middle) = places.into_iter().find(|(is_end, _, m)| *is_end && free(*m))?;
        let end = middle + (middle - stop).signum() * figure.run() / 2.0;
        let [from, to] = [stop, end].map(|along| self.base.point(along, self.out));
        canvas.line(Line::Dimension, from, to);
        Some(at(middle))
    }

    /// A free place further out, joined to the middle of the line by a leader: straight out if
    /// there is one near, else aslant.
    fn moved_out(
        &self,
        canvas: &mut Canvas,
        (a, b): (f64, f64),
        figure: &Label,
    ) -> Option<FigurePlace> {
        let (middle, run, size) = (a.midpoint(b), figure.run(), LabelSize::of(figure));
        let most = run / 2.0;
        let foot = self.base.point(middle, self.out);
        let tries = [(1..=NEAR, most), (1..=NEAR, ASLANT), (1..=FURTHEST, ASLANT)];
        let (place, head) = tries.into_iter().find_map(|(levels, aside)| {
            let places = levels.flat_map(|level| {
                shifts(aside).map(move |shift| FigurePlace { along: middle + shift, level })
            });
            let free = places.filter(|place| {
                self.is_free(canvas, &size, *place)
                    && canvas.can_lead(foot, self.head(*place, middle, most))
            });
            let place = self.first(run, free)?;
            Some((place, self.head(place, middle, most)))
        })?;
        canvas.line(Line::Leader, foot, head);
        Some(place)
    }

    /// Where a leader from `middle` ends below a figure of which `half` is half the run.
    fn head(&self, place: FigurePlace, middle: f64, half: f64) -> Point {
        let rise = super::cap_height(FIGURE) / 2.0 + 0.4;
        let along = middle.clamp(place.along - half, place.along + half);
        self.base.point(along, self.out + self.base.level(place.level) - rise)
    }

    /// The first free place straight out, however far.
    fn far_out(&self, canvas: &Canvas, (a, b): (f64, f64), figure: &Label) -> FigurePlace {
        let place = |level| FigurePlace { along: a.midpoint(b), level };
        let (mut levels, size) = (1..1000, LabelSize::of(figure));
        place(levels.find(|level| self.is_free(canvas, &size, place(*level))).unwrap_or(1000))
    }
}

/// 0, then steps of 1 mm to either side, as far as `most`; nothing if it is negative.
fn shifts(most: f64) -> impl Iterator<Item = f64> {
    let steps = if most < 0.0 { 0 } else { most.min(1e4) as i32 + 1 };
    (0..steps).flat_map(|i| [f64::from(i), -f64::from(i)]).skip(usize::from(steps > 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn evenly_spaced_places_are_taken_together() {
        let places: Vec<f64> = (0..12).map(|i| 50.8 + 50.8 * f64::from(i)).collect();
        let chain = Chain::through(&places, 660.4, true, Units::Inches);
        assert_eq!(chain.figures, ["2", "11 × 2 = 22", "2"]);
        let apart = Chain::through(&places[..3], 660.4, true, Units::Inches);
        assert_eq!(apart.figures, ["2", "2", "2", "20"]);
        assert_eq!(Chain::through(&[], 40.0, true, Units::Millimeters).figures, ["40"]);
    }
}
