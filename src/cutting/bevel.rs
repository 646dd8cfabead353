//! Bevelled strips: two from one rip, the blade tilted.

use super::micrometres;

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

/// Puts pieces of one bevel and width in strips no longer than `longest`, the longest pieces
/// first, each where it leaves least, and pairs strips of like length. `pieces` are lengths, each
/// at most `longest`, with what the caller calls them.
pub(super) fn strips(
    mut pieces: Vec<(i64, usize)>,
    width: i64,
    angle: i64,
    thickness: f64,
    kerf: i64,
    longest: i64,
) -> Vec<Strip> {
    pieces.sort_by_key(|(length, piece)| (-length, *piece));
    let mut bars: Vec<Bar> = Vec::new();
    for (length, piece) in pieces {
        let fits = bars.iter_mut().filter(|bar| bar.length + kerf + length <= longest);
        match fits.max_by_key(|bar| bar.length) {
            Some(bar) => {
                bar.pieces.push((length, piece));
                bar.length += kerf + length;
            }
            None => bars.push(Bar { pieces: vec![(length, piece)], length }),
        }
    }
    bars.sort_by_key(|bar| -bar.length);
    let double =
        double_width(width as f64 / 1000.0, thickness, angle as f64 / 1000.0, kerf as f64 / 1000.0);
    // A strip gets no narrower than its one face by being paired.
    let double = micrometres(double).max(width);
    let pairs = bars.chunks(2).map(|pair| Strip {
        size: [
            pair.iter().map(|bar| bar.length).max().unwrap_or_default(),
            if pair.len() > 1 { double } else { width },
        ],
        width,
        angle,
        bars: pair.to_vec(),
    });
    pairs.collect()
}
