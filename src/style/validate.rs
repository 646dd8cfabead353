//! What must hold in a style file beyond its keys: names that can be used, and references that
//! lead somewhere.

use std::collections::BTreeSet;

use super::library::{Layer, Style};
use super::load_spec::BearerSpec;
use super::spec::{Choice, ChoiceKind, CutSpec, Many, PartSpec};
use crate::length::read_unit;
use crate::reading::{Problem, Spanned, nearest};

/// Words that formulas keep for themselves, and the shop's own names.
const RESERVED: [&str; 13] =
    ["n", "if", "then", "else", "and", "or", "not", "yes", "no", "cleat", "saw", "router", "wall"];

/// # Errors
/// At the first thing in the style's files that does not hold.
pub fn validate(style: &Style) -> Result<(), Problem> {
    let parts: Vec<&str> = style
        .layers
        .iter()
        .flat_map(|layer| layer.file.parts.iter().map(|part| part.name.get_ref().as_str()))
        .collect();
    let lists = lists(style);
    for layer in &style.layers {
        names(layer)?;
        for per in pers(layer) {
            if !lists.contains(&per.get_ref().as_str()) {
                let message = format!("per: there is no list named \"{}\"", per.get_ref());
                let help = nearest(per.get_ref(), &lists);
                return Err(layer.source.problem(per.span(), message).with_help(help));
            }
        }
        for (name, choice) in &layer.file.choices {
            check_choice(layer, name, choice)?;
        }
        for part in &layer.file.parts {
            check_part(style, layer, part, &parts)?;
        }
        for screw in &layer.file.screws {
            known_part(layer, &screw.through, &parts)?;
            if let Some(into) = screw.into.as_ref().filter(|into| into.get_ref() != "wall") {
                known_part(layer, into, &parts)?;
            }
        }
        for joint in &layer.file.joints {
            known_part(layer, &joint.tabs, &parts)?;
            known_part(layer, &joint.into, &parts)?;
        }
        for bearer in &layer.file.bears {
            check_bearer(style, layer, bearer, &parts)?;
        }
        for mend in &layer.file.mends {
            let choices: Vec<&str> = style.choices().map(|(name, _, _)| name).collect();
            known(layer, &mend.choice, "choice", &choices)?;
        }
        for check in &layer.file.checks {
            let levels = [&check.stop, &check.warn, &check.note];
            if levels.iter().filter(|level| level.is_some()).count() != 1 {
                let message = "a check has exactly one of stop, warn and note";
                return Err(layer.source.problem(check.code.span(), message));
            }
        }
    }
    Ok(())
}

/// The measures and choices that are lists of a length of their own.
fn lists(style: &Style) -> Vec<&str> {
    let measures = style.measures().map(|(name, measure, _)| (name, measure.many()));
    let choices = style.choices().map(|(name, choice, _)| (name, choice.many()));
    measures.chain(choices).filter(|(_, many)| *many == Many::Any).map(|(name, _)| name).collect()
}

fn pers(layer: &Layer) -> impl Iterator<Item = &Spanned<String>> {
    let measures = layer.file.measures.values().filter_map(|measure| measure.per.as_ref());
    measures.chain(layer.file.choices.values().filter_map(|choice| choice.per.as_ref()))
}

/// Measures, choices and workings: names a formula can use, each once in a layer.
fn names(layer: &Layer) -> Result<(), Problem> {
    let file = &layer.file;
    let names = file.measures.keys().chain(file.choices.keys()).chain(file.workings.keys());
    let mut seen = BTreeSet::new();
    for name in names {
        let text = name.get_ref();
        let plain = text.starts_with(|c: char| c.is_ascii_alphabetic())
            && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        let wrong = |message: String| Err(layer.source.problem(name.span(), message));
        if !plain {
            return wrong(format!("\"{text}\" is no name: use letters, digits and _"));
        }
        if RESERVED.contains(&text.as_str()) || read_unit(text).is_some() {
            return wrong(format!("\"{text}\" has a meaning in formulas: choose another name"));
        }
        if !seen.insert(text) {
            return wrong(format!("\"{text}\" is named twice"));
        }
    }
    Ok(())
}

fn check_choice(layer: &Layer, name: &Spanned<String>, choice: &Choice) -> Result<(), Problem> {
    let wrong = |message: &str| {
        let message = format!("choices.{}: {message}", name.get_ref());
        Err(layer.source.problem(name.span(), message))
    };
    match choice.kind {
        ChoiceKind::Sheet | ChoiceKind::Board | ChoiceKind::Dowel if choice.many() != Many::One => {
            wrong("a stock can't be a list")
        }
        ChoiceKind::Sheet | ChoiceKind::Board | ChoiceKind::Dowel | ChoiceKind::File => Ok(()),
        _ if choice.default.is_none() => wrong("it has no default"),
        ChoiceKind::Word if choice.options.is_empty() => wrong("a word needs options"),
        ChoiceKind::Word => Ok(()),
        _ if choice.range.is_none() => wrong("a figure needs a range"),
        _ => Ok(()),
    }
}

fn check_part(
    style: &Style,
    layer: &Layer,
    part: &PartSpec,
    parts: &[&str],
) -> Result<(), Problem> {
    let name = part.name.get_ref();
    let wrong = |message: String| Err(layer.source.problem(part.name.span(), message));
    let plain = name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !plain {
        return wrong(format!("the part name \"{name}\" is also a file name: use a-z, 0-9 and -"));
    }
    if parts.iter().filter(|other| *other == name).count() > 1 {
        return wrong(format!("two parts are named \"{name}\""));
    }
    if part.sits.is_empty() {
        return wrong(format!("\"{name}\" sits nowhere: say where each piece sits"));
    }
    check_stock(style, layer, part)?;
    for landing in &part.lands {
        known_part(layer, landing, parts)?;
    }
    for cut in &part.cuts {
        if shapes(cut) != 1 {
            return wrong(format!(
                "each cut of \"{name}\" has exactly one of slot, hole, window, notch and traced"
            ));
        }
        if let Some(slot) = &cut.slot
            && slot.toward.is_some() == slot.to.is_some()
        {
            return wrong(format!(
                "a slot of \"{name}\" needs either toward (an edge) or to (a point)"
            ));
        }
        if let Some(slot) = &cut.slot
            && (slot.mouth_width.is_some() || slot.mouth_radius.is_some())
            && (slot.toward.is_none()
                || slot.end_diameter.is_some()
                || slot.mouth_width.is_some() && slot.mouth_radius.is_some())
        {
            return wrong(format!(
                "a slot of \"{name}\" can have mouth_width or mouth_radius when it leads toward an \
                 edge and has no end_diameter"
            ));
        }
    }
    Ok(())
}

fn check_stock(style: &Style, layer: &Layer, part: &PartSpec) -> Result<(), Problem> {
    let from = part.from.get_ref().as_str();
    let stock = |kind| matches!(kind, ChoiceKind::Sheet | ChoiceKind::Board | ChoiceKind::Dowel);
    let choices: Vec<&str> =
        style.choices().filter(|(_, c, _)| stock(c.kind)).map(|(name, _, _)| name).collect();
    if from == "cleat" || from == "dowel" && part.diameter.is_some() || choices.contains(&from) {
        return Ok(());
    }
    let message = format!("from: \"{from}\" is neither a stock choice of this style nor \"cleat\"");
    let help = if from == "dowel" {
        "give the diameter of the dowel too".to_owned()
    } else {
        nearest(from, &choices)
    };
    Err(layer.source.problem(part.from.span(), message).with_help(help))
}

fn shapes(cut: &CutSpec) -> usize {
    let some = [
        cut.slot.is_some(),
        cut.hole.is_some(),
        cut.window.is_some(),
        cut.notch.is_some(),
        cut.traced.is_some(),
    ];
    some.into_iter().filter(|given| *given).count()
}

fn known_part(layer: &Layer, name: &Spanned<String>, parts: &[&str]) -> Result<(), Problem> {
    known(layer, name, "part", parts)
}

fn known(layer: &Layer, name: &Spanned<String>, what: &str, all: &[&str]) -> Result<(), Problem> {
    if all.contains(&name.get_ref().as_str()) {
        return Ok(());
    }
    let message = format!("there is no {what} \"{}\"", name.get_ref());
    Err(layer.source.problem(name.span(), message).with_help(nearest(name.get_ref(), all)))
}

/// One model, of parts and screws that are there.
fn check_bearer(
    style: &Style,
    layer: &Layer,
    bearer: &BearerSpec,
    parts: &[&str],
) -> Result<(), Problem> {
    let screws = style.layers.iter().flat_map(|layer| &layer.file.screws);
    let abouts: Vec<&str> = screws.map(|screw| screw.about.as_str()).collect();
    let BearerSpec { cantilever, span, screws, hook, .. } = bearer;
    let models = [cantilever.is_some(), span.is_some(), screws.is_some(), hook.is_some()];
    if models.into_iter().filter(|given| *given).count() != 1 {
        let message = "it has exactly one of cantilever, span, screws and hook";
        return Err(layer.source.problem(bearer.what.span(), message));
    }
    if let Some(model) = cantilever {
        known_part(layer, &model.part, parts)?;
    }
    if let Some(model) = span {
        known_part(layer, &model.part, parts)?;
    }
    if let Some(model) = screws {
        if model.out.is_some() != model.pivot.is_some() {
            let message = "screws are turned by out and pivot together, or by neither";
            return Err(layer.source.problem(bearer.what.span(), message));
        }
        for joint in &model.joints {
            known(layer, joint, "row of screws", &abouts)?;
        }
    }
    if let Some(model) = hook {
        known_part(layer, &model.cleat, parts)?;
        known(layer, &model.screws, "row of screws", &abouts)?;
    }
    Ok(())
}
