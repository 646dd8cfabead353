//! Parts on paper, and the PDF that comes of it.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use crate::drawing::{Anchor, Drawing, Item, Line, Path, ink, text_width};
use crate::holder::{Grain, MadeBy, Part};
use crate::kernel::{Contour, Region, Vertex};
use crate::length::Units;
use crate::page::{
    Page, PageError, Paged, Paper, Patterns, Printable, Printer, PrinterError, ShownAs, Window,
    paged, pdf,
};
use kurbo::{Affine, Point, Rect, Shape, Size, Vec2};
use proptest::prelude::*;

use super::{flat_parts, folder, parts};

const EPS: f64 = 1e-6;

/// What lines of a pattern are drawn away from the places that must be seen, at most, in mm.
const LINE: f64 = 0.5;

fn printed(parts: &[Part], patterns: Patterns, printer: &Printer) -> Result<Paged, PageError> {
    let units = Units::Inches;
    paged(
        Printable { title: "Oar rack", units, parts, tools: &[], letters: &[] },
        patterns,
        printer,
    )
}

fn laid_out(parts: &[Part], printer: &Printer) -> Paged {
    printed(parts, Patterns::All, printer).expect("it is laid out")
}

fn polygon(name: &str, corners: &[(f64, f64)]) -> Part {
    let outline = Contour::new(corners.iter().map(|(x, y)| Vertex::line(*x, *y)));
    let region = Region::new(outline.expect("a polygon"), Vec::new());
    flat_parts::part(name, region, 1, Grain::Any, MadeBy::Hand)
}

/// A rectangle with one corner cut off, so that it is none.
fn shaped(name: &str, width: f64, height: f64) -> Part {
    let cut = width.min(height) / 5.0;
    polygon(
        name,
        &[(0.0, 0.0), (width, 0.0), (width, height - cut), (width - cut, height), (0.0, height)],
    )
}

/// An angle: two legs, one along the foot and one up the left side.
fn angle(name: &str, size: f64, leg: f64) -> Part {
    polygon(name, &[(0.0, 0.0), (size, 0.0), (size, leg), (leg, leg), (leg, size), (0.0, size)])
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

fn any_parts() -> impl Strategy<Value = Vec<Part>> {
    let size = || prop_oneof![10.0..200.0, 10.0..900.0];
    let part = (size(), size(), any::<bool>());
    prop::collection::vec(part, 1..5).prop_map(|all| {
        let named = all.into_iter().enumerate();
        let part = |(i, (w, h, is_angle)): (usize, (f64, f64, bool))| {
            let name = format!("part-{i}");
            if is_angle { angle(&name, w.max(h), w.min(h) / 3.0) } else { shaped(&name, w, h) }
        };
        named.map(part).collect()
    })
}

/// The windows of one drawing, each with its page.
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
        Item::Fill(contour) | Item::Shade(contour) => contour.bounds(),
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

/// All that is drawn wide of one drawing: outlines, openings, holes.
fn wide_lines(drawing: &Drawing) -> Vec<Point> {
    let cut = |line: Line| matches!(line, Line::Outline | Line::Opening | Line::Drilling);
    let points = |item: &Item| match item {
        Item::Stroke { line, path: Path::Closed(contour) } if cut(*line) => contour.flatten(0.05),
        Item::Stroke { line, path: Path::Circle { center, radius } } if cut(*line) => (0..24)
            .map(|i| *center + Vec2::from_angle(f64::from(i) * PI / 12.0) * *radius)
            .collect(),
        _ => Vec::new(),
    };
    drawing.items.iter().flat_map(points).collect()
}

/// Whether the points of one are those of the other moved and turned, told by how far each is from the middle of all.
fn is_same_shape(one: &[Point], other: &[Point]) -> bool {
    let spread = |points: &[Point]| {
        let sum = points.iter().fold(Vec2::ZERO, |sum, at| sum + at.to_vec2());
        let middle = (sum / points.len() as f64).to_point();
        let mut far: Vec<f64> = points.iter().map(|at| (*at - middle).hypot()).collect();
        far.sort_by(f64::total_cmp);
        far
    };
    one.len() == other.len()
        && spread(one).iter().zip(spread(other)).all(|(a, b)| (a - b).abs() < 1e-6)
}

/// The drawings that show `part` at full size.
fn patterns_of<'p>(paged: &'p Paged, part: &Part) -> Vec<usize> {
    let own: Vec<Point> =
        part.region.contours().flat_map(|contour| contour.flatten(0.05)).collect();
    let shows = |drawing: &'p Drawing| {
        let lines: Vec<Point> = drawing
            .items
            .iter()
            .flat_map(|item| match item {
                Item::Stroke {
                    line: Line::Outline | Line::Opening,
                    path: Path::Closed(contour),
                } => contour.flatten(0.05),
                _ => Vec::new(),
            })
            .collect();
        is_same_shape(&lines, &own)
    };
    (0..paged.drawings.len()).filter(|at| shows(&paged.drawings[*at])).collect()
}

/// The room on an upright page and on one that lies on its long side.
fn rooms(printer: &Printer) -> [Rect; 2] {
    let found: Vec<Rect> = [(50.0, 2000.0), (2000.0, 50.0)]
        .into_iter()
        .flat_map(|(width, height)| {
            let paged = laid_out(&[shaped("pole", width, height)], printer);
            paged.pages.into_iter().map(|page| (page.paper.width > page.paper.height, page.room))
        })
        .map(|(_, room)| room)
        .collect();
    let upright = found.iter().find(|room| room.height() > room.width());
    let level = found.iter().find(|room| room.width() > room.height());
    [upright, level].map(|room| *room.or(found.first()).expect("a page"))
}

/// The fewest pages that show all of `part`, by trying: turns a few degrees apart, a grid of pages moved under it in small
/// steps. A page is needed where a place lies in its own cell; what only reaches into the overlap is seen beside it.
fn fewest_by_trying(
    part: &Part,
    rooms: [Rect; 2],
    overlap: f64,
    turns: usize,
    shifts: usize,
) -> usize {
    let ink = ink(part);
    let mut fewest = usize::MAX;
    for turn in 0..turns {
        let map = Affine::rotate(turn as f64 * PI / turns as f64);
        let turned: Vec<Point> = ink.iter().map(|at| map * *at).collect();
        let boxes = turned.iter().map(|at| Rect::from_points(*at, *at));
        let bounds = boxes.reduce(|a, b| a.union(b)).expect("some ink");
        for room in rooms {
            let step = room.size() - Size::new(overlap, overlap);
            if bounds.width() <= room.width() - 2.0 && bounds.height() <= room.height() - 2.0 {
                return 1;
            }
            for i in 0..shifts * shifts {
                let share = Vec2::new((i % shifts) as f64, (i / shifts) as f64) / shifts as f64;
                let from = bounds.origin() - Vec2::new(share.x * step.width, share.y * step.height);
                let cell = |at: &Point| {
                    let way = *at - from;
                    ((way.x / step.width).floor() as i64, (way.y / step.height).floor() as i64)
                };
                let cells: BTreeSet<(i64, i64)> = turned.iter().map(cell).collect();
                fewest = fewest.min(cells.len());
            }
        }
    }
    fewest
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_line_of_every_part_is_seen_whole_size(parts in any_parts(), printer in printers()) {
        let paged = laid_out(&parts, &printer);
        for part in &parts {
            let shown = patterns_of(&paged, part);
            prop_assert!(!shown.is_empty(), "{} is not drawn", part.name);
            for pattern in shown {
                let windows = windows_of(&paged.pages, pattern);
                prop_assert!(!windows.is_empty());
                for at in wide_lines(&paged.drawings[pattern]) {
                    let around = Rect::from_points(at, at).inflate(LINE / 2.0, LINE / 2.0);
                    let seen = windows.iter().any(|(_, w)| holds(w.source, around));
                    prop_assert!(seen, "{at} of {} is on no page", part.name);
                }
            }
        }
    }

    #[test]
    fn neighbors_overlap_exactly_and_show_the_same_marks(
        parts in any_parts(),
        printer in printers(),
    ) {
        let Paged { pages, drawings, .. } = laid_out(&parts, &printer);
        for index in 0..drawings.len() {
            let windows = windows_of(&pages, index);
            let mut joined = 0;
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
                    joined += 1;
                    let depth = if right { common.width() } else { common.height() };
                    prop_assert!((depth - printer.overlap).abs() < EPS, "{depth}");
                    let inner = common.inflate(-EPS, -EPS);
                    prop_assert_eq!(marks(a, inner), marks(b, inner));
                    prop_assert!(marks(a, inner).len() >= 4, "two diamonds of two quarters");
                }
            }
            prop_assert!(joined + 1 >= windows.len(), "no page is left alone");
        }
    }

    #[test]
    fn everything_is_within_reach_of_the_printer_and_clear_of_the_windows(
        parts in any_parts(),
        printer in printers(),
    ) {
        for page in laid_out(&parts, &printer).pages {
            prop_assert!(page.windows.iter().all(|window| holds(page.room, window.place())));
            for item in page.bars.iter().chain(&page.furniture) {
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

    /// Beside trying them all: turns of 6 degrees, six places each way.
    #[test]
    fn a_pattern_takes_the_fewest_pages(
        size in 150.0..700.0, share in 0.1..0.6, is_angle in any::<bool>(),
    ) {
        let part = match is_angle {
            true => angle("knee", size, size * share),
            false => shaped("board", size, size * share),
        };
        let printer = Printer::default();
        let paged = laid_out(std::slice::from_ref(&part), &printer);
        let pattern = patterns_of(&paged, &part)[0];
        let ours = windows_of(&paged.pages, pattern).len();
        let tried = fewest_by_trying(&part, rooms(&printer), printer.overlap, 30, 6);
        prop_assert!(ours <= tried, "{ours} pages, {tried} by trying");
    }

    #[test]
    fn no_figures_make_it_panic(
        width in 0.1..1e6, height in 0.1..1e6,
        margin in any::<f64>(), overlap in any::<f64>(), scale in any::<f64>(),
    ) {
        let part = [shaped("pad", width, height)];
        let odd = Printer { margin, overlap, scale_x: scale, ..Printer::default() };
        let _ = printed(&part, Patterns::Shaped, &odd);
        let _ = printed(&part, Patterns::Shaped, &Printer::default());
    }
}

#[test]
fn small_parts_share_a_page() {
    let names = ["thole-pin", "rowlock-pad", "cleat-block", "wedge"];
    let sizes = [(80.0, 40.0), (70.0, 45.0), (60.0, 35.0), (50.0, 25.0)];
    let parts: Vec<Part> =
        names.iter().zip(sizes).map(|(name, (w, h))| shaped(name, w, h)).collect();
    let paged = laid_out(&parts, &Printer::default());
    assert_eq!(paged.pages.len(), 1);
    let first = &paged.pages[0];
    assert!(parts.iter().all(|part| {
        patterns_of(&paged, part).iter().any(|p| first.windows.iter().any(|w| w.pattern == *p))
    }));
}

/// An angle of 420 mm with legs of 60 mm: three pages by two lie round it, and two of them would be blank.
#[test]
fn blank_pages_are_left_out() {
    let part = angle("knee", 420.0, 60.0);
    let paged = laid_out(std::slice::from_ref(&part), &Printer::default());
    let pattern = patterns_of(&paged, &part)[0];
    assert!(windows_of(&paged.pages, pattern).len() <= 4);
}

/// An arm of 199.2 × 197 mm that lies askew on A4 and is cut to the page's room: rounding made it a hair wider than that,
/// and it was refused.
#[test]
fn what_is_cut_to_a_pages_room_has_room_there() {
    let shop = "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 12.2\nlength = 2440\nwidth = 1220\n\
                wood = \"birch plywood\"\n[bits]\ndrill = [2, 2.5, 3, 4, 4.5, 5, 6, 8, 10, 12]\nforstner = [15, 20, 25, 30, 35]\n\
                [router]\nbit = 8\njoint_bit = 4\n[cleat]\nfrom = \"ply\"\nwidth = 60\nbevel = \"45 deg\"\n\
                [wall]\nstud_spacing = 400\n";
    let arms = "style = \"twin-arm\"\nunits = \"mm\"\n[measures]\nbar_thickness = 5\nhead_width = 78\nstack_count = 3\n\
                stack_depth = 113\ntool_length = 283\ntool_mass = \"0.6 kg\"\n[choices]\ncount = 2\nmade_by = \"router\"\n\
                joint = \"tab\"\ntab_fit = 0.06\ntab_end_fit = 0.07\nrelief = \"side\"\narm_height = 191\n";
    let inputs = crate::Inputs::new().with("shop.toml", shop).with("holders/arms.toml", arms);
    let worked = crate::work_out(&inputs.with_cutting_steps(1)).unwrap();
    let mut files = std::collections::BTreeMap::new();
    crate::render(&worked, &crate::Options::default(), &mut files).unwrap();
    assert!(files.contains_key("arms/pages-a4.pdf"));
}

/// 270 mm: no page of letter paper takes it straight.
#[test]
fn a_part_may_lie_askew() {
    let narrow = shaped("rail", 270.0, 20.0);
    let paged = laid_out(std::slice::from_ref(&narrow), &Printer::default());
    assert_eq!(windows_of(&paged.pages, patterns_of(&paged, &narrow)[0]).len(), 1);
}

#[test]
fn what_is_alike_or_mirrored_is_printed_once() {
    let left = shaped("left-side", 120.0, 80.0);
    let right = polygon(
        "right-side",
        &[(0.0, 0.0), (120.0, 0.0), (120.0, 80.0), (16.0, 80.0), (0.0, 64.0)],
    );
    let again = shaped("middle", 120.0, 80.0);
    let paged = laid_out(&[left.clone(), right, again], &Printer::default());
    assert_eq!(patterns_of(&paged, &left).len(), 1);
    let said: Vec<&str> = paged.drawings.iter().flat_map(texts).collect();
    let said = said.join(" ");
    assert!(
        said.contains(
            "Also right side: mirrored: prick it through and work from the other side of the paper."
        ),
        "{said}"
    );
    assert!(said.contains("Also middle: the same once more."), "{said}");
}

fn texts(drawing: &Drawing) -> impl Iterator<Item = &str> {
    drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text.text.as_str()),
        _ => None,
    })
}

/// Where marks stand on the strips along a part, from its left end, and from where to where its pieces are.
fn marked(paged: &Paged) -> (Vec<f64>, Vec<(f64, f64)>) {
    let (mut places, mut spans) = (Vec::new(), Vec::new());
    for (drawing, shown) in paged.drawings.iter().zip(&paged.shown) {
        let ShownAs::Strip(span) = shown.what else { continue };
        if span.up {
            continue;
        }
        spans.push((span.from, span.to));
        let back = shown.map.inverse();
        places.extend(drawing.items.iter().filter_map(|item| match item {
            Item::Stroke { line: Line::Scribe, path: Path::Open(v) } => {
                let [a, b] = [v[0].at, v[1].at].map(|at| back * at);
                assert!((a.x - b.x).abs() < EPS && a.y.abs() < EPS, "it stands on the edge");
                Some(a.x)
            }
            _ => None,
        }));
    }
    places.sort_by(f64::total_cmp);
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    (places, spans)
}

#[test]
fn a_strip_has_every_place_once_and_at_its_place() {
    for part in [parts::holder_cleat(), parts::rail(), parts::long_rail(), parts::studded()] {
        assert!(part.is_plain(), "{}", part.name);
        let paged =
            printed(std::slice::from_ref(&part), Patterns::Shaped, &Printer::default()).unwrap();
        let (found, spans) = marked(&paged);
        assert!(found.windows(2).all(|pair| pair[1] - pair[0] > EPS), "each once: {found:?}");
        assert_eq!((spans[0].0, spans[spans.len() - 1].1), (0.0, part.length()));
        let mut wanted: Vec<f64> = part.drillings.iter().map(|d| d.at.x).collect();
        wanted.sort_by(f64::total_cmp);
        wanted.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        for at in &wanted {
            assert!(
                found.iter().any(|x| (x - at).abs() < 1e-6),
                "{}: {at} in {found:?}",
                part.name
            );
        }
        // Each has its figure.
        let said: Vec<&str> = paged.drawings.iter().flat_map(texts).collect();
        for at in wanted {
            let figure = Units::Inches.bare_length(at);
            assert!(said.contains(&figure.as_str()), "{}: {figure}", part.name);
        }
    }
}

/// Pieces of a long strip are joined at whole marks of the tape, clear of what is marked, and say where.
#[test]
fn joints_of_a_strip_are_on_the_tape() {
    let part = parts::long_rail();
    let paged =
        printed(std::slice::from_ref(&part), Patterns::Shaped, &Printer::default()).unwrap();
    let (found, spans) = marked(&paged);
    let ends = spans.iter().flat_map(|(from, to)| [*from, *to]);
    let joints: Vec<f64> = ends.filter(|at| *at > 0.0 && *at < part.length()).collect();
    assert!(!joints.is_empty());
    let said: Vec<&str> = paged.drawings.iter().flat_map(texts).collect();
    for at in joints {
        let half_inches = at / 12.7;
        assert!((half_inches - half_inches.round()).abs() < EPS, "{at}");
        assert!(found.iter().all(|mark| (mark - at).abs() >= 7.0), "{at} is near to a mark");
        let name = format!("joint {}", Units::Inches.length(at));
        assert!(said.contains(&name.as_str()), "{name}");
    }
}

/// What is asked for by name: patterns of all, of the shaped ones, of none.
#[test]
fn patterns_are_printed_as_asked() {
    let parts = [parts::holder_cleat(), parts::arm()];
    let count = |patterns| {
        let paged = printed(&parts, patterns, &Printer::default()).unwrap();
        parts.each_ref().map(|part| patterns_of(&paged, part).len())
    };
    assert_eq!(count(Patterns::All), [1, 1]);
    assert_eq!(count(Patterns::Shaped), [0, 1]);
    assert_eq!(count(Patterns::None), [0, 0]);
}

/// 235 pages of full-size patterns before; the sample is to take at most 95 letter pages.
#[test]
fn the_sample_takes_few_pages() {
    let printer = Printer { paper: Paper::Letter, ..Printer::default() };
    let pages: usize = folder::sample()
        .holders
        .iter()
        .map(|worked| {
            let (title, parts) = (&worked.holder.title, &worked.holder.parts);
            let units = worked.holder.units;
            let holder =
                Printable { title, units, parts, tools: &worked.holder.tools, letters: &[] };
            paged(holder, Patterns::Shaped, &printer).unwrap().pages.len()
        })
        .sum();
    assert!(pages <= 95, "{pages} pages");
}

#[test]
fn letter_keeps_a_useful_window() {
    let [upright, _] = rooms(&Printer::default());
    assert!(upright.width() >= 185.0 && upright.height() >= 235.0, "{upright:?}");
}

#[test]
fn a_page_on_its_long_side_takes_the_other_scale() {
    // It goes through the printer like an upright one: its x is the paper's long side.
    let printer = Printer { scale_x: 0.994, scale_y: 1.003, ..Printer::default() };
    let pages =
        laid_out(&[shaped("board", 240.0, 170.0), shaped("tall", 170.0, 235.0)], &printer).pages;
    assert!(!pages.is_empty());
    for page in pages {
        let level = page.paper.width > page.paper.height;
        let wanted = if level { (1.003, 0.994) } else { (0.994, 1.003) };
        assert_eq!((page.scale.x, page.scale.y), wanted);
    }
}

#[test]
fn a_printer_that_cannot_be_is_refused_with_figures() {
    let part = [shaped("pad", 50.0, 40.0)];
    let refused = |printer: Printer| printed(&part, Patterns::Shaped, &printer).unwrap_err();
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
    let huge = printed(&[shaped("keel", 90_000.0, 9_000.0)], Patterns::Shaped, &Printer::default());
    assert!(matches!(huge, Err(PageError::TooLarge { title, .. }) if title == "keel"));
}

#[test]
fn papers_have_names() {
    for paper in Paper::ALL {
        assert_eq!(paper.name().parse::<Paper>().unwrap(), paper);
    }
    let error = "foolscap".parse::<Paper>().unwrap_err().to_string();
    assert!(error.contains("letter, legal, tabloid, a4, a3"), "{error}");
}

/// Parts of every sort: one wide, one that needs rows and columns, small ones, and a name with what could trip a writer up.
fn sample() -> Vec<Part> {
    vec![
        shaped("oar-shelf", 684.4, 151.0),
        shaped("back", 500.0, 400.0),
        shaped("thole \"pin\" <&> (left\\right)\nsecond line", 60.0, 40.0),
        shaped("wedge", 90.0, 30.0),
        parts::holder_cleat(),
    ]
}

fn written(printer: &Printer) -> Vec<u8> {
    let Paged { pages, drawings, .. } = printed(&sample(), Patterns::Shaped, printer).unwrap();
    pdf::write("Oar rack (long) <&>", &pages, &drawings).unwrap()
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
    let entry = find(&bytes, "/ViewerPreferences<</PrintScaling/None>>").expect("the entry");
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
    let Paged { pages, drawings, .. } = laid_out(&sample(), &Printer::default());
    assert!(matches!(pdf::write("", &[], &drawings), Err(pdf::PdfError::NoPages)));
    assert!(matches!(
        pdf::write("", &pages, &drawings[..1]),
        Err(pdf::PdfError::NoPattern { count: 1, .. })
    ));
}
