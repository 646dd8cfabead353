//! Where on which page what lies, as data: `pages` of a holder in `summary.json`.

use kurbo::{Affine, Rect};
use serde_json::{Value as Json, json};

use super::fill::Paged;
use super::form::{ShownAs, ShownOnPaper};
use super::sheet::{Page, Window};
use crate::holder::Part;

/// The pages of a holder with the parts in it: how many they are, and where patterns and strips lie on them. Lengths in
/// mm as they come out of the printer, from the lower left corner of the paper.
pub(crate) fn placed(paged: &Paged, file: &str, parts: &[Part]) -> Json {
    let seen = paged
        .pages
        .iter()
        .enumerate()
        .flat_map(|(i, page)| page.windows.iter().map(move |window| (i + 1, page, window)));
    let mut patterns = Vec::new();
    let mut strips = Vec::new();
    for (number, page, window) in seen {
        let shown = &paged.shown[window.pattern];
        let part = &parts[shown.part].name;
        let (map, shows) = (map(shown, window), shows(page, window));
        match shown.what {
            ShownAs::Words => {}
            ShownAs::Pattern => patterns.push(json!({
                "part": part, "page": number, "name": window.name, "map": map, "shows": shows,
            })),
            ShownAs::Strip(span) => strips.push(json!({
                "part": part,
                "along": if span.up { "width" } else { "length" },
                "from": rounded(span.from),
                "to": rounded(span.to),
                "page": number,
                "map": map,
            })),
        }
    }
    json!({ "file": file, "count": paged.pages.len(), "patterns": patterns, "strips": strips })
}

/// From what is shown to the page.
fn map(shown: &ShownOnPaper, window: &Window) -> [Json; 6] {
    let to_page = Affine::translate(window.at - window.source.origin());
    (to_page * shown.map).as_coeffs().map(rounded)
}

fn shows(page: &Page, window: &Window) -> [Json; 4] {
    let Rect { x0, y0, x1, y1 } = window.place().intersect(page.room);
    [x0, y0, x1, y1].map(rounded)
}

/// To a millionth, and no negative zero.
fn rounded(value: f64) -> Json {
    json!((value * 1e6).round() / 1e6 + 0.0)
}
