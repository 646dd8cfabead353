//! What is wrong with the user's input, and how it is shown.

use std::fmt;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};

use super::excerpt::{can_be_shown, short};
use super::{Source, shown};

/// One thing that is wrong with the input: names file, line and key, says what is wrong and what
/// would be right. The file's line is shown below the message.
#[derive(Debug, Clone)]
pub struct Problem {
    inner: Box<Inner>,
}

#[derive(Debug, Clone)]
struct Inner {
    message: String,
    help: Option<String>,
    place: Option<Place>,
    /// What mends it; of several in one file with the same, the first is told.
    topic: Option<String>,
}

#[derive(Debug, Clone)]
struct Place {
    source: NamedSource<Arc<str>>,
    /// Whether the lines there are short enough to be shown.
    shown: bool,
    span: Range<usize>,
    line: usize,
}

impl Problem {
    /// A problem that lies in no file.
    pub fn plain(message: impl Into<String>) -> Self {
        let message = short(in_a_line(&message.into()));
        Self { inner: Box::new(Inner { message, help: None, place: None, topic: None }) }
    }

    /// A problem in `source` at the bytes `span`.
    pub fn at(source: &Source, span: Range<usize>, message: impl Into<String>) -> Self {
        let text = source.text();
        let start = floor_boundary(text, span.start);
        let end = floor_boundary(text, span.end).max(start);
        let line = text[..start].matches('\n').count() + 1;
        let named = NamedSource::new(in_a_line(source.name()), source.safe());
        let shown = can_be_shown(text, &(start..end));
        let mut problem = Self::plain(message);
        problem.inner.place = Some(Place { source: named, shown, span: start..end, line });
        problem
    }

    /// The system refused to `verb` ("read", "write") something at `path`.
    pub fn io(verb: &str, path: &Path, error: &std::io::Error) -> Self {
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
            std::io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
            std::io::ErrorKind::IsADirectory => "it is a folder, not a file".to_owned(),
            std::io::ErrorKind::NotADirectory => "it is a file, not a folder".to_owned(),
            std::io::ErrorKind::StorageFull => "the disk is full".to_owned(),
            std::io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
            std::io::ErrorKind::CrossesDevices => "it lies on another disk".to_owned(),
            _ => error.to_string(),
        };
        Self::plain(format!("can't {verb} {}: {why}", path.display()))
    }

    /// The same problem with advice on what would be right.
    #[must_use]
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        let help = short(in_a_line(&help.into()));
        self.inner.help = (!help.is_empty()).then_some(help);
        self
    }

    /// The same problem as one of those that mending the key `topic` does away with: of a file only
    /// the first is told.
    #[must_use]
    pub fn of_topic(mut self, topic: impl Into<String>) -> Self {
        self.inner.topic = Some(topic.into());
        self
    }

    /// Whether who mends this need not be told `other`.
    fn covers(&self, other: &Self) -> bool {
        let file = |problem: &Self| {
            problem.inner.place.as_ref().map(|place| place.source.name().to_owned())
        };
        let topic = self.inner.topic.is_some() && self.inner.topic == other.inner.topic;
        topic && file(self) == file(other) || self.to_string() == other.to_string()
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.inner.place {
            write!(f, "{}, line {}: ", place.source.name(), place.line)?;
        }
        f.write_str(&self.inner.message)
    }
}

impl std::error::Error for Problem {}

impl Diagnostic for Problem {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.inner.help.as_ref().map(|h| Box::new(h) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        let shown = self.inner.place.as_ref().filter(|place| place.shown);
        shown.map(|place| &place.source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let place = self.inner.place.as_ref().filter(|place| place.shown)?;
        let label = LabeledSpan::underline(place.span.clone());
        Some(Box::new(std::iter::once(label)))
    }
}

/// A message is one line, whatever names in it hold.
fn in_a_line(text: &str) -> String {
    shown(text).replace(['\n', '\r', '\t'], " ")
}

/// Everything that was found wrong, each thing once; of very many the first.
#[derive(Debug, Clone, Default)]
pub struct Problems {
    told: Vec<Problem>,
    /// How many there are beyond.
    more: usize,
}

/// More than a person mends between two runs.
const MOST_TOLD: usize = 100;

impl Problems {
    /// Takes in more of them.
    pub fn add(&mut self, more: impl Into<Self>) {
        let Self { told, more } = more.into();
        self.more += more;
        for problem in told {
            if self.told.len() >= MOST_TOLD {
                self.more += 1;
            } else if !self.told.iter().any(|known| known.covers(&problem)) {
                self.told.push(problem);
            }
        }
    }

    /// What was read, or `None` with the problem taken in.
    pub fn keep<T>(&mut self, read: Result<T, impl Into<Self>>) -> Option<T> {
        read.map_err(|problem| self.add(problem)).ok()
    }

    /// `value` if nothing is wrong; else the problems, those of one file in the order of its lines.
    ///
    /// # Errors
    /// When there is a problem.
    pub fn or<T>(mut self, value: T) -> Result<T, Self> {
        let line = |problem: &Problem| problem.inner.place.as_ref().map(|place| place.line);
        let file = |problem: &Problem| {
            problem.inner.place.as_ref().map(|place| place.source.name().to_owned())
        };
        self.told.sort_by_key(|problem| (file(problem), line(problem)));
        if self.told.is_empty() { Ok(value) } else { Err(self) }
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.told.is_empty()
    }

    /// Each of them.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.told.iter()
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self { told: vec![problem], more: 0 }
    }
}

impl From<Problems> for Vec<Problem> {
    fn from(problems: Problems) -> Self {
        let Problems { mut told, more } = problems;
        if more > 0 {
            told.push(Problem::plain(format!("{more} more are told once these are mended")));
        }
        told
    }
}

impl From<Vec<Problem>> for Problems {
    fn from(problems: Vec<Problem>) -> Self {
        let mut each_once = Self::default();
        problems.into_iter().for_each(|problem| each_once.add(problem));
        each_once
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let told: Vec<String> = self.told.iter().map(Problem::to_string).collect();
        f.write_str(&told.join("\n"))
    }
}

impl std::error::Error for Problems {}

/// The known name nearest to `unknown`, if one is near enough to be meant.
pub(crate) fn nearest_name<'a>(unknown: &str, known: &[&'a str]) -> Option<&'a str> {
    let unknown = unknown.to_lowercase();
    let likeness = |name: &str| strsim::jaro_winkler(&unknown, &name.to_lowercase());
    let best = known.iter().map(|name| (likeness(name), *name)).max_by(|a, b| a.0.total_cmp(&b.0));
    best.filter(|(score, _)| *score >= 0.8).map(|(_, name)| name)
}

/// Advice for an unknown name: the nearest known one, or the list of them.
pub(crate) fn nearest(unknown: &str, known: &[&str]) -> String {
    match nearest_name(unknown, known) {
        Some(name) => format!("did you mean \"{name}\"?"),
        None if known.is_empty() => String::new(),
        None => format!("known here: {}", known.join(", ")),
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
