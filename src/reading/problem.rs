//! What is wrong with the user's input, and how it is shown.

use std::fmt;
use std::ops::Range;
use std::path::Path;

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};

use super::Source;
use super::excerpt::{can_be_shown, short};

/// One thing that is wrong with the input: names file, line and key, says what is wrong and what
/// would be right. The file's line is shown below the message.
#[derive(Debug)]
pub struct Problem {
    inner: Box<Inner>,
}

#[derive(Debug)]
struct Inner {
    message: String,
    help: Option<String>,
    place: Option<Place>,
}

#[derive(Debug)]
struct Place {
    source: NamedSource<String>,
    /// Whether the lines there are short enough to be shown.
    shown: bool,
    span: Range<usize>,
    line: usize,
}

impl Problem {
    /// A problem that lies in no file.
    pub fn plain(message: impl Into<String>) -> Self {
        let message = short(message.into());
        Self { inner: Box::new(Inner { message, help: None, place: None }) }
    }

    /// A problem in `source` at the bytes `span`.
    pub fn at(source: &Source, span: Range<usize>, message: impl Into<String>) -> Self {
        let text = source.text();
        let start = floor_boundary(text, span.start);
        let end = floor_boundary(text, span.end).max(start);
        let line = text[..start].matches('\n').count() + 1;
        let shown = can_be_shown(text, &(start..end));
        let text = if shown { text.to_owned() } else { String::new() };
        let source = NamedSource::new(source.name(), text);
        let mut problem = Self::plain(message);
        problem.inner.place = Some(Place { source, shown, span: start..end, line });
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
        let help = short(help.into());
        self.inner.help = (!help.is_empty()).then_some(help);
        self
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

/// Advice for an unknown name: the nearest known one, or the list of them.
pub fn nearest(unknown: &str, known: &[&str]) -> String {
    let unknown = unknown.to_lowercase();
    let best = known
        .iter()
        .map(|name| (strsim::jaro_winkler(&unknown, &name.to_lowercase()), *name))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match best {
        Some((score, name)) if score >= 0.8 => format!("did you mean \"{name}\"?"),
        Some(_) => format!("known here: {}", known.join(", ")),
        None => String::new(),
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
