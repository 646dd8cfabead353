//! The built-in sans face: how wide text runs and what its letters look like.
//!
//! Every writer sets text from the same figures, so that a drawing looks the same on every
//! machine and nothing laid out here is clipped there. The face is DejaVu Sans, an open font.

use std::sync::OnceLock;

use kurbo::{Affine, BezPath, Rect};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// The bytes of the face, for a writer that embeds it.
pub(crate) fn face_data(bold: bool) -> &'static [u8] {
    if bold { dejavu::sans::bold() } else { dejavu::sans::regular() }
}

/// A letter set in a line of text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glyph {
    /// Its number in the face.
    pub id: u16,
    /// Where it starts, in mm from the start of the line.
    pub x: f64,
}

/// The letters of `text` at letter size `size` (em, mm). A character the face lacks becomes the
/// face's "missing" box.
pub(crate) fn glyphs(text: &str, size: f64, bold: bool) -> impl Iterator<Item = Glyph> {
    let case = case(bold);
    let mut x = 0.0;
    text.chars().filter_map(move |letter| {
        let Sort { id, advance } = case?.sort(letter);
        let glyph = Glyph { id, x };
        x += f64::from(advance) * (size / case?.em);
        Some(glyph)
    })
}

/// The number of a letter in the face, and how far the pen moves on at letter size 1.
pub(crate) fn sort(letter: char, bold: bool) -> Option<(u16, f64)> {
    let case = case(bold)?;
    let Sort { id, advance } = case.sort(letter);
    Some((id, f64::from(advance) / case.em))
}

/// How many letters the face has.
pub(crate) fn letter_count(bold: bool) -> usize {
    case(bold).map_or(0, |case| case.face.number_of_glyphs().into())
}

/// How wide `text` runs at letter size `size`, in mm.
pub(crate) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    text_end(0.0, text, size, bold)
}

/// Where `text` ends that begins at `from`, in mm: to the last bit as wide as when it is measured in one with what
/// stands before it.
pub(crate) fn text_end(from: f64, text: &str, size: f64, bold: bool) -> f64 {
    let Some(case) = case(bold) else { return from };
    let unit = size / case.em;
    text.chars().fold(from, |end, letter| end + f64::from(case.sort(letter).advance) * unit)
}

/// Height of a capital letter at letter size `size`, in mm.
pub(crate) fn cap_height(size: f64) -> f64 {
    case(false).map_or(CAPITAL, |case| case.capital) * size
}

/// The outline of a letter for letter size 1 mm, y up, baseline at 0. Empty for a space.
pub(crate) fn letter(id: u16, bold: bool) -> BezPath {
    let mut pen = GlyphPen(BezPath::new());
    if let Some(case) = case(bold) {
        case.face.outline_glyph(GlyphId(id), &mut pen);
        pen.0.apply_affine(Affine::scale(1.0 / case.em));
    }
    pen.0
}

/// Figures of a face as a whole, for a writer that embeds it, at letter size 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FaceFigures {
    /// Round all of its letters laid on one another.
    pub bounds: Rect,
    pub ascent: f64,
    pub descent: f64,
    /// Height of a capital letter.
    pub capital: f64,
}

impl FaceFigures {
    /// `None` when the face cannot be read.
    pub(crate) fn of(bold: bool) -> Option<Self> {
        let TypeCase { face, em, capital, .. } = case(bold)?;
        let share = |figure: i16| f64::from(figure) / em;
        let around = face.global_bounding_box();
        let [x0, y0, x1, y1] = [around.x_min, around.y_min, around.x_max, around.y_max].map(share);
        Some(Self {
            bounds: Rect { x0, y0, x1, y1 },
            ascent: share(face.typographic_ascender().unwrap_or_else(|| face.ascender())),
            descent: share(face.typographic_descender().unwrap_or_else(|| face.descender())),
            capital: *capital,
        })
    }
}

/// A face, with its letters at hand as they come to be used.
struct TypeCase {
    face: Face<'static>,
    /// Its own units to the letter size.
    em: f64,
    /// Height of a capital letter at letter size 1.
    capital: f64,
    /// Characters by their number, in rows: looking one up in the face takes long.
    rows: Vec<OnceLock<Vec<Sort>>>,
}

/// A letter of a face: its number there, and how far the pen moves on, in the face's own units.
#[derive(Debug, Clone, Copy)]
struct Sort {
    id: u16,
    advance: u16,
}

/// Height of a capital letter at letter size 1, where a face does not say.
const CAPITAL: f64 = 0.73;

/// Characters in a row, and how many rows are kept: Latin letters, and the signs among words and figures.
const ROW: u32 = 0x80;
const ROWS: u32 = 0x80;

impl TypeCase {
    fn of(face: Face<'static>) -> Self {
        let em = f64::from(face.units_per_em());
        let capital = face.capital_height().map_or(CAPITAL, |height| f64::from(height) / em);
        Self { face, em, capital, rows: (0..ROWS).map(|_| OnceLock::new()).collect() }
    }

    fn sort(&self, letter: char) -> Sort {
        let number = u32::from(letter);
        let row = self.rows.get((number / ROW) as usize).map(|row| {
            row.get_or_init(|| {
                let first = number - number % ROW;
                let letters = (first..first + ROW).map(|n| char::from_u32(n).unwrap_or_default());
                letters.map(|letter| Sort::of(&self.face, letter)).collect()
            })
        });
        let known = row.and_then(|row| row.get((number % ROW) as usize));
        known.copied().unwrap_or_else(|| Sort::of(&self.face, letter))
    }
}

impl Sort {
    fn of(face: &Face<'_>, letter: char) -> Self {
        let id = face.glyph_index(letter).unwrap_or(GlyphId(0));
        Self { id: id.0, advance: face.glyph_hor_advance(id).unwrap_or(0) }
    }
}

fn case(bold: bool) -> Option<&'static TypeCase> {
    static REGULAR: OnceLock<Option<TypeCase>> = OnceLock::new();
    static BOLD: OnceLock<Option<TypeCase>> = OnceLock::new();
    let cell = if bold { &BOLD } else { &REGULAR };
    cell.get_or_init(|| Face::parse(face_data(bold), 0).ok().map(TypeCase::of)).as_ref()
}

struct GlyphPen(BezPath);

impl OutlineBuilder for GlyphPen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(x1), f64::from(y1)), (f64::from(x), f64::from(y)));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let point = |x, y| (f64::from(x), f64::from(y));
        self.0.curve_to(point(x1, y1), point(x2, y2), point(x, y));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_have_width_and_shape() {
        assert!(text_width("1 3/8 in", 4.0, false) > text_width("1 in", 4.0, false));
        assert!(text_width("Ø", 4.0, true) > 2.0);
        assert!(!letter(sort('A', false).unwrap().0, false).elements().is_empty());
        assert!((cap_height(10.0) - 7.3).abs() < 0.2);
    }
}
