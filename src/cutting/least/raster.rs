//! The places along a panel's side that cuts have to be looked for at.

/// More than this many places along a side make a table too large: it is drawn coarser.
pub(super) const FINEST: usize = 4000;

/// Distances from a corner, rising, from 0 to the side's length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Raster {
    pub points: Vec<i64>,
}

impl Raster {
    /// Points that lose no pattern: of the two kinds there are, the fewer; `None` where there are
    /// too many of both.
    ///
    /// The ends of rows of pieces, each taken no oftener than asked for, do (Herz, "Recursive
    /// computational procedure for two-dimensional stock cutting", IBM Journal of Research and
    /// Development 16, 1972): every part of a pattern may be as small as its pieces allow, which
    /// is the length of a row.
    ///
    /// So do the reduced raster points (Scheithauer and Terno, "The G4-heuristic for the pallet
    /// loading problem", Journal of the Operational Research Society 47, 1996): of the ends of
    /// rows, only the furthest that leave the same room behind them. Here rows must be free to
    /// take pieces any number of times. Where `z` is the length of a row, a panel `X` is as good
    /// as the longest row `W - z` allows; sawn at `a`, its rest is as good as the longest row that
    /// `W - (z + a)` allows, which is a point again, since `z + a` is a row.
    pub(super) fn exact(side: i64, sizes: &[(i64, usize)]) -> Option<Self> {
        let limited = rows(side, sizes);
        let free: Vec<_> = sizes.iter().map(|&(size, _)| (size, usize::MAX)).collect();
        let reduced = rows(side, &free).map(|rows| {
            let mut points: Vec<i64> = rows.iter().map(|row| below(&rows, side - row)).collect();
            points.push(0);
            points.sort_unstable();
            points.dedup();
            points
        });
        let points = [limited, reduced].into_iter().flatten().min_by_key(Vec::len)?;
        (points.len() <= FINEST).then_some(Self { points })
    }

    /// Each whole number up to `side`, for pieces measured in coarse steps.
    pub(super) fn whole(side: i64) -> Self {
        Self { points: (0..=side).collect() }
    }

    /// Only rows of equal pieces, from either end, and of them as many as are not too many: some
    /// patterns are lost, but what is found can be sawn.
    pub(super) fn thinned(side: i64, sizes: &[(i64, usize)]) -> Self {
        let mut points = vec![0, side];
        let each = (FINEST / 25 / sizes.len().max(1)).max(1) as i64;
        for &(size, copies) in sizes.iter().take(FINEST / 10) {
            let most = (side / size).min(each).min(copies as i64);
            points.extend((1..=most).flat_map(|times| [times * size, side - times * size]));
        }
        points.sort_unstable();
        points.dedup();
        Self { points }
    }

    /// The index of the last point no further than `at`, which is not negative.
    pub(super) fn down(&self, at: i64) -> usize {
        self.points.partition_point(|&point| point <= at).saturating_sub(1)
    }

    /// The index of the first point no nearer than `at`: past the end where there is none.
    pub(super) fn up(&self, at: i64) -> usize {
        self.points.partition_point(|&point| point < at)
    }

    pub(super) fn len(&self) -> usize {
        self.points.len()
    }
}

/// The longest of `rows` that is no longer than `at`.
fn below(rows: &[i64], at: i64) -> i64 {
    rows[..rows.partition_point(|&row| row <= at)].last().copied().unwrap_or(0)
}

/// The lengths of all rows of pieces up to `side`, each size taken at most as often as given.
fn rows(side: i64, sizes: &[(i64, usize)]) -> Option<Vec<i64>> {
    // The reduction takes out about half of them, and more where pieces are large.
    const MOST: usize = 2 * FINEST;
    let mut rows = vec![0];
    for &(size, copies) in sizes {
        let mut last = rows.clone();
        for _ in 0..copies {
            last = last.iter().map(|row| row + size).filter(|&row| row <= side).collect();
            let before = rows.len();
            rows.extend(&last);
            rows.sort_unstable();
            rows.dedup();
            if rows.len() > MOST {
                return None;
            }
            if rows.len() == before {
                break;
            }
        }
    }
    Some(rows)
}
