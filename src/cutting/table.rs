//! The best that can be sawn from one panel when every piece may be made any number of times:
//! a table over all sizes of panel (Gilmore and Gomory, "The theory and computation of knapsack
//! functions", Operations Research 14, 1966; on raster points: Cintra, Miyazawa, Wakabayashi and
//! Xavier, European Journal of Operational Research 191, 2008).

use super::budget::Purse;
use super::grown::{cut_out, row};
use super::raster::Raster;
use super::Panel;

/// A piece as it may lie on the panel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub item: usize,
    pub turned: bool,
    /// In the measure of the raster.
    pub size: [i64; 2],
}

/// Which cuts there are on a panel, whatever the pieces are worth.
pub(super) struct Grid {
    axes: [Raster; 2],
    poses: Vec<Pose>,
    /// For each point, the pairs of points that make it: where the first part ends, and the
    /// largest point the rest holds.
    splits: [Vec<Vec<(u32, u32)>>; 2],
}

impl Grid {
    pub(super) fn new(axes: [Raster; 2], poses: Vec<Pose>) -> Self {
        let splits = [splits(&axes[0]), splits(&axes[1])];
        Self { axes, poses, splits }
    }

    /// About how many looks a table takes.
    pub(super) fn work(&self) -> u64 {
        let pairs = |axis: usize| self.splits[axis].iter().map(Vec::len).sum::<usize>() as u64;
        let (wide, long) = (self.axes[0].len() as u64, self.axes[1].len() as u64);
        // Cuts along the first axis go over whole columns at once, four times as fast.
        pairs(0) * long / 4 + pairs(1) * wide + wide * long
    }

    /// The best values with these `worth`s of the items: whole numbers, together below 2^53, so
    /// that sums are exact.
    pub(super) fn table(&self, worth: &[f64], purse: &mut Purse) -> Table<'_> {
        purse.spend(self.work());
        let (wide, long) = (self.axes[0].len(), self.axes[1].len());
        let mut best = vec![0.0; wide * long];
        for pose in &self.poses {
            let (x, y) = (self.axes[0].up(pose.size[0]), self.axes[1].up(pose.size[1]));
            if x < wide && y < long {
                let cell: &mut f64 = &mut best[x * long + y];
                *cell = cell.max(worth[pose.item]);
            }
        }
        for x in 1..wide {
            let (done, rest) = best.split_at_mut(x * long);
            let column = &mut rest[..long];
            larger(column, &done[(x - 1) * long..]);
            for &(first, second) in &self.splits[0][x] {
                let (a, b) = (first as usize * long, second as usize * long);
                larger_sum(column, &done[a..a + long], &done[b..b + long]);
            }
            for y in 1..long {
                let mut most = column[y].max(column[y - 1]);
                for &(first, second) in &self.splits[1][y] {
                    let sum = column[first as usize] + column[second as usize];
                    most = if sum > most { sum } else { most };
                }
                column[y] = most;
            }
        }
        Table { grid: self, worth: worth.to_vec(), best }
    }
}

fn larger(column: &mut [f64], other: &[f64]) {
    for (cell, &value) in column.iter_mut().zip(other) {
        *cell = if value > *cell { value } else { *cell };
    }
}

fn larger_sum(column: &mut [f64], first: &[f64], second: &[f64]) {
    for ((cell, &a), &b) in column.iter_mut().zip(first).zip(second) {
        let sum = a + b;
        *cell = if sum > *cell { sum } else { *cell };
    }
}

fn splits(axis: &Raster) -> Vec<Vec<(u32, u32)>> {
    let points = &axis.points;
    let pairs = |&whole: &i64| {
        let halves = points.iter().enumerate().skip(1).take_while(|&(_, &at)| 2 * at <= whole);
        let mut pairs: Vec<(u32, u32)> =
            halves.map(|(index, &at)| (index as u32, axis.down(whole - at) as u32)).collect();
        // Of cuts that leave the same rest, the last gives the largest first part.
        pairs.dedup_by(|later, earlier| {
            let same = later.1 == earlier.1;
            if same {
                *earlier = *later;
            }
            same
        });
        pairs
    };
    points.iter().map(pairs).collect()
}

/// The best values on all panels of a grid.
pub(super) struct Table<'a> {
    grid: &'a Grid,
    worth: Vec<f64>,
    best: Vec<f64>,
}

impl Table<'_> {
    /// The best value of the whole panel.
    pub(super) fn most(&self) -> f64 {
        self.best.last().copied().unwrap_or(0.0)
    }

    fn at(&self, [x, y]: [usize; 2]) -> f64 {
        self.best[x * self.grid.axes[1].len() + y]
    }

    /// A pattern of the best value, on a panel `size` large, with how often it has each item.
    pub(super) fn pattern(&self, size: [i64; 2], kerf: i64) -> (Panel, Vec<(usize, usize)>) {
        let mut made = Vec::new();
        let corner = [self.grid.axes[0].len() - 1, self.grid.axes[1].len() - 1];
        let panel = self.saw(corner, size, kerf, &mut made);
        (panel, super::sheet::tally(made))
    }

    /// The way down goes once per cut, and no panel on a raster takes more cuts on the way to one
    /// piece than there are points along both its sides.
    fn saw(&self, mut cell: [usize; 2], size: [i64; 2], kerf: i64, made: &mut Vec<usize>) -> Panel {
        let value = self.at(cell);
        if value <= 0.0 {
            return Panel::Left;
        }
        for axis in [0, 1] {
            while cell[axis] > 0 {
                let mut nearer = cell;
                nearer[axis] -= 1;
                if self.at(nearer) < value {
                    break;
                }
                cell = nearer;
            }
        }
        let points = [0, 1].map(|axis| self.grid.axes[axis].points[cell[axis]]);
        let piece = self.grid.poses.iter().find(|pose| {
            self.worth[pose.item] >= value && (0..2).all(|axis| pose.size[axis] <= points[axis])
        });
        if let Some(pose) = piece {
            made.push(pose.item);
            return cut_out(pose.item, pose.size, pose.turned, size, kerf);
        }
        for axis in [0, 1] {
            for &(first, second) in &self.grid.splits[axis][cell[axis]] {
                let (mut near, mut far) = (cell, cell);
                near[axis] = first as usize;
                far[axis] = second as usize;
                if self.at(near) + self.at(far) < value {
                    continue;
                }
                let wide = self.grid.axes[axis].points[near[axis]];
                let (mut here, mut there) = (size, size);
                here[axis] = wide;
                there[axis] = size[axis] - wide;
                let first = self.saw(near, here, kerf, made);
                let second = self.saw(far, there, kerf, made);
                return row(axis, size[axis], vec![(wide, first), (there[axis], second)], kerf);
            }
        }
        Panel::Left
    }
}
