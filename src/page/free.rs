//! Where a page is still free: cells of paper that something lies on, or not.

use kurbo::{Point, Rect, Size, Vec2};

/// Width and height of a cell, in mm.
const CELL: f64 = 2.0;

/// White between two things on one page, in mm.
pub(super) const GAP: f64 = 4.0;

/// The room of one page in cells, by rows from the top.
#[derive(Debug, Clone)]
pub(super) struct FreeRoom {
    room: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
}

impl FreeRoom {
    /// A page with all of `room` free.
    pub(super) fn new(room: Rect) -> Self {
        let cells = |length: f64| (length / CELL).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(room.width()), cells(room.height()));
        Self { room, columns, rows, taken: vec![false; columns * rows] }
    }

    /// The highest free place for a box of `size`, of those the one furthest left.
    pub(super) fn place(&self, size: Size) -> Option<Rect> {
        let slack = self.room.size() - size;
        if slack.width < 0.0 || slack.height < 0.0 {
            return None;
        }
        let sums = self.sums();
        let steps = |slack: f64| (slack / CELL).floor() as usize;
        let corners = (0..=steps(slack.height)).flat_map(|row| {
            (0..=steps(slack.width)).map(move |column| Vec2::new(column as f64, row as f64) * CELL)
        });
        let boxes = corners.map(|at| {
            let top = Point::new(self.room.x0 + at.x, self.room.y1 - at.y);
            Rect::new(top.x, top.y - size.height, top.x + size.width, top.y)
        });
        boxes.into_iter().find(|area| self.count(&sums, area.inflate(GAP, GAP)) == 0)
    }

    /// Takes all cells that a box touches.
    pub(super) fn take_box(&mut self, area: Rect) {
        let (columns, rows) = self.span(area);
        for row in rows {
            let from = row * self.columns;
            self.taken[from + columns.start..from + columns.end].fill(true);
        }
    }

    /// Takes the cells along a line.
    pub(super) fn take_line(&mut self, line: &[Point]) {
        for ends in line.windows(2) {
            let steps = ((ends[1] - ends[0]).hypot() / CELL).ceil().clamp(1.0, 1e4) as u32;
            for i in 0..=steps {
                let at = ends[0].lerp(ends[1], f64::from(i) / f64::from(steps));
                self.take_box(Rect::from_points(at, at));
            }
        }
    }

    /// Takes the cells inside a polygon.
    pub(super) fn take_area(&mut self, ring: &[Point]) {
        self.take_line(ring);
        for row in 0..self.rows {
            let y = self.room.y1 - (row as f64 + 0.5) * CELL;
            let sides = ring.iter().zip(ring.iter().cycle().skip(1));
            let crossed = sides.filter(|(a, b)| (a.y > y) != (b.y > y));
            let mut crossings: Vec<f64> =
                crossed.map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)).collect();
            crossings.sort_by(f64::total_cmp);
            for ends in crossings.chunks_exact(2) {
                self.take_box(Rect::new(ends[0], y, ends[1], y));
            }
        }
    }

    /// The cells that a box touches.
    fn span(&self, area: Rect) -> (std::ops::Range<usize>, std::ops::Range<usize>) {
        let cells = |from: f64, to: f64, count: usize| {
            let first = (from / CELL).floor().clamp(0.0, count as f64) as usize;
            let end = ((to / CELL).floor() + 1.0).clamp(first as f64, count as f64) as usize;
            first..end
        };
        let columns = cells(area.x0 - self.room.x0, area.x1 - self.room.x0, self.columns);
        let rows = cells(self.room.y1 - area.y1, self.room.y1 - area.y0, self.rows);
        (columns, rows)
    }

    /// How many cells above and left of each corner are taken.
    fn sums(&self) -> Vec<u32> {
        let wide = self.columns + 1;
        let mut sums = vec![0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            let mut line = 0;
            for column in 0..self.columns {
                line += u32::from(self.taken[row * self.columns + column]);
                sums[(row + 1) * wide + column + 1] = sums[row * wide + column + 1] + line;
            }
        }
        sums
    }

    fn count(&self, sums: &[u32], area: Rect) -> u32 {
        let (columns, rows) = self.span(area);
        let at = |row: usize, column: usize| sums[row * (self.columns + 1) + column];
        at(rows.end, columns.end) + at(rows.start, columns.start)
            - at(rows.start, columns.end)
            - at(rows.end, columns.start)
    }
}
