//! Laying patterns out on paper, and the PDF that comes of it.

use crate::drawing::{Anchor, Drawing, Item, Line, Path, text_width};
use crate::kernel::{Contour, Vertex};
use crate::page::{Page, PageError, Paper, Printer, PrinterError, Window, pdf};
use kurbo::{Affine, Point, Rect, Shape};
use proptest::prelude::*;

const EPS: f64 = 1e-6;

fn lay_out(patterns: &[Drawing], printer: &Printer) -> Result<Vec<Page>, PageError> {
    crate::page::lay_out(patterns, printer, crate::length::Units::Inches)
}

/// A pattern whose part fills it but for a border of 5 mm.
fn pattern(title: &str, width: f64, height: f64) -> Drawing {
    let part = Rect::new(0.0, 0.0, width, height).inflate(-width.min(5.0) / 4.0, -1.0);
    let corners = [(part.x0, part.y0), (part.x1, part.y0), (part.x1, part.y1), (part.x0, part.y1)];
    let outline = Contour::new(corners.map(|(x, y)| Vertex::line(x, y))).expect("a rectangle");
    let items = vec![
        Item::Stroke { line: Line::Outline, path: Path::Closed(outline) },
        Item::Stroke {
            line: Line::Drilling,
            path: Path::Circle {
                center: part.center(),
                radius: part.width().min(part.height()) / 4.0,
            },
        },
    ];
    Drawing { title: title.to_owned(), width, height, items }
}

fn printers() -> impl Strategy<Value = Printer> {
    let paper = prop::sample::select(Paper::ALL.to_vec());
    (paper, 3.0..9.0, 6.0..40.0, 0.97..1.03, 0.97..1.03).prop_map(
        |(paper, margin, overlap, scale_x, scale_y)| Printer {
            paper,
            margin,
            overlap,
            scale_x,
            scale_y,
        },
    )
}

fn patterns() -> impl Strategy<Value = Vec<Drawing>> {
    let size = prop_oneof![10.0..200.0, 10.0..1500.0];
    prop::collection::vec((size.clone(), size), 1..6).prop_map(|sizes| {
        let named = sizes.into_iter().enumerate();
        named.map(|(i, (w, h))| pattern(&format!("Part {i} for the oar rack"), w, h)).collect()
    })
}

/// The windows of one pattern, each with its page.
fn windows_of(pages: &[Page], pattern: usize) -> Vec<(&Page, &Window)> {
    let all = pages.iter().flat_map(|page| page.windows.iter().map(move |window| (page, window)));
    all.filter(|(_, window)| window.pattern == pattern).collect()
}

fn holds(outer: Rect, inner: Rect) -> bool {
    outer.inflate(EPS, EPS).contains_rect(inner)
}

/// The box around what a piece of furniture blackens.
fn bounds(item: &Item) -> Rect {
    match item {
        Item::Stroke { line, path } => {
            let half = line.style().width / 2.0;
            let path = match path {
                Path::Open(vertices) => {
                    let points = vertices.iter().map(|v| Rect::from_points(v.at, v.at));
                    points.reduce(|a, b| a.union(b)).expect("a line has points")
                }
                Path::Closed(contour) => contour.bounds(),
                Path::Circle { center, radius } => {
                    Rect::from_center_size(*center, (2.0 * radius, 2.0 * radius))
                }
            };
            path.inflate(half, half)
        }
        Item::Fill(contour) => contour.bounds(),
        Item::Text(text) => {
            assert!(text.anchor != Anchor::End, "no text here ends at its point");
            let wide = text_width(&text.text, text.size, text.bold);
            let start = if text.anchor == Anchor::Middle { -wide / 2.0 } else { 0.0 };
            let line = Rect::new(start, -0.24 * text.size, start + wide, 0.76 * text.size);
            let place =
                Affine::translate(text.at.to_vec2()) * Affine::rotate(text.turn.to_radians());
            (place * line.to_path(0.1)).bounding_box()
        }
    }
}

/// The middles of the filled quarters of seam marks that lie within `area` of the pattern.
fn marks(window: &Window, area: Rect) -> Vec<(i64, i64)> {
    let middles = window.seams.iter().filter_map(|item| match item {
        Item::Fill(contour) => Some(contour.bounds().center()),
        _ => None,
    });
    let mut found: Vec<(i64, i64)> = middles
        .filter(|at| area.contains(*at))
        .map(|at| ((at.x * 1e4).round() as i64, (at.y * 1e4).round() as i64))
        .collect();
    found.sort_unstable();
    found
}

/// The fewest windows of `room` along `length`, counted up one by one.
fn fewest(length: f64, room: f64, overlap: f64) -> usize {
    let covers = |n: &usize| room * *n as f64 - overlap * (n - 1) as f64 >= length - EPS;
    (1..).find(covers).expect("some number does")
}

/// The room on an upright page and on a turned one, read off pages that must be so.
fn rooms(printer: &Printer) -> [Rect; 2] {
    [(50.0, 2000.0), (2000.0, 50.0)].map(|(width, height)| {
        let pages = lay_out(&[pattern("pole", width, height)], printer).expect("it is laid out");
        assert_eq!(pages[0].paper.height > pages[0].paper.width, height > width);
        pages[0].room
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn windows_cover_every_pattern(patterns in patterns(), printer in printers()) {
        let pages = lay_out(&patterns, &printer).unwrap();
        for (index, pattern) in patterns.iter().enumerate() {
            let windows = windows_of(&pages, index);
            for i in 0..=60 {
                for j in 0..=60 {
                    let at = Point::new(
                        pattern.width * f64::from(i) / 60.0,
                        pattern.height * f64::from(j) / 60.0,
                    );
                    let seen = windows.iter().any(|(_, w)| {
                        holds(w.source, Rect::from_points(at, at))
                    });
                    prop_assert!(seen, "{at} of pattern {index} is on no page");
                }
            }
            let whole = Rect::new(0.0, 0.0, pattern.width, pattern.height);
            prop_assert!(windows.iter().all(|(_, w)| holds(whole, w.source)));
        }
    }

    #[test]
    fn neighbors_overlap_exactly_and_show_the_same_marks(
        patterns in patterns(),
        printer in printers(),
    ) {
        let pages = lay_out(&patterns, &printer).unwrap();
        for index in 0..patterns.len() {
            let windows = windows_of(&pages, index);
            for (_, a) in &windows {
                for (_, b) in &windows {
                    let right = b.source.x0 > a.source.x0 + EPS;
                    let below = b.source.y0 < a.source.y0 - EPS;
                    let beside = (a.source.y0 - b.source.y0).abs() < EPS;
                    let under = (a.source.x0 - b.source.x0).abs() < EPS;
                    let common = a.source.intersect(b.source);
                    let touch = common.width() > 0.0 && common.height() > 0.0;
                    if !(touch && (right && beside || below && under)) {
                        continue;
                    }
                    let depth = if right { common.width() } else { common.height() };
                    prop_assert!((depth - printer.overlap).abs() < EPS, "{depth}");
                    let inner = common.inflate(-EPS, -EPS);
                    prop_assert_eq!(marks(a, inner), marks(b, inner));
                    prop_assert!(marks(a, inner).len() >= 4, "two diamonds of two quarters");
                }
            }
        }
    }

    #[test]
    fn everything_is_within_reach_of_the_printer_and_clear_of_the_windows(
        patterns in patterns(),
        printer in printers(),
    ) {
        for page in lay_out(&patterns, &printer).unwrap() {
            for (i, window) in page.windows.iter().enumerate() {
                prop_assert!(holds(page.room, window.place()));
                for other in &page.windows[i + 1..] {
                    let common = window.place().intersect(other.place());
                    prop_assert!(common.width() <= EPS || common.height() <= EPS);
                }
            }
            for item in &page.furniture {
                let b = bounds(item);
                prop_assert!(holds(page.printable, b), "{item:?} leaves {:?}", page.printable);
                prop_assert!(page.windows.iter().all(|w| {
                    let common = w.place().intersect(b);
                    common.width() <= EPS || common.height() <= EPS
                }), "{item:?} covers a window");
            }
            // Printed, the printable area is the paper's less the margin all round.
            let file = Rect::new(0.0, 0.0, page.paper.width, page.paper.height)
                .inflate(-printer.margin, -printer.margin);
            prop_assert!((page.printable.x1 / page.scale.x - file.x1).abs() < EPS);
            prop_assert!((page.printable.y0 / page.scale.y - file.y0).abs() < EPS);
        }
    }

    #[test]
    fn a_large_pattern_takes_the_fewest_pages(
        width in 300.0..2500.0, height in 200.0..2500.0, printer in printers(),
    ) {
        let pages = lay_out(&[pattern("door", width, height)], &printer).unwrap();
        let counts = rooms(&printer).map(|room| {
            fewest(width, room.width(), printer.overlap)
                * fewest(height, room.height(), printer.overlap)
        });
        prop_assert_eq!(pages.len(), counts[0].min(counts[1]));
        let upright = pages[0].paper.height > pages[0].paper.width;
        prop_assert!(upright == (counts[0] <= counts[1]));
    }

    #[test]
    fn no_figures_make_it_panic(
        width in any::<f64>(), height in any::<f64>(),
        margin in any::<f64>(), overlap in any::<f64>(), scale in any::<f64>(),
    ) {
        let drawing = Drawing { title: String::new(), width, height, items: Vec::new() };
        let odd = Printer { margin, overlap, scale_x: scale, ..Printer::default() };
        let _ = lay_out(std::slice::from_ref(&drawing), &odd);
        let _ = lay_out(&[drawing], &Printer::default());
    }
}

#[test]
fn small_patterns_share_a_page_and_keep_their_titles() {
    let titles = ["Thole pin", "Rowlock pad", "Cleat block", "Wedge"];
    let patterns = titles.map(|title| pattern(title, 80.0, 60.0));
    let pages = lay_out(&patterns, &Printer::default()).unwrap();
    assert_eq!(pages.len(), 1);
    assert_eq!(pages[0].windows.len(), 4);
    for title in titles {
        let says = |item: &Item| matches!(item, Item::Text(text) if text.text == title);
        assert!(pages[0].furniture.iter().any(says), "{title}");
    }
}

#[test]
fn pages_stand_in_the_order_of_their_patterns() {
    let patterns =
        [pattern("pad", 50.0, 50.0), pattern("board", 700.0, 100.0), pattern("pin", 60.0, 40.0)];
    let pages = lay_out(&patterns, &Printer::default()).unwrap();
    let first: Vec<usize> = pages.iter().map(|page| page.windows[0].pattern).collect();
    assert_eq!(first, [0, 1, 1, 1]);
    assert_eq!(pages[0].windows[1].pattern, 2);
    let names: Vec<&str> = pages[1..].iter().map(|page| page.windows[0].name.as_str()).collect();
    assert_eq!(names, ["A1", "B1", "C1"]);
}

#[test]
fn letter_keeps_a_useful_window() {
    let [upright, _] = rooms(&Printer::default());
    assert!(upright.width() >= 185.0 && upright.height() >= 235.0, "{upright:?}");
}

#[test]
fn a_turned_page_takes_the_other_scale() {
    // It goes through the printer like an upright one: its x is the paper's long side.
    let printer = Printer { scale_x: 0.994, scale_y: 1.003, ..Printer::default() };
    let scale = |width, height| lay_out(&[pattern("", width, height)], &printer).unwrap()[0].scale;
    assert_eq!((scale(100.0, 900.0).x, scale(100.0, 900.0).y), (0.994, 1.003));
    assert_eq!((scale(900.0, 100.0).x, scale(900.0, 100.0).y), (1.003, 0.994));
}

#[test]
fn a_printer_that_cannot_be_is_refused_with_figures() {
    let refused = |printer: Printer| lay_out(&[pattern("pad", 50.0, 50.0)], &printer).unwrap_err();
    let sound = Printer::default();
    let margin = refused(Printer { margin: 40.0, ..sound });
    assert!(matches!(margin, PageError::Printer(PrinterError::Margin { margin: 40.0, .. })));
    assert!(margin.to_string().contains("at most 17.9"), "{margin}");
    for overlap in [0.0, -3.0, 200.0, f64::NAN] {
        let error = refused(Printer { overlap, ..sound });
        assert!(matches!(error, PageError::Printer(PrinterError::Overlap { .. })), "{error}");
    }
    for scale_y in [0.5, 99.4, f64::NAN] {
        let error = refused(Printer { scale_y, ..sound });
        assert!(matches!(error, PageError::Printer(PrinterError::Scale { .. })), "{error}");
    }
}

#[test]
fn a_pattern_that_cannot_be_printed_is_refused_by_name() {
    let sound = Printer::default();
    let none = lay_out(&[pattern("keel", 0.0, 40.0)], &sound).unwrap_err();
    assert!(matches!(&none, PageError::Size { title, .. } if title == "keel"));
    let huge = lay_out(&[pattern("keel", 90_000.0, 9_000.0)], &sound).unwrap_err();
    assert!(matches!(&huge, PageError::TooLarge { title, .. } if title == "keel"));
}

#[test]
fn papers_have_names() {
    for paper in Paper::ALL {
        assert_eq!(paper.name().parse::<Paper>().unwrap(), paper);
    }
    let error = "foolscap".parse::<Paper>().unwrap_err().to_string();
    assert!(error.contains("letter, legal, tabloid, a4, a3"), "{error}");
}

/// Patterns of every sort: one wide, one that needs rows and columns, small ones, and a title
/// with what could trip a writer up.
fn sample() -> Vec<Drawing> {
    vec![
        pattern("Oar shelf", 684.4, 151.0),
        pattern("Back", 500.0, 400.0),
        pattern("Thole \"pin\" <&> (left\\right)\nsecond line", 60.0, 40.0),
        pattern("Wedge", 90.0, 30.0),
    ]
}

fn written(printer: &Printer) -> Vec<u8> {
    let patterns = sample();
    let pages = lay_out(&patterns, printer).unwrap();
    pdf::write("Oar rack (long) <&>", &pages, &patterns).unwrap()
}

fn find(bytes: &[u8], word: &str) -> Option<usize> {
    bytes.windows(word.len()).position(|window| window == word.as_bytes())
}

#[test]
fn the_same_patterns_give_the_same_bytes() {
    assert_eq!(written(&Printer::default()), written(&Printer::default()));
}

/// ISO 32000-1, table 150 (the entry), 7.5.4 (each reference in the table leads to its object)
/// and 7.5.5 (startxref leads to the table).
#[test]
fn the_viewer_is_asked_not_to_scale_and_the_references_hold() {
    let bytes = written(&Printer::default());
    let catalog = find(&bytes, "/Type/Catalog").expect("a catalog");
    let entry = find(&bytes, "/ViewerPreferences << /PrintScaling /None >>").expect("the entry");
    let start = bytes[..catalog].windows(4).rposition(|w| w == b" obj").expect("an object");
    let end = catalog + find(&bytes[catalog..], "endobj").expect("its end");
    assert!((start..end).contains(&entry));

    let tail = bytes.windows(9).rposition(|w| w == b"startxref").expect("startxref");
    let number =
        |text: &[u8]| -> usize { std::str::from_utf8(text).unwrap().trim().parse().unwrap() };
    let table = number(&bytes[tail + 9..bytes.len() - "%%EOF".len()]);
    assert!(bytes[table..].starts_with(b"xref\n0 "));
    let entries = table + find(&bytes[table..], " 65535 f").unwrap() - 10;
    let trailer = table + find(&bytes[table..], "trailer").unwrap();
    let mut checked = 0;
    for (i, entry) in bytes[entries..trailer].chunks(20).enumerate() {
        if entry[17] == b'n' {
            let object = format!("{i} 0 obj");
            assert!(bytes[number(&entry[..10])..].starts_with(object.as_bytes()), "{object}");
            checked += 1;
        }
    }
    assert!(checked > 10);
}

/// Letter is 8.5 × 11 in (ANSI/ASME Y14.1, sheet A), A4 is 210 × 297 mm (ISO 216); a PDF unit is
/// 1/72 in (ISO 32000-1, 8.3.2.3).
#[test]
fn page_boxes_are_the_paper_upright_or_turned() {
    for (paper, short, long) in
        [(Paper::Letter, 612.0, 792.0), (Paper::A4, 210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0)]
    {
        // What the printer makes of it does not change the paper.
        let bytes = written(&Printer { paper, scale_x: 0.98, ..Printer::default() });
        let mut sizes = Vec::new();
        let mut rest = &bytes[..];
        while let Some(at) = find(rest, "/MediaBox[") {
            rest = &rest[at + "/MediaBox[".len()..];
            let end = find(rest, "]").unwrap();
            let text = std::str::from_utf8(&rest[..end]).unwrap();
            sizes.push(text.split(' ').map(|n| n.parse().unwrap()).collect::<Vec<f64>>());
        }
        assert!(sizes.len() > 4);
        let is = |size: &[f64], width: f64, height: f64| {
            let off = [size[0], size[1], size[2] - width, size[3] - height];
            off.iter().all(|d| d.abs() < 1e-3)
        };
        assert!(sizes.iter().all(|s| is(s, short, long) || is(s, long, short)), "{sizes:?}");
        assert!(
            sizes.iter().any(|s| is(s, short, long)) && sizes.iter().any(|s| is(s, long, short))
        );
    }
}

#[test]
fn pages_without_their_patterns_are_refused() {
    let patterns = sample();
    let pages = lay_out(&patterns, &Printer::default()).unwrap();
    assert!(matches!(pdf::write("", &[], &patterns), Err(pdf::PdfError::NoPages)));
    assert!(matches!(
        pdf::write("", &pages, &patterns[..1]),
        Err(pdf::PdfError::NoPattern { pattern: 1, count: 1, .. })
    ));
}
