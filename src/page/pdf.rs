//! Pages as a PDF document.

use kurbo::Rect;
use pdf_writer::{Filter, Finish, Name, Pdf, Ref, Settings, TextStr};

use super::ink::Inked;
use super::lettering::Lettering;
use super::operators::Operators;
pub(crate) use super::outline::Bookmark;
use super::outline::POINTS_PER_MM;
pub(crate) use super::streams::PdfError;
use super::streams::Streams;
use super::{Page, Window, outline};
use crate::drawing::{Drawing, Item};
use crate::export::xml;

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
