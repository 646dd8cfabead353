//! What a holder that hangs takes from its file as it is now: what loads it. All else stays as it was made, and is
//! told where the file says otherwise.

use std::collections::BTreeSet;

use super::ANEW;
use super::read::Record;
use crate::formula::Value;
use crate::holder::{Finding, Refusal, Values, stock_kind};
use crate::length::{Dimension, Units};
use crate::reading::{Entry, Kind, Problems, Spanned};
use crate::style::{ChoiceKind, HolderFile, Many};
use crate::tolerance::COORDINATE;

/// What a holder that hangs hears of its file.
#[derive(Default)]
pub(super) struct Heard {
    /// The measures and choices that are taken from it.
    pub follows: BTreeSet<String>,
    /// The choice that is the room for more tools, and how much is left.
    pub room: Option<(String, Entry)>,
    pub told: Vec<Finding>,
}

/// What the holder of a record takes from the file as it is `now`: the masses, and the count of tools within the
/// places that there are.
///
/// # Errors
/// What can't be read in the file.
pub(super) fn heard(now: &HolderFile, made: &Record) -> Result<Heard, Problems> {
    let mut wrong = now.wrong.clone();
    if now.style.name != made.file.style.name {
        let told = vec![otherwise("style", &now.style.name, &made.file.style.name)];
        return wrong.or(Heard { told, ..Heard::default() });
    }
    let stated = stated(now);
    let as_said = made.followed(made.file.clone(), now.clone(), stated.iter().cloned());
    let as_made = made.followed(made.file.clone(), now.clone(), []);
    let (said, unread) = Values::unworked(&as_said, &made.shop);
    wrong.add(unread);
    let (was, _) = Values::unworked(&as_made, &made.shop);
    let mut wrong = wrong.or(Problems::default())?;
    let ear = Ear {
        now,
        was_said: &made.file,
        said,
        was,
        units: made.file.units.unwrap_or(made.shop.units),
    };
    let heard = ear.heard(&stated, &mut wrong);
    wrong.or(heard)
}

/// The measures and choices that a file states as figures, words or screws.
fn stated(now: &HolderFile) -> Vec<String> {
    let measures = now.said_measures().map(str::to_owned);
    let plain = |kind: ChoiceKind| stock_kind(kind).is_none() && kind != ChoiceKind::File;
    let choices = now.style.choices();
    let choices = choices.filter(|(name, choice, _)| now.states(name) && plain(choice.kind));
    measures.chain(choices.map(|(name, ..)| name.to_owned())).collect()
}

/// The finding that a file says another thing than what hangs.
fn otherwise(name: &str, said: &str, was: &str) -> Finding {
    let message =
        format!("{name} is {said} in the file and {was} as made: it stays as made. {ANEW}");
    Finding::warn("as-made", message)
}

/// What a file says now beside what was made.
struct Ear<'e> {
    now: &'e HolderFile,
    was_said: &'e HolderFile,
    said: Values<'e>,
    was: Values<'e>,
    units: Units,
}

impl Ear<'_> {
    fn heard(&self, stated: &[String], wrong: &mut Problems) -> Heard {
        let mut heard = Heard::default();
        let counts = self.counted(&mut heard);
        let other_list = self.other_list();
        for name in stated.iter().filter(|name| !counts.contains(name)) {
            match self.pair(name) {
                // Lists of other tools do not go with what was made.
                Ok(_) if other_list.is_some() && self.is_list(name) => {}
                Err(_) if other_list.is_some() => {}
                Ok(_) if self.is_per_tool(name) && self.is_recounted(&counts) => {}
                Ok([said, was])
                    if self.is_mass(name) && (as_long(&said, &was) || self.is_per_tool(name)) =>
                {
                    heard.follows.insert(name.clone());
                }
                Ok([said, was]) => heard.told.extend(self.contradicted(name, &said, &was)),
                Err(Refusal::Input(problems)) => wrong.add(problems),
                Err(Refusal::Design(finding)) => heard.told.push(finding),
            }
        }
        heard.told.extend(other_list);
        heard.told.extend(self.other_names());
        heard
    }

    /// What the file says a measure or choice is, and what it was.
    fn pair(&self, name: &str) -> Result<[Value; 2], Refusal> {
        let said = self.said.comes_to(name)?;
        // What the record does not have did not apply.
        let was = self.was.comes_to(name).unwrap_or_else(|_| said.clone());
        let per_tool = self.is_per_tool(name);
        Ok([said, was].map(|value| if per_tool { value.alike() } else { value }))
    }

    /// Whether it is given once for all tools, or for each.
    fn is_per_tool(&self, name: &str) -> bool {
        matches!(self.many(name), Some(Many::Tools(_)))
    }

    /// How many values a measure or choice has.
    fn many(&self, name: &str) -> Option<Many<'_>> {
        let style = &self.now.style;
        let measures = style.measures().map(|(known, measure, _)| (known, measure.many()));
        let choices = style.choices().map(|(known, choice, _)| (known, choice.many()));
        measures.chain(choices).find(|(known, _)| *known == name).map(|(_, many)| many)
    }

    /// Whether the file counts other tools than were made for, and is not heard in that: then its lists are of
    /// others as well.
    fn is_recounted(&self, heard: &[String]) -> bool {
        let counts = self.now.style.own().counts.as_ref();
        let tools = counts.and_then(|counts| counts.tools.as_ref()).map(Spanned::get_ref);
        let Some(tools) = tools.filter(|tools| !heard.contains(tools)) else { return false };
        self.figures(tools).is_some_and(|[now, was]| now != was)
    }

    /// Whether tools of several sizes have places of their own: then one more or fewer is another holder.
    fn has_sizes(&self) -> bool {
        let style = &self.now.style;
        let names =
            style.measures().map(|(name, ..)| name).chain(style.choices().map(|(name, ..)| name));
        let sizes = names.filter(|name| self.is_per_tool(name) && !self.is_mass(name));
        let was = sizes.filter_map(|name| self.was.comes_to(name).ok());
        was.into_iter().any(|value| matches!(value.alike(), Value::List(_)))
    }

    /// The count of tools, which the file sets within the places that there are; the choices that are heard by that.
    fn counted(&self, heard: &mut Heard) -> Vec<String> {
        let Some(counts) = &self.now.style.own().counts else { return Vec::new() };
        let [tools, room] = [&counts.tools, &counts.room]
            .map(|name| name.as_ref().map(|name| name.get_ref().clone()));
        let Some(tools) = tools.filter(|tools| self.now.states(tools)) else {
            return room.into_iter().collect();
        };
        let Some([now, was]) = self.figures(&tools) else { return Vec::new() };
        if now != was && self.has_sizes() {
            return Vec::new();
        }
        let spare = room.as_ref().and_then(|room| self.figures(room)).map_or(0.0, |[_, was]| was);
        let places = was + spare;
        if now > places {
            heard.told.push(too_many(now, places));
        } else if let Some(room) = room.clone() {
            heard.follows.insert(tools.clone());
            heard.room = Some((room, Entry::Number(places - now)));
        } else {
            return Vec::new();
        }
        room.into_iter().chain([tools]).collect()
    }

    /// The number that a choice is in the file and was when made.
    fn figures(&self, choice: &str) -> Option<[f64; 2]> {
        let [said, was] = self.pair(choice).ok()?;
        Some([said.figure(Dimension::NUMBER)?, was.figure(Dimension::NUMBER)?])
    }

    /// That the file lists more or fewer tools than it was made for.
    fn other_list(&self) -> Option<Finding> {
        let measures = self.now.style.measures();
        let mut lists = measures.filter(|(_, measure, _)| measure.many() == Many::Any);
        let pair =
            lists.find_map(|(name, ..)| self.pair(name).ok().filter(|[a, b]| !as_long(a, b)));
        let [now, was] = pair?.map(|list| list.entries().len());
        let rest = if now > was { " Make a second holder for the rest." } else { "" };
        let message = format!(
            "{now} tools are listed in the file and {was} as made: it stays as made, loads too.{rest} {ANEW}"
        );
        Some(Finding::warn("as-made", message))
    }

    fn is_mass(&self, name: &str) -> bool {
        let style = &self.now.style;
        style.measures().any(|(known, measure, _)| known == name && measure.kind == Kind::Mass)
            || style
                .choices()
                .any(|(known, choice, _)| known == name && choice.kind == ChoiceKind::Mass)
    }

    fn is_list(&self, name: &str) -> bool {
        matches!(self.many(name), Some(Many::Any | Many::Per(_)))
    }

    /// That the file says otherwise, as far as a tape shows it.
    fn contradicted(&self, name: &str, said: &Value, was: &Value) -> Option<Finding> {
        let [now, then] = [said, was].map(|value| value.write(self.units));
        (!is_same(said, was) && now != then).then(|| otherwise(name, &now, &then))
    }

    /// What the file names otherwise: stock and files.
    fn other_names(&self) -> Vec<Finding> {
        let choices = self.now.style.choices();
        let named = choices.filter(|(_, choice, _)| {
            stock_kind(choice.kind).is_some() || choice.kind == ChoiceKind::File
        });
        named.filter_map(|(name, choice, _)| self.other_name(name, choice.kind)).collect()
    }

    fn other_name(&self, name: &str, kind: ChoiceKind) -> Option<Finding> {
        let [said, was] = [self.now, self.was_said].map(|file| named(file, name));
        let (said, was) = (said?, was?);
        if said != was {
            return Some(otherwise(name, &said, &was));
        }
        let texts = [self.now, self.was_said].map(|file| file.file_named(name));
        let [Some(text), Some(kept)] = texts else { return None };
        (kind == ChoiceKind::File && text != kept)
            .then(|| otherwise(name, &format!("another {said}"), &said))
    }
}

/// What a file states for a choice that is a name.
fn named(file: &HolderFile, choice: &str) -> Option<String> {
    let (_, entry) = file.choices.iter().find(|(name, _)| name.get_ref() == choice)?;
    Some(match entry.get_ref() {
        Entry::Text(name) => name.clone(),
        other => other.to_string(),
    })
}

fn too_many(tools: f64, places: f64) -> Finding {
    let message = format!(
        "{tools} tools are in the file, and it was made with places for {places}: make a second holder for the rest."
    );
    Finding::stop("more-than-places", message)
}

fn as_long(one: &Value, other: &Value) -> bool {
    one.entries().len() == other.entries().len()
}

fn is_same(one: &Value, other: &Value) -> bool {
    let near = |pair: (&Value, &Value)| match pair {
        (Value::Figure(a), Value::Figure(b)) => {
            a.dimension == b.dimension && (a.value - b.value).abs() <= COORDINATE
        }
        (a, b) => a == b,
    };
    as_long(one, other) && one.entries().iter().zip(other.entries()).all(near)
}
