//! Bookmarks as a PDF document has them: a tree, each entry linked with those beside it (ISO 32000-1, 12.3.3).

use pdf_writer::{Finish, Pdf, Ref, TextStr};

use super::Page;
use crate::length::MM_PER_INCH;

/// A PDF unit: 1/72 in (ISO 32000-1, 8.3.2.3).
pub(super) const POINTS_PER_MM: f64 = 72.0 / MM_PER_INCH;

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

/// A bookmark and the place that it leads to.
pub(super) struct MarkedPlace<'b> {
    title: &'b str,
    level: usize,
    page: Ref,
    /// In points from the page's foot.
    top: f32,
}

/// The bookmarks that lead to a page that is there.
pub(super) fn places<'b>(
    bookmarks: &'b [Bookmark],
    pages: &[Page],
    objects: &[Ref],
) -> Vec<MarkedPlace<'b>> {
    let place = |Bookmark { title, level, page, top }: &'b Bookmark| {
        let top = top / pages.get(*page)?.scale.y * POINTS_PER_MM;
        Some(MarkedPlace { title, level: *level, page: *objects.get(*page)?, top: top as f32 })
    };
    bookmarks.iter().filter_map(place).collect()
}

/// Writes all, objects numbered from `next` on; the object that they are found by, if there are any.
pub(super) fn write(pdf: &mut Pdf, next: &mut Ref, places: &[MarkedPlace<'_>]) -> Option<Ref> {
    let root = next.bump();
    let Entries { first, last, count } = entries(pdf, next, places, root)?;
    pdf.outline(root).first(first).last(last).count(count);
    Some(root)
}

/// The first and the last of entries below the same one, and how many they are.
struct Entries {
    first: Ref,
    last: Ref,
    count: i32,
}

fn entries(
    pdf: &mut Pdf,
    next: &mut Ref,
    places: &[MarkedPlace<'_>],
    parent: Ref,
) -> Option<Entries> {
    let groups = groups(places);
    let objects: Vec<Ref> = groups.iter().map(|_| next.bump()).collect();
    for (at, ((place, inner), object)) in groups.iter().zip(&objects).enumerate() {
        let below = entries(pdf, next, inner, *object);
        let mut entry = pdf.outline_item(*object);
        entry.title(TextStr(place.title)).parent(parent);
        entry.dest().page(place.page).xyz(0.0, place.top, None);
        if let Some(before) = at.checked_sub(1).and_then(|at| objects.get(at)) {
            entry.prev(*before);
        }
        if let Some(after) = objects.get(at + 1) {
            entry.next(*after);
        }
        if let Some(Entries { first, last, count }) = below {
            // Below zero: shut.
            entry.first(first).last(last).count(-count);
        }
        entry.finish();
    }
    let count = i32::try_from(objects.len()).unwrap_or(i32::MAX);
    Some(Entries { first: *objects.first()?, last: *objects.last()?, count })
}

/// Places, each with those of deeper levels behind it.
fn groups<'p, 'b>(
    mut rest: &'p [MarkedPlace<'b>],
) -> Vec<(&'p MarkedPlace<'b>, &'p [MarkedPlace<'b>])> {
    let mut groups = Vec::new();
    while let [first, others @ ..] = rest {
        let inner = others.iter().take_while(|other| other.level > first.level).count();
        let (inner, behind) = others.split_at(inner);
        groups.push((first, inner));
        rest = behind;
    }
    groups
}
