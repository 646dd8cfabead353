//! A text file with its name.

use std::ops::Range;
use std::path::{Component, Path};
use std::sync::Arc;

use serde::de::DeserializeOwned;

use super::problem::{Problem, nearest};

/// A value with the bytes of the file it was read from.
pub type Spanned<T> = toml::Spanned<T>;

/// The text of one file and the name to call it by. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
    /// Where the file lies; `None` for a text that is built in.
    folder: Option<Arc<Path>>,
}

/// The largest file that is read because another names it, in bytes.
const LARGEST: u64 = 20_000_000;

impl Source {
    /// A text that is called `name` in messages.
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        Self { name: name.into(), text: text.into(), folder: None }
    }

    /// Reads the file at `path`.
    ///
    /// # Errors
    /// When the file is absent, not readable or not UTF-8 text.
    pub fn open(path: &Path) -> Result<Self, Problem> {
        let bytes = std::fs::read(path).map_err(|e| Problem::io("read", path, &e))?;
        let text = String::from_utf8(bytes).map_err(|e| {
            let at = e.utf8_error().valid_up_to();
            Problem::plain(format!("{}: byte {at} is not UTF-8 text", path.display()))
                .with_help("save the file as plain text in UTF-8")
        })?;
        let folder = path.parent().map(Arc::from);
        Ok(Self { folder, ..Self::new(path.display().to_string(), text) })
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
        let Some(folder) = &self.folder else {
            let help = "what is built in has no folder: name the file in your holder file, or copy the style into the project's folder \"styles\"";
            return Err(wrong(format!("there is no \"{name}\" beside it")).with_help(help));
        };
        let path = folder.join(name);
        let size = std::fs::metadata(&path).map(|m| (m.is_file(), m.len()));
        match size {
            Ok((true, ..=LARGEST)) => {}
            Ok((true, bytes)) => {
                let megabytes = bytes / 1_000_000;
                return Err(wrong(format!("{} has {megabytes} MB, too much", path.display())));
            }
            Ok((false, _)) => return Err(wrong(format!("{} is no file", path.display()))),
            Err(error) => return Err(wrong(Problem::io("read", &path, &error).to_string())),
        }
        let bytes = std::fs::read(&path)
            .map_err(|error| wrong(Problem::io("read", &path, &error).to_string()))?;
        String::from_utf8(bytes).map_err(|_| wrong(format!("{} is not UTF-8 text", path.display())))
    }

    /// The text as a `T`.
    ///
    /// # Errors
    /// A [`Problem`] at the offending line when it is not TOML, a key is unknown (the nearest
    /// known one is suggested) or missing, or a value is of the wrong kind.
    pub fn parse<T: DeserializeOwned>(&self) -> Result<T, Problem> {
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
        if message.starts_with("missing field ") {
            return self
                .problem(span, format!("the key \"{first}\" is missing"))
                .with_help(format!("write {first} = …"));
        }
        self.problem(span, message.replace(" as i128", ""))
    }
}
