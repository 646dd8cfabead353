//! What a style asks for and makes, told to a person; and a holder file to begin from.

use std::fmt::Write;

use super::asked::{Choice, ChoiceKind, Many, Measure};
use super::expr::Expr;
use super::library::{Library, Style};
use super::spec::StyleFile;
use crate::inputs::Inputs;
use crate::length::Units;
use crate::reading::{Kind, Problem, Problems, Spanned};

/// The guide to writing styles.
const WRITING: &str = include_str!("../../templates/writing.md");

/// The styles at hand: the built-in ones, and those that some inputs add or replace.
///
/// ```
/// use cleatwright::{Inputs, Styles, Units};
///
/// let styles = Styles::of(&Inputs::new());
/// assert!(styles.list().unwrap().contains("slotted-shelf"));
/// assert!(styles.start("slotted-shelf", Units::Millimeters).unwrap().contains("bar_thickness"));
/// ```
#[derive(Debug)]
pub struct Styles(Library);

impl Styles {
    /// Those of `inputs` and the built-in ones.
    pub fn of(inputs: &Inputs) -> Self {
        Self(Library::with(inputs))
    }

    /// All of them, a line each: name, and what it hangs.
    ///
    /// # Errors
    /// When a style's file is wrong.
    pub fn list(&self) -> Result<String, Vec<Problem>> {
        Ok(list(&self.0)?)
    }

    /// One of them: what it hangs and makes, what to measure, every choice with default and range, in
    /// `units`.
    ///
    /// # Errors
    /// When there is none of that name, or its file is wrong.
    pub fn guide(&self, name: &str, units: Units) -> Result<String, Vec<Problem>> {
        Ok(guide(&self.find(name)?, units))
    }

    /// The text of one of them, with those of the groups that it takes in.
    ///
    /// # Errors
    /// When there is none of that name, or its file is wrong.
    pub fn file(&self, name: &str) -> Result<String, Vec<Problem>> {
        Ok(self.0.files(&self.find(name)?))
    }

    /// How styles are written: a guide to every key, and one style built from nothing.
    pub fn writing() -> &'static str {
        WRITING
    }

    /// What readings and choices are called in all styles: a file to read.
    pub fn vocabulary() -> &'static str {
        super::library::vocabulary()
    }

    /// A holder file of one of them to begin from, in `units`. It runs as it stands once its measures are
    /// filled in.
    ///
    /// # Errors
    /// When there is none of that name, or its file is wrong.
    pub fn start(&self, name: &str, units: Units) -> Result<String, Vec<Problem>> {
        Ok(start(&self.find(name)?, units))
    }

    /// One of them.
    ///
    /// # Errors
    /// When there is none of that name, or its file is wrong.
    pub(crate) fn find(&self, name: &str) -> Result<Style, Vec<Problem>> {
        self.0.style(name)?.ok_or_else(|| {
            let message = format!("there is no style \"{name}\"");
            vec![Problem::plain(message).with_help(self.0.advice(name))]
        })
    }
}

/// The styles of a library, a line each.
fn list(library: &Library) -> Result<String, Problems> {
    let mut text = String::new();
    for name in library.names() {
        if let Some(style) = library.style(name)? {
            let own = if library.replaces(name) { " (in place of the built-in one)" } else { "" };
            let _ = writeln!(text, "{name:<14} {}{own}", style.own().hangs);
        }
    }
    text.push_str(
        "\n\"cleatwright styles NAME\" says what to measure for one of them, \
                   \"cleatwright styles writing\" how one is written.\n",
    );
    Ok(text)
}

/// One style: what it hangs and makes, what to measure, and every choice.
pub(crate) fn guide(style: &Style, units: Units) -> String {
    let own = style.own();
    let mut text =
        format!("{} ({})\n\nHangs {}.\nMakes {}.\n", own.title, style.name, own.hangs, own.makes);
    let measures: Vec<String> =
        style.measures().map(|(name, m, _)| measure(style, name, m, units)).collect();
    if measures.is_empty() {
        text.push_str("\nNothing to measure on your tools.\n");
    } else {
        let _ = write!(text, "\nMeasure on your own tool:\n{}", measures.concat());
    }
    text.push_str(&counts(own));
    text.push_str("\nChoices, with what you get if you leave them out:\n");
    for (name, c, _) in style.choices() {
        text.push_str(&choice(style, name, c, units));
    }
    text.push_str("\nParts:\n");
    for layer in &style.layers {
        for part in layer.parts().filter(|part| !part.adds()) {
            let _ = writeln!(text, "  {:<16} {}", part.name.get_ref(), part.about);
        }
    }
    let name = &style.name;
    let _ = write!(
        text,
        "\n\"cleatwright styles {name} --picture > {name}.svg\" shows one; \"cleatwright start {name}\" writes a file to \
         begin from.\n"
    );
    text
}

fn measure(style: &Style, name: &str, measure: &Measure, units: Units) -> String {
    format!("  {name:<16} {}\n{:19}{}\n", measure.ask, "", reading(style, measure, units))
}

/// With what it is read, what is allowed, and what it is taken for where it is left out.
fn reading(style: &Style, measure: &Measure, units: Units) -> String {
    let Measure { with, range, .. } = measure;
    let default = measure.default.as_ref();
    let left_out =
        default.map(|default| format!("; if left out: {}", left_out(style, default, units)));
    let (allowed, many) = (allowed(range, units), entries(measure.many()));
    format!("With {with}; {allowed}{many}{}", left_out.unwrap_or_default())
}

/// A default: a figure, or the formula where a person knows all that it names.
pub(super) fn left_out(style: &Style, default: &Expr, units: Units) -> String {
    match figure(default, units) {
        Some(figure) => figure,
        None if is_explained(style, default) => default.formula.text_in(units),
        None => "worked out from the rest".to_owned(),
    }
}

/// `allowed 1/4 in to 12 in`
fn allowed([least, most]: &[Expr; 2], units: Units) -> String {
    format!("allowed {} to {}", figure_or_text(least, units), figure_or_text(most, units))
}

fn figure_or_text(expr: &Expr, units: Units) -> String {
    figure(expr, units).unwrap_or_else(|| expr.to_string())
}

/// What a formula without names comes to.
fn figure(expr: &Expr, units: Units) -> Option<String> {
    Some(units.quantity(expr.constant(units)?))
}

/// How many values are wanted, where it is not just one.
fn entries(many: Many<'_>) -> String {
    match many {
        Many::One => String::new(),
        Many::Any => "; a list, one entry for each".to_owned(),
        Many::Per(list) => format!("; a list, one entry for each of {list}, or one for all"),
        Many::Tools(count) => format!("; one for all, or a list of as many as {count} says"),
    }
}

fn choice(style: &Style, name: &str, choice: &Choice, units: Units) -> String {
    format!("  {name:<16} {} ({})\n", choice.ask, limits(style, choice, units))
}

/// Which choices say how many tools there are.
fn counts(own: &StyleFile) -> String {
    let Some(counts) = &own.counts else { return String::new() };
    let said = |what: &str, name: &Option<Spanned<String>>| {
        name.as_ref().map(|name| format!("{what}: the choice {}.", name.get_ref()))
    };
    let lines = [said("How many tools", &counts.tools), said("Room for more", &counts.room)];
    let lines: Vec<String> = lines.into_iter().flatten().collect();
    if lines.is_empty() { String::new() } else { format!("\n{}\n", lines.join(" ")) }
}

/// Where a choice is asked, told by what stands behind a working's name.
fn asked_where(style: &Style, choice: &Choice) -> String {
    let Some(when) = &choice.when else { return String::new() };
    let workings = style.named(|layer| {
        layer.file.workings.iter().map(|(name, formula)| (name.get_ref().as_str(), formula))
    });
    let negated = when.formula.text().strip_prefix("not ");
    let named = negated.unwrap_or(when.formula.text());
    let behind = workings.into_iter().find(|(name, ..)| *name == named);
    let told = behind.map_or(named.to_owned(), |(_, formula, _)| formula.to_string());
    format!("; only where {}{told}", if negated.is_some() { "not " } else { "" })
}

/// Default and range, or default and words: `default 6, allowed 1 to 40`.
fn limits(style: &Style, choice: &Choice, units: Units) -> String {
    let many = entries(choice.many()) + &asked_where(style, choice);
    match &choice.range {
        Some(range) => format!("{}, {}{many}", default(choice, units), allowed(range, units)),
        None => format!("{}{}{many}", default(choice, units), others(choice)),
    }
}

/// The words that may stand in the default's place.
fn others(choice: &Choice) -> String {
    let default = choice.default.as_ref().map(word);
    let others = choice.options.iter().filter(|option| Some(option.as_str()) != default);
    others.map(|option| format!(", or {option}")).collect()
}

fn default(choice: &Choice, units: Units) -> String {
    let Some(default) = &choice.default else {
        return match choice.kind {
            ChoiceKind::File => "the name of a file beside the holder file".to_owned(),
            kind => format!("default: the first {} in shop.toml", stock_word(kind)),
        };
    };
    match (choice.kind, figure(default, units)) {
        (ChoiceKind::Screw, _) if !is_of_shop(default) => default.named_word(units).map_or_else(
            || "default: worked out from the rest".to_owned(),
            |screw| format!("default {screw}"),
        ),
        (ChoiceKind::Word, _) => format!("default {}", word(default)),
        (_, Some(figure)) => format!("default {figure}"),
        _ if is_of_shop(default) => "default: as in shop.toml".to_owned(),
        _ => "default: worked out from the rest".to_owned(),
    }
}

fn word(default: &Expr) -> &str {
    default.formula.text().trim_matches('\'')
}

/// Whether all its names are the shop's.
pub(super) fn is_of_shop(default: &Expr) -> bool {
    let mut names = default.formula.names().peekable();
    names.peek().is_some() && names.all(|name| name.starts_with("wall."))
}

fn stock_word(kind: ChoiceKind) -> &'static str {
    match kind {
        ChoiceKind::Board => "board",
        ChoiceKind::Dowel => "dowel",
        _ => "sheet",
    }
}

/// A commented holder file of a style. It runs as it stands once its measures are filled in.
pub(crate) fn start(style: &Style, units: Units) -> String {
    let own = style.own();
    let mut text = format!(
        "# {}: hangs {}.\n# Makes {}.\n\nstyle = \"{}\"\ntitle = \"{}\"\nunits = \"{}\"        # what a bare number is: \"in\" or \"mm\"\n# Once it hangs, add built = true: it keeps its sizes and is left out of cutting and shopping.\n",
        own.title,
        own.hangs,
        own.makes,
        style.name,
        own.title,
        units.symbol()
    );
    if style.measures().next().is_some() {
        text.push_str(fill_in(units));
    }
    for (name, measure, _) in style.measures() {
        let one = if measure.kind == Kind::Count { "" } else { "\"\"" };
        let many = measure.many();
        let single = matches!(many, Many::One | Many::Tools(_));
        let empty = if single { one.to_owned() } else { format!("[{one}, {one}]") };
        let line = match &measure.default {
            Some(default) => {
                let plain = matches!(measure.kind, Kind::Count | Kind::Number);
                format!("# {name} = {}", written(style, default, plain, units))
            }
            None => format!("{name} = {empty}"),
        };
        let _ = write!(text, "# {}\n{line}\n", measure_told(style, measure, units));
    }
    text.push_str("\n[choices]\n");
    for (name, choice, _) in style.choices() {
        let line = line(style, name, choice, units);
        let _ = write!(text, "# {}\n{line}\n", choice_told(style, choice, units));
    }
    text
}

/// What is asked by a measure, and how it is answered.
pub(crate) fn measure_told(style: &Style, measure: &Measure, units: Units) -> String {
    format!("{} {}.", measure.ask, reading(style, measure, units))
}

/// What is decided by a choice, with what holds and what may stand in its place.
pub(crate) fn choice_told(style: &Style, choice: &Choice, units: Units) -> String {
    format!("{} ({}).", choice.ask, limits(style, choice, units))
}

/// How figures are to be written.
fn fill_in(units: Units) -> &'static str {
    match units {
        Units::Inches => {
            "\n# Measure your own tool and fill these in. A length is written as the tape reads:\n# \"1 3/8\", \"3/4\", \"19 mm\". A mass has its unit: \"2.1 kg\", \"4 lb\".\n[measures]\n"
        }
        Units::Millimeters => {
            "\n# Measure your own tool and fill these in. A length is written as the tape reads:\n# 35, 19.5, \"1.2 m\". A mass has its unit: \"2.1 kg\", \"850 g\".\n[measures]\n"
        }
    }
}

/// A choice's line: what the style wants stated stands, all else is a comment to take up. A default
/// that a person can't follow in this file is left empty.
fn line(style: &Style, name: &str, choice: &Choice, units: Units) -> String {
    let value = match (&choice.default, choice.kind) {
        (Some(default), ChoiceKind::Word) => format!("\"{}\"", word(default)),
        (Some(default), ChoiceKind::Screw) => {
            format!("\"{}\"", default.named_word(units).unwrap_or_default())
        }
        (Some(default), kind) => {
            let plain = matches!(kind, ChoiceKind::Count | ChoiceKind::Number);
            written(style, default, plain, units)
        }
        (None, ChoiceKind::File) => "\"NAME.svg\"".to_owned(),
        (None, kind) => format!("\"name of a {} in shop.toml\"", stock_word(kind)),
    };
    let stands = choice.stated || choice.kind == ChoiceKind::File;
    format!("{}{name} = {value}", if stands { "" } else { "# " })
}

/// The default of a figure as a holder file says it, `plain` without units; left empty where a person can't follow
/// it in this file.
fn written(style: &Style, default: &Expr, plain: bool, units: Units) -> String {
    match figure(default, units) {
        Some(_) if plain => default.to_string(),
        Some(figure) => format!("\"{figure}\""),
        None if !is_explained(style, default) => "\"\"".to_owned(),
        None => format!("\"{}\"", worked_out(default, units)),
    }
}

/// A default's formula, so that it comes to what holds when it is left out.
fn worked_out(default: &Expr, units: Units) -> String {
    let text = default.formula.text_in(units);
    let may_be_odd = text.contains(['/', '.', '*']);
    let is_of_stock = default.formula.names().all(|name| name.contains('.'));
    if may_be_odd && !is_of_stock { format!("on_tape({text})") } else { text }
}

/// Whether all that a formula names stands in a holder file or is the shop's.
fn is_explained(style: &Style, default: &Expr) -> bool {
    let asked = |name: &str| {
        style.measures().any(|(known, ..)| known == name)
            || style.choices().any(|(known, ..)| known == name)
    };
    default.formula.names().all(|name| name.contains('.') || asked(name))
}
