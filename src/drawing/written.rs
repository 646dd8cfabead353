//! Words on paper: lines of text as drawings no larger than a page has room for.

use kurbo::{Affine, Point, Size};

use super::Drawing;
use super::canvas::{Canvas, Label};
use super::table::{NOTE, wrap};

/// A line of text before it is broken to the width of a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum TextLine {
    Title(String),
    Heading(String),
    Plain(String),
    /// A mark that hangs before it, and what it says.
    Item(String, String),
}

/// Letter sizes in mm.
const TITLE: f64 = 5.0;
const HEADING: f64 = 4.2;

/// From one baseline to the next, in letter sizes.
const LEADING: f64 = 1.45;

/// Width of the marks' column in mm.
const MARKS: f64 = 6.0;

/// White before a heading and between lines, in mm.
const BEFORE_HEADING: f64 = 2.5;
const BETWEEN: f64 = 0.8;

/// White round the whole that [`Canvas::into_drawing`] leaves, and a little more, in mm.
const AROUND: f64 = 12.0;

/// `lines` set one below the other in as many drawings as it takes, none larger than `room`, the first no higher than
/// `first`: none where not even a line has room in that.
pub(crate) fn written(
    title: &str,
    lines: &[TextLine],
    room: Size,
    first: f64,
) -> Vec<Option<Drawing>> {
    let set: Vec<SetLine> =
        lines.iter().map(|line| SetLine::new(line, room.width - AROUND)).collect();
    let mut pages: Vec<Vec<&SetLine>> = vec![Vec::new()];
    let mut left = first - AROUND;
    for line in &set {
        if line.height() > left {
            pages.push(Vec::new());
            left = room.height - AROUND;
        }
        left -= line.height();
        if let Some(page) = pages.last_mut() {
            page.push(line);
        }
    }
    pages.iter().map(|page| (!page.is_empty()).then(|| drawn(title, page))).collect()
}

/// One drawing above another, flush left, as one.
pub(crate) fn stacked(above: Drawing, below: Drawing) -> Drawing {
    let up = Affine::translate((0.0, below.height));
    let raised = above.items.iter().map(|item| item.transformed(up));
    Drawing {
        title: above.title,
        width: above.width.max(below.width),
        height: above.height + below.height,
        items: raised.chain(below.items).collect(),
    }
}

fn drawn(title: &str, page: &[&SetLine]) -> Drawing {
    let mut canvas = Canvas::default();
    let mut y = 0.0;
    for line in page {
        line.draw(&mut canvas, y);
        y -= line.height();
    }
    canvas.into_drawing(title.to_owned())
}

/// A line broken to the width there is.
struct SetLine {
    mark: Option<Label>,
    lines: Vec<Label>,
    /// White before it, in mm.
    before: f64,
}

impl SetLine {
    fn new(line: &TextLine, width: f64) -> Self {
        let (mark, text, size, bold, before) = match line {
            TextLine::Title(text) => (None, text, TITLE, true, 0.0),
            TextLine::Heading(text) => (None, text, HEADING, true, BEFORE_HEADING),
            TextLine::Plain(text) => (None, text, NOTE, false, BETWEEN),
            TextLine::Item(mark, text) => (Some(mark), text, NOTE, false, BETWEEN),
        };
        let room = if mark.is_some() { width - MARKS } else { width };
        let label = |text: String| {
            let label = Label::new(text, size);
            if bold { label.bold() } else { label }
        };
        Self {
            mark: mark.map(|mark| Label::new(mark.clone(), size)),
            lines: wrap(text, size, bold, room).into_iter().map(label).collect(),
            before,
        }
    }

    fn pitch(&self) -> f64 {
        self.lines.first().map_or(NOTE, |line| line.size) * LEADING
    }

    fn height(&self) -> f64 {
        self.before + self.pitch() * self.lines.len() as f64
    }

    /// Draws it below `top`.
    fn draw(&self, canvas: &mut Canvas, top: f64) {
        let left = if self.mark.is_some() { MARKS } else { 0.0 };
        let mut y = top - self.before;
        for (i, line) in self.lines.iter().enumerate() {
            y -= self.pitch();
            if let (0, Some(mark)) = (i, &self.mark) {
                canvas.write_from(mark, Point::new(0.0, y));
            }
            canvas.write_from(line, Point::new(left, y));
        }
    }
}
