//! The closed path of an SVG file in true size: against figures by hand, and against `usvg`, which
//! reads the same files with code of its own.

use crate::kernel::{FitError, ShapeError, fit_arcs};
use crate::reading::{SvgError, svg_path};
use kurbo::{BezPath, Rect, Shape};
use proptest::prelude::*;
use resvg::usvg::{Options, Tree};

fn file(page: &str, content: &str) -> String {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {page}>\n{content}\n</svg>")
}

fn read(page: &str, content: &str) -> BezPath {
    svg_path(&file(page, content), None).unwrap_or_else(|error| panic!("{content}: {error}"))
}

fn refused(page: &str, content: &str) -> SvgError {
    svg_path(&file(page, content), None).unwrap_err()
}

/// Width and height, in mm.
fn size(path: &BezPath) -> (f64, f64) {
    let bounds = path.bounding_box();
    (bounds.width(), bounds.height())
}

fn close(got: (f64, f64), wanted: (f64, f64)) -> bool {
    (got.0 - wanted.0).abs() < 1e-5 && (got.1 - wanted.1).abs() < 1e-5
}

/// Bounds by `usvg` in mm: it works in px, 96 to the inch, to about seven digits.
fn by_usvg(text: &str) -> Rect {
    let tree = Tree::from_str(text, &Options::default()).unwrap();
    let bounds = tree.root().abs_bounding_box();
    let mm = |px: f32| f64::from(px) * 25.4 / 96.0;
    Rect::new(mm(bounds.left()), mm(bounds.top()), mm(bounds.right()), mm(bounds.bottom()))
}

const BOX: &str = "<path d='M10,10 h100 v50 h-100 z'/>";

/// SVG 1.1, 7.10, and CSS 2.1, 4.3.2: 1 in = 2.54 cm = 25.4 mm = 72 pt = 6 pc = 96 px.
#[test]
fn units_of_the_page() {
    // Each page is 2 in by 1 in with a view of 200 by 100 units: the box is 1 in by half an inch.
    for (width, height) in [
        ("2in", "1in"),
        ("5.08cm", "2.54cm"),
        ("50.8mm", "25.4mm"),
        ("144pt", "72pt"),
        ("12pc", "6pc"),
        ("192px", "96px"),
        ("192", "96"),
    ] {
        let page = format!("width='{width}' height='{height}' viewBox='0 0 200 100'");
        let got = size(&read(&page, BOX));
        assert!(close(got, (25.4, 12.7)), "{width}: {got:?}");
        let usvg = by_usvg(&file(&page, BOX));
        assert!((usvg.width() - 25.4).abs() < 1e-3, "{width}: {usvg:?}");
    }
}

#[test]
fn without_a_view_a_unit_is_a_px() {
    let wanted = (100.0 * 25.4 / 96.0, 50.0 * 25.4 / 96.0);
    for page in ["", "width='5in' height='3in'", "width='100%' height='100%'"] {
        assert!(close(size(&read(page, BOX)), wanted), "{page}");
    }
}

/// SVG 1.1, 7.8: the view fits into the page unless told otherwise.
#[test]
fn views_of_another_shape_than_the_page() {
    let page = "width='400mm' height='100mm' viewBox='0 0 200 100'";
    let sliced = format!("{page} preserveAspectRatio='xMidYMid slice'");
    let stretched = format!("{page} preserveAspectRatio='none'");
    for (page, wanted) in
        [(page, (100.0, 50.0)), (&sliced, (200.0, 100.0)), (&stretched, (200.0, 50.0))]
    {
        assert!(close(size(&read(page, BOX)), wanted), "{page}");
        let usvg = by_usvg(&file(page, BOX));
        assert!((usvg.width() - wanted.0).abs() < 1e-2, "{page}: {usvg:?}");
        assert!((usvg.height() - wanted.1).abs() < 1e-2, "{page}: {usvg:?}");
    }
    // One side alone says enough.
    assert!(close(size(&read("width='200mm' viewBox='0 0 200 100'", BOX)), (100.0, 50.0)));
}

#[test]
fn a_view_on_a_page_of_no_size_is_refused() {
    for page in ["viewBox='0 0 200 100'", "width='100%' height='100%' viewBox='0 0 200 100'"] {
        assert_eq!(refused(page, BOX), SvgError::NoSize);
    }
}

const MM: &str = "width='200mm' height='100mm' viewBox='0 0 200 100'";

#[test]
fn y_points_up() {
    // Down the page and to the right: up is where y is less.
    let path = read(MM, "<path d='M0,0 L30,0 L0,40 Z'/>");
    assert!(path.bounding_box().y0 < path.bounding_box().y1);
    let below = path.elements().iter().filter_map(kurbo::PathEl::end_point).map(|p| p.y);
    assert!((below.fold(f64::INFINITY, f64::min) + 40.0).abs() < 1e-9);
}

#[test]
fn shapes_are_paths() {
    let pi = std::f64::consts::PI;
    for (shape, area) in [
        ("<rect x='5' y='5' width='60' height='40'/>", 2400.0),
        ("<rect width='60' height='40' rx='10'/>", 2400.0 - (4.0 - pi) * 100.0),
        ("<rect width='60' height='40' rx='10' ry='5'/>", 2400.0 - (4.0 - pi) * 50.0),
        ("<rect width='60' height='40' ry='90' rx='20'/>", 2400.0 - (4.0 - pi) * 400.0),
        ("<circle cx='30' cy='30' r='20'/>", pi * 400.0),
        ("<circle cx='30' cy='30' r='20px'/>", pi * 400.0),
        ("<ellipse cx='30' cy='30' rx='20' ry='10'/>", pi * 200.0),
        ("<polygon points='0,0 60,0 0,40'/>", 1200.0),
        ("<polyline points='0,0 60,0 0,40 0,0'/>", 1200.0),
    ] {
        let path = read(MM, shape);
        assert!((path.area().abs() - area).abs() < 1e-3, "{shape}: {}", path.area());
        let (usvg, own) = (by_usvg(&file(MM, shape)), path.bounding_box());
        assert!((usvg.width() - own.width()).abs() < 0.02, "{shape}");
        assert!((usvg.height() - own.height()).abs() < 0.02, "{shape}");
    }
}

/// Every command of path data (SVG 1.1, 8.3), absolute and relative.
#[test]
fn path_data() {
    for d in [
        "M10,10 L60,10 H70 V40 C70,60 40,60 40,40 S20,20 10,40 Z",
        "m10,10 l50,0 h10 v30 c0,20 -30,20 -30,0 s-20,-20 -30,0 z",
        "M10,40 Q30,0 50,40 T90,40 L90,60 10,60 Z",
        "m10,40 q20,-40 40,0 t40,0 l0,20 -80,0 z",
        "M10,50 A20,20 0 0 1 50,50 A30,15 30 1 0 90,60 L90,90 10,90 Z",
        "m10,50 a20,20 0 0 1 40,0 a30,15 30 1 0 40,10 l0,30 -80,0 z",
        // A smooth curve after a line starts as if along nothing.
        "M10,10 L60,10 S90,60 60,60 T10,60 Z",
    ] {
        let shape = format!("<path d='{d}'/>");
        let (own, usvg) = (read(MM, &shape).bounding_box(), by_usvg(&file(MM, &shape)));
        for (a, b) in [(own.x0, usvg.x0), (own.x1, usvg.x1), (-own.y1, usvg.y0), (-own.y0, usvg.y1)]
        {
            assert!((a - b).abs() < 0.02, "{d}: {own:?} {usvg:?}");
        }
    }
    let relative = read(MM, "<path d='m10,50 a20,20 0 0 1 40,0 l0,30 -40,0 z'/>");
    let absolute = read(MM, "<path d='M10,50 A20,20 0 0 1 50,50 L50,80 10,80 Z'/>");
    assert!((relative.area() - absolute.area()).abs() < 1e-9);
    // Half a disk of 20 and a rectangle of 40 by 30.
    assert!((relative.area().abs() - (200.0 * std::f64::consts::PI + 1200.0)).abs() < 1e-3);
}

#[test]
fn an_arc_of_the_file_is_one_arc_of_the_contour() {
    let contour = fit_arcs(&read(MM, "<path d='M10,50 A20,20 0 0 1 50,50 L50,80 10,80 Z'/>"));
    let contour = contour.unwrap();
    let arcs: Vec<_> = contour.segments().filter_map(|s| s.arc()).collect();
    assert_eq!((arcs.len(), contour.vertices().len()), (1, 4));
    assert!((arcs[0].radius - 20.0).abs() < 1e-4);
    // A large circle too, which four cubics would miss by far more than the tolerance.
    let page = "width='2m' height='2m'";
    assert!(matches!(refused(page, BOX), SvgError::Attribute { .. }));
    let page = "width='2000mm' height='2000mm' viewBox='0 0 2 2'";
    let contour = fit_arcs(&read(page, "<circle cx='1' cy='1' r='.4'/>")).unwrap();
    assert_eq!(contour.vertices().len(), 2);
    assert!((contour.segments().next().unwrap().arc().unwrap().radius - 400.0).abs() < 1e-4);
}

proptest! {
    /// Moved, turned, scaled and sheared by groups within groups, against `usvg`.
    #[test]
    fn transforms_of_all_ancestors(
        turn in -180.0..180.0_f64, scale in 0.3..3.0_f64, skew in -40.0..40.0_f64,
        x in -50.0..50.0_f64, y in -50.0..50.0_f64,
    ) {
        let content = format!(
            "<g transform='translate({x} {y}) rotate({turn})'><g transform='skewX({skew})'>\
             <path transform='scale({scale}, 1.5) matrix(1 0 0 -1 3 4)' \
             d='M0,0 H40 C60,0 60,30 40,30 L0,20 Z'/></g></g>"
        );
        let (own, usvg) = (read(MM, &content).bounding_box(), by_usvg(&file(MM, &content)));
        for (a, b) in [(own.x0, usvg.x0), (own.x1, usvg.x1), (-own.y1, usvg.y0), (-own.y0, usvg.y1)] {
            prop_assert!((a - b).abs() < 1e-2, "{own:?} {usvg:?}");
        }
    }

    /// Whatever is in the file, there is an answer.
    #[test]
    fn any_text(text in ".{0,60}", d in "[MmLlHhVvCcSsQqTtAaZz0-9 ,.eE-]{0,60}") {
        let _ = svg_path(&text, None);
        let attribute = text.replace(['<', '&', '\''], "");
        let _ = svg_path(&file(&format!("width='{attribute}' viewBox='{attribute}'"), BOX), None);
        let _ = svg_path(&file(MM, &format!("<path d='{d}' transform='{attribute}'/>")), None);
        if let Ok(path) = svg_path(&file(MM, &format!("<path d='{d}'/>")), None) {
            let _ = fit_arcs(&path);
        }
    }
}

#[test]
fn what_is_hidden_or_no_outline_is_passed_over() {
    let content = "<defs><rect width='1' height='1'/><clipPath><circle r='3'/></clipPath></defs>\
        <g display='none'><rect width='2' height='2'/></g>\
        <g style='opacity:1; display : none'><rect width='3' height='3'/></g>\
        <image href='scan.png' width='90' height='90'/><text>bow</text>\
        <g><rect width='40' height='30'/></g>";
    assert!(close(size(&read(MM, content)), (40.0, 30.0)));
    // The start of a loop that is never drawn is no loop.
    assert!(close(size(&read(MM, "<path d='M0,0 h40 v30 h-40 z M 5,5'/>")), (40.0, 30.0)));
    // A document type as drawing programs write it.
    let text = format!(
        "<?xml version='1.0'?><!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' \
         'http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd'>{}",
        file(MM, BOX)
    );
    assert!(close(size(&svg_path(&text, None).unwrap()), (100.0, 50.0)));
}

#[test]
fn one_of_several_by_its_id() {
    let content = "<rect id='sheet' width='190' height='90'/>\n\
        <g id='tool'><path id='bow' d='M0,0 h40 v30 h-40 z'/></g>";
    let by = |id: &str| svg_path(&file(MM, content), Some(id));
    assert!(close(size(&by("bow").unwrap()), (40.0, 30.0)));
    assert!(close(size(&by("tool").unwrap()), (40.0, 30.0)));
    let known = vec!["sheet".to_owned(), "bow".to_owned()];
    assert_eq!(
        refused(MM, content),
        SvgError::Several { count: 2, lines: (2, 3), known: known.clone() }
    );
    assert_eq!(by("bpw").unwrap_err(), SvgError::NoSuchId { id: "bpw".to_owned(), known });
    assert!(by("bpw").unwrap_err().advice().contains("sheet, bow"));
}

#[test]
fn files_that_hold_no_one_closed_path() {
    assert!(matches!(svg_path("no markup", None), Err(SvgError::Xml(_))));
    assert!(matches!(svg_path("<svg><path></svg>", None), Err(SvgError::Xml(_))));
    assert_eq!(svg_path("<html/>", None), Err(SvgError::NotSvg("html".to_owned())));
    assert_eq!(refused(MM, ""), SvgError::NoPath);
    assert_eq!(refused(MM, "<path d=''/>"), SvgError::NoPath);
    assert_eq!(
        refused(MM, "<path d='M0,0 h9 v9 h-8.5 z'/><use href='#x'/>"),
        SvgError::NotFollowed { line: 2, what: "use".to_owned() }
    );
    let SvgError::Open { line: 2, gap } = refused(MM, "<path d='M0,0 h40 v30 h-37'/>") else {
        panic!("an open path passed")
    };
    assert!((gap - 30.149_626_86).abs() < 1e-6, "{gap}");
    let loops = refused(MM, "<path d='M0,0 h40 v30z m5,5 h10 v10z'/>");
    assert_eq!(loops, SvgError::Loops { line: 2, count: 2 });
    let far = refused(MM, "<path d='M0,0 h1e9 v30z'/>");
    assert_eq!(far, SvgError::TooLarge { line: 2 });
    for bad in [
        "<path d='M0,0 h40 v-.-'/>",
        "<path d='L5,5 9,0z'/>",
        "<circle r='a'/>",
        "<circle r='2em'/>",
    ] {
        assert!(matches!(refused(MM, bad), SvgError::Attribute { line: 2, .. }), "{bad}");
    }
    let styled = refused(MM, "<path style='transform: scale(2)' d='M0,0 h40 v30z'/>");
    assert!(matches!(styled, SvgError::Attribute { .. }));
    let bow_tie = fit_arcs(&read(MM, "<path d='M0,0 L40,40 40,0 0,40z'/>")).unwrap_err();
    assert!(matches!(bow_tie, FitError::Shape(ShapeError::SelfCrossing { .. })));
}

/// Entities that double with each step must not fill the memory.
#[test]
fn entities_without_end_are_refused() {
    let mut text = "<!DOCTYPE svg [<!ENTITY a0 'xxxxxxxxxx'>".to_owned();
    for i in 1..40 {
        text.push_str(&format!("<!ENTITY a{i} '&a{0};&a{0};'>", i - 1));
    }
    text.push_str("]><svg><text>&a39;</text></svg>");
    assert!(matches!(svg_path(&text, None), Err(SvgError::Xml(_))));
}
