//! A file that is not TOML: what a person most likely meant by the line.

use super::{Problem, Source};

/// What is wrong with the line at which reading `source` stopped, and how to write it.
pub(super) fn syntax(source: &Source, error: &toml::de::Error) -> Problem {
    let span = error.span().unwrap_or_default();
    let message = error.message().trim();
    if message == "duplicate key" {
        let key = source.text().get(span.clone()).unwrap_or_default();
        let message = format!("the key \"{key}\" appears twice");
        return source.problem(span, message).with_help("remove one of the two");
    }
    if message.contains("recurs") {
        let message = "more than 80 lists or tables stand within each other";
        return source.problem(span.start..span.start, message);
    }
    let line = line_at(source.text(), span.start);
    let (message, help) = meant(line).unwrap_or_else(|| {
        let help = if message.contains("array") {
            "separate the entries of a list with commas, and close it with ]".to_owned()
        } else {
            "write a line such as count = 6 or width = \"1 3/8 in\"".to_owned()
        };
        (format!("this line can't be read: {message}"), help)
    });
    source.problem(span, message).with_help(help)
}

/// The line around the byte `at`.
fn line_at(text: &str, at: usize) -> &str {
    let start = text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    text[start..].lines().next().unwrap_or_default()
}

/// What is wrong with a line, and the line as it may be meant; `None` where that is not plain.
fn meant(line: &str) -> Option<(String, String)> {
    let Some((key, value)) = line.split_once('=') else { return lone(line.trim()) };
    let (key, value) = (key.trim(), value.trim());
    if !key.chars().all(|c| c.is_alphanumeric() || "_-.".contains(c)) || key.is_empty() {
        return None;
    }
    let write = |value: &str| format!("write {key} = {value}");
    let first = value.chars().next().filter(|c| !"[{'=".contains(*c));
    match first {
        None if value.is_empty() => {
            Some((format!("{key} has no value"), write("…, a figure or a text in quotes")))
        }
        None => None,
        Some(c) if TYPOGRAPHIC.contains(c) => {
            let text = value.trim_matches(|c| TYPOGRAPHIC.contains(c));
            Some(("these are not straight quotes".to_owned(), write(&format!("\"{text}\""))))
        }
        Some('"') => quoted(value).map(|(wrong, value)| (wrong.to_owned(), write(&value))),
        Some(_) => Some(bare(value, &write)),
    }
}

const TYPOGRAPHIC: &str = "“”„‟‘’‚″′«»";

/// A line without an equals sign.
fn lone(line: &str) -> Option<(String, String)> {
    let name = line.trim_end_matches(':');
    let plain = !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || "_-. ".contains(c));
    plain.then(|| {
        let help = format!("a table begins with [{name}], a value stands as {name} = …");
        (format!("\"{name}\" stands alone"), help)
    })
}

/// A text that begins with a quote: its end lacks, or an inch mark ends it too soon.
fn quoted(value: &str) -> Option<(&'static str, String)> {
    let inner = value.trim_matches('"').trim();
    let whole = inner.contains('"') || inner.is_empty() || value.starts_with("\"\"\"");
    if whole || value.ends_with('"') && !value.ends_with("\"\"") {
        return None;
    }
    if value.ends_with("\"\"") {
        return Some(("an inch mark ends the text too soon", format!("\"{inner} in\"")));
    }
    Some(("the closing quote is missing", format!("\"{inner}\"")))
}

/// A text without quotes.
fn bare(value: &str, write: &dyn Fn(&str) -> String) -> (String, String) {
    let text = value.split(" #").next().unwrap_or_default().trim();
    let decimal = text.replacen(',', ".", 1);
    if text.contains(',') && decimal.parse::<f64>().is_ok() {
        return ("use a point for decimals, not a comma".to_owned(), write(&decimal));
    }
    let inches = text.strip_suffix('"').map(|figure| format!("{figure} in"));
    let text = inches.unwrap_or_else(|| text.replace('"', ""));
    (
        "only plain numbers, true and false go without quotes".to_owned(),
        write(&format!("\"{text}\"")),
    )
}
