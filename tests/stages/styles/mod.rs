//! Every style through the library: figures worked out anew, sweeps over all it can be asked,
//! its checks on both sides of their limits, and style files of a user's own.

mod bits;
mod carries;
mod checks;
mod equilibrium;
mod figures;
mod guides;
mod joints;
mod left_out;
mod lists;
mod loose;
mod more_figures;
mod own;
mod several_sizes;
mod silent;
mod space;
mod steps;
mod sweep;
mod symmetric;
mod takes;
mod volume;
mod wrong;

pub(super) use carries::USUAL;
pub(super) use sweep::by_lot;

use crate::holder::{Finding, Holder, Level, Part, build};
use crate::length::Dimension;
use crate::reading::{Problems, Source};
use crate::shop::{DEFAULT_SHOP, Shop, read_shop};
use crate::style::{HolderFile, Library};

const IN: f64 = 25.4;

pub(super) fn shop(text: &str) -> Shop {
    read_shop(&Source::new("shop.toml", text)).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The shop that serves where there is no shop file: 3/4 in sheets and cleats; two screws in each stud.
pub(super) fn usual_shop() -> Shop {
    shop(&usual_text())
}

/// The text of that shop, what the built-in one leaves open stated.
fn usual_text() -> String {
    let stated = ["width = \"1 1/2\" ", "screw = 12", "screws = 2", "screw_length = \"3\""];
    stated.iter().fold(DEFAULT_SHOP.to_owned(), |text, line| {
        assert_eq!(text.matches(&format!("# {line}")).count(), 1, "{line}");
        text.replace(&format!("# {line}"), line)
    })
}

/// The text of a holder file: `measures` and `choices` are lines, bare lengths are inches.
pub(super) fn text(style: &str, measures: &str, choices: &str) -> String {
    format!(
        "style = \"{style}\"\nunits = \"in\"\n\n[measures]\n{measures}\n\n[choices]\n{choices}\n"
    )
}

fn try_made(text: &str, shop: &Shop) -> Result<Holder, Problems> {
    let source = Source::new("holder.toml", text);
    build(&HolderFile::read(source, "holder", &Library::built_in())?, shop)
}

/// The holder of a file that is right.
pub(super) fn made(text: &str, shop: &Shop) -> Holder {
    try_made(text, shop).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// A length among the holder's values, in inches.
fn inches(holder: &Holder, name: &str) -> f64 {
    let value = holder.values.get(name).and_then(|value| value.figure(Dimension::LENGTH));
    value.unwrap_or_else(|| panic!("{} has no length {name}", holder.style)) / IN
}

fn part<'a>(holder: &'a Holder, name: &str) -> &'a Part {
    let found = holder.parts.iter().find(|part| part.name == name);
    found.unwrap_or_else(|| panic!("{} has no part {name}: {:?}", holder.style, holder.findings))
}

/// Length and width of a part in inches, and how many of it there are.
fn size(holder: &Holder, name: &str) -> (f64, f64, usize) {
    let part = part(holder, name);
    (part.length() / IN, part.width() / IN, part.quantity())
}

fn stops(holder: &Holder) -> Vec<&Finding> {
    holder.findings.iter().filter(|finding| finding.level == Level::Stop).collect()
}

#[track_caller]
fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 1e-6, "{got}, not {wanted}");
}
