//! Pages as a PDF document.

use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::Point as PdfPoint;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::FillRule;
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};
use kurbo::Affine;

use super::ink::{self, Faces};
use super::print_scaling::{UnexpectedPdf, ask_for_none};
use super::{Page, Window};
use crate::drawing::Drawing;
use crate::length::MM_PER_INCH;

/// A PDF unit: 1/72 in (ISO 32000-1, 8.3.2.3).
const POINTS_PER_MM: f64 = 72.0 / MM_PER_INCH;

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
    Writer(KrillaError),
    #[error(transparent)]
    PrintScaling(#[from] UnexpectedPdf),
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
    let faces = Faces::load().ok_or(PdfError::Face)?;
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    document.set_metadata(Metadata::new().title(title.to_owned()).language("en".to_owned()));
    for (index, page) in pages.iter().enumerate() {
        let (width, height) = (page.paper.width, page.paper.height);
        let points = |mm: f64| (mm * POINTS_PER_MM) as f32;
        let settings = PageSettings::from_wh(points(width), points(height))
            .ok_or(PdfError::PageBox { width, height })?;
        let shown = windows(page, patterns, index + 1)?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        surface.push_transform(&ink::transform(page_map(page)));
        for (window, pattern) in shown {
            show(&mut surface, &faces, window, pattern);
        }
        ink::draw(&mut surface, &faces, &page.furniture, kurbo::Vec2::ZERO, page.printable);
        surface.pop();
        surface.finish();
        sheet.finish();
    }
    if !bookmarks.is_empty() {
        let mut outline = Outline::new();
        nodes(bookmarks, pages).into_iter().for_each(|node| outline.push_child(node));
        document.set_outline(outline);
    }
    Ok(ask_for_none(&document.finish().map_err(PdfError::Writer)?)?)
}

/// Bookmarks, each with those of deeper levels behind it.
fn nodes(bookmarks: &[Bookmark], pages: &[Page]) -> Vec<OutlineNode> {
    let mut nodes = Vec::new();
    let mut rest = bookmarks;
    while let [first, others @ ..] = rest {
        let inner = others.iter().take_while(|other| other.level > first.level).count();
        let (inner, behind) = others.split_at(inner);
        rest = behind;
        let Some(page) = pages.get(first.page) else { continue };
        let top = (page.paper.height - first.top / page.scale.y) * POINTS_PER_MM;
        let place = XyzDestination::new(first.page, PdfPoint::from_xy(0.0, top as f32));
        let mut node = OutlineNode::new(first.title.clone(), place);
        self::nodes(inner, pages).into_iter().for_each(|inner| node.push_child(inner));
        nodes.push(node);
    }
    nodes
}

/// The windows of a page, each with its pattern.
fn windows<'a>(
    page: &'a Page,
    patterns: &'a [Drawing],
    number: usize,
) -> Result<Vec<(&'a Window, &'a Drawing)>, PdfError> {
    let with_pattern = |window: &'a Window| {
        let pattern = window.pattern;
        let missing = PdfError::NoPattern { page: number, pattern, count: patterns.len() };
        Ok((window, patterns.get(pattern).ok_or(missing)?))
    };
    page.windows.iter().map(with_pattern).collect()
}

/// From true mm, y up, to what the writer counts in: points from the top left corner. What the
/// printer makes smaller is drawn larger here.
fn page_map(page: &Page) -> Affine {
    let (x, y) = (POINTS_PER_MM / page.scale.x, POINTS_PER_MM / page.scale.y);
    Affine::new([x, 0.0, 0.0, -y, 0.0, page.paper.height * POINTS_PER_MM])
}

fn show(surface: &mut Surface<'_>, faces: &Faces, window: &Window, pattern: &Drawing) {
    let Some(clip) = ink::box_path(window.place()) else { return };
    let shift = window.at - window.source.origin();
    surface.push_clip_path(&clip, &FillRule::NonZero);
    ink::draw(surface, faces, &pattern.items, shift, window.place());
    ink::draw(surface, faces, &window.seams, shift, window.place());
    surface.pop();
}
