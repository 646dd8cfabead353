//! Bevelled strips: two from one rip, the blade tilted.

use super::{micrometres, millimetres};

/// A strip that the tilted blade makes, before it is crosscut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Strip {
    /// As it is sawn square: length and width of the blank.
    pub size: [i64; 2],
    /// Width of each strip on its wide face.
    pub width: i64,
    /// On its narrow face.
    pub narrow: i64,
    /// Width of a blank that becomes two.
    pub double: i64,
    /// Thousandths of a degree.
    pub angle: i64,
    /// The pieces of each strip, one strip or two.
    pub bars: Vec<Bar>,
}

/// Pieces one behind the other in a strip, by whatever the caller counts them in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Bar {
    pub pieces: Vec<(i64, usize)>,
    pub length: i64,
}

/// Width in mm of the narrow face of a strip `width` mm wide on the other, `thickness` mm thick,
/// one edge bevelled at `angle` degrees: width − thickness tan(angle). None is left below 0.
pub fn narrow_face(width: f64, thickness: f64, angle: f64) -> f64 {
    (width - thickness * angle.to_radians().tan()).max(0.0)
}

/// Width in mm of the blank that one rip at `angle` degrees parts into two strips, each `width` mm
/// wide on one face.
///
/// On either face of the blank one strip shows its wide face, the other its narrow one, and the
/// tilted blade takes kerf / cos(angle) between them.
pub fn double_width(width: f64, thickness: f64, angle: f64, kerf: f64) -> f64 {
    width + narrow_face(width, thickness, angle) + kerf / angle.to_radians().cos()
}

/// Lengths of strip that are tried, evenly between the longest piece and the longest panel.
const LENGTHS: i64 = 48;

/// What all strips of one sort have in common, in micrometres and thousandths of a degree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sort {
    pub width: i64,
    pub narrow: i64,
    pub angle: i64,
    /// Width of a blank that becomes two.
    pub double: i64,
    pub kerf: i64,
}

impl Sort {
    /// Strips `width` wide on one face of stock `thickness` mm thick.
    pub fn new(width: i64, angle: i64, thickness: f64, kerf: i64) -> Self {
        let [w, a, k] = [width, angle, kerf].map(millimetres);
        // A strip gets no narrower than its one face by being paired.
        let double = micrometres(double_width(w, thickness, a, k)).max(width);
        let narrow = micrometres(narrow_face(w, thickness, a));
        Self { width, narrow, angle, double, kerf }
    }
}

/// Puts pieces of one sort in strips no longer than `longest`, two to a blank where that takes
/// less wood and `fits` says that some panel has room, so that the blanks together are small.
/// `pieces` are lengths, each at most `longest`, with what the caller calls them.
pub(super) fn strips(
    pieces: &[(i64, usize)],
    sort: Sort,
    longest: i64,
    fits: &dyn Fn([i64; 2]) -> bool,
) -> Vec<Strip> {
    let mut pieces = pieces.to_vec();
    pieces.sort_by_key(|(length, piece)| (-length, *piece));
    let shortest = pieces.first().map_or(longest, |(length, _)| *length);
    let tries = (0..=LENGTHS).map(|i| shortest + (longest - shortest) * i / LENGTHS);
    let tried = tries.map(|limit| paired(bars(&pieces, sort.kerf, limit), sort, fits));
    let area = |strips: &Vec<Strip>| strips.iter().map(|s| s.size[0] * s.size[1]).sum::<i64>();
    tried.min_by_key(|strips| (area(strips), strips.len())).unwrap_or_default()
}

/// The longest pieces first, each in the bar where it leaves least.
fn bars(pieces: &[(i64, usize)], kerf: i64, limit: i64) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    for &(length, piece) in pieces {
        let fits = bars.iter_mut().filter(|bar| bar.length + kerf + length <= limit);
        match fits.max_by_key(|bar| bar.length) {
            Some(bar) => {
                bar.pieces.push((length, piece));
                bar.length += kerf + length;
            }
            None => bars.push(Bar { pieces: vec![(length, piece)], length }),
        }
    }
    bars.sort_by_key(|bar| -bar.length);
    bars
}

/// Two bars of like length to a blank, unless two blanks take less wood.
fn paired(bars: Vec<Bar>, sort: Sort, fits: &dyn Fn([i64; 2]) -> bool) -> Vec<Strip> {
    let Sort { width, narrow, angle, double, .. } = sort;
    let strip = |size: [i64; 2], bars: Vec<Bar>| Strip { size, width, narrow, double, angle, bars };
    let mut strips = Vec::new();
    let mut bars = bars.into_iter().peekable();
    while let Some(bar) = bars.next() {
        let length = bar.length;
        let saves = |other: &Bar| {
            length * double <= (length + other.length) * width && fits([length, double])
        };
        match bars.next_if(saves) {
            Some(other) => strips.push(strip([length, double], vec![bar, other])),
            None => strips.push(strip([length, width], vec![bar])),
        }
    }
    strips
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_strip_is_not_paired_with_a_long_one() {
        let sort = Sort::new(57_150, 45_000, 18.256, 3175);
        let strips =
            strips(&[(2_000_000, 0), (2_000_000, 1), (300_000, 2)], sort, 2_438_400, &|_| true);
        let pieces: Vec<usize> = strips.iter().map(|strip| strip.bars.len()).collect();
        assert_eq!(
            strips
                .iter()
                .map(|s| s.bars.iter().map(|b| b.pieces.len()).sum::<usize>())
                .sum::<usize>(),
            3
        );
        assert!(pieces.contains(&2), "{strips:?}");
    }

    #[test]
    fn what_is_too_wide_for_the_stock_is_not_paired() {
        let sort = Sort::new(57_150, 45_000, 18.256, 3175);
        let pieces = [(900_000, 0), (900_000, 1)];
        let paired = strips(&pieces, sort, 1_000_000, &|_| true);
        assert_eq!(paired.iter().map(|s| s.bars.len()).collect::<Vec<_>>(), [2]);
        let board = |size: [i64; 2]| size[1] <= 89_000;
        let single = strips(&pieces, sort, 1_000_000, &board);
        assert_eq!(single.iter().map(|s| s.bars.len()).collect::<Vec<_>>(), [1, 1]);
    }
}
