//! Where there is room: a sheet as square cells, each free or taken.
//!
//! A cell counts as taken as soon as anything reaches into it, so that shapes whose cells differ
//! do not meet, whatever their outlines. Placed parts are marked with the spacing round them, new
//! ones as they are. Cells are kept in slices across the sheet, one bit a cell, one slice for each
//! step along it: filling goes from one end of the sheet to the other, and what is left of it is
//! one piece.

use std::f64::consts::PI;
use std::ops::Range;

use kurbo::{Point, Size, Vec2};

/// Directions in which the spacing round a shape is kept exactly, the four of the sheet's edges
/// among them. Between them it is up to 2 % more: the circle of the spacing lies within this many
/// tangents.
const TANGENTS: usize = 16;

/// Reaching into a cell by less than this, in mm, is no reaching.
const TOUCH: f64 = 1e-7;

const WORD: usize = u64::BITS as usize;

/// A closed polygon; the first point is not repeated.
pub(super) type Polygon = Vec<Point>;

/// One bit for each cell of a slice.
type SliceBits = Vec<u64>;

/// Cells from the origin to the right and upward.
#[derive(Debug, Clone)]
pub(super) struct CellGrid {
    /// Side of a cell, in mm.
    cell: f64,
    slices: Vec<SliceBits>,
    /// Cells in a slice.
    across: usize,
}

/// The cells that a piece takes where its lower left corner is at the origin: runs of them in each
/// slice.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mask {
    slices: Vec<Vec<Range<usize>>>,
}

/// A cell: how far along the sheet and across it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct GridCell {
    pub along: usize,
    pub across: usize,
}

impl CellGrid {
    /// Free cells of side `cell` over an area of `size` mm.
    pub(super) fn new(size: Size, cell: f64) -> Self {
        let along = (size.width / cell).ceil().max(1.0) as usize;
        let across = (size.height / cell).ceil().max(1.0) as usize;
        Self { cell, slices: vec![vec![0; across.div_ceil(WORD)]; along], across }
    }

    /// Takes every cell that comes within `spacing` mm of the area inside an odd number of
    /// `polygons`.
    fn take(&mut self, polygons: &[Polygon], spacing: f64) {
        self.take_inside(polygons);
        for polygon in polygons {
            let next = polygon.iter().cycle().skip(1);
            for (from, to) in polygon.iter().zip(next) {
                self.take_near(*from, *to, spacing);
            }
        }
    }

    /// Takes the cells of a mask whose lower left corner comes `back` cells before `at`, as far as they are on the grid.
    pub(super) fn take_mask(&mut self, mask: &Mask, at: GridCell, back: usize) {
        for (slice, runs) in mask.slices.iter().enumerate() {
            let along = (at.along + slice).checked_sub(back);
            let Some(bits) = along.and_then(|along| self.slices.get_mut(along)) else { continue };
            for run in runs {
                let on_grid =
                    |cell: usize| (at.across + cell).saturating_sub(back).min(self.across);
                set(bits, on_grid(run.start)..on_grid(run.end));
            }
        }
    }

    /// Cells with their middle inside.
    fn take_inside(&mut self, polygons: &[Polygon]) {
        let ends = |low: f64, high: f64| {
            polygons
                .iter()
                .flatten()
                .fold((low, high), |(low, high), p| (low.min(p.x), high.max(p.x)))
        };
        let (low, high) = ends(f64::INFINITY, f64::NEG_INFINITY);
        let first = (low / self.cell).floor().max(0.0) as usize;
        let end = ((high / self.cell).ceil().max(0.0) as usize).min(self.slices.len());
        for slice in first..end {
            let x = (slice as f64 + 0.5) * self.cell;
            let mut crossings: Vec<f64> = polygons.iter().flat_map(|p| crossings(p, x)).collect();
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let half = self.cell / 2.0;
                self.take_run(slice, pair[0] + half, pair[1] - half);
            }
        }
    }

    /// Cells that the line from `from` to `to`, `spacing` mm wide to all sides, reaches into.
    fn take_near(&mut self, from: Point, to: Point, spacing: f64) {
        let low = from.x.min(to.x) - spacing * 1.1;
        let high = from.x.max(to.x) + spacing * 1.1;
        let first = (low / self.cell).floor().max(0.0) as usize;
        let end = ((high / self.cell).ceil().max(0.0) as usize).min(self.slices.len());
        let edges = swept(from, to, spacing);
        for slice in first..end {
            let strip = slice as f64 * self.cell..(slice + 1) as f64 * self.cell;
            let reach = edges.iter().filter_map(|(a, b)| within_strip(*a, *b, &strip));
            let run = reach.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
            if let Some((low, high)) = run {
                self.take_run(slice, low, high);
            }
        }
    }

    /// Cells of a slice from `low` to `high` mm.
    fn take_run(&mut self, slice: usize, low: f64, high: f64) {
        let first = ((low + TOUCH) / self.cell).floor().max(0.0) as usize;
        let end = (((high - TOUCH) / self.cell).ceil().max(0.0) as usize).min(self.across);
        if let Some(bits) = self.slices.get_mut(slice) {
            set(bits, first..end);
        }
    }

    /// The cell nearest to the sheet's start, and of those the lowest, on which the lower left
    /// corner of the piece can stand; none before the slice `from` nor beyond `last`.
    pub(super) fn room(&self, mask: &Mask, from: usize, last: GridCell) -> Option<GridCell> {
        // What was in the way is likely to be so again.
        let mut suspect = 0;
        for along in from..=last.along {
            let mut across = 0;
            while across <= last.across {
                let Some((slice, beyond)) =
                    self.obstacle(mask, GridCell { along, across }, suspect)
                else {
                    return Some(GridCell { along, across });
                };
                (suspect, across) = (slice, beyond);
            }
        }
        None
    }

    /// What is in the way of the piece at a cell: the slice of the piece that meets it, and the
    /// next place across at which it is passed. Looks at the slice `first` first.
    fn obstacle(&self, mask: &Mask, at: GridCell, first: usize) -> Option<(usize, usize)> {
        let count = mask.slices.len();
        (first..count).chain(0..first.min(count)).find_map(|slice| {
            let (runs, taken) = (mask.slices.get(slice)?, self.slices.get(at.along + slice)?);
            // All places up to there have a cell of the run on the last that is taken.
            let passed = |run: &Range<usize>| {
                let last = last_bit(taken, run.start + at.across..run.end + at.across)?;
                Some(last + 1 - run.start)
            };
            Some((slice, runs.iter().find_map(passed)?))
        })
    }
}

impl Mask {
    /// The cells that come within `spacing` mm of `polygons`, which fill a box of `size` at the origin; with any spacing a
    /// mask begins [`margin`](Self::margin) cells before the origin.
    pub(super) fn new(polygons: &[Polygon], size: Size, spacing: f64, cell: f64) -> Self {
        let round = Self::margin(spacing, cell) as f64 * cell;
        let mut grid = CellGrid::new(size + Size::new(2.0 * round, 2.0 * round), cell);
        let moved: Vec<Polygon> = polygons
            .iter()
            .map(|polygon| polygon.iter().map(|at| *at + Vec2::new(round, round)).collect())
            .collect();
        grid.take(&moved, spacing);
        Self { slices: grid.slices.iter().map(|slice| runs(slice, grid.across)).collect() }
    }

    /// How many cells `spacing` mm may reach to.
    pub(super) fn margin(spacing: f64, cell: f64) -> usize {
        if spacing > 0.0 { (spacing * 1.1 / cell).ceil() as usize + 1 } else { 0 }
    }
}

/// Where the upright line at `x` crosses the polygon.
fn crossings(polygon: &Polygon, x: f64) -> impl Iterator<Item = f64> {
    let next = polygon.iter().cycle().skip(1);
    let crossed = polygon.iter().zip(next).filter(move |(a, b)| (a.x > x) != (b.x > x));
    crossed.map(move |(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
}

/// Lines between which lies all that is within `spacing` of a line: the polygon of tangents at
/// either end, and the ways of its corners from one end to the other.
fn swept(from: Point, to: Point, spacing: f64) -> Vec<(Point, Point)> {
    if spacing <= 0.0 {
        return vec![(from, to)];
    }
    let step = 2.0 * PI / TANGENTS as f64;
    let corner =
        |i: usize| Vec2::from_angle((i as f64 + 0.5) * step) * spacing / (step / 2.0).cos();
    let sides = (0..TANGENTS).map(|i| (corner(i), corner(i + 1)));
    sides.flat_map(|(a, b)| [(from + a, from + b), (to + a, to + b), (from + a, to + a)]).collect()
}

/// The least and greatest y of a line between two upright lines; `None` where it only touches.
fn within_strip(a: Point, b: Point, strip: &Range<f64>) -> Option<(f64, f64)> {
    let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
    if right.x <= strip.start + TOUCH || left.x >= strip.end - TOUCH {
        return None;
    }
    let at = |x: f64| left.y + (right.y - left.y) * (x - left.x) / (right.x - left.x);
    let start = if left.x < strip.start { at(strip.start) } else { left.y };
    let end = if right.x > strip.end { at(strip.end) } else { right.y };
    Some((start.min(end), start.max(end)))
}

/// The words that bits of `range` are in, each with these bits.
fn words(range: Range<usize>) -> impl DoubleEndedIterator<Item = (usize, u64)> {
    let indices = range.start / WORD..range.end.div_ceil(WORD);
    indices.map(move |index| {
        let start = index * WORD;
        let below_end = u64::MAX >> (start + WORD).saturating_sub(range.end);
        let from_start = u64::MAX << range.start.saturating_sub(start);
        (index, below_end & from_start)
    })
}

/// Sets the bits in `range`.
fn set(bits: &mut SliceBits, range: Range<usize>) {
    for (index, wanted) in words(range) {
        if let Some(word) = bits.get_mut(index) {
            *word |= wanted;
        }
    }
}

fn runs(bits: &SliceBits, across: usize) -> Vec<Range<usize>> {
    let is_taken = |bit: usize| bits[bit / WORD] >> (bit % WORD) & 1 == 1;
    let mut runs: Vec<Range<usize>> = Vec::new();
    for bit in (0..across).filter(|bit| is_taken(*bit)) {
        match runs.last_mut() {
            Some(run) if run.end == bit => run.end += 1,
            _ => runs.push(bit..bit + 1),
        }
    }
    runs
}

/// The last bit set in `range`.
fn last_bit(bits: &SliceBits, range: Range<usize>) -> Option<usize> {
    let end = range.end.min(bits.len() * WORD);
    words(range.start..end).rev().find_map(|(index, wanted)| {
        let left = bits.get(index)? & wanted;
        (left != 0).then(|| (index + 1) * WORD - 1 - left.leading_zeros() as usize)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bits_of_a_range_are_set_and_no_others() {
        for start in 0..140 {
            for end in start..=140 {
                let mut bits = vec![0_u64; 3];
                set(&mut bits, start..end);
                let is_set = |bit: usize| bits[bit / WORD] >> (bit % WORD) & 1 == 1;
                assert!((0..192).all(|bit| is_set(bit) == (start..end).contains(&bit)));
            }
        }
    }

    /// Laid down as a mask a piece takes what it takes where it lies.
    #[test]
    fn a_mask_takes_what_its_piece_does() {
        let (cell, spacing) = (1.6, 9.3);
        let piece: Polygon = [(0.0, 0.0), (61.0, 3.0), (48.0, 30.0), (20.0, 17.0)]
            .into_iter()
            .map(Point::from)
            .collect();
        let mask = Mask::new(std::slice::from_ref(&piece), Size::new(61.0, 30.0), spacing, cell);
        for (along, across) in [(0, 0), (3, 40), (90, 2), (110, 60)] {
            let sheet = Size::new(250.0, 120.0);
            let [mut laid, mut masked] = [0; 2].map(|_| CellGrid::new(sheet, cell));
            let by = Vec2::new(along as f64, across as f64) * cell;
            laid.take(&[piece.iter().map(|at| *at + by).collect()], spacing);
            masked.take_mask(&mask, GridCell { along, across }, Mask::margin(spacing, cell));
            assert_eq!(laid.slices, masked.slices, "{along} {across}");
        }
    }

    #[test]
    fn the_last_bit_of_a_range_is_found_in_any_word() {
        let mut bits = vec![0_u64; 3];
        let set = [0, 5, 63, 64, 127, 130];
        set.iter().for_each(|bit| bits[bit / WORD] |= 1 << (bit % WORD));
        for start in 0..200 {
            for end in start + 1..210 {
                let expected = set.iter().copied().filter(|b| (start..end).contains(b)).max();
                assert_eq!(last_bit(&bits, start..end), expected, "{start}..{end}");
            }
        }
    }
}
