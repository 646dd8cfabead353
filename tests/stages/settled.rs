//! What a person leaves out is settled: plausible tools come to holders that nothing stops, no set of choices is
//! better than the one that was settled on, and what is stated stays.

use std::collections::BTreeMap;

use proptest::prelude::*;
use rayon::prelude::*;
use serde::Deserialize;

use crate::carry::{check, close_calls, load_findings};
use crate::formula::Value;
use crate::holder::{Holder, Level, Part, SettledChoice, Values, build};
use crate::length::{Dimension, Units};
use crate::motion::{soon_hanging, soon_told};
use crate::reading::{Entry, Source};
use crate::settle::{Known, choices_open, finished, project, settle};
use crate::shop::{Shop, default_shop, read_shop};
use crate::style::{HolderFile, Library};
use crate::tool::tool_room;

mod agreed;
mod close;
mod odd_sizes;

/// Sets of tools as they lie in a shed: measures and a count, and nothing else.
#[derive(Deserialize)]
struct Tools {
    set: Vec<Set>,
}

#[derive(Deserialize)]
pub(super) struct Set {
    pub(super) name: String,
    pub(super) style: String,
    pub(super) units: Units,
    count: Option<u32>,
    measures: BTreeMap<String, Entry>,
}

pub(super) fn sets() -> Vec<Set> {
    toml::from_str::<Tools>(include_str!("settled/tools.toml")).unwrap().set
}

impl Set {
    /// The set as an inventory: one tool, or a list of readings as a tool for each.
    pub(super) fn as_tools(&self) -> String {
        let units = self.units.symbol();
        let lists = self.measures.values().filter_map(|entry| match entry {
            Entry::List(entries) => Some(entries.len()),
            _ => None,
        });
        let many = lists.max();
        let tools = (0..many.unwrap_or(1)).map(|i| {
            let one = |entry: &Entry| match entry {
                Entry::List(entries) => entries[i].get_ref().to_string(),
                single => single.to_string(),
            };
            let readings = self.measures.iter().map(|(name, e)| format!("{name} = {}\n", one(e)));
            let set = many.map_or(String::new(), |_| "set = \"all\"\n".to_owned());
            let count = self.count.map_or(String::new(), |count| format!("count = {count}\n"));
            format!("[[tool]]\nname = \"tool {i}\"\n{set}{count}{}", readings.collect::<String>())
        });
        format!("units = \"{units}\"\n{}", tools.collect::<String>())
    }

    pub(super) fn text(&self) -> String {
        let units = if self.units == Units::Inches { "in" } else { "mm" };
        let measures = self.measures.iter().map(|(name, entry)| format!("{name} = {entry}\n"));
        let count = self.count.map_or(String::new(), |count| format!("count = {count}\n"));
        let (style, measures) = (&self.style, measures.collect::<String>());
        format!(
            "style = \"{style}\"\nunits = \"{units}\"\n[measures]\n{measures}[choices]\n{count}"
        )
    }
}

pub(super) fn file(text: &str) -> HolderFile {
    HolderFile::read(Source::new("holder.toml", text), "holder", &Library::built_in()).unwrap()
}

/// The built-in shop with sheets of one thickness alone.
pub(super) fn shop(units: Units, sheet: Option<&str>) -> Shop {
    let text = default_shop(units);
    let text = match sheet {
        None => text.to_owned(),
        Some(thickness) => {
            let (before, rest) = text.split_once("[[sheet]]").unwrap();
            let (_, after) = rest.split_once("[[board]]").unwrap();
            let size = if units == Units::Inches { ["96", "48"] } else { ["2500", "1250"] };
            let [length, width] = size;
            let after = after.split_once("from = \"").unwrap();
            let from = after.1.split_once('"').unwrap();
            format!(
                "{before}[[sheet]]\nname = \"ply\"\nthickness = \"{thickness}\"\nlength = \"{length}\"\n\
                 width = \"{width}\"\ngrain = true\nwood = \"birch plywood\"\n\n[[board]]{}from = \"ply\"{}",
                after.0, from.1
            )
        }
    };
    read_shop(&Source::new("shop.toml", text)).unwrap()
}

/// The holder of a set by itself, what the shop leaves open settled for it.
pub(super) fn settled(set: &Set, sheet: Option<&str>) -> Holder {
    let (file, shop) = (file(&set.text()), shop(set.units, sheet));
    let project = project(&[&file], &shop, vec![Known::default()]);
    finished(&file, &project.shop, project.moved[0].as_ref().unwrap()).unwrap().holder
}

/// The style's thickness for its sheet, where it asks for one.
fn asks_for_thick_sheets(style: &str) -> bool {
    let style = Library::built_in().style(style).unwrap().unwrap();
    style.choices().any(|(name, choice, _)| name == "sheet" && choice.at_least.is_some())
}

/// How many sets warn; none stops.
fn warned(sheet: Option<&str>, wanted: impl Fn(&Set) -> bool) -> [usize; 2] {
    let sets: Vec<Set> = sets().into_iter().filter(wanted).collect();
    let holders: Vec<Holder> = sets.par_iter().map(|set| settled(set, sheet)).collect();
    let mut warned = 0;
    for (set, holder) in sets.iter().zip(&holders) {
        let found: Vec<_> =
            holder.findings.iter().filter(|found| found.level != Level::Note).collect();
        let stopped = found.iter().any(|found| found.level == Level::Stop);
        assert!(!stopped, "{} ({}): {found:#?}", set.name, set.style);
        warned += usize::from(!found.is_empty());
        let close = close::told(holder);
        let grave = close.iter().any(|close| close.level != Level::Note);
        let thin = matches!(sheet, Some("1/2 in"));
        assert!(thin || !grave, "{} ({}): {close:#?}", set.name, set.style);
        let in_panels = close.iter().filter(|close| close.code == close::IN_PANELS).count();
        assert!(thin || in_panels <= 1, "{} ({}): {close:#?}", set.name, set.style);
    }
    [warned, sets.len()]
}

#[test]
fn the_tools_of_a_shed_settle_without_a_stop() {
    let [warned, all] = warned(None, |_| true);
    assert!(all >= 120 && warned * 20 <= all, "{warned} of {all} warn");
}

#[test]
fn they_do_in_plywood_of_18_mm_and_of_half_an_inch() {
    let [warned_18, all] = warned(Some("18 mm"), |_| true);
    assert!(warned_18 * 20 <= all, "{warned_18} of {all} warn");
    let [warned_half, all] = warned(Some("1/2 in"), |set| !asks_for_thick_sheets(&set.style));
    assert!(all >= 80 && warned_half * 20 <= all, "{warned_half} of {all} warn");
}

/// The choices that a file leaves open and that give, with what each may be set to.
type Open = Vec<(String, Vec<Entry>)>;

/// Stops, warnings, choices moved, wood in tenths of a gram, steps moved.
type Worth = [u64; 5];

/// What a holder is worth as its file stands, worked out beside the program's own way of comparing.
fn worth(file: &HolderFile, shop: &Shop, [moved, far]: [usize; 2]) -> Option<Worth> {
    let holder = build(file, shop).ok()?;
    let mut levels: Vec<Level> = holder.findings.iter().map(|found| found.level).collect();
    if !levels.contains(&Level::Stop) {
        let checked = check(&holder, shop);
        let told = load_findings(&holder, &checked.checks, &checked.failed, "", "");
        levels.extend(told.iter().map(|found| found.level));
        levels.extend(close_calls(&holder, shop).iter().map(|found| found.level));
        let hanging = soon_hanging(&holder, shop);
        let hung = hanging.as_ref().and_then(|on| soon_told(&holder, shop, on));
        let room = tool_room(&holder, shop, hanging.as_ref());
        let roomy = room.iter().flat_map(|room| &room.findings);
        levels.extend(hung.iter().chain(roomy).map(|found| found.level));
    }
    let count = |wanted| levels.iter().filter(|level| **level == wanted).count() as u64;
    let wood = (holder.mass * 1e4).round() as u64;
    Some([count(Level::Stop), count(Level::Warn), moved as u64, wood, far as u64])
}

/// A settled value as it would stand in a holder file.
fn entry(value: &Value, units: Units) -> Entry {
    match value {
        Value::Figure(number) if number.dimension == Dimension::NUMBER => {
            Entry::Number(number.value)
        }
        Value::Figure(quantity) => Entry::Text(units.in_file(*quantity)),
        other => Entry::Text(other.write(units)),
    }
}

/// The best of every combination of what is `open`.
fn best_of_all(file: &HolderFile, shop: &Shop, open: &Open) -> Worth {
    let combinations: usize = open.iter().map(|(_, values)| values.len() + 1).product();
    let each = (0..combinations).into_par_iter().filter_map(|number| {
        let (mut rest, mut file, mut moved, mut far) = (number, file.clone(), 0, 0);
        for (name, values) in open {
            let pick = rest % (values.len() + 1);
            rest /= values.len() + 1;
            if pick > 0 {
                file = file.with_choice(name, values[pick - 1].clone());
                (moved, far) = (moved + 1, far + pick);
            }
        }
        worth(&file, shop, [moved, far])
    });
    each.min().unwrap()
}

/// Nothing in a small space of choices is better than what was settled: no stop, no warning, fewest moved, least
/// wood, smallest moves. Every combination is built and judged, one by one.
#[test]
fn nothing_is_better_than_what_was_settled() {
    let mut looked_at: BTreeMap<String, usize> = BTreeMap::new();
    for set in sets() {
        let (file, shop) = (file(&set.text()), shop(set.units, None));
        let open: Open = choices_open(&file, &shop);
        let combinations: usize = open.iter().map(|(_, values)| values.len() + 1).product();
        let looked = looked_at.entry(set.style.clone()).or_insert(0);
        let start = worth(&file, &shop, [0, 0]).unwrap();
        if *looked == 2 || start[..2] == [0, 0] || combinations > 2_000 {
            continue;
        }
        *looked += 1;
        let settled = settle(&file, &shop).unwrap().holder;
        let (mut stated, mut far) = (file.clone(), 0);
        for SettledChoice { choice, value, .. } in &settled.settled {
            let (_, values) = open.iter().find(|(name, _)| name == choice).unwrap();
            let value = entry(value, set.units);
            far += 1 + values.iter().position(|known| *known == value).unwrap();
            stated = stated.with_choice(choice, value);
        }
        let mine = worth(&stated, &shop, [settled.settled.len(), far]).unwrap();
        let best = best_of_all(&file, &shop, &open);
        // Where nothing serves, the search may end before all is tried.
        let serves = best[0] == 0;
        assert!(
            !serves || mine <= best,
            "{} ({}): {mine:?}, and there is {best:?}",
            set.name,
            set.style
        );
    }
    let styles = looked_at.values().filter(|looked| **looked > 0).count();
    assert!(styles >= 4, "{looked_at:?}");
}

/// The file with every choice stated as it came out.
fn all_stated(file: &HolderFile, holder: &Holder, shop: &Shop) -> HolderFile {
    let values = Values::new(file, shop).unwrap();
    let names: Vec<String> = file.style.choices().map(|(name, ..)| name.to_owned()).collect();
    names.into_iter().fold(file.clone(), |file, name| {
        let settled = holder.settled.iter().find(|settled| settled.choice == name);
        let stock = || values.stock(&name).map(|row| Value::Word(row.name.clone()));
        let value = settled.map(|settled| settled.value.clone()).or_else(stock);
        match value.or_else(|| holder.values.get(&name).cloned()) {
            Some(Value::List(_)) | None => file,
            Some(value) => file.with_choice(&name, entry(&value, holder.units)),
        }
    })
}

#[test]
fn a_settled_holder_written_out_gives_the_same_parts() {
    for set in sets().iter().step_by(7) {
        let (file, shop) = (file(&set.text()), shop(set.units, None));
        let holder = settle(&file, &shop).unwrap().holder;
        let again = settle(&all_stated(&file, &holder, &shop), &shop).unwrap().holder;
        assert_eq!(again.settled, Vec::new(), "{}", set.name);
        let sizes = |holder: &Holder| -> Vec<(String, usize, [i64; 3])> {
            let size = |part: &Part| [part.length(), part.width(), part.region.area()];
            let parts = holder.parts.iter();
            parts
                .map(|part| {
                    let size = size(part).map(|mm| (mm * 1e3).round() as i64);
                    (part.name.clone(), part.quantity(), size)
                })
                .collect()
        };
        assert_eq!(sizes(&holder), sizes(&again), "{} ({})", set.name, set.style);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn what_is_stated_never_moves(which in 0_usize..1_000, picks in any::<u64>()) {
        let all = sets();
        let set = &all[which % all.len()];
        let (file, shop) = (file(&set.text()), shop(set.units, None));
        let open = choices_open(&file, &shop);
        let mut stated = file.clone();
        let mut said = Vec::new();
        for (at, (name, values)) in open.iter().enumerate() {
            let pick = (picks >> (at * 4 % 60)) as usize & 15;
            if let Some(value) = values.get(pick) {
                stated = stated.with_choice(name, value.clone());
                said.push((name.clone(), value.clone()));
            }
        }
        let holder = settle(&stated, &shop).unwrap().holder;
        for (name, value) in said {
            prop_assert!(!holder.settled.iter().any(|settled| settled.choice == name), "{name}");
            if let Some(known) = holder.values.get(&name) {
                prop_assert_eq!(entry(known, set.units), value);
            }
        }
    }
}
