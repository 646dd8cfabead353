//! The built-in sans face: how wide text runs and what its letters look like.
//!
//! Every writer sets text from the same figures, so that a drawing looks the same on every
//! machine and nothing laid out here is clipped there. The face is DejaVu Sans, an open font.

use std::sync::OnceLock;

use kurbo::{Affine, BezPath};
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
    /// How far the pen moves on, in mm.
    pub advance: f64,
    /// Bytes of the text it stands for.
    pub start: usize,
    pub end: usize,
}

/// The letters of `text` at letter size `size` (em, mm). A character the face lacks becomes the
/// face's "missing" box.
pub(crate) fn glyphs(text: &str, size: f64, bold: bool) -> Vec<Glyph> {
    set(text, size, bold).collect()
}

/// The same one by one.
fn set(text: &str, size: f64, bold: bool) -> impl Iterator<Item = Glyph> {
    let case = case(bold);
    let mut x = 0.0;
    text.char_indices().filter_map(move |(start, letter)| {
        let case = case?;
        let Sort { id, advance } = case.sort(letter);
        let advance = f64::from(advance) * (size / f64::from(case.face.units_per_em()));
        let glyph = Glyph { id, x, advance, start, end: start + letter.len_utf8() };
        x += advance;
        Some(glyph)
    })
}

/// How many letters the face has.
pub(crate) fn letter_count(bold: bool) -> usize {
    case(bold).map_or(0, |case| case.face.number_of_glyphs().into())
}

/// How wide `text` runs at letter size `size`, in mm.
pub(crate) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    set(text, size, bold).last().map_or(0.0, |g| g.x + g.advance)
}

/// Height of a capital letter at letter size `size`, in mm.
pub(crate) fn cap_height(size: f64) -> f64 {
    let face = case(false).map(|case| &case.face);
    let capital = face.and_then(|f| Some((f.capital_height()?, f.units_per_em())));
    capital.map_or(0.73 * size, |(height, em)| f64::from(height) / f64::from(em) * size)
}

/// The outline of a letter for letter size 1 mm, y up, baseline at 0. Empty for a space.
pub(crate) fn letter(id: u16, bold: bool) -> BezPath {
    let mut pen = GlyphPen(BezPath::new());
    if let Some(TypeCase { face, .. }) = case(bold) {
        face.outline_glyph(GlyphId(id), &mut pen);
        pen.0.apply_affine(Affine::scale(1.0 / f64::from(face.units_per_em())));
    }
    pen.0
}

/// A face, with the letters at hand that most texts are set from.
struct TypeCase {
    face: Face<'static>,
    sorts: Vec<Sort>,
}

/// A letter of a face: its number there, and how far the pen moves on, in the face's own units.
#[derive(Debug, Clone, Copy)]
struct Sort {
    id: u16,
    advance: u16,
}

/// So many characters, the first ones, are at hand: Latin letters and the signs beside them.
const AT_HAND: u32 = 0x100;

impl TypeCase {
    fn of(face: Face<'static>) -> Self {
        let sorts = (0..AT_HAND).filter_map(char::from_u32).map(|letter| Sort::of(&face, letter));
        Self { sorts: sorts.collect(), face }
    }

    fn sort(&self, letter: char) -> Sort {
        let known = self.sorts.get(letter as usize);
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
        assert!(!letter(glyphs("A", 1.0, false)[0].id, false).elements().is_empty());
        assert!((cap_height(10.0) - 7.3).abs() < 0.2);
    }
}
