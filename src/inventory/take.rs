//! What a holder takes from the inventory: readings in place of its measures, and the count of tools.

use std::sync::Arc;

use super::{Inventory, Share, StockedTool};
use crate::inputs::TOOLS;
use crate::length::Units;
use crate::reading::{Entry, Problem, Source, Spanned, figure, nearest};
use crate::style::{Entries, HolderFile, HungTools, Many, Measure, Serves, Taken};

/// See [`super::supplied`].
pub(super) fn supplied(
    mut file: HolderFile,
    inventory: Option<&Inventory>,
    shares: &[Share<'_>],
) -> HolderFile {
    if file.tool.is_empty() {
        return file;
    }
    let says = HolderFile {
        source: inventory.map_or_else(|| file.source.clone(), |inventory| inventory.source.clone()),
        units: inventory.and_then(|inventory| inventory.units),
        measures: Entries::new(),
        choices: Entries::new(),
        ..file.clone()
    };
    let mut taken = Taken { says, hung: hung(shares) };
    match inventory {
        None => file.wrong.add(no_inventory(&file)),
        Some(inventory) => {
            let unknown = unknown(&file, inventory);
            let none_left = none_left(&file, shares).filter(|_| unknown.is_empty());
            let counts_set = counts_set(&file, shares);
            let told = unknown.into_iter().chain(none_left).chain(counts_set);
            told.for_each(|problem| file.wrong.add(problem));
            state_count(&mut file);
            let places = Places { inventory, shares, spare: spare(inventory, shares) };
            if places.kinds().next().is_some() {
                places.measures(&mut file, &mut taken.says);
                places.counts(&file, &mut taken.says);
            }
        }
    }
    HolderFile { taken: Some(Arc::new(taken)), ..file }
}

fn hung(shares: &[Share<'_>]) -> HungTools {
    let here = || shares.iter().filter(|share| share.count > 0);
    let names = here().flat_map(|share| vec![share.tool.name.get_ref().clone(); share.count]);
    HungTools { names: names.collect(), two_handed: here().any(|share| share.tool.two_handed) }
}

/// How many further places there are to be.
fn spare(inventory: &Inventory, shares: &[Share<'_>]) -> Option<Spanned<usize>> {
    let room = inventory.room.as_ref()?;
    let count: usize = shares.iter().map(|share| share.count).sum();
    Some(Spanned::new(room.span(), (room.get_ref() * count as f64).ceil() as usize))
}

fn no_inventory(file: &HolderFile) -> Problem {
    let at = file.tool.first().map_or(0..0, Spanned::span);
    let message = format!("tool: there is no {TOOLS} that could be read");
    let help = format!("\"cleatwright start tools > {TOOLS}\" writes one to begin from");
    file.source.problem(at, message).with_help(help)
}

/// The names that are neither of a tool nor of a set.
fn unknown(file: &HolderFile, inventory: &Inventory) -> Vec<Problem> {
    let strays = file.tool.iter().filter(|name| inventory.named(name.get_ref()).is_empty());
    let told = strays.map(|name| {
        let message = format!("tool: {TOOLS} has no tool or set \"{}\"", name.get_ref());
        let help = nearest(name.get_ref(), &inventory.names());
        file.source.problem(name.span(), message).with_help(help)
    });
    told.collect()
}

/// That a file counts the tools of a set, which are not all one.
fn counts_set(file: &HolderFile, shares: &[Share<'_>]) -> Option<Problem> {
    let count = file.count.as_ref().filter(|_| shares.len() > 1)?;
    let message = format!("count: {} tools are in that set, and it counts one", shares.len());
    let help = "leave it out, or name one of its tools";
    Some(file.source.problem(count.span(), message).with_help(help))
}

/// That other holders leave nothing for this one.
fn none_left(file: &HolderFile, shares: &[Share<'_>]) -> Option<Problem> {
    let name = file.tool.first()?;
    let none = !shares.is_empty() && shares.iter().all(|share| share.count == 0);
    let message = format!("tool: other holders leave no \"{}\" for this one", name.get_ref());
    let help = format!("lower count in one of them, raise it in {TOOLS}, or take this file away");
    none.then(|| file.source.problem(name.span(), message).with_help(help))
}

/// The name of the choice that counts tools, or of that for room.
fn count_choice(file: &HolderFile, room: bool) -> Option<String> {
    let counts = file.style.own().counts.as_ref()?;
    let name = if room { &counts.room } else { &counts.tools };
    name.as_ref().map(|name| name.get_ref().clone())
}

/// A count at the top of the file is the style's choice, as if it stood there.
fn state_count(file: &mut HolderFile) {
    let (Some(count), Some(name)) = (&file.count, count_choice(file, false)) else { return };
    if file.states(&name) {
        let message = format!("count: it is said twice, here and as choices.{name}");
        let twice = file.source.problem(count.span(), message);
        file.wrong.add(twice.with_help("leave out one of the two"));
        return;
    }
    let entry = Entry::Number(*count.get_ref() as f64);
    let (key, entry) = (Spanned::new(count.span(), name), Spanned::new(count.span(), entry));
    file.choices.insert(key, entry);
}

/// The tools in the places of a holder.
struct Places<'p> {
    inventory: &'p Inventory,
    shares: &'p [Share<'p>],
    spare: Option<Spanned<usize>>,
}

impl<'p> Places<'p> {
    /// The tools, each as often as it hangs here.
    fn each(&self) -> impl Iterator<Item = &'p StockedTool> {
        self.shares.iter().flat_map(|share| std::iter::repeat_n(share.tool, share.count))
    }

    /// The kinds of tool that hang here.
    fn kinds(&self) -> impl Iterator<Item = &'p StockedTool> {
        self.shares.iter().filter(|share| share.count > 0).map(|share| share.tool)
    }

    fn measures(&self, file: &mut HolderFile, says: &mut HolderFile) {
        let style = Arc::clone(&file.style);
        for (name, measure, _) in style.measures() {
            if file.measures.keys().any(|stated| stated.get_ref() == name) {
                continue;
            }
            let lacking: Vec<_> =
                self.kinds().filter(|tool| reading(tool, name).is_none()).collect();
            let optional = measure.default.is_some() && lacking.len() == self.kinds().count();
            if optional {
                continue;
            }
            if lacking.is_empty() {
                match self.read(file, name, measure) {
                    Ok(entry) => drop(says.measures.insert(key(&entry, name), entry)),
                    Err(problem) => file.wrong.add(problem),
                }
            }
            for tool in lacking.into_iter().filter(|tool| !tool.unread.iter().any(|n| n == name)) {
                file.wrong.add(self.lacks(tool, name, measure));
            }
        }
    }

    fn lacks(&self, tool: &StockedTool, name: &str, measure: &Measure) -> Problem {
        let message = format!("\"{}\" lacks {name}: {}", tool.name.get_ref(), measure.ask);
        let help = format!("under its [[tool]] write {name} = …, {}", measure.kind.example());
        self.inventory.source.problem(tool.name.span(), message).with_help(help)
    }

    /// What the tools here have for a reading that all of them have.
    fn read(
        &self,
        file: &HolderFile,
        name: &str,
        measure: &Measure,
    ) -> Result<Spanned<Entry>, Problem> {
        let read = |tool| reading(tool, name);
        let kinds: Vec<&Spanned<Entry>> = self.kinds().filter_map(read).collect();
        let size = |entry: &Spanned<Entry>| size(entry, measure, self.inventory);
        let largest = kinds.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
        let Some(largest) = largest.map(|entry| (*entry).clone()) else {
            return Ok(Spanned::new(0..0, Entry::List(Vec::new())));
        };
        let alike = kinds.iter().all(|entry| size(entry) == size(&largest));
        match measure.many() {
            Many::Any | Many::Per(_) => Ok(self.list(name, Some(&largest))),
            _ if alike || measure.serves == Some(Serves::Body) => Ok(largest),
            Many::Tools(_) => Ok(self.list(name, None)),
            Many::One => Err(differs(file, name)),
        }
    }

    /// An entry for each place; `spare` is what places for more are made for, where the list has them too.
    fn list(&self, name: &str, spare: Option<&Spanned<Entry>>) -> Spanned<Entry> {
        let more = self.spare.as_ref().map_or(0, |spare| *spare.get_ref());
        let own = self.each().filter_map(|tool| reading(tool, name).cloned());
        let more = spare.into_iter().flat_map(|entry| std::iter::repeat_n(entry.clone(), more));
        let entries: Vec<Spanned<Entry>> = own.chain(more).collect();
        let at = entries.first().map_or(0..0, Spanned::span);
        Spanned::new(at, Entry::List(entries))
    }

    /// The count of tools and the room for more, where the style has choices for them.
    fn counts(&self, file: &HolderFile, says: &mut HolderFile) {
        let count: usize = self.shares.iter().map(|share| share.count).sum();
        let first = self.kinds().next().map(|tool| Spanned::new(tool.count.span(), count));
        let tools = (count_choice(file, false), first);
        let room = (count_choice(file, true), self.spare.clone());
        for (name, count) in [tools, room] {
            let (Some(name), Some(count)) = (name, count) else { continue };
            let entry = Spanned::new(count.span(), Entry::Number(*count.get_ref() as f64));
            says.choices.insert(key(&entry, &name), entry);
        }
    }
}

fn key(entry: &Spanned<Entry>, name: &str) -> Spanned<String> {
    Spanned::new(entry.span(), name.to_owned())
}

fn reading<'t>(tool: &'t StockedTool, name: &str) -> Option<&'t Spanned<Entry>> {
    tool.readings.iter().find(|(known, _)| known.get_ref() == name).map(|(_, entry)| entry)
}

/// What a reading comes to, in mm, kg or degrees, to hold it against others.
fn size(entry: &Spanned<Entry>, measure: &Measure, inventory: &Inventory) -> f64 {
    let units = inventory.units.unwrap_or(Units::Inches);
    let quiet = Source::new("", "");
    figure(entry, measure.kind, Some(units), "", &quiet).unwrap_or_default()
}

fn differs(file: &HolderFile, name: &str) -> Problem {
    let at = file.tool.first().map_or(0..0, Spanned::span);
    let message = format!("tool: these differ in {name}, and this style has one for all");
    let help = format!("write a holder file for each size, or state {name} under [measures]");
    file.source.problem(at, message).with_help(help)
}
