//! What a style asks for and makes, told to a person; and a holder file to begin from.

use std::fmt::Write;

use super::library::{Library, Style};
use super::spec::{Choice, ChoiceKind, Many, Measure};
use crate::reading::{Kind, Problems};

/// The styles at hand, a line each.
///
/// # Errors
/// When a style's file is wrong.
pub(crate) fn list(library: &Library) -> Result<String, Problems> {
    let mut text = String::new();
    for name in library.names() {
        if let Some(style) = library.style(name)? {
            let _ = writeln!(text, "{name:<14} {}", style.own().hangs);
        }
    }
    text.push_str("\n\"cleatwright styles NAME\" says what to measure for one of them.\n");
    Ok(text)
}

/// One style: what it hangs and makes, what to measure, and every choice.
pub(crate) fn guide(style: &Style) -> String {
    let own = style.own();
    let mut text =
        format!("{} ({})\n\nHangs {}.\nMakes {}.\n", own.title, style.name, own.hangs, own.makes);
    let measures: Vec<String> = style.measures().map(|(name, m, _)| measure(name, m)).collect();
    if measures.is_empty() {
        text.push_str("\nNothing to measure on a tool.\n");
    } else {
        let _ = write!(text, "\nMeasure on the tool:\n{}", measures.concat());
    }
    text.push_str("\nChoices, each with what holds if you say nothing:\n");
    for (name, c, _) in style.choices() {
        text.push_str(&choice(name, c));
    }
    text.push_str("\nParts:\n");
    for layer in &style.layers {
        for part in &layer.file.parts {
            let _ = writeln!(text, "  {:<16} {}", part.name.get_ref(), part.about);
        }
    }
    let _ = write!(text, "\n\"cleatwright start {}\" writes a file to begin from.\n", style.name);
    text
}

fn measure(name: &str, measure: &Measure) -> String {
    let Measure { ask, with, range: [least, most], .. } = measure;
    let many = entries(measure.many());
    format!("  {name:<16} {ask}\n{:19}with {with}; {least} to {most}{many}\n", "")
}

/// How many values are wanted, where it is not just one.
fn entries(many: Many<'_>) -> String {
    match many {
        Many::One => String::new(),
        Many::Any => "; a list, one entry for each".to_owned(),
        Many::Per(list) => format!("; a list, one entry for each of {list}, or one for all"),
    }
}

fn choice(name: &str, choice: &Choice) -> String {
    let mut text = format!("  {name:<16} {}\n{:19}", choice.ask, "");
    let _ = writeln!(text, "{}", limits(choice));
    text
}

/// Default and range, or default and words, in a few words.
fn limits(choice: &Choice) -> String {
    let default = match (&choice.default, choice.kind) {
        (Some(default), ChoiceKind::Word) => default.formula.text().trim_matches('\'').to_owned(),
        (Some(default), _) => default.formula.text().to_owned(),
        (None, ChoiceKind::File) => return "name a file beside the holder file".to_owned(),
        (None, kind) => return format!("the shop's first {}", stock_word(kind)),
    };
    let many = entries(choice.many());
    match &choice.range {
        Some([least, most]) => format!("{default}; {least} to {most}{many}"),
        None => format!("{default}; one of {}{many}", choice.options.join(", ")),
    }
}

fn stock_word(kind: ChoiceKind) -> &'static str {
    match kind {
        ChoiceKind::Board => "board",
        ChoiceKind::Dowel => "dowel",
        _ => "sheet",
    }
}

/// A commented holder file of a style. It runs as it stands once its measures are filled in.
pub(crate) fn start(style: &Style) -> String {
    let own = style.own();
    let mut text = format!(
        "# {}: hangs {}.\n# Makes {}.\n\nstyle = \"{}\"\ntitle = \"{}\"\nunits = \"in\"        # what a bare number is: \"in\" or \"mm\"\n",
        own.title, own.hangs, own.makes, style.name, own.title
    );
    if style.measures().next().is_some() {
        text.push_str("\n# Measure your own tool and fill these in. A length is written as the tape reads:\n# \"1 3/8\", \"3/4\", \"19 mm\". A mass has its unit: \"2.1 kg\", \"4 lb\".\n[measures]\n");
    }
    for (name, measure, _) in style.measures() {
        let [least, most] = &measure.range;
        let one = if measure.kind == Kind::Count { "" } else { "\"\"" };
        let many = measure.many();
        let empty = if many == Many::One { one.to_owned() } else { format!("[{one}, {one}]") };
        let _ = write!(
            text,
            "# {} With {}; {least} to {most}{}.\n{name} = {empty}\n",
            measure.ask,
            measure.with,
            entries(many)
        );
    }
    text.push_str("\n[choices]\n");
    for (name, choice, _) in style.choices() {
        let _ = write!(text, "# {}: {}.\n{}\n", choice.ask, limits(choice), line(name, choice));
    }
    text
}

/// A choice's line: what the style wants stated stands, all else is a comment to take up.
fn line(name: &str, choice: &Choice) -> String {
    let value = match (&choice.default, choice.kind) {
        (Some(default), ChoiceKind::Word) => {
            format!("\"{}\"", default.formula.text().trim_matches('\''))
        }
        (Some(default), ChoiceKind::Count | ChoiceKind::Number)
            if default.formula.text().parse::<f64>().is_ok() =>
        {
            default.formula.text().to_owned()
        }
        (Some(default), _) => format!("\"{}\"", default.formula.text()),
        (None, ChoiceKind::File) => "\"NAME.svg\"".to_owned(),
        (None, kind) => format!("\"name of a {} in shop.toml\"", stock_word(kind)),
    };
    let stands = choice.stated || choice.kind == ChoiceKind::File;
    format!("{}{name} = {value}", if stands { "" } else { "# " })
}
