//! Asking a viewer to print a document without scaling it.
//!
//! ISO 32000-1, table 150: `/PrintScaling /None` among the viewer preferences of the catalog.
//! The PDF writer has no setting for it, so the entry goes in afterwards: into the catalog's
//! dictionary, and what stands behind it moves on in the cross-reference table (7.5.4).

use std::ops::Range;

const ENTRY: &[u8] = b"\n  /ViewerPreferences << /PrintScaling /None >>";

/// A document that is not built as expected: a plain cross-reference table, an uncompressed
/// catalog, and no viewer preferences yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the finished PDF has no {0} where one is expected, so it cannot ask for true size")]
pub(crate) struct UnexpectedPdf(&'static str);

/// `pdf` with the entry put in.
pub(super) fn ask_for_none(pdf: &[u8]) -> Result<Vec<u8>, UnexpectedPdf> {
    let table = CrossReference::read(pdf)?;
    let root = number_after(pdf, table.trailer, b"/Root").ok_or(UnexpectedPdf("/Root"))?;
    let catalog = table.offset(pdf, root).ok_or(UnexpectedPdf("entry of the catalog"))?;
    let end = find(pdf, catalog, b"endobj").ok_or(UnexpectedPdf("end of the catalog"))?;
    let open = find(pdf, catalog, b"<<").filter(|at| *at < end);
    let place = open.ok_or(UnexpectedPdf("catalog"))? + b"<<".len();
    if end > table.start {
        return Err(UnexpectedPdf("catalog before the references"));
    }
    if find(&pdf[..end], catalog, b"/ViewerPreferences").is_some() {
        return Err(UnexpectedPdf("catalog without viewer preferences"));
    }
    let moved = |offset: usize| if offset >= place { offset + ENTRY.len() } else { offset };

    let mut out = pdf[..place].to_vec();
    out.extend_from_slice(ENTRY);
    out.extend_from_slice(&pdf[place..table.entries.start]);
    for entry in pdf[table.entries.clone()].chunks(CrossReference::ENTRY) {
        match CrossReference::offset_in_use(entry) {
            Some(offset) => {
                out.extend_from_slice(format!("{:010}", moved(offset)).as_bytes());
                out.extend_from_slice(&entry[10..]);
            }
            None => out.extend_from_slice(entry),
        }
    }
    out.extend_from_slice(&pdf[table.entries.end..table.start_xref]);
    out.extend_from_slice(format!("\n{}\n%%EOF", moved(table.start)).as_bytes());
    Ok(out)
}

/// Where the cross-reference table and its pieces stand.
struct CrossReference {
    /// Its first byte.
    start: usize,
    entries: Range<usize>,
    trailer: usize,
    /// Just behind the word `startxref`.
    start_xref: usize,
}

impl CrossReference {
    /// Length of one entry: offset (10 digits), generation (5), use, end of line.
    const ENTRY: usize = 20;

    fn read(pdf: &[u8]) -> Result<Self, UnexpectedPdf> {
        const WORD: &[u8] = b"startxref";
        let last = pdf.windows(WORD.len()).rposition(|bytes| bytes == WORD);
        let start_xref = last.ok_or(UnexpectedPdf("startxref"))? + WORD.len();
        let table = number_after(pdf, start_xref, b"")
            .filter(|at| pdf.get(*at..).is_some_and(|bytes| bytes.starts_with(b"xref")));
        let start = table.ok_or(UnexpectedPdf("cross-reference table"))?;
        let trailer = find(pdf, start, b"trailer").ok_or(UnexpectedPdf("trailer"))?;
        // One section only: "xref", then "0 <count>", then the entries.
        let head = find(pdf, start + b"xref\n".len(), b"\n").ok_or(UnexpectedPdf("section"))?;
        let entries = head + 1..trailer;
        if entries.is_empty() || entries.len() % Self::ENTRY != 0 || trailer > start_xref {
            return Err(UnexpectedPdf("single section of references"));
        }
        Ok(Self { start, entries, trailer, start_xref })
    }

    /// Where the object `number` stands.
    fn offset(&self, pdf: &[u8], number: usize) -> Option<usize> {
        let mut entries = pdf.get(self.entries.clone())?.chunks(Self::ENTRY);
        Self::offset_in_use(entries.nth(number)?)
    }

    /// The offset in an entry, when its object is in use.
    fn offset_in_use(entry: &[u8]) -> Option<usize> {
        if entry.get(17) != Some(&b'n') {
            return None;
        }
        std::str::from_utf8(entry.get(..10)?).ok()?.parse().ok()
    }
}

fn find(bytes: &[u8], from: usize, word: &[u8]) -> Option<usize> {
    let rest = bytes.get(from..)?;
    rest.windows(word.len()).position(|window| window == word).map(|at| from + at)
}

/// The whole number behind `word`, the first such from `from` on.
fn number_after(bytes: &[u8], from: usize, word: &[u8]) -> Option<usize> {
    let start = if word.is_empty() { from } else { find(bytes, from, word)? + word.len() };
    let rest = bytes.get(start..)?.trim_ascii_start();
    let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    std::str::from_utf8(&rest[..digits]).ok()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_a_plain_pdf_is_refused() {
        for bytes in [&b""[..], b"%PDF-1.7", b"startxref\n3", b"xref\n0 1\ntrailer\nstartxref\n0"] {
            assert!(ask_for_none(bytes).is_err());
        }
    }
}
