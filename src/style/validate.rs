//! What must hold in a style file beyond its keys: names that can be used, and references that
//! lead somewhere.

use std::collections::BTreeSet;

use super::asked::{Choice, ChoiceKind, Many};
use super::expr::Expr;
use super::library::{Layer, Style};
use super::load_spec::{CarrierModel, CarrierSpec};
use super::spec::{BesideWay, PartSpec};
use crate::length::{Units, read_unit};
use crate::limits;
use crate::reading::{Kind, Problem, Problems, Spanned, nearest, nearest_name};

/// Words that formulas keep for themselves, and the shop's own names.
const RESERVED: [&str; 13] =
    ["n", "if", "then", "else", "and", "or", "not", "yes", "no", "cleat", "saw", "router", "wall"];

/// # Errors
/// Each thing in the style's files that does not hold.
pub(super) fn validate(style: &Style) -> Result<(), Problems> {
    let parts: Vec<&str> = style
        .layers
        .iter()
        .flat_map(|layer| layer.file.parts.iter().map(|part| part.name.get_ref().as_str()))
        .collect();
    few_parts(style)?;
    let mut wrong = Problems::default();
    for layer in &style.layers {
        wrong.keep(labels(layer));
        check_values(style, layer, &mut wrong);
        for part in &layer.file.parts {
            wrong.keep(check_part(style, layer, part, &parts));
        }
        check_ties(style, layer, &parts, &mut wrong);
    }
    wrong.add(needs(style));
    wrong.keep(loads(style));
    wrong.keep(used(style));
    wrong.or(())
}

/// Measures, choices and workings.
fn check_values(style: &Style, layer: &Layer, wrong: &mut Problems) {
    wrong.keep(names(layer));
    let lists = lists(style);
    for per in pers(layer) {
        if !lists.contains(&per.get_ref().as_str()) {
            let message = format!("per: there is no list named \"{}\"", per.get_ref());
            let help = nearest(per.get_ref(), &lists);
            wrong.add(layer.source.problem(per.span(), message).with_help(help));
        }
    }
    let counts = counts(style);
    for per_tool in pers_tool(layer).filter(|name| !counts.contains(&name.get_ref().as_str())) {
        let message = format!("per_tool: there is no count named \"{}\"", per_tool.get_ref());
        let help = nearest(per_tool.get_ref(), &counts);
        wrong.add(layer.source.problem(per_tool.span(), message).with_help(help));
    }
    for (name, choice) in layer.choices.iter() {
        wrong.keep(check_choice(layer, name, choice));
        if let Some(range) = &choice.range {
            let key = format!("choices.{}", name.get_ref());
            wrong.keep(check_range(layer, &key, name, (range, choice.default.as_ref())));
        }
    }
    for (name, measure) in layer.measures.iter() {
        let key = format!("measures.{}", name.get_ref());
        wrong.keep(check_range(layer, &key, name, (&measure.range, measure.default.as_ref())));
    }
    let counts = layer.file.counts.iter().flat_map(|counts| [&counts.tools, &counts.room]);
    let choices: Vec<&str> = style.choices().map(|(name, ..)| name).collect();
    for name in counts.flatten() {
        wrong.keep(known(layer, name, "choice", &choices));
    }
}

/// What refers to parts and choices: screws, joints, steps, carriers and mends.
fn check_ties(style: &Style, layer: &Layer, parts: &[&str], wrong: &mut Problems) {
    for screw in &layer.file.screws {
        wrong.keep(known_part(layer, &screw.through, parts));
        if let Some(into) = screw.into.as_ref().filter(|into| into.get_ref() != "wall") {
            wrong.keep(known_part(layer, into, parts));
        }
    }
    for joint in layer.file.parts.iter().flat_map(|part| &part.tabs) {
        wrong.keep(known_part(layer, &joint.into, parts));
    }
    for adds in layer.file.steps.iter().flat_map(|step| &step.adds) {
        wrong.keep(known_part(layer, adds, parts));
    }
    if let Some(part) = &layer.file.wall_cleats {
        wrong.keep(known_part(layer, part, parts));
    }
    for carrier in &layer.file.carries {
        wrong.keep(check_carrier(style, layer, carrier, parts));
    }
    for weight in &layer.file.weights {
        for part in &weight.path {
            wrong.keep(known_part(layer, part, parts));
        }
    }
    for line in &layer.file.measuring.lines {
        wrong.keep(check_line(style, layer, &line.name));
    }
    for beside in layer.file.parts.iter().flat_map(|part| &part.sits).flat_map(|s| &s.beside) {
        wrong.keep(known_part(layer, &beside.part, parts));
        if let BesideWay::Between(other) = &beside.side {
            wrong.keep(known_part(layer, other, parts));
        }
    }
}

/// What a group needs of the style that takes it in.
fn needs(style: &Style) -> Problems {
    let mut wrong = Problems::default();
    let named = |name: &str| style.layers.iter().any(|layer| names_of(layer).any(|n| n == name));
    for layer in &style.layers {
        let group = layer.source.name().rsplit('/').next().unwrap_or_default();
        let group = group.trim_end_matches(".toml");
        for (name, what) in &layer.file.needs {
            let name = name.get_ref();
            if !named(name) {
                let own = &style.layers[0];
                let at = own.file.include.first().map_or(0..0, Spanned::span);
                let message = format!("include: group {group} needs \"{name}\", {what}");
                let help = format!("add {name} = \"…\" under [workings] or as a choice");
                wrong.add(own.source.problem(at, message).with_help(help));
            }
        }
    }
    wrong
}

/// The measures, choices and workings of a file by name.
fn names_of(layer: &Layer) -> impl Iterator<Item = &str> {
    let keys = layer.measures.keys().chain(layer.choices.keys()).chain(layer.file.workings.keys());
    keys.map(|name| name.get_ref().as_str())
}

/// That a style has no more parts than can be looked at against one another.
fn few_parts(style: &Style) -> Result<(), Problem> {
    let mut parts = style.layers.iter().flat_map(|l| l.file.parts.iter().map(move |p| (l, p)));
    match parts.nth(limits::PARTS) {
        Some((layer, part)) => {
            let message = format!("more than {} kinds of part in one style", limits::PARTS);
            Err(layer.source.problem(part.name.span(), message))
        }
        None => Ok(()),
    }
}

/// That what is written onto drawings and into lists is short enough for them.
fn labels(layer: &Layer) -> Result<(), Problem> {
    let file = &layer.file;
    let of_parts = file
        .parts
        .iter()
        .flat_map(|part| part.edges.values().chain([&part.about, part.name.get_ref()]));
    let of_hardware = file.hardware.iter().flat_map(|h| [&h.item, &h.size, &h.used_for]);
    let words = layer.choices.values().flat_map(|choice| &choice.options);
    let all = of_parts.chain(of_hardware).chain(words).chain([&file.title]);
    let mut all = all.chain(file.screws.iter().map(|screw| screw.name.get_ref()));
    let Some(long) = all.find(|text| text.chars().count() > limits::LABEL) else { return Ok(()) };
    let begin: String = long.chars().take(20).collect();
    let message = format!(
        "\"{begin}…\" has {} characters; at most {} for a title, a name or a label",
        long.chars().count(),
        limits::LABEL
    );
    // Where it stands: no text that long is there by chance.
    let at = layer.source.text().find(long.as_str()).unwrap_or(0);
    Err(layer.source.problem(at..at, message))
}

/// The measures and choices that are lists of a length of their own.
fn lists(style: &Style) -> Vec<&str> {
    let measures = style.measures().map(|(name, measure, _)| (name, measure.many()));
    let choices = style.choices().map(|(name, choice, _)| (name, choice.many()));
    measures.chain(choices).filter(|(_, many)| *many == Many::Any).map(|(name, _)| name).collect()
}

/// The choices that are counts.
fn counts(style: &Style) -> Vec<&str> {
    let counts = style.choices().filter(|(_, choice, _)| choice.kind == ChoiceKind::Count);
    counts.filter(|(_, choice, _)| choice.many() == Many::One).map(|(name, ..)| name).collect()
}

fn pers_tool(layer: &Layer) -> impl Iterator<Item = &Spanned<String>> {
    let measures = layer.measures.values().filter_map(|measure| measure.per_tool.as_ref());
    measures.chain(layer.choices.values().filter_map(|choice| choice.per_tool.as_ref()))
}

fn pers(layer: &Layer) -> impl Iterator<Item = &Spanned<String>> {
    let measures = layer.measures.values().filter_map(|measure| measure.per.as_ref());
    measures.chain(layer.choices.values().filter_map(|choice| choice.per.as_ref()))
}

/// Measures, choices and workings: names a formula can use, each once in a layer.
fn names(layer: &Layer) -> Result<(), Problem> {
    let file = &layer.file;
    let asked = layer.measures.keys().chain(layer.choices.keys());
    let names = asked.chain(file.series.keys()).chain(file.workings.keys());
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

/// That a range runs from the least to the most, and a default lies in it, as far as they lean on no
/// other value.
fn check_range(
    layer: &Layer,
    key: &str,
    name: &Spanned<String>,
    (range, default): (&[Expr; 2], Option<&Expr>),
) -> Result<(), Problem> {
    for units in [Units::Inches, Units::Millimeters] {
        let [least, most] = [&range[0], &range[1]].map(|end| end.constant(units));
        let (Some(least), Some(most)) = (least, most) else { continue };
        let write = |quantity| units.quantity(quantity);
        if least.value > most.value {
            let message =
                format!("{key}: its range runs from {} down to {}", write(least), write(most));
            let help = "put the least first, then the most";
            return Err(layer.source.problem(name.span(), message).with_help(help));
        }
        let Some(default) = default.and_then(|default| default.constant(units)) else { continue };
        let same = default.dimension == least.dimension || default.value == 0.0;
        let near = crate::tolerance::COORDINATE;
        if same && !(least.value - near..=most.value + near).contains(&default.value) {
            let message = format!(
                "{key}: its default of {} is not in its range from {} to {}",
                write(default),
                write(least),
                write(most)
            );
            return Err(layer
                .source
                .problem(name.span(), message)
                .with_help("change one or the other"));
        }
    }
    Ok(())
}

/// Where masses are read something must bear them, all of them together.
fn loads(style: &Style) -> Result<(), Problem> {
    let paths = style.layers.iter().flat_map(|layer| {
        layer.file.weights.iter().filter_map(move |weight| Some((layer, weight.path.first()?)))
    });
    if let Some((layer, first)) = paths.into_iter().nth(1) {
        let message = "a second path for a load: each would be looked at alone";
        let help = "add the masses up in one of [weights], or say what bears them under [carries]";
        return Err(layer.source.problem(first.span(), message.to_owned()).with_help(help));
    }
    let mass = style.measures().find(|(_, measure, _)| measure.kind == Kind::Mass);
    let weighs = style.layers.iter().any(|layer| !layer.file.weights.is_empty());
    let bears = style.layers.iter().any(|layer| !layer.file.carries.is_empty())
        || style.layers.iter().flat_map(|l| &l.file.weights).any(|weight| !weight.path.is_empty());
    let Some((name, _, layer)) = mass.filter(|_| !weighs || !bears) else { return Ok(()) };
    let at = layer.measures.keys().find(|key| key.get_ref() == name).map_or(0..0, Spanned::span);
    let message = format!("measures.{name}: a mass is read, and nothing is said to bear it");
    let help = "write [weights] with mass = \"…\", out = \"…\" and path = [\"…\", \"…\"], from the part that it \
                lies on to the part that hangs on the wall";
    Err(layer.source.problem(at, message).with_help(help))
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
        ChoiceKind::Word | ChoiceKind::Screw => Ok(()),
        _ if choice.range.is_none() => wrong("a figure needs a range"),
        _ => Ok(()),
    }
}

/// Whether a part of this name would have the files of the holder's pictures: `holder`, `views`, `step-3`.
fn is_of_the_whole(name: &str) -> bool {
    let step = name.strip_prefix("step-").is_some_and(|number| number.parse::<usize>().is_ok());
    step || ["holder", "views"].contains(&name)
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
    let other = ["-cut", "-back", "-back-cut"].iter().find_map(|of| name.strip_suffix(of));
    if let Some(other) = other.filter(|other| parts.contains(other)) {
        return wrong(format!(
            "the part name \"{name}\" is also the name of a file of \"{other}\": choose another name"
        ));
    }
    if is_of_the_whole(name) {
        return wrong(format!(
            "the part name \"{name}\" is also the name of a file of the whole holder: choose another name"
        ));
    }
    if name.len() > limits::FILE_NAME {
        let (has, most) = (name.len(), limits::FILE_NAME);
        return wrong(format!("the part name has {has} characters; at most {most}"));
    }
    if part.footprints.named().len() > limits::PARTS {
        let (has, most) = (part.footprints.named().len(), limits::PARTS);
        return wrong(format!("{has} parts land on \"{name}\"; at most {most}"));
    }
    if part.adds() {
        let whole = |other: &PartSpec| !other.adds() && other.name.get_ref() == name;
        if !style.layers.iter().any(|layer| layer.file.parts.iter().any(whole)) {
            return wrong(format!("\"{name}\" sits nowhere: say where each piece sits"));
        }
        return part.footprints.named().iter().try_for_each(|on| known_part(layer, on, parts));
    }
    if part.size.is_some() == part.outline.is_some() {
        return wrong(format!("\"{name}\" has either a size (a plain rectangle) or an outline"));
    }
    if part.about.is_empty() {
        return wrong(format!("\"{name}\" says nothing of itself: write about = \"what it does\""));
    }
    check_stock(style, layer, part)?;
    for landing in part.footprints.named() {
        known_part(layer, landing, parts)?;
    }
    Ok(())
}

fn check_stock(style: &Style, layer: &Layer, part: &PartSpec) -> Result<(), Problem> {
    let from = part.cut_from.get_ref().as_str();
    let stock = |kind| matches!(kind, ChoiceKind::Sheet | ChoiceKind::Board | ChoiceKind::Dowel);
    let choices: Vec<&str> =
        style.choices().filter(|(_, c, _)| stock(c.kind)).map(|(name, _, _)| name).collect();
    if from == "cleat" || from == "dowel" && part.diameter.is_some() || choices.contains(&from) {
        return Ok(());
    }
    let message =
        format!("cut_from: \"{from}\" is neither a stock choice of this style nor \"cleat\"");
    let help = if from == "dowel" {
        "give the diameter of the dowel too".to_owned()
    } else {
        nearest(from, &choices)
    };
    Err(layer.source.problem(part.cut_from.span(), message).with_help(help))
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

/// That a line of the measuring sheet is of a length that is asked for.
fn check_line(style: &Style, layer: &Layer, name: &Spanned<String>) -> Result<(), Problem> {
    let measures = style.measures().map(|(name, measure, _)| (name, measure.kind == Kind::Length));
    let choices =
        style.choices().map(|(name, choice, _)| (name, choice.kind.figure() == Some(Kind::Length)));
    let lengths = measures.chain(choices).filter(|(_, length)| *length);
    let lengths: Vec<&str> = lengths.map(|(name, _)| name).collect();
    known(layer, name, "length to measure named", &lengths)
}

/// Of parts and screws that are there.
fn check_carrier(
    style: &Style,
    layer: &Layer,
    carrier: &CarrierSpec,
    parts: &[&str],
) -> Result<(), Problem> {
    let screws = style.layers.iter().flat_map(|layer| &layer.file.screws);
    let abouts: Vec<&str> = screws.map(|screw| screw.name.get_ref().as_str()).collect();
    match &carrier.model {
        CarrierModel::Cantilever(model) => known_part(layer, &model.part, parts),
        CarrierModel::Span(model) => known_part(layer, &model.part, parts),
        CarrierModel::Screws(model) => {
            model.joints.iter().try_for_each(|joint| known(layer, joint, "row of screws", &abouts))
        }
        CarrierModel::Tabs(model) => {
            known_part(layer, &model.part, parts)?;
            known_part(layer, &model.into, parts)
        }
        CarrierModel::Hook(model) => {
            known_part(layer, &model.cleat, parts)?;
            known(layer, &model.screws, "row of screws", &abouts)
        }
    }
}

/// A reading is asked for because something comes of it.
fn used(style: &Style) -> Result<(), Problem> {
    let names: BTreeSet<&str> = style.layers.iter().flat_map(Layer::names_used).collect();
    // A misspelled name may be it: that is told when the formula is worked out.
    let workings =
        style.layers.iter().flat_map(|l| l.file.workings.keys().map(|key| key.get_ref().as_str()));
    let known: BTreeSet<&str> = style
        .measures()
        .map(|(name, ..)| name)
        .chain(style.choices().map(|(name, ..)| name))
        .chain(workings)
        .collect();
    let meant =
        |name: &str| names.difference(&known).any(|used| nearest_name(used, &[name]).is_some());
    let idle = style.measures().find(|(name, measure, _)| {
        measure.serves.is_none() && !names.contains(name) && !meant(name)
    });
    let Some((name, _, layer)) = idle else { return Ok(()) };
    let span = layer.measures.keys().find(|key| key.get_ref() == name).map_or(0..0, Spanned::span);
    let message = format!("measures.{name}: no formula uses it");
    let help =
        "use it in one, leave it out, or say for = \"body\" if it tells how large the tool is";
    Err(layer.source.problem(span, message).with_help(help))
}
