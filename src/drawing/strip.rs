//! Marking strips: all places along an edge of a plain part at full size, on a narrow strip to lay on the wood.
//!
//! A strip lies along the part's length, another up its width. What stands at a place is told by the letter of the hole,
//! as on a pattern, and the number of the line that it stands on: lines are scribed along the part first, at the heights
//! that the strip up the width has.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Point, Rect, Vec2};

use super::canvas::{Canvas, Label};
use super::dimension::FIGURE;
use super::near::WoodArea;
use super::pattern::PatternNotes;
use super::printed::title;
use super::seam_mark::seam_mark;
use super::table::{NOTE, wrap};
use super::{Drawing, Line, cap_height, facts, legend, letters, words};
use crate::holder::{Edge, Face, MarkKind, Part};
use crate::length::Units;
use crate::tolerance::COORDINATE;

/// Height of a mark, of one at an end, and of the bend of a leader above it, in mm.
const TICK: f64 = 6.0;
const END: f64 = 9.0;
const BEND: f64 = 9.5;

/// White between two labels, and between a leader and its label, in mm.
const APART: f64 = 1.4;

/// How far a label that reads level may stand aside from its place, in mm: else all read upward.
const ASIDE: f64 = 9.0;

/// What the meaning of a letter says of the back.
const ON_BACK: &str = "the back";

/// A code longer than this, in mm, is told in the notes.
const LONG: f64 = 40.0;

/// Letter size of notes, and from one baseline to the next, in mm.
const SMALL: f64 = 2.8;
const PITCH: f64 = 4.0;

/// What a strip is cut at where it is longer than a page: whole marks of a tape, in inches and in mm.
const MARKS: (f64, f64) = (0.5, 10.0);

/// How far a joint keeps from what is marked, in mm.
const FROM_JOINT: f64 = 7.0;

/// How high the notes above a strip may stand, in mm: more of them stand by themselves.
const MOST_NOTES: f64 = 110.0;

/// A piece of a marking strip.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PrintedStrip {
    pub drawing: Drawing,
    /// What it shows; `None` where it only tells.
    pub shows: Option<StripSpan>,
}

/// Which places of a part a piece of a strip has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StripSpan {
    /// Whether it lies up the part's width, not along its length.
    pub up: bool,
    /// From seam to seam, in mm of the part.
    pub from: f64,
    pub to: f64,
    /// Where the place 0 on the wood's edge would lie in the drawing.
    pub origin: Vec2,
}

/// The strips of a plain part before they are cut to any paper; `None` for a part that nothing is marked on.
pub(crate) fn marked_strips(
    part: &Part,
    units: Units,
    notes: PatternNotes<'_>,
) -> Option<MarkedStrips> {
    let mut marked = Marked::on(part, units);
    let along = marked.along(part, units);
    if along.stations.is_empty() && marked.across.is_empty() {
        return None;
    }
    let up = marked.up(part, units);
    let (title, head) = (title(part, notes.holder_title), marked.head(part, units, notes));
    Some(MarkedStrips { units, title, head, along, up })
}

/// All that the strips of a part say.
pub(crate) struct MarkedStrips {
    units: Units,
    /// What the part is called.
    title: String,
    /// What stands above the first piece.
    head: Vec<Label>,
    /// Along the length, and up the width.
    along: Strip,
    up: Strip,
}

impl MarkedStrips {
    /// The strips, each in pieces no wider than `width` mm of which neighbors have `overlap` mm in common.
    pub(crate) fn cut(&self, width: f64, overlap: f64) -> Vec<PrintedStrip> {
        let cutting = Cutting { width, overlap, units: self.units, title: &self.title };
        let (alone, head) = cutting.notes(&self.head);
        let told = alone.into_iter().map(|canvas| (canvas, None));
        let shown = |up| {
            move |(canvas, (from, to)): (Canvas, (f64, f64))| {
                (canvas, Some(StripSpan { up, from, to, origin: Vec2::ZERO }))
            }
        };
        let along = cutting.pieces(&self.along, &head).into_iter().map(shown(false));
        let nothing = self.up.stations.is_empty();
        let up = if nothing { Vec::new() } else { cutting.pieces(&self.up, &[]) };
        told.chain(along)
            .chain(up.into_iter().map(shown(true)))
            .map(|of| self.printed(of))
            .collect()
    }

    fn printed(&self, (canvas, span): (Canvas, Option<StripSpan>)) -> PrintedStrip {
        let (drawing, shift) = canvas.into_tight(format!("{}, marking strip", self.title));
        let at = |span: StripSpan| shift - Vec2::new(span.from, 0.0);
        let shows = span.map(|span| StripSpan { origin: at(span), ..span });
        PrintedStrip { drawing, shows }
    }
}

/// A place along a strip.
#[derive(Debug, Clone, PartialEq)]
struct Place {
    at: f64,
    /// What is there, and on which line.
    code: (String, Option<usize>),
}

/// What is marked on a part, and what it is called.
struct Marked {
    /// Letter and meaning.
    kinds: Vec<(String, String)>,
    /// Codes without their line, where and on which height.
    holes: Vec<(Point, String)>,
    /// Heights of lines that holes stand on, ascending.
    lines: Vec<f64>,
    /// Places along the length that are no holes: edges of what lands there, lines, screws in an edge.
    along: Vec<Place>,
    /// The same up the width.
    across: Vec<Place>,
}

impl Marked {
    fn on(part: &Part, units: Units) -> Self {
        let wood = WoodArea::new(&part.region);
        let holes = legend::kinds(part, units, &wood);
        let places =
            holes.iter().flat_map(|kind| kind.at.iter().map(|at| (*at, kind.letter.clone())));
        let mut marked = Self {
            kinds: holes.iter().map(|kind| (kind.letter.clone(), kind.text.clone())).collect(),
            holes: places.collect(),
            lines: Vec::new(),
            along: Vec::new(),
            across: Vec::new(),
        };
        marked.lines = ascending(marked.holes.iter().map(|(at, _)| at.y));
        marked.take_marks(part);
        marked
    }

    fn take_marks(&mut self, part: &Part) {
        let area = part.region.bounds();
        for mark in &part.marks {
            let said = words::mark(mark).into_owned();
            match mark.kind {
                MarkKind::Footprint { area: foot, face } => {
                    let face = if face == Face::Back { ", on the back" } else { "" };
                    let letter = self.letter(&format!("edge of where this lands: {said}{face}"));
                    let ends = |a: f64, b: f64, far: f64| {
                        [a, b]
                            .into_iter()
                            .filter(move |at| *at > COORDINATE && *at < far - COORDINATE)
                    };
                    let place = |at| Place { at, code: (letter.clone(), None) };
                    self.along.extend(ends(foot.x0, foot.x1, area.x1).map(place));
                    self.across.extend(ends(foot.y0, foot.y1, area.y1).map(place));
                }
                MarkKind::EdgeScrew { from, .. } => {
                    let edge = edge_at(from, area);
                    let text =
                        format!("{said} in the {} edge, middle of the thickness", edge.word());
                    let code = (self.letter(&text), None);
                    match edge {
                        Edge::Left | Edge::Right => self.across.push(Place { at: from.y, code }),
                        Edge::Top | Edge::Bottom => self.along.push(Place { at: from.x, code }),
                    }
                }
                MarkKind::Center { from, to }
                | MarkKind::Saw { from, to }
                | MarkKind::Scribe { from, to } => {
                    let said = match (said.is_empty(), &mark.kind) {
                        (true, MarkKind::Center { .. }) => "center line".to_owned(),
                        (true, _) => "line to scribe".to_owned(),
                        (false, _) => format!("line: {said}"),
                    };
                    let code = (self.letter(&said), None);
                    if (from.x - to.x).abs() < COORDINATE {
                        self.along.push(Place { at: from.x, code });
                    } else {
                        self.across.push(Place { at: from.y, code });
                    }
                }
            }
        }
    }

    /// The letter that means `text`, a new one where none does.
    fn letter(&mut self, text: &str) -> String {
        if let Some((letter, _)) = self.kinds.iter().find(|(_, known)| known == text) {
            return letter.clone();
        }
        let letter = legend::small_letter(self.kinds.len());
        self.kinds.push((letter.clone(), text.to_owned()));
        letter
    }

    /// The strip along the length.
    fn along(&mut self, part: &Part, units: Units) -> Strip {
        let many = self.lines.len() > 1;
        let line = |y: f64| self.lines.iter().position(|line| near(*line, y)).map(|i| i + 1);
        let hole = |(at, letter): &(Point, String)| Place {
            at: at.x,
            code: (letter.clone(), line(at.y).filter(|_| many)),
        };
        let places = self.holes.iter().map(hole).chain(self.along.iter().cloned()).collect();
        let mut stations = gathered(places);
        for (_, code) in &mut stations {
            if Label::new(code.as_str(), FIGURE).run() > LONG {
                *code = self.letter(&format!("here stand {code}"));
            }
        }
        Strip::new(part.length(), stations, units, ["left end", "right end"])
    }

    /// The strip up the width.
    fn up(&self, part: &Part, units: Units) -> Strip {
        let many = self.lines.len() > 1;
        let line = |(i, at): (usize, &f64)| {
            let name = if many { "line " } else { "line of holes" };
            Place { at: *at, code: (name.to_owned(), many.then_some(i + 1)) }
        };
        let lines = self.lines.iter().enumerate().map(line);
        let places = lines.chain(self.across.iter().cloned()).collect();
        Strip::new(part.width(), gathered(places), units, ["bottom edge", "top edge"])
    }

    /// What stands above the first piece.
    fn head(&self, part: &Part, units: Units, notes: PatternNotes<'_>) -> Vec<Label> {
        let PatternNotes { holder_title, letters: pieces, serves, .. } = notes;
        let named = |edge: Edge| {
            let names: Vec<&str> =
                part.edges.iter().filter(|e| e.edge == edge).map(|e| e.label.as_str()).collect();
            let names: Vec<&str> =
                names.into_iter().filter(|name| *name != format!("{} edge", edge.word())).collect();
            if names.is_empty() { String::new() } else { format!(" ({})", names.join(", ")) }
        };
        let facts = [
            facts::stock(part, units),
            facts::size(part, units),
            facts::bevel(part, units).unwrap_or_default(),
        ];
        let facts: Vec<String> = facts.into_iter().filter(|fact| !fact.is_empty()).collect();
        let pieces = letters::pieces(part, pieces);
        let face = match part.on_wall() {
            Some(Face::Show) => "the face that goes against the wall",
            Some(Face::Back) => "the face away from the wall",
            None => "the show face",
        };
        let lay = format!(
            "Lay it on {face}, along the bottom edge{}, 0 at the left end{}.",
            named(Edge::Bottom),
            named(Edge::Left)
        );
        let lines = match self.lines.as_slice() {
            [] => String::new(),
            [one] => format!(" Scribe a line for the holes {} up first.", units.length(*one)),
            _ => " Scribe the numbered lines of the short strip first: a2 is a hole a on line 2."
                .to_owned(),
        };
        let behind = self.kinds.iter().filter(|(_, text)| text.contains(ON_BACK));
        let behind: Vec<&str> = behind.map(|(letter, _)| letter.as_str()).collect();
        let over = match behind.as_slice() {
            [] => String::new(),
            letters => format!(
                " On the other face: {}. Square their marks over the edge, and measure their lines there.",
                letters.join(", ")
            ),
        };
        let kinds = self.kinds.iter().map(|(letter, text)| format!("{letter}: {text}"));
        let small = |text: String| Label::new(text, SMALL);
        let caution = part.caution().map(|caution| small(caution.to_owned()).bold());
        std::iter::once(Label::new(format!("{}, {pieces}", title(part, holder_title)), NOTE).bold())
            .chain([small(facts.join(" · ")), small(format!("{lay}{lines}{over}"))])
            .chain(serves.iter().cloned().map(small))
            .chain(kinds.map(small))
            .chain(caution)
            .collect()
    }
}

/// Places at one spot together, ascending: each letter once, with the lines it stands on.
fn gathered(mut places: Vec<Place>) -> Vec<(f64, String)> {
    places.sort_by(|a, b| a.at.total_cmp(&b.at));
    let spots = places.chunk_by(|a, b| near(a.at, b.at));
    let told = spots.map(|spot| {
        let mut codes: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
        for Place { code: (letter, line), .. } in spot {
            codes.entry(letter).or_default().extend(line);
        }
        let codes = codes.iter().map(|(letter, lines)| format!("{letter}{}", ranges(lines)));
        (spot[0].at, codes.collect::<Vec<_>>().join(" "))
    });
    told.collect()
}

/// `1–3,5`
fn ranges(numbers: &BTreeSet<usize>) -> String {
    let numbers: Vec<usize> = numbers.iter().copied().collect();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [first, _, .., last] => format!("{first}–{last}"),
        run => run.iter().map(usize::to_string).collect::<Vec<_>>().join(","),
    });
    runs.collect::<Vec<_>>().join(",")
}

/// The edge that a point lies on.
fn edge_at(at: Point, area: Rect) -> Edge {
    let off = [
        (Edge::Left, at.x - area.x0),
        (Edge::Right, area.x1 - at.x),
        (Edge::Bottom, at.y - area.y0),
        (Edge::Top, area.y1 - at.y),
    ];
    let nearest = off.into_iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    nearest.map_or(Edge::Bottom, |(edge, _)| edge)
}

fn ascending(places: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut places: Vec<f64> = places.collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| near(*a, *b));
    places
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.01
}

/// A label on its way to a place beside others.
#[derive(Debug, Clone)]
struct Station {
    at: f64,
    /// How far it is from the beginning, as the tape reads.
    figure: Label,
    code: Label,
}

impl Station {
    fn new((at, code): (f64, String), units: Units) -> Self {
        let figure = Label::new(units.bare_length(at), FIGURE);
        Self { at, figure, code: Label::new(code, FIGURE).bold() }
    }

    /// What it takes along the strip.
    fn room(&self, upright: bool) -> f64 {
        if upright { FIGURE } else { self.figure.run().max(self.code.run()) }
    }

    /// What it takes above the leaders.
    fn rise(&self, upright: bool) -> f64 {
        if upright { self.figure.run() + 2.0 + self.code.run() } else { 2.0 * PITCH }
    }
}

/// All places along one edge of a part.
struct Strip {
    length: f64,
    /// Ascending.
    stations: Vec<Station>,
    /// What its ends are called.
    ends: [&'static str; 2],
    upright: bool,
}

impl Strip {
    fn new(
        length: f64,
        stations: Vec<(f64, String)>,
        units: Units,
        ends: [&'static str; 2],
    ) -> Self {
        let stations: Vec<Station> = stations.into_iter().map(|s| Station::new(s, units)).collect();
        let aside = side_by_side(&stations, false);
        let upright = stations.iter().zip(aside).any(|(s, at)| (s.at - at).abs() > ASIDE);
        Self { length, stations, ends, upright }
    }
}

/// Where the middles of labels stand, as near to their places as leaves them apart.
fn side_by_side(stations: &[Station], upright: bool) -> Vec<f64> {
    // Runs of labels that push one another apart, each with the middle of its places in its own middle.
    struct Run {
        wanted: f64,
        rooms: Vec<f64>,
    }
    impl Run {
        fn width(&self) -> f64 {
            self.rooms.iter().sum()
        }
        fn from(&self) -> f64 {
            self.wanted / self.rooms.len() as f64 - self.width() / 2.0
        }
    }
    let mut runs: Vec<Run> = Vec::new();
    for station in stations {
        let mut run = Run { wanted: station.at, rooms: vec![station.room(upright) + APART] };
        while let Some(before) = runs.pop_if(|before| before.from() + before.width() > run.from()) {
            let rooms = [before.rooms, run.rooms].concat();
            run = Run { wanted: before.wanted + run.wanted, rooms };
        }
        runs.push(run);
    }
    let middles = runs.iter().flat_map(|run| {
        let mut at = run.from();
        run.rooms.iter().map(move |room| {
            at += room;
            at - room / 2.0
        })
    });
    middles.collect()
}

/// How strips are cut to the paper.
struct Cutting<'t> {
    width: f64,
    overlap: f64,
    units: Units,
    /// What the part is called.
    title: &'t str,
}

impl Cutting<'_> {
    /// Notes broken to the width: those that stand by themselves, and the last of them, which stand above a strip.
    fn notes(&self, notes: &[Label]) -> (Vec<Canvas>, Vec<Label>) {
        let width = self.width - 2.0;
        let lines = notes.iter().flat_map(|label| {
            let broken = wrap(&label.text, label.size, label.bold, width);
            broken.into_iter().map(|text| Label { text, ..label.clone() })
        });
        let lines: Vec<Label> = lines.collect();
        let most = (MOST_NOTES / PITCH) as usize;
        let mut blocks: Vec<&[Label]> = lines.chunks(most).collect();
        let last = blocks.pop().unwrap_or_default().to_vec();
        let alone = blocks.into_iter().map(|block| {
            let mut canvas = Canvas::default();
            write_lines(&mut canvas, block, Point::ORIGIN);
            canvas
        });
        (alone.collect(), last)
    }

    /// The pieces of a strip from its beginning on, the first below `head`, and from where to where each is.
    fn pieces(&self, strip: &Strip, head: &[Label]) -> Vec<(Canvas, (f64, f64))> {
        let joints = self.joints(strip);
        let ends: Vec<f64> =
            std::iter::once(0.0).chain(joints).chain(std::iter::once(strip.length)).collect();
        let count = ends.len() - 1;
        let pieces = ends.windows(2).enumerate().map(|(i, ends)| StripPiece {
            strip,
            from: ends[0],
            to: ends[1],
            number: (i + 1, count),
            past: self.overlap / 2.0,
        });
        let printed = pieces.filter(|piece| piece.begins() || piece.ends() || !piece.is_blank());
        let drawn = printed.map(|piece| {
            let head = if piece.begins() { head } else { &[] };
            (piece.draw(self, head), (piece.from, piece.to))
        });
        drawn.collect()
    }

    /// Where a strip is cut: at whole marks of the tape, clear of what is marked.
    fn joints(&self, strip: &Strip) -> Vec<f64> {
        let most = self.width - 2.0;
        if strip.length <= most {
            return Vec::new();
        }
        let mark = self.units.either(MARKS.0, MARKS.1);
        let step = ((most - self.overlap) / mark).floor().max(1.0) * mark;
        let clear = |at: &f64| !strip.stations.iter().any(|s| (s.at - at).abs() < FROM_JOINT);
        let mut joints = Vec::new();
        let mut from = 0.0;
        while strip.length - from > step {
            let marks =
                (0..(step / mark / 2.0) as u32).map(|back| from + step - f64::from(back) * mark);
            from = marks.into_iter().find(clear).unwrap_or(from + step);
            joints.push(from);
        }
        joints
    }
}

/// What of a strip is printed in one piece, from seam to seam.
struct StripPiece<'s> {
    strip: &'s Strip,
    from: f64,
    to: f64,
    number: (usize, usize),
    /// How far it goes on past a seam.
    past: f64,
}

impl StripPiece<'_> {
    fn draw(&self, cutting: &Cutting<'_>, head: &[Label]) -> Canvas {
        let mut canvas = Canvas::default();
        let low = if self.begins() { self.from } else { self.from - self.past };
        let high = if self.ends() { self.to } else { self.to + self.past };
        canvas.line(Line::Outline, self.at(low, 0.0), self.at(high, 0.0));
        self.draw_ends(&mut canvas, cutting.units);
        for station in self.own() {
            canvas.line(Line::Scribe, self.at(station.at, 0.0), self.at(station.at, TICK));
        }
        let top = self.write_stations(&mut canvas);
        self.write_head(&mut canvas, cutting, head, top);
        canvas
    }

    fn at(&self, along: f64, up: f64) -> Point {
        Point::new(along - self.from, up)
    }

    /// What is marked between the joints.
    fn own(&self) -> impl Iterator<Item = &Station> {
        self.strip.stations.iter().filter(|s| s.at >= self.from && (s.at < self.to || self.ends()))
    }

    fn is_blank(&self) -> bool {
        self.own().next().is_none()
    }

    fn begins(&self) -> bool {
        self.number.0 == 1
    }

    fn ends(&self) -> bool {
        self.number.0 == self.number.1
    }

    /// A wide line at an end of the part; a seam with its mark, which both neighbors show, at any other.
    fn draw_ends(&self, canvas: &mut Canvas, units: Units) {
        for (along, is_end, aside) in
            [(self.from, self.begins(), 1.0), (self.to, self.ends(), -1.0)]
        {
            if is_end {
                canvas.line(Line::Outline, self.at(along, 0.0), self.at(along, END));
                continue;
            }
            canvas.line(Line::Seam, self.at(along, 0.0), self.at(along, END));
            canvas.take_items(seam_mark(self.at(along, TICK / 2.0)));
            let joint = Label::new(format!("joint {}", units.length(along)), SMALL);
            let center = self.at(along, -2.2) + Vec2::new(aside * joint.run() / 2.0, 0.0);
            canvas.write(&joint, center);
        }
    }

    /// The figures and letters of the places between the seams; how high they reach.
    fn write_stations(&self, canvas: &mut Canvas) -> f64 {
        let upright = self.strip.upright;
        let own: Vec<Station> = self.own().cloned().collect();
        let mut places = side_by_side(&own, upright);
        keep_within(&mut places, &own, upright, (self.from, self.to));
        for (station, middle) in own.iter().zip(places) {
            let foot = self.at(station.at, TICK);
            let head = self.at(middle, BEND);
            canvas.line(Line::Leader, foot, head);
            let up = BEND + APART;
            if upright {
                let label = |label: &Label| label.clone().upright(true);
                let figure = up + station.figure.run() / 2.0;
                canvas.write(&label(&station.figure), self.at(middle, figure));
                let code = up + station.figure.run() + 2.0 + station.code.run() / 2.0;
                canvas.write(&label(&station.code), self.at(middle, code));
            } else {
                let half = cap_height(FIGURE) / 2.0;
                canvas.write(&station.figure, self.at(middle, up + half));
                canvas.write(&station.code, self.at(middle, up + half + PITCH));
            }
        }
        let rise = own.iter().map(|station| station.rise(upright)).fold(0.0, f64::max);
        BEND + APART + rise
    }

    /// What it is, from where to where, below the notes.
    fn write_head(&self, canvas: &mut Canvas, cutting: &Cutting<'_>, head: &[Label], top: f64) {
        let (number, count) = self.number;
        let of = if count > 1 { format!(", piece {number} of {count}") } else { String::new() };
        let [from, to] = self.strip.ends;
        let way = format!("{from} (0) to {to}{of}");
        let whose = if head.is_empty() { format!("{}, {way}", cutting.title) } else { way };
        let lines = wrap(&whose, SMALL, head.is_empty(), cutting.width - 2.0);
        let own = lines.into_iter().map(|text| {
            let label = Label::new(text, SMALL);
            if head.is_empty() { label.bold() } else { label }
        });
        let lines: Vec<Label> = head.iter().cloned().chain(own).collect();
        let left = if self.begins() { 0.0 } else { -self.past };
        write_lines(canvas, &lines, Point::new(left, top + 2.2));
    }
}

/// Writes lines one below the other, the last with its baseline beginning at `foot`.
fn write_lines(canvas: &mut Canvas, lines: &[Label], foot: Point) {
    for (up, line) in lines.iter().rev().enumerate() {
        canvas.write_from(line, foot + Vec2::new(0.0, PITCH * up as f64));
    }
}

/// Moves labels in so that none stands out past the ends.
fn keep_within(places: &mut [f64], stations: &[Station], upright: bool, (from, to): (f64, f64)) {
    let half: Vec<f64> = stations.iter().map(|s| (s.room(upright) + APART) / 2.0).collect();
    let mut least = from - APART / 2.0;
    for (place, half) in places.iter_mut().zip(&half) {
        *place = place.max(least + half);
        least = *place + half;
    }
    let mut most = to + APART / 2.0;
    for (place, half) in places.iter_mut().zip(&half).rev() {
        *place = place.min(most - half);
        most = *place - half;
    }
}
