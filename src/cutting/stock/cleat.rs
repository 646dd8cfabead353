//! Beveled strips: two from one rip, the blade tilted.

use super::super::index::PieceIndex;
use super::super::least::{Budget, ItemType, OutOfRange, Panel, PanelProblem, StockSize, solve};
use super::super::measure::{micrometers, millimeters};

/// A blank that the tilted blade makes one cleat strip of, or two.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CleatBlank {
    /// As it is sawn square: length and width.
    pub size: [i64; 2],
    pub kind: CleatKind,
    pub first: SawnStrip,
    pub second: Option<SawnStrip>,
}

/// A cleat strip, before it is crosscut.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct SawnStrip {
    /// Length and position of each piece, one behind the other.
    pub pieces: Vec<(i64, PieceIndex)>,
    /// Of all, with the kerfs between them.
    pub length: i64,
}

impl CleatBlank {
    /// Its strips, one or two.
    pub(crate) fn strips(&self) -> impl Iterator<Item = &SawnStrip> {
        std::iter::once(&self.first).chain(&self.second)
    }
}

/// Width in mm of the narrow face of a strip `width` mm wide on the other, `thickness` mm thick,
/// one edge beveled at `angle` degrees: width − thickness tan(angle). None is left below 0.
pub(crate) fn narrow_face(width: f64, thickness: f64, angle: f64) -> f64 {
    (width - thickness * angle.to_radians().tan()).max(0.0)
}

/// Width in mm of the blank that one rip at `angle` degrees parts into two strips, each `width` mm
/// wide on one face.
///
/// On either face of the blank one strip shows its wide face, the other its narrow one, and the
/// tilted blade takes kerf / cos(angle) between them.
pub(crate) fn double_width(width: f64, thickness: f64, angle: f64, kerf: f64) -> f64 {
    width + narrow_face(width, thickness, angle) + kerf / angle.to_radians().cos()
}

/// Lengths of strip that are tried, evenly between the longest piece and the longest panel.
const LENGTHS: i64 = 48;

/// What all strips of one kind have in common, in micrometers and thousandths of a degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct CleatKind {
    /// Width of each strip on its wide face.
    pub width: i64,
    /// On its narrow face.
    pub narrow: i64,
    pub angle: i64,
    /// Width of a blank that becomes two.
    pub double: i64,
    pub kerf: i64,
}

impl CleatKind {
    /// Strips `width` wide on one face of stock `thickness` mm thick.
    pub(crate) fn new(width: i64, angle: i64, thickness: f64, kerf: i64) -> Self {
        let [w, a, k] = [width, angle, kerf].map(millimeters);
        // A strip gets no narrower than its one face by being paired.
        let double = micrometers(double_width(w, thickness, a, k)).max(width);
        let narrow = micrometers(narrow_face(w, thickness, a));
        Self { width, narrow, angle, double, kerf }
    }
}

/// Puts pieces of one kind in strips no longer than `longest`, two to a blank where that takes
/// less wood and `fits` says that some panel has room, so that the blanks together are small.
/// `pieces` are lengths, each at most `longest`, with their positions.
pub(super) fn least_area(
    pieces: &[(i64, PieceIndex)],
    kind: CleatKind,
    longest: i64,
    fits: &dyn Fn([i64; 2]) -> bool,
) -> Vec<CleatBlank> {
    let pieces = longest_first(pieces);
    let shortest = pieces.first().map_or(longest, |(length, _)| *length);
    let tries = (0..=LENGTHS).map(|i| shortest + (longest - shortest) * i / LENGTHS);
    let tried = tries.map(|limit| paired(best_fit(&pieces, kind.kerf, limit), kind, fits));
    let area = |blanks: &Vec<CleatBlank>| blanks.iter().map(|b| b.size[0] * b.size[1]).sum::<i64>();
    tried.min_by_key(|blanks| (area(blanks), blanks.len())).unwrap_or_default()
}

/// The same in as few strips as can be found within `budget`: where a board is no wider than a
/// blank, each strip takes a board's length.
pub(super) fn fewest_strips(
    pieces: &[(i64, PieceIndex)],
    kind: CleatKind,
    longest: i64,
    fits: &dyn Fn([i64; 2]) -> bool,
    budget: Budget,
) -> Result<Vec<CleatBlank>, OutOfRange> {
    let mut pieces = longest_first(pieces);
    let demand = pieces.chunk_by(|a, b| a.0 == b.0);
    let item = |alike: &[(i64, PieceIndex)]| {
        let length = alike.first().map_or(0, |(length, _)| *length);
        ItemType { size: [length, 1], turns: false, demand: alike.len() }
    };
    let items: Vec<ItemType> = demand.map(item).collect();
    let stock = vec![StockSize { size: [longest, 1], quantity: None, cost: 1 }];
    let problem = PanelProblem { stock, items, kerf: kind.kerf };
    let answer = solve(&problem, budget)?;
    let mut strips = Vec::new();
    for layout in &answer.layouts {
        for _ in 0..layout.times {
            strips.push(taken(&layout.panel, &problem, &mut pieces));
        }
    }
    strips.sort_by_key(|strip| -strip.length);
    Ok(paired(strips, kind, fits))
}

/// The strip that `panel` stands for, its pieces taken out of `pieces`.
fn taken(panel: &Panel, problem: &PanelProblem, pieces: &mut Vec<(i64, PieceIndex)>) -> SawnStrip {
    let mut strip = SawnStrip::default();
    panel.each_item(&mut |item| {
        let length = problem.items.get(item.0).map(|item| item.size[0]);
        let piece = pieces.iter().position(|(own, _)| Some(*own) == length);
        if let Some(at) = piece {
            let (length, piece) = pieces.remove(at);
            strip.add(length, piece, problem.kerf);
        }
    });
    strip
}

impl SawnStrip {
    fn add(&mut self, length: i64, piece: PieceIndex, kerf: i64) {
        self.length += if self.pieces.is_empty() { length } else { kerf + length };
        self.pieces.push((length, piece));
    }
}

fn longest_first(pieces: &[(i64, PieceIndex)]) -> Vec<(i64, PieceIndex)> {
    let mut pieces = pieces.to_vec();
    pieces.sort_by_key(|(length, piece)| (-length, *piece));
    pieces
}

/// The longest pieces first, each in the strip where it leaves least.
fn best_fit(pieces: &[(i64, PieceIndex)], kerf: i64, limit: i64) -> Vec<SawnStrip> {
    let mut strips: Vec<SawnStrip> = Vec::new();
    for &(length, piece) in pieces {
        let fits = strips.iter_mut().filter(|strip| strip.length + kerf + length <= limit);
        match fits.max_by_key(|strip| strip.length) {
            Some(strip) => strip.add(length, piece, kerf),
            None => strips.push(SawnStrip { pieces: vec![(length, piece)], length }),
        }
    }
    strips.sort_by_key(|strip| -strip.length);
    strips
}

/// Two strips of like length to a blank, unless two blanks take less wood.
fn paired(
    strips: Vec<SawnStrip>,
    kind: CleatKind,
    fits: &dyn Fn([i64; 2]) -> bool,
) -> Vec<CleatBlank> {
    let CleatKind { width, double, .. } = kind;
    let mut blanks = Vec::new();
    let mut strips = strips.into_iter().peekable();
    while let Some(first) = strips.next() {
        let length = first.length;
        let saves = |other: &SawnStrip| {
            length * double <= (length + other.length) * width && fits([length, double])
        };
        let second = strips.next_if(saves);
        let size = [length, if second.is_some() { double } else { width }];
        blanks.push(CleatBlank { size, kind, first, second });
    }
    blanks
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind() -> CleatKind {
        CleatKind::new(57_150, 45_000, 18.256, 3175)
    }

    fn pieces(lengths: &[i64]) -> Vec<(i64, PieceIndex)> {
        lengths.iter().enumerate().map(|(at, length)| (*length, PieceIndex(at))).collect()
    }

    fn strips(blanks: &[CleatBlank]) -> Vec<usize> {
        blanks.iter().map(|blank| blank.strips().count()).collect()
    }

    #[test]
    fn a_short_strip_is_not_paired_with_a_long_one() {
        let pieces = pieces(&[2_000_000, 2_000_000, 300_000]);
        let blanks = least_area(&pieces, kind(), 2_438_400, &|_| true);
        let made = blanks.iter().flat_map(CleatBlank::strips).map(|strip| strip.pieces.len());
        assert_eq!(made.sum::<usize>(), 3);
        assert!(strips(&blanks).contains(&2), "{blanks:?}");
    }

    #[test]
    fn what_is_too_wide_for_the_stock_is_not_paired() {
        let pieces = pieces(&[900_000, 900_000]);
        assert_eq!(strips(&least_area(&pieces, kind(), 1_000_000, &|_| true)), [2]);
        let board = |size: [i64; 2]| size[1] <= 89_000;
        assert_eq!(strips(&least_area(&pieces, kind(), 1_000_000, &board)), [1, 1]);
    }

    /// 5 + 4, 4 + 3 + 2 and 2 by the best fit into 10; 5 + 3 + 2 and 4 + 4 + 2 by a person.
    #[test]
    fn as_few_strips_as_there_can_be() {
        let pieces = pieces(&[400_000, 200_000, 500_000, 300_000, 400_000, 200_000]);
        let kind = CleatKind { kerf: 0, ..kind() };
        let longest = 1_000_000;
        assert_eq!(best_fit(&longest_first(&pieces), 0, longest).len(), 3);
        let blanks = fewest_strips(&pieces, kind, longest, &|_| true, Budget::default()).unwrap();
        let strips: Vec<&SawnStrip> = blanks.iter().flat_map(CleatBlank::strips).collect();
        assert_eq!(strips.iter().map(|strip| strip.length).collect::<Vec<_>>(), [longest; 2]);
        let mut made: Vec<(i64, PieceIndex)> =
            strips.iter().flat_map(|strip| strip.pieces.clone()).collect();
        made.sort_by_key(|(_, piece)| *piece);
        assert_eq!(made, pieces);
    }
}
