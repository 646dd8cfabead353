//! Lines that readings are taken along: dimension lines with a name in the place of a figure.

use kurbo::{Point, Rect, Vec2};

use super::fitted::FittedAxis;
use super::view::{ReadingLine, SeenTool};
use crate::drawing::canvas::{Canvas, Care, Label};
use crate::drawing::dimension::{ARROW, FIGURE, GAP, LIFT, OVERSHOOT, arrow};
use crate::drawing::{Line, cap_height};
use crate::style::LineSide;

/// From the tool to the nearest line beside it, from there to where the next is tried, and the furthest, in mm.
const NEAREST: f64 = 6.0;
const STEP: f64 = 1.0;
const FURTHEST: f64 = 90.0;

/// How far a line is drawn on behind an arrow head that finds no room inside, in mm.
const TAIL: f64 = 2.0 * ARROW.0;

/// A dimension line on paper, from left to right or from the foot up.
#[derive(Debug, Clone, Copy)]
struct ReadingCourse {
    from: Point,
    to: Point,
    upright: bool,
    /// On which side of the tool it stands; `None` across it.
    beside: Option<LineSide>,
}

/// Where a name stands, and where the line is drawn on to below it.
struct NamePlace {
    center: Point,
    upright: bool,
    drawn_on: Option<Point>,
}

/// Draws the lines of a tool that is drawn on `canvas`: first those across it, then those beside it, short ones nearer.
pub(super) fn draw_lines(canvas: &mut Canvas, tool: &SeenTool, [x, y]: [&FittedAxis; 2]) {
    let body = canvas.bounds();
    let at = |point: Point| Point::new(x.at(point.x), y.at(point.y));
    let mut lines: Vec<(&ReadingLine, ReadingCourse)> =
        tool.lines.iter().map(|line| (line, ReadingCourse::new(line, at))).collect();
    lines.sort_by(|(a, one), (b, other)| {
        let across = (a.beside.is_some()).cmp(&b.beside.is_some());
        across.then(one.length().total_cmp(&other.length()))
    });
    // Names of lines across are kept clear of where extension lines will run.
    let kept: Vec<Rect> = lines.iter().flat_map(|(_, course)| course.ways_out(body)).collect();
    for (line, course) in lines {
        let label = Label::new(line.name.clone(), FIGURE);
        match course.beside {
            None => course.draw_across(canvas, &label, &kept),
            Some(side) => course.draw_beside(canvas, &label, side, body),
        }
    }
}

impl ReadingCourse {
    fn new(line: &ReadingLine, at: impl Fn(Point) -> Point) -> Self {
        let (a, b) = (at(line.from), at(line.to));
        let upright = line.is_upright();
        let ordered = if upright { a.y <= b.y } else { a.x <= b.x };
        let (from, to) = if ordered { (a, b) } else { (b, a) };
        Self { from, to, upright, beside: line.beside }
    }

    fn length(&self) -> f64 {
        (self.to - self.from).dot(self.way())
    }

    fn way(&self) -> Vec2 {
        if self.upright { Vec2::new(0.0, 1.0) } else { Vec2::new(1.0, 0.0) }
    }

    fn is_roomy(&self) -> bool {
        self.length() >= TAIL + 1.0
    }

    /// What line and arrow heads take.
    fn room(&self) -> Rect {
        let tail = if self.is_roomy() { Vec2::ZERO } else { self.way() * TAIL };
        Rect::from_points(self.from - tail, self.to + tail).inflate(1.0, 1.0)
    }

    /// Straight across the tool, where it is measured.
    fn draw_across(&self, canvas: &mut Canvas, label: &Label, kept: &[Rect]) {
        let place = self.name_place(canvas, label, kept).unwrap_or_else(|| self.far(label));
        self.draw(canvas, label, &place);
    }

    /// As near to the tool as there is room, with extension lines.
    fn draw_beside(&self, canvas: &mut Canvas, label: &Label, side: LineSide, body: Rect) {
        let mut out = NEAREST;
        let (moved, place) = loop {
            let moved = self.moved_out(side, body, out);
            let free = canvas.is_free(moved.room(), Care::All);
            match moved.name_place(canvas, label, &[]).filter(|_| free) {
                Some(place) => break (moved, place),
                None if out > FURTHEST => break (moved, moved.far(label)),
                None => out += STEP,
            }
        };
        for (foot, head) in [(self.from, moved.from), (self.to, moved.to)] {
            if (head - foot).hypot() <= GAP {
                continue;
            }
            let way = (head - foot).normalize();
            canvas.yielding(Line::Dimension, foot + way * GAP, head + way * OVERSHOOT);
        }
        moved.draw(canvas, label, &place);
    }

    fn moved_out(&self, side: LineSide, body: Rect, out: f64) -> Self {
        let onto = |point: Point| match side {
            LineSide::Left => Point::new(body.x0 - out, point.y),
            LineSide::Right => Point::new(body.x1 + out, point.y),
            LineSide::Above => Point::new(point.x, body.y1 + out),
            LineSide::Below => Point::new(point.x, body.y0 - out),
        };
        Self { from: onto(self.from), to: onto(self.to), ..*self }
    }

    fn draw(&self, canvas: &mut Canvas, label: &Label, place: &NamePlace) {
        let way = self.way();
        canvas.line(Line::Dimension, self.from, self.to);
        for (tip, inward) in [(self.from, way), (self.to, -way)] {
            if self.is_roomy() {
                arrow(canvas, tip, inward);
            } else {
                arrow(canvas, tip, -inward);
                canvas.line(Line::Dimension, tip, tip - inward * TAIL);
            }
        }
        if let Some(end) = place.drawn_on {
            let start = if (end - self.to).dot(way) > 0.0 { self.to } else { self.from };
            canvas.line(Line::Dimension, start, end);
        }
        canvas.write(&label.clone().upright(place.upright), place.center);
    }

    /// Where its extension lines run at the least.
    fn ways_out(&self, body: Rect) -> Vec<Rect> {
        let Some(side) = self.beside else { return Vec::new() };
        let moved = self.moved_out(side, body, NEAREST);
        let ways = [(self.from, moved.from), (self.to, moved.to)];
        ways.map(|(foot, head)| Rect::from_points(foot, head).inflate(0.8, 0.8)).to_vec()
    }

    /// The first place near the line where the name has room, clear of what is `kept`.
    fn name_place(&self, canvas: &Canvas, label: &Label, kept: &[Rect]) -> Option<NamePlace> {
        let clear = |place: &NamePlace| {
            let taken = place.taken(label, self);
            place.is_free(canvas, label) && !kept.iter().any(|way| way.overlaps(taken))
        };
        let along = self.along(label).filter(clear);
        along.or_else(|| {
            let places = if self.upright { self.aside(label) } else { self.behind(label) };
            places.into_iter().find(|place| clear(place) && self.may_be_drawn_on(canvas, place))
        })
    }

    /// Above the line, or at its left where it is upright.
    fn along(&self, label: &Label) -> Option<NamePlace> {
        let lift = LIFT + cap_height(label.size) / 2.0;
        let off = if self.upright { Vec2::new(-lift, 0.0) } else { Vec2::new(0.0, lift) };
        let center = self.from.midpoint(self.to) + off;
        let fits = label.run() + 2.0 <= self.length();
        fits.then_some(NamePlace { center, upright: self.upright, drawn_on: None })
    }

    /// Level, beside an upright line: away from the tool.
    fn aside(&self, label: &Label) -> Vec<NamePlace> {
        let reach = LIFT + label.run() / 2.0;
        let middle = self.from.midpoint(self.to);
        let ways: &[f64] = match self.beside {
            Some(LineSide::Left) => &[-1.0],
            Some(LineSide::Right) => &[1.0],
            _ => &[1.0, -1.0],
        };
        let at = |way: &f64| middle + Vec2::new(way * reach, 0.0);
        let place = |center| NamePlace { center, upright: false, drawn_on: None };
        ways.iter().map(at).map(place).collect()
    }

    /// Over the line drawn on behind either end, near ones first.
    fn behind(&self, label: &Label) -> Vec<NamePlace> {
        let lift = Vec2::new(0.0, LIFT + cap_height(label.size) / 2.0);
        let run = label.run();
        let place = |away: i32, right: bool| {
            let near = TAIL + f64::from(away);
            let (end, way) = if right { (self.to, 1.0) } else { (self.from, -1.0) };
            let at = |along: f64| end + Vec2::new(way * along, 0.0);
            let drawn_on = Some(at(near + run));
            NamePlace { center: at(near + run / 2.0) + lift, upright: false, drawn_on }
        };
        (0..60).flat_map(|away| [place(away, true), place(away, false)]).collect()
    }

    /// Whether the line can be drawn on as `place` has it without meeting anything.
    fn may_be_drawn_on(&self, canvas: &Canvas, place: &NamePlace) -> bool {
        let Some(end) = place.drawn_on else { return true };
        let right = end.x > self.to.x;
        let start = if right { self.to.x + GAP } else { self.from.x - GAP };
        let line = Rect::from_points((start, end.y), (end.x, end.y)).inflate(0.0, 0.3);
        canvas.is_free(line, Care::All)
    }

    /// Beyond the end of the line, whatever is there.
    fn far(&self, label: &Label) -> NamePlace {
        let off = self.way() * (TAIL + label.run() / 2.0);
        NamePlace { center: self.to + off, upright: self.upright, drawn_on: None }
    }
}

impl NamePlace {
    /// What name and line drawn on take.
    fn taken(&self, label: &Label, course: &ReadingCourse) -> Rect {
        let room = label.clone().upright(self.upright).room(self.center);
        let Some(end) = self.drawn_on else { return room };
        let start = if end.x > course.to.x { course.to } else { course.from };
        room.union(Rect::from_points(start, end))
    }

    fn is_free(&self, canvas: &Canvas, label: &Label) -> bool {
        canvas.has_room(&label.clone().upright(self.upright), self.center, Care::All)
    }
}
