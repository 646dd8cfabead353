//! Every reading off a tool changes something: a finding, a size, a lift or a place.

use rayon::prelude::*;

use super::super::settled::shop;
use super::super::styles::USUAL;
use crate::carry::{check, load_findings};
use crate::holder::{Level, Values, build};
use crate::length::Units;
use crate::motion::soon_hanging;
use crate::reading::{Kind, Source};
use crate::shop::Shop;
use crate::style::{HolderFile, Library, Measure};
use crate::tool::tool_room;

/// How many places of its range a reading is moved to, from the least to the most.
const PLACES: usize = 5;

fn file(style: &str, measures: &str) -> HolderFile {
    let text = format!("style = \"{style}\"\nunits = \"in\"\n[measures]\n{measures}\n");
    HolderFile::read(Source::new("holder.toml", text), "holder", &Library::built_in()).unwrap()
}

/// All that a holder comes to as its files say, but its values.
fn comes_to(file: &HolderFile, shop: &Shop) -> Option<String> {
    let holder = build(file, shop).ok()?;
    if holder.findings.iter().any(|found| found.level == Level::Stop) {
        return Some(format!("{:?}", holder.findings));
    }
    let checked = check(&holder, shop);
    let loads = load_findings(&holder, &checked.checks, &checked.failed, "", "");
    let hanging = soon_hanging(&holder, shop);
    let room = tool_room(&holder, shop, hanging.as_ref());
    Some(format!("{:?}{:?}{loads:?}{room:?}", holder.findings, holder.parts))
}

/// The measures of a style as `said`, one of them moved to a share of its range.
fn moved(style: &str, said: &str, (name, measure): (&str, &Measure), share: f64) -> Option<String> {
    let file = file(style, said);
    let shop = shop(Units::Inches, None);
    let values = Values::new(&file, &shop).ok()?;
    let [least, most] = measure.range.clone().map(|end| end.constant(Units::Inches).unwrap().value);
    let value = least + (most - least) * share;
    let value = match measure.kind {
        Kind::Length => format!("\"{value} mm\""),
        Kind::Mass => format!("\"{value} kg\""),
        Kind::Angle => format!("\"{value} deg\""),
        Kind::Count | Kind::Number => format!("{}", value.round()),
    };
    let many = values.known(name)?.entries().len();
    let list = matches!(values.known(name)?, crate::formula::Value::List(_));
    let entries = vec![value.clone(); many].join(", ");
    let line = if list { format!("{name} = [{entries}]") } else { format!("{name} = {value}") };
    let others = said.lines().filter(|said| said.split(" = ").next() != Some(name));
    Some(others.chain([line.as_str()]).collect::<Vec<_>>().join("\n"))
}

#[test]
fn every_reading_changes_a_finding_a_size_a_lift_or_a_place() {
    let library = Library::built_in();
    for (style, said) in USUAL {
        let built = library.style(style).unwrap().unwrap();
        let measures: Vec<_> = built.measures().map(|(name, measure, _)| (name, measure)).collect();
        measures.par_iter().for_each(|(name, measure)| {
            let shop = shop(Units::Inches, None);
            let each = (0..PLACES).filter_map(|place| {
                let share = place as f64 / (PLACES - 1) as f64;
                let text = moved(style, said, (name, measure), share)?;
                comes_to(&file(style, &text), &shop)
            });
            let mut each: Vec<String> = each.collect();
            each.sort();
            each.dedup();
            assert!(each.len() > 1, "{style}: {name} changes nothing");
        });
    }
}
