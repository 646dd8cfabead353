//! Bevelled strips: two from one rip, the blade tilted.

use super::{micrometres, millimetres};

/// A strip that the tilted blade makes, before it is crosscut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Strip {
    /// As it is sawn square: length and width of the blank.
    pub size: [i64; 2],
    /// Width of each strip on its wide face.
    pub width: i64,
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

/// Width in mm of the blank that one rip at `angle` degrees parts into two strips, each `width` mm
/// wide on one face.
///
/// On either face of a blank `thickness` mm thick one strip shows its whole width, the other its
/// width less thickness × tan(angle), and the tilted blade takes kerf / cos(angle) between them:
/// 2 width − thickness tan(angle) + kerf / cos(angle).
pub fn double_width(width: f64, thickness: f64, angle: f64, kerf: f64) -> f64 {
    let angle = angle.to_radians();
    2.0 * width - thickness * angle.tan() + kerf / angle.cos()
}

/// Lengths of strip that are tried, evenly between the longest piece and the longest panel.
const LENGTHS: i64 = 48;

/// What all strips of one sort have in common, in micrometres and thousandths of a degree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sort {
    pub width: i64,
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
        Self { width, angle, double, kerf }
    }
}

/// Puts pieces of one sort in strips no longer than `longest`, two to a blank where that takes
/// less wood, so that the blanks together are small. `pieces` are lengths, each at most `longest`,
/// with what the caller calls them.
pub(super) fn strips(pieces: &[(i64, usize)], sort: Sort, longest: i64) -> Vec<Strip> {
    let mut pieces = pieces.to_vec();
    pieces.sort_by_key(|(length, piece)| (-length, *piece));
    let shortest = pieces.first().map_or(longest, |(length, _)| *length);
    let tries = (0..=LENGTHS).map(|i| shortest + (longest - shortest) * i / LENGTHS);
    let tried = tries.map(|limit| paired(bars(&pieces, sort.kerf, limit), sort));
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
fn paired(bars: Vec<Bar>, sort: Sort) -> Vec<Strip> {
    let Sort { width, angle, double, .. } = sort;
    let mut strips = Vec::new();
    let mut bars = bars.into_iter().peekable();
    while let Some(bar) = bars.next() {
        let length = bar.length;
        let saves = |other: &Bar| length * double <= (length + other.length) * width;
        match bars.next_if(saves) {
            Some(other) => {
                strips.push(Strip { size: [length, double], width, angle, bars: vec![bar, other] });
            }
            None => strips.push(Strip { size: [length, width], width, angle, bars: vec![bar] }),
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
        let strips = strips(&[(2_000_000, 0), (2_000_000, 1), (300_000, 2)], sort, 2_438_400);
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
}
