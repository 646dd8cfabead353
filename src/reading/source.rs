//! A text file with its name.

use std::ops::Range;
use std::path::{Component, Path};
use std::sync::Arc;

use super::beside::Beside;
use super::problem::Problem;
use super::shown;
use crate::limits;

/// The text of one file and the name to call it by. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
    /// The text as it may be shown, byte for byte as long.
    safe: Arc<str>,
    /// Where the file lies, empty or ending in `/`; `None` for a text that is built in.
    folder: Option<Arc<str>>,
    /// Who hands in the files that it names.
    beside: Option<Arc<dyn Beside>>,
}

impl Source {
    /// A text that is called `name` in messages.
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        let text = text.into();
        let safe = shown(&text);
        let safe = if *safe == *text { Arc::clone(&text) } else { safe.into() };
        Self { name: name.into(), text, safe, folder: None, beside: None }
    }

    /// The same text, of a file that lies in `folder`, a path parted by `/`; the files that it names lie there or
    /// below.
    #[must_use]
    pub fn in_folder(self, folder: &str) -> Self {
        let end = if folder.is_empty() || folder.ends_with('/') { "" } else { "/" };
        Self { folder: Some(format!("{folder}{end}").into()), ..self }
    }

    /// The same text, the files that it names handed in by `beside`.
    #[must_use]
    pub(crate) fn served_by(&self, beside: &Arc<dyn Beside>) -> Self {
        Self { beside: Some(Arc::clone(beside)), ..self.clone() }
    }

    /// What the file is called in messages.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text as it may be shown.
    pub(super) fn safe(&self) -> Arc<str> {
        Arc::clone(&self.safe)
    }

    /// The text of the file `name`, which the value of `key` at `span` of this file names. It lies
    /// in this file's folder or below.
    ///
    /// # Errors
    /// When the name leads elsewhere, and when there is no such file or it is no text.
    pub fn beside(&self, name: &str, key: &str, span: Range<usize>) -> Result<String, Problem> {
        let wrong = |what: String| self.problem(span.clone(), format!("{key}: {what}"));
        let below = Path::new(name).components().all(|c| matches!(c, Component::Normal(_)));
        if name.is_empty() || !below || name.contains('\\') {
            let help = "name a file in the folder of this file, such as \"handle.svg\" or \"traces/handle.svg\"";
            return Err(wrong(format!("\"{name}\" leads out of the project")).with_help(help));
        }
        let (Some(folder), Some(beside)) = (&self.folder, &self.beside) else {
            let help = "what is built in has no folder: name the file in your holder file, or copy the style into the project's folder \"styles\"";
            return Err(wrong(format!("there is no \"{name}\" beside it")).with_help(help));
        };
        let text = beside.text(&format!("{folder}{name}")).map_err(wrong)?;
        let bytes = text.len() as u64;
        limits::too_long(name, bytes, limits::SVG_BYTES).map_or(Ok(text), |told| Err(wrong(told)))
    }

    /// Where the bytes `at` of `text` stand in this file, whose value at `span` reads so; the whole
    /// value where it is written in another way.
    pub fn part_of(&self, span: Range<usize>, text: &str, at: Range<usize>) -> Range<usize> {
        let raw = self.text.get(span.clone()).unwrap_or_default();
        let quotes = raw.len().saturating_sub(raw.trim_start_matches(['"', '\'']).len());
        let Some(inner) = raw.get(quotes..).filter(|_| quotes > 0) else { return span };
        let (Some(start), Some(end)) =
            (written(inner, text, at.start), written(inner, text, at.end))
        else {
            return span;
        };
        span.start + quotes + start..span.start + quotes + end
    }

    /// Something wrong in this file at `span`.
    pub fn problem(&self, span: Range<usize>, message: impl Into<String>) -> Problem {
        Problem::at(self, span, message)
    }
}

/// Where the byte `at` of `text` stands in `raw`, which is how the file writes it: a backslash and
/// what follows it is one character.
fn written(raw: &str, text: &str, at: usize) -> Option<usize> {
    let before = text.get(..at)?.chars();
    let mut place = 0;
    for c in before {
        let next = raw[place..].chars().next()?;
        let escaped = raw[place..].strip_prefix('\\').and_then(|rest| rest.chars().next());
        place += match escaped {
            Some('"' | '\\' | 'n' | 't' | 'r') => 2,
            None if next == c => c.len_utf8(),
            _ => return None,
        };
    }
    Some(place)
}
