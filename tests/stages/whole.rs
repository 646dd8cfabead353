//! Pictures of whole holders: every part is named, every step that adds something is shown, what hides is hidden.

use std::collections::BTreeSet;

use crate::drawing::{self, Drawing, Item, Line, Pictured};
use crate::holder::Holder;
use crate::inputs::Inputs;
use crate::length::Units;
use crate::render::style_picture;
use crate::solid::wood_solids;
use crate::trial::example;

use super::folder;

fn names() -> Vec<String> {
    let library = crate::style::Library::built_in();
    library.names().map(str::to_owned).collect()
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let text = |item: &'_ Item| matches!(item, Item::Text(_));
    let texts = drawing.items.iter().filter(|item| text(item));
    texts
        .filter_map(
            |item| if let Item::Text(text) = item { Some(text.text.as_str()) } else { None },
        )
        .collect()
}

fn has(drawing: &Drawing, kind: Line) -> bool {
    drawing.items.iter().any(|item| matches!(item, Item::Stroke { line, .. } if *line == kind))
}

fn drawn(holder: &Holder) -> (Drawing, Vec<Option<Drawing>>) {
    let (solids, letters) = (wood_solids(holder), vec![vec!["X"]; holder.parts.len()]);
    let pictured = Pictured { holder, solids: &solids, letters: &letters };
    (drawing::whole(&pictured).unwrap(), drawing::steps(&pictured))
}

#[test]
fn the_whole_names_every_part_with_its_letters() {
    for worked in &folder::sample().holders {
        let holder = &worked.holder;
        let (whole, _) = drawn(holder);
        let told: BTreeSet<&str> = texts(&whole).into_iter().collect();
        for part in holder.parts.iter().filter(|part| part.quantity() > 0) {
            let name = format!("X {}", part.name.replace('-', " "));
            assert!(told.contains(name.as_str()), "{}: {name} in {told:?}", holder.name);
        }
        assert!(has(&whole, Line::Assembled) && has(&whole, Line::Apart), "{}", holder.name);
        assert_eq!(has(&whole, Line::Tool), !holder.tools.is_empty(), "{}", holder.name);
    }
}

#[test]
fn a_step_shows_what_it_adds_in_black_to_what_stands_in_gray() {
    for worked in &folder::sample().holders {
        let holder = &worked.holder;
        let (_, steps) = drawn(holder);
        assert_eq!(steps.len(), holder.steps.len());
        let mut stands = false;
        for (step, picture) in holder.steps.iter().zip(&steps) {
            assert_eq!(picture.is_some(), !step.adds.is_empty(), "{}: {}", holder.name, step.text);
            let Some(picture) = picture else { continue };
            assert!(has(picture, Line::Added), "{}: {}", holder.name, step.text);
            // What is built on stands in black, alone or with what comes to it.
            assert_eq!(has(picture, Line::Standing), stands, "{}: {}", holder.name, step.text);
            let told = texts(picture);
            for part in &step.adds {
                let name = format!("X {}", holder.parts[*part].name.replace('-', " "));
                assert!(told.contains(&name.as_str()), "{}: {name} in {told:?}", holder.name);
            }
            stands = true;
        }
    }
}

#[test]
fn every_style_has_a_picture_in_either_system() {
    for name in names() {
        for units in [Units::Inches, Units::Millimeters] {
            let holder = example(&Inputs::new(), &name, units).unwrap().holder;
            assert!(holder.parts.iter().any(|part| part.quantity() > 0), "{name}");
            let picture = style_picture(&Inputs::new(), &name, units).unwrap();
            for layer in ["assembled", "apart", "dimension"] {
                assert!(picture.contains(&format!("id=\"{layer}\"")), "{name} has no {layer}");
            }
        }
    }
    assert!(style_picture(&Inputs::new(), "no-such-style", Units::Inches).is_err());
}
