//! Drawings that can be read: no text meets a line, a filled area or another text, no leader another leader. It is
//! measured on what is drawn, by code that had no part in placing it.

use std::sync::Arc;

use crate::cutting::{Budget, CuttingPlan};
use crate::document::{JobFiles, job};
use crate::drawing::{
    self, Anchor, Drawing, Item, Line, Path, PatternNotes, Pictured, SCREEN, SheetPlan, Text,
    pattern, sawn, sheet,
};
use crate::export::plain;
use crate::holder::{Holder, MadeBy};
use crate::kernel::{Contour, Segment};
use crate::length::Units;
use crate::milling::{Milling, milling};
use crate::page::{Paged, Paper, Patterns, Printable, Printer, Window, paged};
use crate::router::RouterPlan;
use crate::shop::Shop;
use crate::solid::wood_solids;
use crate::style::Library;
use kurbo::{Affine, Point, Rect, Shape, Vec2};

use super::styles::by_lot;
use super::{folder, parts};

/// How far two things may reach into one another before anybody sees it, in mm.
const FELT: f64 = 0.15;

/// How many holders of each style are drawn, and how many of each are planned.
const HOLDERS: usize = 8;
const PLANNED: usize = 3;

/// How far chords may stand off from arcs here, in mm.
const CHORD: f64 = 0.01;

/// Something black: a convex polygon.
struct Black {
    corners: Vec<Point>,
    bounds: Rect,
}

impl Black {
    fn new(corners: Vec<Point>) -> Self {
        let boxes = corners.iter().map(|p| Rect::from_points(*p, *p));
        let bounds = boxes.reduce(|a, b| a.union(b)).expect("a polygon has corners");
        Self { corners, bounds }
    }

    /// A straight line of `width`, its ends flush.
    fn line(from: Point, to: Point, width: f64) -> Self {
        let way = (to - from).normalize();
        let aside = Vec2::new(-way.y, way.x) * (width / 2.0);
        Self::new(vec![from - aside, to - aside, to + aside, from + aside])
    }

    /// What a text covers: one box round all of its letters, turned as it is.
    fn text(text: &Text) -> Option<Self> {
        let width = drawing::text_width(&text.text, text.size, text.bold);
        let start = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let letters = drawing::glyphs(&text.text, text.size, text.bold);
        let ink = letters.filter_map(|glyph| {
            let outline = drawing::letter(glyph.id, text.bold);
            (!outline.elements().is_empty()).then(|| {
                let area = outline.bounding_box().scale_from_origin(text.size);
                area + Vec2::new(start + glyph.x, 0.0)
            })
        });
        let ink = ink.reduce(|a, b| a.union(b))?;
        let turn = Affine::translate(text.at.to_vec2()) * Affine::rotate(text.turn.to_radians());
        let corners = [(ink.x0, ink.y0), (ink.x1, ink.y0), (ink.x1, ink.y1), (ink.x0, ink.y1)];
        Some(Self::new(corners.map(|corner| turn * Point::from(corner)).to_vec()))
    }

    /// Whether the two reach into one another: by the least way that would part them, which runs square to a side of one
    /// of them (the separating axis of convex polygons).
    fn meets(&self, other: &Self) -> bool {
        let (a, b) = (self.bounds, other.bounds);
        let near = a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
        near && sides(&self.corners).chain(sides(&other.corners)).all(|(from, to)| {
            let way = to - from;
            let axis = Vec2::new(-way.y, way.x).normalize();
            let ([a0, a1], [b0, b1]) = (reach(&self.corners, axis), reach(&other.corners, axis));
            (a1 - b0).min(b1 - a0) > FELT
        })
    }
}

fn sides(corners: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    corners.iter().copied().zip(corners.iter().copied().cycle().skip(1)).filter(|(a, b)| a != b)
}

fn reach(corners: &[Point], axis: Vec2) -> [f64; 2] {
    let along = corners.iter().map(|corner| corner.to_vec2().dot(axis));
    along.fold([f64::MAX, f64::MIN], |[least, most], at| [least.min(at), most.max(at)])
}

/// A stroke's points; dashes count as the whole line.
fn points(path: &Path) -> Vec<Point> {
    let of = |segments: Vec<Segment>| {
        let first = segments.first().map(|s| s.start);
        let rest = segments.iter().flat_map(|s| s.flatten(CHORD)).collect::<Vec<_>>();
        first.into_iter().chain(rest).collect()
    };
    match path {
        Path::Closed(contour) => of(contour.segments().collect()),
        Path::Circle { center, radius } => {
            of(Contour::circle(*center, *radius).segments().collect())
        }
        Path::Open(vertices) => of(vertices
            .windows(2)
            .map(|w| Segment { start: w[0].at, end: w[1].at, bulge: w[0].bulge })
            .collect()),
    }
}

fn stroke(line: Line, path: &Path) -> Vec<Black> {
    let ends = points(path);
    let steps = ends.windows(2).filter(|w| w[0] != w[1]);
    steps.map(|w| Black::line(w[0], w[1], line.style().width)).collect()
}

/// Whether two straight lines cross, not only touch.
fn cross(a: [Point; 2], b: [Point; 2]) -> bool {
    let parted = |[from, to]: [Point; 2], ends: [Point; 2]| {
        let [one, other] = ends.map(|end| (to - from).normalize().cross(end - from));
        one.min(other) < -FELT && one.max(other) > FELT
    };
    parted(a, b) && parted(b, a)
}

/// Where something on a drawing cannot be read: what meets which text, and where; which leaders cross.
pub fn met(drawing: &Drawing) -> Vec<String> {
    let mut texts: Vec<(&Text, Black)> = Vec::new();
    let mut blacks: Vec<(&str, Vec<Black>)> = Vec::new();
    let mut leaders: Vec<[Point; 2]> = Vec::new();
    for item in &drawing.items {
        match item {
            Item::Text(text) => texts.extend(Black::text(text).map(|black| (text, black))),
            Item::Shade(_) => {}
            Item::Fill(contour) => blacks.push(("fill", vec![Black::new(contour.flatten(CHORD))])),
            Item::Stroke { line, path } => blacks.push((line.style().layer, stroke(*line, path))),
        }
        if let Item::Stroke { line: Line::Leader, path } = item {
            leaders.extend(points(path).windows(2).map(|w| [w[0], w[1]]));
        }
    }
    let mut met = Vec::new();
    for (i, (text, area)) in texts.iter().enumerate() {
        let at = format!("at {:.1} {:.1}", text.at.x, text.at.y);
        for (other, _) in texts[i + 1..].iter().filter(|(_, other)| other.meets(area)) {
            met.push(format!("text: {:?} meets {:?} {at}", other.text, text.text));
        }
        for (what, _) in blacks.iter().filter(|(_, all)| all.iter().any(|b| b.meets(area))) {
            met.push(format!("{what}: meets {:?} {at}", text.text));
        }
    }
    for (i, one) in leaders.iter().enumerate() {
        for other in leaders[i + 1..].iter().filter(|other| cross(*one, **other)) {
            met.push(format!("leaders: cross near {:.1} {:.1}", other[0].x, other[0].y));
        }
    }
    met
}

/// All that is drawn of one project, each with what it is.
#[derive(Default)]
struct Drawn(Vec<(String, Drawing)>);

impl Drawn {
    fn patterns(&mut self, holder: &Holder, units: Units) {
        for part in &holder.parts {
            let name = format!("pattern {} {} {}", holder.style, part.name, units.symbol());
            let letters: Vec<String> = (0..part.quantity()).map(|n| format!("A{n}")).collect();
            let letters: Vec<&str> = letters.iter().map(String::as_str).collect();
            let notes = PatternNotes {
                holder_title: &holder.title,
                letters: &letters,
                tools: &holder.tools,
                serves: &[],
            };
            self.0.push((name, pattern(part, units, notes)));
        }
    }

    /// What is printed at full size: each drawing, and what of all of them comes on each page.
    fn pages(&mut self, holder: &Holder, paper: Paper) {
        let printer = Printer { paper, ..Printer::default() };
        let letters = vec![vec!["AB"]; holder.parts.len()];
        let (title, units, parts) = (&holder.title, holder.units, &holder.parts);
        let all = Printable { title, units, parts, tools: &holder.tools, letters: &letters };
        let Paged { pages, drawings, .. } = paged(all, Patterns::Shaped, &printer).unwrap();
        let name = format!("page {} {}", holder.style, holder.name);
        for page in &pages {
            let seen = |window: &Window| {
                let shift = Affine::translate(window.at - window.source.origin());
                let items = drawings[window.pattern].items.iter().chain(&window.seams);
                items.map(|item| item.transformed(shift)).collect::<Vec<_>>()
            };
            // A text at a seam that is seen whole on the other page is left out.
            let whole = |item: &Item| match item {
                Item::Text(text) => {
                    Black::text(text).is_none_or(|t| page.room.contains_rect(t.bounds))
                }
                _ => true,
            };
            let items = page.windows.iter().flat_map(seen).filter(whole).collect();
            let (width, height) = (page.paper.width, page.paper.height);
            self.0.push((name.clone(), Drawing { title: name.clone(), width, height, items }));
        }
    }

    /// The whole and each step.
    fn pictures(&mut self, holder: &Holder) {
        let (solids, letters) = (wood_solids(holder), vec![vec!["AB"]; holder.parts.len()]);
        let pictured = Pictured { holder, solids: &solids, letters: &letters };
        let named = |what: &str| format!("{what} {} {}", holder.style, holder.name);
        self.0.extend(drawing::whole(&pictured).map(|drawing| (named("whole"), drawing)));
        self.0.extend(drawing::views(&pictured).map(|drawing| (named("views"), drawing)));
        let steps = drawing::steps(&pictured).into_iter().enumerate();
        self.0
            .extend(steps.filter_map(|(i, step)| Some((named(&format!("step {}", i + 1)), step?))));
    }

    fn sheets(&mut self, plan: &RouterPlan, milling: &Milling, shop: &Shop) {
        let (zero, units) = (shop.router_run.zero, shop.units);
        for (sheet, jobs) in plan.sheets.iter().zip(&milling.sheets) {
            let back = jobs.back.as_ref().map(|job| (true, job));
            for (back, job) in [(false, &jobs.front)].into_iter().chain(back) {
                let plan = SheetPlan { sheet, job, back, zero, units };
                self.0.push((format!("sheet {}", sheet.file), drawing::sheet(&plan, SCREEN)));
            }
            let told = job(sheet, jobs, shop, JobFiles { units, by_center: false });
            let room = kurbo::Size::new(190.0, 250.0);
            let plan = SheetPlan { sheet, job: &jobs.front, back: false, zero, units };
            let plan = self::sheet(&plan, room.width - 20.0);
            let first = room.height - plan.height;
            let mut pages =
                drawing::written(&told.title, &plain::lines(&told), room, first).into_iter();
            let stacked = match pages.next().flatten() {
                Some(text) => drawing::stacked(plan, text),
                None => plan,
            };
            let pages = std::iter::once(stacked).chain(pages.flatten());
            self.0.extend(pages.map(|page| (format!("job {}", sheet.file), page)));
        }
    }

    fn sawn(&mut self, plan: &CuttingPlan, units: Units) {
        for (index, sheet) in plan.sheets.iter().enumerate() {
            self.0.push((format!("sawn {}", sheet.file), sawn(plan, index, units, SCREEN)));
        }
    }

    /// Tells all that meets, if anything does.
    #[track_caller]
    fn check(&self) {
        let all: Vec<String> = self
            .0
            .iter()
            .flat_map(|(name, drawing)| {
                met(drawing).into_iter().map(move |m| format!("{name}: {m}"))
            })
            .collect();
        assert!(!self.0.is_empty());
        assert!(all.is_empty(), "{} in {} drawings\n{}", all.len(), self.0.len(), all.join("\n"));
    }
}

#[test]
fn a_measure_that_can_fail() {
    let text = |x: f64, text: &str| {
        Item::Text(Text {
            at: Point::new(x, 10.0),
            text: text.to_owned(),
            size: 3.0,
            anchor: Anchor::Middle,
            turn: 0.0,
            bold: false,
        })
    };
    let line = |line: Line, from: (f64, f64), to: (f64, f64)| Item::Stroke {
        line,
        path: Path::line(from.into(), to.into()),
    };
    let count = |items: Vec<Item>| {
        met(&Drawing { title: String::new(), width: 50.0, height: 50.0, items }).len()
    };
    // Capitals are 0.729 em high in this face: 2.19 mm.
    assert_eq!(count(vec![text(10.0, "HHH"), line(Line::Scribe, (0.0, 9.7), (50.0, 9.7))]), 0);
    assert_eq!(count(vec![text(10.0, "HHH"), line(Line::Scribe, (0.0, 12.5), (50.0, 12.5))]), 0);
    assert_eq!(count(vec![text(10.0, "HHH"), line(Line::Scribe, (0.0, 12.1), (50.0, 12.1))]), 1);
    assert_eq!(count(vec![text(10.0, "HHH"), line(Line::Scribe, (10.0, 11.0), (10.1, 11.0))]), 1);
    assert_eq!(count(vec![text(10.0, "HHH"), text(12.0, "HHH")]), 1);
    assert_eq!(count(vec![text(10.0, "HHH"), text(20.0, "HHH")]), 0);
    let leaders = [((0.0, 0.0), (9.0, 9.0)), ((0.0, 9.0), (9.0, 0.0)), ((0.0, 0.0), (9.0, 1.0))];
    assert_eq!(count(leaders.map(|(a, b)| line(Line::Leader, a, b)).to_vec()), 2);
}

#[test]
fn sample_parts_are_legible() {
    let mut drawn = Drawn::default();
    for part in parts::all() {
        for units in [Units::Inches, Units::Millimeters] {
            let notes = PatternNotes {
                holder_title: "Sash clamps",
                letters: &["C", "D"],
                ..PatternNotes::default()
            };
            drawn.0.push((format!("pattern {}", part.name), pattern(&part, units, notes)));
        }
    }
    drawn.check();
}

#[test]
fn the_sample_is_legible() {
    let (worked, mut drawn) = (folder::sample(), Drawn::default());
    for worked in &worked.holders {
        drawn.patterns(&worked.holder, Units::Inches);
        drawn.patterns(&worked.holder, Units::Millimeters);
        drawn.pictures(&worked.holder);
    }
    let (plans, shop) = (&worked.plans, &worked.shop);
    drawn.sheets(&plans.router, &plans.milling, shop);
    drawn.sawn(&plans.cutting, shop.units);
    drawn.check();
}

#[test]
fn pages_of_the_sample_are_legible() {
    let mut drawn = Drawn::default();
    for worked in &folder::sample().holders {
        drawn.pages(&worked.holder, Paper::Letter);
        drawn.pages(&worked.holder, Paper::A4);
    }
    drawn.check();
}

#[test]
fn pages_of_any_holder_are_legible() {
    let mut drawn = Drawn::default();
    for (holder, _) in &any_holders(HOLDERS) {
        drawn.pages(holder, Paper::Letter);
    }
    drawn.check();
}

/// Holders of every style, of measures and choices from all over their ranges, the same at each run.
fn any_holders(count: usize) -> Vec<(Holder, Shop)> {
    let library = Library::built_in();
    let styles = library.names().map(|name| library.style(name).unwrap().unwrap());
    styles.flat_map(|style| by_lot(&style, count)).collect()
}

#[test]
fn any_holder_is_legible() {
    let mut drawn = Drawn::default();
    for (i, (holder, _)) in any_holders(HOLDERS).iter().enumerate() {
        let units = if i % 2 == 0 { Units::Inches } else { Units::Millimeters };
        drawn.patterns(holder, units);
        drawn.pictures(holder);
    }
    drawn.check();
}

/// Walls of a few random holders each, some of them made by router, some by hand.
#[test]
fn plans_of_any_project_are_legible() {
    let mut drawn = Drawn::default();
    let (holders, shops): (Vec<Holder>, Vec<Shop>) = any_holders(PLANNED).into_iter().unzip();
    for (i, wall) in holders.chunks(9).enumerate() {
        let shop = &shops[i];
        let wall: Vec<Arc<Holder>> = [MadeBy::Router, MadeBy::Hand]
            .into_iter()
            .zip(wall.chunks(5))
            .flat_map(|(made_by, holders)| holders.iter().map(move |h| (made_by, h)))
            .map(|(made_by, holder)| {
                let mut holder = holder.clone();
                holder.parts.iter_mut().for_each(|part| part.made_by = made_by);
                Arc::new(holder)
            })
            .collect();
        let router = crate::router::plan(&wall, shop);
        drawn.sheets(&router, &milling(&router.sheets, shop), shop);
        let plan = crate::cutting::plan(&wall, shop, &router, Budget { steps: 100_000 });
        drawn.sawn(&plan, shop.units);
    }
    drawn.check();
}
