//! A text file with its name.

use std::ops::Range;
use std::path::{Component, Path};
use std::sync::Arc;

use serde::de::DeserializeOwned;

use super::beside::Beside;
use super::bounded::beyond;
use super::problem::{Problem, nearest};
use crate::limits;

/// A value with the bytes of the file it was read from.
pub type Spanned<T> = toml::Spanned<T>;

/// The text of one file and the name to call it by. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
    /// Where the file lies, empty or ending in `/`; `None` for a text that is built in.
    folder: Option<Arc<str>>,
    /// Who hands in the files that it names.
    beside: Option<Arc<dyn Beside>>,
}

impl Source {
    /// A text that is called `name` in messages.
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        Self { name: name.into(), text: text.into(), folder: None, beside: None }
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
        if text.len() as u64 <= limits::SVG_BYTES {
            return Ok(text);
        }
        let (has, most) = (text.len() as f64 / 1e6, limits::SVG_BYTES as f64 / 1e6);
        Err(wrong(format!("{name} has {has:.1} MB, and may have {most} MB")))
    }

    /// The text as a `T`.
    ///
    /// # Errors
    /// A [`Problem`] at the offending line when it is not TOML, a key is unknown (the nearest
    /// known one is suggested) or missing, a value is of the wrong kind, or a text or list is too
    /// long.
    pub fn parse<T: DeserializeOwned>(&self) -> Result<T, Problem> {
        if let Some(problem) = beyond(self) {
            return Err(problem);
        }
        toml::from_str(&self.text).map_err(|e| self.explain(&e))
    }

    /// Something wrong in this file at `span`.
    pub fn problem(&self, span: Range<usize>, message: impl Into<String>) -> Problem {
        Problem::at(self, span, message)
    }

    fn explain(&self, error: &toml::de::Error) -> Problem {
        let span = error.span().unwrap_or(0..0);
        let message = error.message().trim();
        // serde lists the known keys and words itself; reading them back keeps them in one place.
        let mut quoted = message.split('`').skip(1).step_by(2);
        let first = quoted.next().unwrap_or_default();
        let known: Vec<&str> = quoted.collect();
        if message.starts_with("unknown field ") {
            return self
                .problem(span, format!("the key \"{first}\" is not known here"))
                .with_help(nearest(first, &known));
        }
        if message.starts_with("unknown variant ") {
            let help = format!("write one of these: {}", known.join(", "));
            return self.problem(span, format!("\"{first}\" is not known here")).with_help(help);
        }
        if message.contains("recurs") {
            return self.problem(span, "more than 80 lists or tables stand within one another");
        }
        if message.starts_with("missing field ") {
            return self
                .problem(span, format!("the key \"{first}\" is missing"))
                .with_help(format!("write {first} = …"));
        }
        self.problem(span, message.replace(" as i128", ""))
    }
}
