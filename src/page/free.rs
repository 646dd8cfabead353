//! Where a page is still free: cells of paper that something lies on, or not.

use std::ops::Range;

use kurbo::{Point, Rect, Size, Vec2};

use super::spread::bounds;

/// Width and height of a cell, in mm.
const CELL: f64 = 2.0;

/// What rounding may add to a drawing that is cut to the room of a page, in mm.
const HAIR: f64 = 1e-6;

/// How far what is taken reaches out round the box of a drawing, in cells: letters count as higher than they are.
const AROUND: usize = 2;

/// White between two things on one page, in cells.
const MARGIN: usize = 2;

/// The room of one page in cells, by rows from the top.
#[derive(Debug, Clone)]
pub(super) struct FreeRoom {
    room: Rect,
    columns: usize,
    rows: usize,
    /// The cells of each row that are taken, as bits.
    taken: Vec<RowBits>,
    /// Sizes that had no room, none of which fits in another: no larger one has room later, as nothing is taken away.
    refused: Vec<Size>,
}

/// Where something has room: its upper left cell, and the place itself.
#[derive(Debug, Clone, Copy)]
pub(super) struct FreePlace {
    column: usize,
    row: usize,
    pub area: Rect,
}

/// Cells of a row: more than any paper of a home printer has.
type RowBits = [u64; 5];
const MOST: usize = 320;

impl FreeRoom {
    /// A page with all of `room` free.
    pub(super) fn new(room: Rect) -> Self {
        let (columns, rows) = (cells(room.width()).min(MOST), cells(room.height()));
        Self { room, columns, rows, taken: vec![RowBits::default(); rows], refused: Vec::new() }
    }

    /// A room with nothing on it for what has `size`, its lower left corner at the origin, and for what reaches out round it.
    pub(super) fn under(size: Size) -> Self {
        let round = AROUND as f64 * CELL;
        Self::new(size.to_rect().inflate(round, round))
    }

    /// The highest free place for a box of `size`, of those the one furthest left.
    pub(super) fn place(&mut self, size: Size) -> Option<FreePlace> {
        let fits_in =
            |small: &Size, large: &Size| small.width <= large.width && small.height <= large.height;
        if self.refused.iter().any(|refused| fits_in(refused, &size)) {
            return None;
        }
        let place = self.sought(size);
        if place.is_none() {
            self.refused.retain(|refused| !fits_in(&size, refused));
            self.refused.push(size);
        }
        place
    }

    fn sought(&self, size: Size) -> Option<FreePlace> {
        let slack = self.room.size() - size;
        if slack.width < -HAIR || slack.height < -HAIR {
            return None;
        }
        let steps = |slack: f64| (slack.max(0.0) / CELL).floor() as usize;
        let (down, across) = (steps(slack.height), steps(slack.width));
        let (columns, rows) = (cells(size.width) + 1, cells(size.height) + 1);
        let barred = self.barred(rows + 2 * MARGIN);
        let mut tried = barred.iter().take(down + 1).enumerate();
        let (column, row) =
            tried.find_map(|(row, taken)| Some((self.gap(taken, columns, across)?, row)))?;
        let corner = Vec2::new(column as f64, row as f64) * CELL;
        let (left, top) = (self.room.x0 + corner.x, self.room.y1 - corner.y);
        let area = Rect::new(left, top - size.height, left + size.width, top);
        Some(FreePlace { column, row, area })
    }

    /// For each row the cells that are taken in any of `high` rows, the first of which stands the white above it.
    fn barred(&self, high: usize) -> Vec<RowBits> {
        let mut rows = vec![RowBits::default(); MARGIN];
        rows.extend_from_slice(&self.taken);
        // Each stands for `done` rows; two of these for the sum of both.
        let mut done = 1;
        while done < high {
            let step = done.min(high - done);
            for at in 0..rows.len().saturating_sub(step) {
                let below = rows[at + step];
                join(&mut rows[at], &below);
            }
            done += step;
        }
        rows
    }

    /// Takes what the room `under` something has taken, laid on `place` with it.
    pub(super) fn take_cells(&mut self, under: &Self, place: &FreePlace) {
        let (above, below) = (AROUND.saturating_sub(place.row), place.row.saturating_sub(AROUND));
        let cells = under.taken.iter().skip(above);
        for (row, cells) in self.taken.iter_mut().skip(below).zip(cells) {
            join(row, &moved_back(&moved(cells, place.column), AROUND));
        }
    }

    /// The first column, none beyond `across`, from which on so many are free with the white beside them.
    fn gap(&self, taken: &RowBits, columns: usize, across: usize) -> Option<usize> {
        let mut column = 0;
        while column <= across {
            let right = (column + columns + MARGIN).min(self.columns);
            match last(taken, column.saturating_sub(MARGIN)..right) {
                Some(barred) => column = barred + 1 + MARGIN,
                None => return Some(column),
            }
        }
        None
    }

    /// Takes all cells that a box touches.
    pub(super) fn take_box(&mut self, area: Rect) {
        let (columns, rows) = self.span(area);
        let bits = between(columns);
        self.taken[rows].iter_mut().for_each(|row| join(row, &bits));
    }

    /// Takes the cells along a line.
    pub(super) fn take_line(&mut self, line: &[Point]) {
        for ends in line.windows(2) {
            let steps = ((ends[1] - ends[0]).hypot() / CELL).ceil().clamp(1.0, 1e4) as u32;
            for i in 0..=steps {
                self.take_spot(ends[0].lerp(ends[1], f64::from(i) / f64::from(steps)));
            }
        }
    }

    /// Takes the cell that a place lies in.
    fn take_spot(&mut self, at: Point) {
        let (across, down) = ((at.x - self.room.x0) / CELL, (self.room.y1 - at.y) / CELL);
        let (column, row) = (across as usize, down as usize);
        let on_paper = across >= 0.0 && down >= 0.0 && column < self.columns;
        if let (true, Some(bits)) = (on_paper, self.taken.get_mut(row)) {
            bits[column / 64] |= 1 << (column % 64);
        }
    }

    /// Takes the cells inside a polygon.
    pub(super) fn take_area(&mut self, ring: &[Point]) {
        self.take_line(ring);
        let (_, rows) = self.span(bounds(ring.iter().copied()));
        let mut crossings: Vec<f64> = Vec::new();
        for row in rows {
            let y = self.room.y1 - (row as f64 + 0.5) * CELL;
            let sides = ring.iter().zip(ring.iter().cycle().skip(1));
            let crossed = sides.filter(|(a, b)| (a.y > y) != (b.y > y));
            crossings.clear();
            crossings.extend(crossed.map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)));
            crossings.sort_by(f64::total_cmp);
            for ends in crossings.chunks_exact(2) {
                self.take_box(Rect::new(ends[0], y, ends[1], y));
            }
        }
    }

    /// The cells that a box touches.
    fn span(&self, area: Rect) -> (Range<usize>, Range<usize>) {
        let cells = |from: f64, to: f64, count: usize| {
            let first = (from / CELL).floor().clamp(0.0, count as f64) as usize;
            let end = ((to / CELL).floor() + 1.0).clamp(first as f64, count as f64) as usize;
            first..end
        };
        let columns = cells(area.x0 - self.room.x0, area.x1 - self.room.x0, self.columns);
        let rows = cells(self.room.y1 - area.y1, self.room.y1 - area.y0, self.rows);
        (columns, rows)
    }
}

/// Takes in a row what another one has taken.
fn join(row: &mut RowBits, other: &RowBits) {
    row.iter_mut().zip(other).for_each(|(row, other)| *row |= other);
}

/// The cells so many further to the right.
fn moved(cells: &RowBits, by: usize) -> RowBits {
    let (words, bits) = (by / 64, by % 64);
    let word = |at: Option<usize>| at.and_then(|at| cells.get(at)).copied().unwrap_or_default();
    std::array::from_fn(|at| {
        let (own, before) = (word(at.checked_sub(words)), word(at.checked_sub(words + 1)));
        // In two steps: a word can't be moved by all of its 64 bits at once.
        own << bits | (before >> 1) >> (63 - bits)
    })
}

/// The cells so many, fewer than a word has, further to the left.
fn moved_back(cells: &RowBits, by: usize) -> RowBits {
    let word = |at: usize| cells.get(at).copied().unwrap_or_default();
    std::array::from_fn(|at| word(at) >> by | (word(at + 1) << 1) << (63 - by))
}

/// The bits of some cells of a row.
fn between(cells: Range<usize>) -> RowBits {
    let mut bits = RowBits::default();
    for (at, word) in bits.iter_mut().enumerate() {
        let below = |cell: usize| match cell.saturating_sub(64 * at) {
            count @ 0..64 => (1 << count) - 1,
            _ => u64::MAX,
        };
        *word = below(cells.end) & !below(cells.start);
    }
    bits
}

/// The last of some cells that is taken.
fn last(taken: &RowBits, cells: Range<usize>) -> Option<usize> {
    let bits = taken.iter().zip(between(cells)).map(|(taken, bits)| taken & bits);
    let mut words = bits.enumerate().rev().filter(|(_, bits)| *bits != 0);
    words.next().map(|(at, bits)| 64 * at + 63 - bits.leading_zeros() as usize)
}

/// So many cells take up a length.
fn cells(length: f64) -> usize {
    (length / CELL).ceil().max(1.0) as usize
}
