//! The best that can be sawn from one panel when every piece may be made any number of times:
//! a table over all sizes of panel (Gilmore and Gomory, "The theory and computation of knapsack
//! functions", Operations Research 14, 1966; on raster points: Cintra, Miyazawa, Wakabayashi and
//! Xavier, European Journal of Operational Research 191, 2008).

use super::Panel;
use super::inflated::{cut_out, row};
use super::meter::Meter;
use super::raster::Raster;

/// A piece as it may lie on the panel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub item: usize,
    pub turned: bool,
    /// In the measure of the raster.
    pub size: [i64; 2],
}

/// Which cuts there are on a panel, whatever the pieces are worth.
pub(super) struct CutGrid {
    axes: [Raster; 2],
    poses: Vec<Pose>,
    /// For each point and each first part no longer than half of it, in order of points from the
    /// second: the largest point the rest holds.
    rests: [Vec<Vec<u32>>; 2],
}

/// A size of panel that is worth being a first part, and its value.
#[derive(Clone, Copy)]
struct FirstPart {
    at: u32,
    value: f64,
}

impl CutGrid {
    pub(super) fn new(axes: [Raster; 2], poses: Vec<Pose>) -> Self {
        let rests = [rests(&axes[0]), rests(&axes[1])];
        Self { axes, poses, rests }
    }

    /// How many sizes of panel there are.
    pub(super) fn cells(&self) -> u64 {
        self.axes[0].len() as u64 * self.axes[1].len() as u64
    }

    /// The best values with these values of the items: whole numbers, together below 2^53, so
    /// that sums are exact.
    ///
    /// Of a row of parts, one that is no longer than half and is not itself sawn the same way may
    /// come first. So only such parts are tried, and only where a shorter one is worth less.
    pub(super) fn table(&self, item_values: &[f64], meter: &mut Meter) -> ValueTable<'_> {
        let (wide, long) = (self.axes[0].len(), self.axes[1].len());
        let mut best = self.pieces(item_values);
        // The same, row after row, so that both ways to saw run through memory in order.
        let mut rows = vec![0.0; wide * long];
        let mut firsts: Vec<Vec<FirstPart>> = vec![Vec::new(); long];
        let mut entries = 0;
        for x in 1..wide {
            let (done, rest) = best.split_at_mut(x * long);
            let column = &mut rest[..long];
            let before = &done[(x - 1) * long..];
            let mut column_firsts: Vec<FirstPart> = Vec::new();
            for y in 1..long {
                let row = &mut rows[y * wide..][..wide];
                let (across, tried) = best_split(&firsts[y], &self.rests[0][x], row);
                let (along, more) = best_split(&column_firsts, &self.rests[1][y], column);
                entries += tried + more;
                let (left, under) = (before[y], column[y - 1]);
                let most = column[y].max(across).max(along).max(left).max(under);
                if most > along && most > under {
                    column_firsts.push(FirstPart { at: y as u32, value: most });
                }
                if most > across && most > left {
                    firsts[y].push(FirstPart { at: x as u32, value: most });
                }
                column[y] = most;
                row[x] = most;
            }
        }
        meter.spend((entries + wide * long * 4) as u64 / 4);
        ValueTable { grid: self, item_values: item_values.to_vec(), best }
    }

    /// Each piece at the smallest panel that holds it.
    fn pieces(&self, item_values: &[f64]) -> Vec<f64> {
        let (wide, long) = (self.axes[0].len(), self.axes[1].len());
        let mut best: Vec<f64> = vec![0.0; wide * long];
        for pose in &self.poses {
            let (x, y) = (self.axes[0].up(pose.size[0]), self.axes[1].up(pose.size[1]));
            if x < wide && y < long {
                best[x * long + y] = best[x * long + y].max(item_values[pose.item]);
            }
        }
        best
    }
}

/// The best sum of a first part and the rest behind it, and how many were tried.
fn best_split(firsts: &[FirstPart], rests: &[u32], values: &[f64]) -> (f64, usize) {
    let end = firsts.partition_point(|part| part.at as usize <= rests.len());
    let mut most = 0.0;
    for part in &firsts[..end] {
        let sum = part.value + values[rests[part.at as usize - 1] as usize];
        most = if sum > most { sum } else { most };
    }
    (most, end)
}

fn rests(axis: &Raster) -> Vec<Vec<u32>> {
    let points = &axis.points;
    let halves = |&whole: &i64| {
        let halves = points.iter().skip(1).take_while(move |&&at| 2 * at <= whole);
        halves.map(|at| axis.down(whole - at) as u32).collect()
    };
    points.iter().map(halves).collect()
}

/// The best values on all panels of a grid.
pub(super) struct ValueTable<'a> {
    grid: &'a CutGrid,
    item_values: Vec<f64>,
    best: Vec<f64>,
}

impl ValueTable<'_> {
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
        (panel, super::sheet_tree::tally(made))
    }

    /// Goes down once for each turn of the saw, of which there are few: cuts that run the same way
    /// are taken in one row.
    fn saw(&self, cell: [usize; 2], size: [i64; 2], kerf: i64, made: &mut Vec<usize>) -> Panel {
        let cell = self.shrunk(cell);
        let value = self.at(cell);
        if value <= 0.0 {
            return Panel::Remainder;
        }
        let points = [0, 1].map(|axis| self.grid.axes[axis].points[cell[axis]]);
        let piece = self.grid.poses.iter().find(|pose| {
            self.item_values[pose.item] >= value
                && (0..2).all(|axis| pose.size[axis] <= points[axis])
        });
        if let Some(pose) = piece {
            made.push(pose.item);
            return cut_out(pose.item, pose.size, pose.turned, size, kerf);
        }
        let Some(axis) = (0..2).find(|&axis| self.split(cell, axis).is_some()) else {
            return Panel::Remainder;
        };
        let (mut rest, mut left) = (cell, size);
        let mut parts = Vec::new();
        while let Some((near, far)) = self.split(rest, axis) {
            let mut part = left;
            part[axis] = self.grid.axes[axis].points[near[axis]];
            left[axis] -= part[axis];
            parts.push((part[axis], self.saw(near, part, kerf, made)));
            rest = self.shrunk(far);
        }
        parts.push((left[axis], self.saw(rest, left, kerf, made)));
        row(axis, size[axis], parts, kerf)
    }

    /// The smallest panel as good as this.
    fn shrunk(&self, mut cell: [usize; 2]) -> [usize; 2] {
        let value = self.at(cell);
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
        cell
    }

    /// The two parts of the best cut along an axis, if a cut that way is the best there is.
    fn split(&self, cell: [usize; 2], axis: usize) -> Option<([usize; 2], [usize; 2])> {
        let value = self.at(cell);
        let pairs = self.grid.rests[axis][cell[axis]].iter().enumerate().map(|(index, &rest)| {
            let (mut near, mut far) = (cell, cell);
            near[axis] = index + 1;
            far[axis] = rest as usize;
            (near, far)
        });
        pairs.into_iter().find(|&(near, far)| value > 0.0 && self.at(near) + self.at(far) >= value)
    }
}
