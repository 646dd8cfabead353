//! The two faces as a document has them: the letters that it uses, embedded.
//!
//! Each character has a code of its own, so that what is searched for is found even where several look the same or the
//! face has none of them.

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;

use super::streams::{PdfError, Streams};
use crate::drawing::{FaceFigures, face_data, sort};

/// How the characters of a font are ordered: as they are numbered here.
const ORDER: SystemInfo<'static> =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

/// Units to the letter size in a PDF (ISO 32000-1, 9.2.4).
const EM: f64 = 1000.0;

/// The faces of a document, regular and bold.
#[derive(Default)]
pub(super) struct Lettering([UsedLetters; 2]);

/// The characters that are used of a face.
#[derive(Default)]
struct UsedLetters {
    /// In the order of their codes, the first of which is 1.
    letters: Vec<char>,
    /// The code of each by its number; 0 where it has none.
    codes: Vec<u16>,
}

impl Lettering {
    /// What a face is called in the document.
    pub(super) fn name(bold: bool) -> &'static str {
        if bold { "b" } else { "r" }
    }

    /// The code of a letter: 0, of a missing one, beyond as many as a font can have.
    pub(super) fn code(&mut self, bold: bool, letter: char) -> u16 {
        let UsedLetters { letters, codes } = &mut self.0[usize::from(bold)];
        let at = letter as usize;
        if codes.len() <= at {
            codes.resize(at + 1, 0);
        }
        if codes[at] == 0
            && let Ok(code) = u16::try_from(letters.len() + 1)
        {
            letters.push(letter);
            codes[at] = code;
        }
        codes[at]
    }

    /// Puts the faces into `pdf`, objects numbered from `next` on; which object each used one is.
    pub(super) fn write(
        &self,
        pdf: &mut Pdf,
        next: &mut Ref,
        streams: &mut Streams,
    ) -> Result<Vec<(&'static str, Ref)>, PdfError> {
        let used =
            [false, true].into_iter().zip(&self.0).filter(|(_, used)| !used.letters.is_empty());
        used.map(|(bold, used)| Ok((Self::name(bold), used.write((pdf, next), streams, bold)?)))
            .collect()
    }
}

impl UsedLetters {
    fn write(
        &self,
        (pdf, next): (&mut Pdf, &mut Ref),
        streams: &mut Streams,
        bold: bool,
    ) -> Result<Ref, PdfError> {
        let [font, inner, descriptor, data, map, unicode] = [(); 6].map(|()| next.bump());
        let sorts: Vec<(u16, f64)> =
            self.letters.iter().filter_map(|letter| sort(*letter, bold)).collect();
        let mut glyphs = GlyphRemapper::new();
        let places: Vec<u16> = sorts.iter().map(|(id, _)| glyphs.remap(*id)).collect();
        let subset = subsetter::subset(face_data(bold), 0, &glyphs).map_err(|_| PdfError::Face)?;
        let name = self.subset_name(bold);
        let name = Name(name.as_bytes());

        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(inner)
            .to_unicode(unicode);
        let mut face = pdf.cid_font(inner);
        face.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(ORDER)
            .font_descriptor(descriptor)
            .cid_to_gid_map_stream(map)
            .widths()
            .consecutive(1, sorts.iter().map(|(_, advance)| (advance * EM) as f32));
        face.finish();
        describe(pdf, descriptor, (name, bold), data)?;
        streams.put(pdf, data, &subset)?;
        let places = std::iter::once(0).chain(places).flat_map(u16::to_be_bytes);
        streams.put(pdf, map, &places.collect::<Vec<u8>>())?;
        streams.put(pdf, unicode, &self.characters())?;
        Ok(font)
    }

    /// Which character each code stands for.
    fn characters(&self) -> Vec<u8> {
        let mut map = UnicodeCmap::<u16>::new(Name(b"Letters"), ORDER);
        for (code, letter) in (1..).zip(&self.letters) {
            map.pair(code, *letter);
        }
        map.finish().to_vec()
    }

    /// A part of a face is named with six letters before its name (ISO 32000-1, 9.6.4), other ones for another part.
    fn subset_name(&self, bold: bool) -> String {
        let mixed = self.letters.iter().fold(u64::from(bold), |mixed, letter| {
            (mixed ^ u64::from(*letter)).wrapping_mul(0x0100_0000_01b3).rotate_left(17)
        });
        let tag = (0..6).map(|at| char::from(b'A' + (mixed >> (8 * at)) as u8 % 26));
        format!("{}+DejaVuSans{}", tag.collect::<String>(), if bold { "-Bold" } else { "" })
    }
}

fn describe(
    pdf: &mut Pdf,
    object: Ref,
    (name, bold): (Name<'_>, bool),
    data: Ref,
) -> Result<(), PdfError> {
    /// How wide stems are, in thousandths of the letter size: regular, bold.
    const STEMS: [f32; 2] = [95.0, 169.0];
    let FaceFigures { bounds, ascent, descent, capital } =
        FaceFigures::of(bold).ok_or(PdfError::Face)?;
    let thousandths = |share: f64| (share * EM) as f32;
    let [x0, y0, x1, y1] = [bounds.x0, bounds.y0, bounds.x1, bounds.y1].map(thousandths);
    pdf.font_descriptor(object)
        .name(name)
        .flags(FontFlags::SYMBOLIC)
        .bbox(Rect::new(x0, y0, x1, y1))
        .italic_angle(0.0)
        .ascent(thousandths(ascent))
        .descent(thousandths(descent))
        .cap_height(thousandths(capital))
        .stem_v(STEMS[usize::from(bold)])
        .font_file2(data);
    Ok(())
}
