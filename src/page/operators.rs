//! What draws a page: operators of a content stream (ISO 32000-1, annex A), lengths in mm, y up.

use kurbo::{Rect, Vec2};

use super::lettering::Lettering;
use crate::drawing::{Line, Path, Text};
use crate::export::fixed::fixed;
use crate::kernel::{Contour, Segment};

/// Decimals of a length in mm: far finer than any printer.
const PLACES: usize = 3;
const FINE: f64 = 1000.0;

/// How far a curve may stand off its arc, in mm: less than half a dot of a printer of 2400 dots to the inch.
const OFF: f64 = 0.005;

/// Operators in the making. What is set already is not set again.
#[derive(Default)]
pub(super) struct Operators {
    bytes: Vec<u8>,
    set: DrawState,
}

/// What holds for all that is drawn next.
#[derive(Clone, Copy)]
struct DrawState {
    width: f64,
    dashes: &'static [f64],
    /// Of lines and of areas, from 0, black, to 255, white.
    tones: [u8; 2],
    /// Whether letters are bold, and their size.
    hand: Option<(bool, f64)>,
}

impl Default for DrawState {
    /// As at the start of a page (ISO 32000-1, table 52).
    fn default() -> Self {
        Self { width: 1.0, dashes: &[], tones: [0, 0], hand: None }
    }
}

impl Operators {
    pub(super) fn finish(self) -> Vec<u8> {
        self.bytes
    }

    /// Counts in `x` and `y` points to the mm from here on.
    pub(super) fn scale(&mut self, x: f64, y: f64) {
        /// Of a scale: a tenth of the last decimal of a length on any paper.
        const PLACES: usize = 7;
        self.figure(x, PLACES);
        self.word("0 0");
        self.figure(y, PLACES);
        self.word("0 0 cm");
    }

    /// What `draw` draws moved by `shift`, as far as it lies in `seen` then.
    pub(super) fn through(&mut self, seen: Rect, shift: Vec2, draw: impl FnOnce(&mut Self)) {
        /// Less than it is, lest a reader takes in one more row of dots, in mm.
        const HAIR: f64 = 0.001;
        let (before, seen) = (self.set, seen.inset(-HAIR));
        self.word("q");
        self.numbers([seen.x0, seen.y0, seen.width(), seen.height()]);
        self.word("re W n");
        if shift != Vec2::ZERO {
            self.word("1 0 0 1");
            self.numbers([shift.x, shift.y]);
            self.word("cm");
        }
        draw(self);
        self.word("Q");
        self.set = before;
    }

    /// A drawing that stands by itself in the document.
    pub(super) fn form(&mut self, name: &str) {
        self.word(&format!("/{name} Do"));
    }

    /// Lines of one kind, as one path.
    pub(super) fn stroke<'p>(&mut self, line: Line, paths: impl Iterator<Item = &'p Path>) {
        let style = line.style();
        if self.set.width != style.width {
            self.set.width = style.width;
            self.numbers([style.width]);
            self.word("w");
        }
        if self.set.dashes != style.dashes {
            self.set.dashes = style.dashes;
            self.word("[");
            self.numbers(style.dashes.iter().copied());
            self.word("] 0 d");
        }
        self.tone(0, style.ink.level());
        for path in paths {
            self.path(path);
        }
        self.word("S");
    }

    /// An area of one tone, from 0, black, to 255, white.
    pub(super) fn fill(&mut self, contour: &Contour, tone: u8) {
        self.tone(1, tone);
        self.closed(contour);
        self.word("f");
    }

    /// The tone of lines (0) or areas (1).
    fn tone(&mut self, of: usize, level: u8) {
        if self.set.tones[of] != level {
            self.set.tones[of] = level;
            self.numbers([f64::from(level) / 255.0]);
            self.word(["G", "g"][of]);
        }
    }

    /// Lines of text, which stay text.
    pub(super) fn texts<'t>(
        &mut self,
        lettering: &mut Lettering,
        texts: impl Iterator<Item = &'t Text>,
    ) {
        self.tone(1, 0);
        self.word("BT");
        // Where the line before begins, when it was level.
        let mut level = Some((0, 0));
        for text in texts {
            self.hand(text);
            level = self.begin_line(text, level);
            self.letters(lettering, text);
        }
        self.word("ET");
    }

    fn hand(&mut self, text: &Text) {
        let hand = Some((text.bold, text.size));
        if self.set.hand != hand {
            self.set.hand = hand;
            self.word(&format!("/{}", Lettering::name(text.bold)));
            self.numbers([text.size]);
            self.word("Tf");
        }
    }

    /// Moves to where a line begins, from where the one `before` it did; where that is, if it is level.
    fn begin_line(&mut self, text: &Text, before: Option<(i64, i64)>) -> Option<(i64, i64)> {
        let [cos, sin, _, _, x, y] = text.place().as_coeffs();
        let at = [x, y].map(|mm| (mm * FINE).round() as i64);
        let exact = |fine: i64| fine as f64 / FINE;
        let is_level = text.turn == 0.0;
        if let (true, Some((x, y))) = (is_level, before) {
            self.numbers([at[0] - x, at[1] - y].map(exact));
            self.word("Td");
        } else {
            [cos, sin, -sin, cos].into_iter().for_each(|part| self.figure(part, 5));
            self.numbers(at.map(exact));
            self.word("Tm");
        }
        is_level.then_some((at[0], at[1]))
    }

    fn letters(&mut self, lettering: &mut Lettering, text: &Text) {
        self.bytes.push(b'(');
        for letter in text.text.chars() {
            for byte in lettering.code(text.bold, letter).to_be_bytes() {
                match byte {
                    b'(' | b')' | b'\\' => self.bytes.extend([b'\\', byte]),
                    // Any end of a line in a string is read as a line feed (ISO 32000-1, 7.3.4.2).
                    b'\r' => self.bytes.extend(b"\\r"),
                    _ => self.bytes.push(byte),
                }
            }
        }
        self.word(")Tj");
    }

    fn path(&mut self, path: &Path) {
        match path {
            Path::Open(vertices) => {
                let ends = vertices.iter().zip(vertices.iter().skip(1));
                let segments =
                    ends.map(|(a, b)| Segment { start: a.at, end: b.at, bulge: a.bulge });
                self.trace(segments);
            }
            Path::Closed(contour) => self.closed(contour),
            Path::Circle { center, radius } => self.closed(&Contour::circle(*center, *radius)),
        }
    }

    fn closed(&mut self, contour: &Contour) {
        self.trace(contour.segments());
        self.word("h");
    }

    /// Segments one after the other.
    fn trace(&mut self, segments: impl Iterator<Item = Segment>) {
        for (at, segment) in segments.enumerate() {
            if at == 0 {
                self.numbers([segment.start.x, segment.start.y]);
                self.word("m");
            }
            let Some(arc) = segment.arc() else {
                self.numbers([segment.end.x, segment.end.y]);
                self.word("l");
                continue;
            };
            let round = Vec2::new(arc.radius, arc.radius);
            let arc = kurbo::Arc::new(arc.center, round, arc.start_angle, arc.sweep, 0.0);
            arc.to_cubic_beziers(OFF, |a, b, end| {
                self.numbers([a.x, a.y, b.x, b.y, end.x, end.y]);
                self.word("c");
            });
        }
    }

    fn numbers(&mut self, values: impl IntoIterator<Item = f64>) {
        values.into_iter().for_each(|value| self.figure(value, PLACES));
    }

    fn figure(&mut self, value: f64, places: usize) {
        fixed(value, places, |text| self.bytes.extend(text.as_bytes()));
        self.bytes.push(b' ');
    }

    fn word(&mut self, word: &str) {
        self.bytes.extend(word.as_bytes());
        self.bytes.push(b'\n');
    }
}
