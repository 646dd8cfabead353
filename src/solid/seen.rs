//! Which edges of bodies are seen, cut exactly where something begins to hide them.
//!
//! An edge is hidden where a triangle that looks at the eye covers it on the paper and lies nearer. Over one triangle
//! both the cover and the nearness end at one place each, so what a triangle hides of an edge is one stretch.

use kurbo::{Point, Rect, Vec2};

use super::shell::Shell;
use super::view::View;
use crate::style::Space;

/// What lies nearer by less than this, in mm, hides nothing: faces that touch.
pub(super) const TOUCH: f64 = 2e-3;

/// Shorter than this, in mm, a stretch is not drawn.
const SPECK: f64 = 0.05;

/// A triangle with less than this on the paper, in mm², is seen from its edge.
const EDGE_ON: f64 = 1e-6;

/// How far past its sides a triangle hides, in mm: what runs along the side that two share is hidden by either.
const SEAM: f64 = 1e-6;

/// About how many cells the paper is parted into each way.
const CELLS: f64 = 48.0;

/// A stretch of an edge that is seen, on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SeenLine {
    pub from: Point,
    pub to: Point,
}

/// Bodies seen from somewhere.
pub(crate) struct Sight {
    view: View,
    covers: Vec<Cover>,
    grid: PaperGrid,
}

/// A place on the paper and how near to the eye it is.
#[derive(Debug, Clone, Copy)]
struct Sighted {
    at: Point,
    near: f64,
}

/// A triangle that looks at the eye.
struct Cover {
    corners: [Point; 3],
    /// How near it is where the paper's origin would be, and how that grows along the paper.
    near: f64,
    slope: Vec2,
}

impl Sight {
    /// What `hiding` bodies hide, seen in `view`.
    pub(crate) fn new<'s>(view: View, hiding: impl IntoIterator<Item = &'s Shell>) -> Self {
        let covers: Vec<Cover> = hiding.into_iter().flat_map(|shell| covers(view, shell)).collect();
        let grid = PaperGrid::new(&covers);
        Self { view, covers, grid }
    }

    /// What is seen of the edges of `shell`.
    pub(crate) fn edges(&self, shell: &Shell) -> Vec<SeenLine> {
        let looks: Vec<bool> =
            shell.facets.iter().map(|facet| self.view.nearness(shell.out(facet)) > 1e-9).collect();
        let points: Vec<Sighted> = shell.points.iter().map(|place| self.sighted(*place)).collect();
        let drawn = shell.edges.iter().filter(|edge| {
            let [one, other] = edge.facets.map(|facet| looks[facet as usize]);
            if edge.smooth { one != other } else { one || other }
        });
        let ends = drawn.map(|edge| edge.ends.map(|end| points[end as usize]));
        ends.flat_map(|[from, to]| self.seen(from, to)).collect()
    }

    /// What is seen of a straight line from one place to another.
    pub(crate) fn line(&self, ends: [Space; 2]) -> Vec<SeenLine> {
        let [from, to] = ends.map(|place| self.sighted(place));
        self.seen(from, to)
    }

    /// Whether nothing hides a place.
    pub(crate) fn sees(&self, place: Space) -> bool {
        let at = self.sighted(place);
        let covers = self.grid.beside(at.at, at.at);
        !covers.into_iter().any(|cover| self.covers[cover as usize].hides(at, at).is_some())
    }

    pub(crate) fn view(&self) -> View {
        self.view
    }

    fn sighted(&self, place: Space) -> Sighted {
        Sighted { at: self.view.on_paper(place), near: self.view.nearness(place) }
    }

    fn seen(&self, from: Sighted, to: Sighted) -> Vec<SeenLine> {
        let length = (to.at - from.at).hypot();
        if length < SPECK {
            return Vec::new();
        }
        let mut hidden: Vec<[f64; 2]> = self
            .grid
            .beside(from.at, to.at)
            .into_iter()
            .filter_map(|cover| self.covers[cover as usize].hides(from, to))
            .collect();
        hidden.sort_by(|a, b| a[0].total_cmp(&b[0]));
        hidden.push([1.0, 1.0]);
        let mut seen = Vec::new();
        let mut reached = 0.0;
        for [start, end] in hidden {
            if (start - reached) * length > SPECK {
                let [from, to] = [reached, start].map(|share| from.at.lerp(to.at, share));
                seen.push(SeenLine { from, to });
            }
            reached = end.max(reached);
        }
        seen
    }
}

fn covers(view: View, shell: &Shell) -> impl Iterator<Item = Cover> {
    shell.facets.iter().filter_map(move |facet| {
        let corners = shell.corners(facet);
        let on_paper = corners.map(|corner| view.on_paper(corner));
        let near = corners.map(|corner| view.nearness(corner));
        Cover::new(on_paper, near)
    })
}

impl Cover {
    /// `None` for a triangle that looks away or is seen from its edge.
    fn new(corners: [Point; 3], near: [f64; 3]) -> Option<Self> {
        let [a, b, c] = corners;
        let twice = (b - a).cross(c - a);
        if twice < EDGE_ON {
            return None;
        }
        let (along_b, along_c) = (near[1] - near[0], near[2] - near[0]);
        let slope = Vec2::new(
            along_b * (c - a).y - along_c * (b - a).y,
            along_c * (b - a).x - along_b * (c - a).x,
        ) / twice;
        Some(Self { corners, near: near[0] - slope.dot(a.to_vec2()), slope })
    }

    fn bounds(&self) -> Rect {
        let [a, b, c] = self.corners;
        Rect::from_points(a, b).union_pt(c)
    }

    /// Which stretch of a line it hides, in shares of it.
    fn hides(&self, from: Sighted, to: Sighted) -> Option<[f64; 2]> {
        let [a, b, c] = self.corners;
        let nearer = |at: Sighted| self.near + self.slope.dot(at.at.to_vec2()) - at.near - TOUCH;
        let inside = |start: Point, end: Point, at: Point| {
            let way = end - start;
            way.cross(at - start) / way.hypot() + SEAM
        };
        let mut kept = part_over([0.0, 1.0], nearer(from), nearer(to))?;
        for (start, end) in [(a, b), (b, c), (c, a)] {
            kept = part_over(kept, inside(start, end, from.at), inside(start, end, to.at))?;
        }
        Some(kept)
    }
}

/// What of a stretch lies where a figure that runs evenly from `first` at 0 to `last` at 1 is above 0.
pub(super) fn part_over([start, end]: [f64; 2], first: f64, last: f64) -> Option<[f64; 2]> {
    let kept = match (first > 0.0, last > 0.0) {
        (true, true) => [start, end],
        (false, false) => return None,
        (true, false) => [start, end.min(first / (first - last))],
        (false, true) => [start.max(first / (first - last)), end],
    };
    (kept[0] < kept[1]).then_some(kept)
}

/// Triangles by where they are on the paper.
struct PaperGrid {
    origin: Point,
    cell: f64,
    columns: usize,
    rows: usize,
    /// Where in `covers` each cell's begin, and the end of all.
    begins: Vec<usize>,
    covers: Vec<u32>,
}

impl PaperGrid {
    fn new(covers: &[Cover]) -> Self {
        let bounds = covers.iter().map(Cover::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        let cell = (bounds.width().max(bounds.height()) / CELLS).max(1.0);
        let count = |size: f64| (size / cell).floor() as usize + 1;
        let (columns, rows) = (count(bounds.width()), count(bounds.height()));
        let begins = vec![0; columns * rows + 1];
        let origin = bounds.origin();
        let mut grid = Self { origin, cell, columns, rows, begins, covers: Vec::new() };
        grid.fill(covers);
        grid
    }

    /// Counts what comes into each cell, then puts it there.
    fn fill(&mut self, covers: &[Cover]) {
        for cover in covers {
            self.cells_under(cover).for_each(|cell| self.begins[cell + 1] += 1);
        }
        let mut all = 0;
        for begin in &mut self.begins {
            all += *begin;
            *begin = all;
        }
        let mut next = self.begins.clone();
        self.covers = vec![0; all];
        for (at, cover) in covers.iter().enumerate() {
            for cell in self.cells_under(cover) {
                self.covers[next[cell]] = at as u32;
                next[cell] += 1;
            }
        }
    }

    fn cells_under(&self, cover: &Cover) -> impl Iterator<Item = usize> + use<> {
        let Rect { x0, y0, x1, y1 } = cover.bounds();
        let (low, high) = (self.cell_of(x0, y0), self.cell_of(x1, y1));
        let columns = self.columns;
        (low.1..=high.1).flat_map(move |row| (low.0..=high.0).map(move |at| row * columns + at))
    }

    fn cell_of(&self, x: f64, y: f64) -> (usize, usize) {
        let at = |along: f64, most: usize| ((along / self.cell).max(0.0) as usize).min(most - 1);
        (at(x - self.origin.x, self.columns), at(y - self.origin.y, self.rows))
    }

    /// The triangles in the cells that a line passes, each once.
    fn beside(&self, from: Point, to: Point) -> Vec<u32> {
        let (from, to) = if from.x <= to.x { (from, to) } else { (to, from) };
        let (first, last) = (self.cell_of(from.x, 0.0).0, self.cell_of(to.x, 0.0).0);
        let height = |x: f64| match to.x - from.x {
            run if run > f64::EPSILON => {
                from.y + (to.y - from.y) * ((x - from.x) / run).clamp(0.0, 1.0)
            }
            _ => to.y,
        };
        let mut found = Vec::new();
        for column in first..=last {
            let edge = |at: usize| self.origin.x + self.cell * at as f64;
            // A line straight up has its ends in one column.
            let start = if column == first { from.y } else { height(edge(column)) };
            let end = if column == last { to.y } else { height(edge(column + 1)) };
            let (low, high) = (start.min(end) - SEAM, start.max(end) + SEAM);
            for row in self.cell_of(0.0, low).1..=self.cell_of(0.0, high).1 {
                let cell = row * self.columns + column;
                found.extend_from_slice(&self.covers[self.begins[cell]..self.begins[cell + 1]]);
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// A place on a body that is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SeenSpot {
    /// On the paper.
    pub at: Point,
    /// How large the triangle is of which it is the middle, on the paper, in mm².
    pub area: f64,
}

impl Sight {
    /// The middles of a body's triangles that are seen.
    pub(crate) fn spots<'s>(&'s self, shell: &'s Shell) -> impl Iterator<Item = SeenSpot> + 's {
        shell.facets.iter().filter_map(|facet| {
            let corners = shell.corners(facet);
            let [a, b, c] = corners.map(|corner| self.view.on_paper(corner));
            let middle = std::array::from_fn(|i| corners.iter().map(|at| at[i]).sum::<f64>() / 3.0);
            let area = (b - a).cross(c - a) / 2.0;
            (area > EDGE_ON && self.sees(middle))
                .then(|| SeenSpot { at: self.view.on_paper(middle), area })
        })
    }
}
