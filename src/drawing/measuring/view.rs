//! A tool from one side, as flat as it is drawn.

use kurbo::{Point, Rect};

use super::fitted::FittedAxis;
use crate::drawing::canvas::{Canvas, outside};
use crate::drawing::{Line, Path};
use crate::holder::{SketchLine, Solid, ToolSketch};
use crate::kernel::{Contour, Vertex};
use crate::style::{LineSide, SketchView, Space};
use crate::tolerance::COORDINATE;

/// How far a rounded corner reaches along its shorter side, as a share of that; and at most, in mm.
const ROUNDING: (f64, f64) = (0.45, 8.0);

/// A tool seen from one side: x right and y up as on paper, in mm of the tool.
pub(super) struct SeenTool {
    faces: Vec<SeenFace>,
    /// Outlines, and whether they are rounded.
    shapes: Vec<(Vec<Point>, bool)>,
    pub lines: Vec<ReadingLine>,
}

/// What is seen of a solid.
struct SeenFace {
    area: Rect,
    round: bool,
    /// How far it reaches toward the eye.
    near: f64,
}

/// A line that is measured along.
pub(super) struct ReadingLine {
    pub name: String,
    pub from: Point,
    pub to: Point,
    pub beside: Option<LineSide>,
}

impl SeenTool {
    /// What `view` shows of a tool; solids only where no outline stands for them.
    pub(super) fn new(sketch: &ToolSketch, view: SketchView) -> Self {
        let shapes: Vec<_> = sketch.shapes.iter().filter(|shape| shape.view == view).collect();
        let faces = sketch.body.iter().filter(|_| shapes.is_empty());
        let faces = faces.map(|solid| face(solid, view)).collect();
        let across = if view == SketchView::Front { 1.0 } else { -1.0 };
        let shapes = shapes.into_iter().map(|shape| {
            let corners = shape.corners.iter().map(|p| Point::new(across * p.x, p.y));
            (corners.collect(), shape.round)
        });
        let lines = sketch.lines.iter().filter(|line| line.view == view);
        Self { faces, shapes: shapes.collect(), lines: lines.map(|l| seen_line(l, view)).collect() }
    }

    /// Whether there is nothing to draw.
    pub(super) fn is_blank(&self) -> bool {
        self.faces.is_empty() && self.shapes.is_empty() && self.lines.is_empty()
    }

    /// The places along x, or with `up` along y, that are told apart.
    pub(super) fn stops(&self, up: bool) -> Vec<f64> {
        let along = |point: Point| if up { point.y } else { point.x };
        let shapes = self.shapes.iter().filter_map(|(corners, _)| around(corners));
        let areas = self.faces.iter().map(|face| face.area).chain(shapes);
        let ends = areas.flat_map(|area| [area.origin(), Point::new(area.x1, area.y1)]);
        let lines = self.lines.iter().filter(|line| line.is_upright() == up);
        ends.chain(lines.flat_map(|line| [line.from, line.to])).map(along).collect()
    }

    /// Draws it.
    pub(super) fn draw(&self, canvas: &mut Canvas, [x, y]: [&FittedAxis; 2]) {
        let at = |point: Point| Point::new(x.at(point.x), y.at(point.y));
        for face in &self.faces {
            let nearer = self.faces.iter().filter(|other| other.near > face.near + COORDINATE);
            let hidden: Vec<Rect> =
                nearer.filter(|f| !f.round).map(|f| on_paper(f.area, at)).collect();
            draw_face(canvas, on_paper(face.area, at), face.round, &hidden);
        }
        for (corners, round) in &self.shapes {
            let mut corners: Vec<Point> = corners.iter().map(|corner| at(*corner)).collect();
            // Two corners in one place have no side between them that could be rounded.
            corners.dedup_by(|a, b| (*a - *b).hypot() <= COORDINATE);
            let vertices = if *round { rounded(&corners) } else { corners };
            outline(canvas, &vertices);
        }
    }
}

impl ReadingLine {
    /// Whether it runs up, not across.
    pub(super) fn is_upright(&self) -> bool {
        match self.beside {
            Some(LineSide::Left | LineSide::Right) => true,
            Some(LineSide::Above | LineSide::Below) => false,
            None => (self.to.y - self.from.y).abs() > (self.to.x - self.from.x).abs(),
        }
    }
}

fn seen_line(line: &SketchLine, view: SketchView) -> ReadingLine {
    let [from, to] = [line.from, line.to].map(|place| flat(view, place));
    ReadingLine { name: line.name.clone(), from, to, beside: line.beside }
}

/// A place as it is seen.
fn flat(view: SketchView, [x, y, z]: Space) -> Point {
    match view {
        SketchView::Front => Point::new(x, y),
        SketchView::Side => Point::new(-z, y),
    }
}

fn face(solid: &Solid, view: SketchView) -> SeenFace {
    let corners: Vec<Point> = solid.prism.corners().map(|corner| flat(view, corner)).collect();
    let area = around(&corners).unwrap_or(Rect::ZERO);
    let toward = if view == SketchView::Front { 2 } else { 0 };
    let lower_left = |corner: &Point| (*corner - area.origin()).hypot() <= COORDINATE;
    let round = !corners.iter().any(lower_left);
    SeenFace { area, round, near: solid.prism.bounds().1[toward] }
}

fn around(points: &[Point]) -> Option<Rect> {
    points.iter().map(|p| Rect::from_points(*p, *p)).reduce(|a, b| a.union(b))
}

fn on_paper(area: Rect, at: impl Fn(Point) -> Point) -> Rect {
    Rect::from_points(at(area.origin()), at(Point::new(area.x1, area.y1)))
}

/// The edges of a face that nothing in `hidden` stands before.
fn draw_face(canvas: &mut Canvas, area: Rect, round: bool, hidden: &[Rect]) {
    if round {
        let covered = |other: &Rect| other.union(area) == *other;
        if !hidden.iter().any(covered) {
            let radius = area.width().min(area.height()) / 2.0;
            canvas.stroke(Line::Outline, Path::Circle { center: area.center(), radius });
        }
        return;
    }
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
    let corners = corners.map(Point::from);
    for (from, to) in corners.into_iter().zip(corners.into_iter().cycle().skip(1)) {
        for (from, to) in outside(from, to, hidden) {
            canvas.line(Line::Outline, from, to);
        }
    }
}

fn outline(canvas: &mut Canvas, corners: &[Point]) {
    if let Some(contour) = Contour::new(corners.iter().map(|p| Vertex::line(p.x, p.y))) {
        canvas.stroke(Line::Outline, Path::Closed(contour));
    }
}

/// The corners cut off in a curve, each as a row of points.
fn rounded(corners: &[Point]) -> Vec<Point> {
    let count = corners.len();
    let corner = |i: usize| {
        let [before, at, after] = [i + count - 1, i, i + 1].map(|i| corners[i % count]);
        let (to_before, to_after) = (before - at, after - at);
        let (share, most) = ROUNDING;
        let cut = (to_before.hypot().min(to_after.hypot()) * share).min(most);
        let ends = (at + to_before.normalize() * cut, at + to_after.normalize() * cut);
        (0..=6).map(move |step| {
            let t = f64::from(step) / 6.0;
            // A parabola that leaves both sides along them.
            ends.0.lerp(at, t).lerp(at.lerp(ends.1, t), t)
        })
    };
    (0..count).flat_map(corner).collect()
}
