//! Pages as a PDF document.

use flate2::{Compress, Compression, FlushCompress, Status};
use kurbo::Rect;
use pdf_writer::{Filter, Finish, Name, Pdf, Ref, Settings, TextStr};

use super::ink::Inked;
use super::lettering::Lettering;
use super::operators::Operators;
use super::{Page, Window, outline};
use crate::drawing::{Drawing, Item};
use crate::export::xml;
use crate::length::MM_PER_INCH;

/// A PDF unit: 1/72 in (ISO 32000-1, 8.3.2.3).
pub(super) const POINTS_PER_MM: f64 = 72.0 / MM_PER_INCH;

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

/// What leads a reader to a place in a document.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bookmark {
    pub title: String,
    /// From 1; one of a deeper level belongs to the one before it of a higher one.
    pub level: usize,
    /// Counted from 0.
    pub page: usize,
    /// How high on it, in mm from its foot.
    pub top: f64,
}

/// `pages` of `patterns` as the bytes of a PDF document called `title`.
///
/// Each page's box is its paper. Lines are true to `Line::style`, text is text in an embedded
/// face, and the viewer is asked not to scale. The same pages give the same bytes.
pub(crate) fn write(
    title: &str,
    pages: &[Page],
    patterns: &[Drawing],
) -> Result<Vec<u8>, PdfError> {
    write_with(title, pages, patterns, &[])
}

/// The same with bookmarks to find one's way by.
pub(crate) fn write_with(
    title: &str,
    pages: &[Page],
    patterns: &[Drawing],
    bookmarks: &[Bookmark],
) -> Result<Vec<u8>, PdfError> {
    if pages.is_empty() {
        return Err(PdfError::NoPages);
    }
    let mut document = PdfInMaking::new();
    let inked: Vec<Inked<'_>> = patterns.iter().map(|pattern| Inked::of(&pattern.items)).collect();
    for (index, page) in pages.iter().enumerate() {
        document.page(page, &windows(page, &inked, index + 1)?)?;
    }
    document.finish(title, pages, bookmarks)
}

/// The windows of a page, each with its pattern.
fn windows<'p, 'i>(
    page: &'p Page,
    patterns: &'p [Inked<'i>],
    number: usize,
) -> Result<Vec<(&'p Window, &'p Inked<'i>)>, PdfError> {
    let with_pattern = |window: &'p Window| {
        let pattern = window.pattern;
        let missing = PdfError::NoPattern { page: number, pattern, count: patterns.len() };
        Ok((window, patterns.get(pattern).ok_or(missing)?))
    };
    page.windows.iter().map(with_pattern).collect()
}

/// A document with the pages so far.
struct PdfInMaking<'p> {
    pdf: Pdf,
    /// The number of the next object.
    next: Ref,
    tree: Ref,
    resources: Ref,
    pages: Vec<Ref>,
    lettering: Lettering,
    streams: Streams,
    /// What several pages have alike.
    forms: Vec<PdfForm<'p>>,
}

struct PdfForm<'p> {
    items: &'p [Item],
    name: String,
    object: Ref,
}

impl<'p> PdfInMaking<'p> {
    fn new() -> Self {
        let mut next = Ref::new(1);
        Self {
            pdf: Pdf::with_settings(Settings { pretty: false }),
            tree: next.bump(),
            resources: next.bump(),
            next,
            pages: Vec::new(),
            lettering: Lettering::default(),
            streams: Streams::default(),
            forms: Vec::new(),
        }
    }

    fn page(&mut self, page: &'p Page, windows: &[(&Window, &Inked<'_>)]) -> Result<(), PdfError> {
        let media = media_box(page)?;
        let bars = self.form(&page.bars, page.printable)?;
        let mut drawn = Operators::default();
        drawn.scale(POINTS_PER_MM / page.scale.x, POINTS_PER_MM / page.scale.y);
        for (window, pattern) in windows {
            let shift = window.at - window.source.origin();
            drawn.through(window.place(), shift, |drawn| {
                pattern.draw(drawn, &mut self.lettering, window.source);
                Inked::of(&window.seams).draw(drawn, &mut self.lettering, window.source);
            });
        }
        bars.iter().for_each(|name| drawn.form(name));
        Inked::of(&page.furniture).draw(&mut drawn, &mut self.lettering, page.printable);
        let [object, contents] = [(); 2].map(|()| self.next.bump());
        self.streams.put(&mut self.pdf, contents, &drawn.finish())?;
        self.pages.push(object);
        let mut written = self.pdf.page(object);
        written.parent(self.tree).media_box(media).contents(contents);
        written.pair(Name(b"Resources"), self.resources);
        Ok(())
    }

    /// The name of what is drawn once for all pages that have it.
    fn form(&mut self, items: &'p [Item], area: Rect) -> Result<Option<String>, PdfError> {
        if items.is_empty() {
            return Ok(None);
        }
        if let Some(known) = self.forms.iter().find(|form| form.items == items) {
            return Ok(Some(known.name.clone()));
        }
        let mut drawn = Operators::default();
        Inked::of(items).draw(&mut drawn, &mut self.lettering, area);
        let (object, name) = (self.next.bump(), format!("bars{}", self.forms.len() + 1));
        let data = self.streams.deflated(&drawn.finish())?;
        let mut form = self.pdf.form_xobject(object, &data);
        form.filter(Filter::FlateDecode);
        form.bbox(as_box([area.x0, area.y0, area.x1, area.y1]));
        form.pair(Name(b"Resources"), self.resources);
        form.finish();
        self.forms.push(PdfForm { items, name: name.clone(), object });
        Ok(Some(name))
    }

    fn finish(
        mut self,
        title: &str,
        pages: &[Page],
        bookmarks: &[Bookmark],
    ) -> Result<Vec<u8>, PdfError> {
        let fonts = self.lettering.write(&mut self.pdf, &mut self.next, &mut self.streams)?;
        let mut resources = self.pdf.indirect(self.resources).dict();
        let named = |(name, object): &(&'static str, Ref)| (Name(name.as_bytes()), *object);
        resources.insert(Name(b"Font")).dict().pairs(fonts.iter().map(named));
        let forms = self.forms.iter().map(|form| (Name(form.name.as_bytes()), form.object));
        resources.insert(Name(b"XObject")).dict().pairs(forms);
        resources.finish();
        let count = i32::try_from(self.pages.len()).unwrap_or(i32::MAX);
        self.pdf.pages(self.tree).kids(self.pages.iter().copied()).count(count);
        let places = outline::places(bookmarks, pages, &self.pages);
        let outline = outline::write(&mut self.pdf, &mut self.next, &places);
        let [catalog, information, metadata] = [(); 3].map(|()| self.next.bump());
        self.pdf.document_info(information).title(TextStr(title));
        self.pdf.metadata(metadata, &xml::metadata(title).into_bytes());
        let mut root = self.pdf.catalog(catalog);
        root.pages(self.tree).metadata(metadata).lang(TextStr("en"));
        // ISO 32000-1, table 150.
        root.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
        if let Some(outline) = outline {
            root.outlines(outline);
        }
        root.finish();
        Ok(self.pdf.finish())
    }
}

fn media_box(page: &Page) -> Result<pdf_writer::Rect, PdfError> {
    let (width, height) = (page.paper.width, page.paper.height);
    let whole = |side: f64| side.is_finite() && side > 0.0;
    if !whole(width) || !whole(height) {
        return Err(PdfError::PageBox { width, height });
    }
    Ok(as_box([0.0, 0.0, width * POINTS_PER_MM, height * POINTS_PER_MM]))
}

fn as_box(sides: [f64; 4]) -> pdf_writer::Rect {
    let [x0, y0, x1, y1] = sides.map(|side| side as f32);
    pdf_writer::Rect::new(x0, y0, x1, y1)
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

    fn deflated(&mut self, data: &[u8]) -> Result<Vec<u8>, PdfError> {
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
