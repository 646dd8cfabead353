//! Where a page is still free: cells of paper that something lies on, or not.

use kurbo::{Point, Rect, Size, Vec2};

/// Width and height of a cell, in mm.
const CELL: f64 = 2.0;

/// What rounding may add to a drawing that is cut to the room of a page, in mm.
const HAIR: f64 = 1e-6;

/// White between two things on one page, in cells.
const MARGIN: usize = 2;

/// The room of one page in cells, by rows from the top.
#[derive(Debug, Clone)]
pub(super) struct FreeRoom {
    room: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
    /// How many cells above and left of each corner are taken, as long as none is taken since.
    sums: Option<Vec<u32>>,
}

impl FreeRoom {
    /// A page with all of `room` free.
    pub(super) fn new(room: Rect) -> Self {
        let (columns, rows) = (cells(room.width()), cells(room.height()));
        Self { room, columns, rows, taken: vec![false; columns * rows], sums: None }
    }

    /// The highest free place for a box of `size`, of those the one furthest left.
    pub(super) fn place(&mut self, size: Size) -> Option<Rect> {
        let slack = self.room.size() - size;
        if slack.width < -HAIR || slack.height < -HAIR {
            return None;
        }
        let steps = |slack: f64| (slack.max(0.0) / CELL).floor() as usize;
        let (down, across) = (steps(slack.height), steps(slack.width));
        let (columns, rows) = (cells(size.width) + 1, cells(size.height) + 1);
        let mut spots = (0..=down).flat_map(|row| (0..=across).map(move |column| (column, row)));
        let sums = self.sums.take().unwrap_or_else(|| self.summed());
        let wide = self.columns + 1;
        let found = spots.find(|(column, row)| {
            let (left, top) = (column.saturating_sub(MARGIN), row.saturating_sub(MARGIN));
            let right = (column + columns + MARGIN).min(self.columns);
            let foot = (row + rows + MARGIN).min(self.rows) * wide;
            let top = top * wide;
            sums[foot + right] + sums[top + left] == sums[top + right] + sums[foot + left]
        });
        self.sums = Some(sums);
        let (column, row) = found?;
        let corner = Vec2::new(column as f64, row as f64) * CELL;
        let (left, top) = (self.room.x0 + corner.x, self.room.y1 - corner.y);
        Some(Rect::new(left, top - size.height, left + size.width, top))
    }

    /// Takes all cells that a box touches.
    pub(super) fn take_box(&mut self, area: Rect) {
        self.sums = None;
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
    fn summed(&self) -> Vec<u32> {
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
}

/// So many cells take up a length.
fn cells(length: f64) -> usize {
    (length / CELL).ceil().max(1.0) as usize
}
