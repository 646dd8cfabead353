//! Streams of a PDF document, made small, and what can go wrong with it.

use flate2::{Compress, Compression, FlushCompress, Status};
use pdf_writer::{Filter, Pdf, Ref};

/// How hard it is tried to make streams small, of 9: beyond this a third more time makes them a fiftieth smaller.
const EFFORT: u32 = 3;

/// Why pages cannot be written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PdfError {
    #[error("there are no pages to write")]
    NoPages,
    #[error("a page of {width} × {height} mm cannot be written")]
    PageBox { width: f64, height: f64 },
    #[error("page {page} shows pattern {pattern}, but there are {count}")]
    NoPattern { page: usize, pattern: usize, count: usize },
    #[error("the built-in typeface cannot be read")]
    Face,
    #[error("writing the PDF failed: {0}")]
    Stream(#[from] std::io::Error),
}

/// What makes streams small: one for all of a document, for it takes long to set up.
pub(super) struct Streams(Compress);

impl Default for Streams {
    fn default() -> Self {
        Self(Compress::new(Compression::new(EFFORT), true))
    }
}

impl Streams {
    /// Puts `data` into a document as a stream of its own.
    pub(super) fn put(&mut self, pdf: &mut Pdf, object: Ref, data: &[u8]) -> Result<(), PdfError> {
        pdf.stream(object, &self.deflated(data)?).filter(Filter::FlateDecode);
        Ok(())
    }

    pub(super) fn deflated(&mut self, data: &[u8]) -> Result<Vec<u8>, PdfError> {
        /// More than a stream that can't be made smaller grows by.
        const MORE: usize = 256;
        self.0.reset();
        let mut small = Vec::with_capacity(data.len() / 2 + MORE);
        loop {
            let rest = data.get(self.0.total_in() as usize..).unwrap_or_default();
            let done = self.0.compress_vec(rest, &mut small, FlushCompress::Finish);
            if done.map_err(std::io::Error::from)? == Status::StreamEnd {
                return Ok(small);
            }
            small.reserve(small.len() + MORE);
        }
    }
}
