//! Sizes that agree over the holders of a project.

use std::collections::{BTreeMap, BTreeSet};

use super::{Set, sets};
use crate::Inputs;
use crate::holder::{Holder, Level, SettledChoice};
use crate::stages::folder::{SHED, inputs};
use crate::work_out::{Worked, work_out};

/// The project worked out with little thought for the cutting plan.
fn worked(inputs: Inputs) -> Worked {
    work_out(&inputs.with_cutting_steps(1)).unwrap()
}

/// The sample with a line put at the top of its shop file.
fn sample(line: &str) -> Worked {
    let shop = std::fs::read_to_string(format!("{SHED}/shop.toml")).unwrap();
    worked(inputs(SHED).with("shop.toml", &format!("{line}\n{shop}")))
}

fn holders(worked: &Worked) -> impl Iterator<Item = &Holder> {
    worked.holders.iter().map(|worked| &*worked.holder)
}

/// How many different widths, lengths, and sizes of either there are, to 0.0001 mm: hundredths would part the same
/// sixteenth of an inch in two.
fn different<'h>(holders: impl Iterator<Item = &'h Holder>) -> [usize; 3] {
    let mut sizes: [BTreeSet<i64>; 3] = Default::default();
    for part in holders.flat_map(|holder| &holder.parts) {
        let [width, length] = [part.width(), part.length()].map(|mm| (mm * 1e4).round() as i64);
        sizes[0].insert(width);
        sizes[1].insert(length);
        sizes[2].extend([width, length]);
    }
    sizes.map(|sizes| sizes.len())
}

fn wood(worked: &Worked) -> f64 {
    holders(worked).map(|holder| holder.mass).sum()
}

#[test]
fn the_sample_has_a_quarter_fewer_sizes_and_no_more_wood() {
    let (agreed, alone) = (sample(""), sample("agree = false"));
    let [now, before] = [&agreed, &alone].map(|worked| different(holders(worked)));
    assert!(4 * (now[0] + now[1]) <= 3 * (before[0] + before[1]), "{now:?} of {before:?}");
    assert!(4 * now[2] <= 3 * before[2], "{now:?} of {before:?}");
    // What the sample took before open choices were settled, and 6 kg for the screw boxes, which came later.
    assert!(wood(&agreed) <= 40.97 + 6.0, "{}", wood(&agreed));
    assert!(wood(&agreed) <= 1.01 * wood(&alone), "{} of {}", wood(&agreed), wood(&alone));
    for worked in agreed.holders.iter().filter_map(|worked| worked.carried.as_ref()) {
        for check in &worked.checks {
            assert!(check.ratio() <= 1.0, "{:?}: {}", check.id, check.ratio());
        }
    }
}

/// A project of some sets of tools on the built-in shop, with a line at the top of the shop file.
fn project(sets: &[&Set], line: &str) -> Worked {
    let shop = crate::shop::default_shop(sets[0].units);
    let begin = Inputs::new().with("shop.toml", &format!("{line}\n{shop}"));
    let with = |inputs: Inputs, (at, set): (usize, &&Set)| {
        inputs.with(&format!("holders/holder-{at}.toml"), &set.text())
    };
    worked(sets.iter().enumerate().fold(begin, with))
}

/// How many stops, warnings and notes there are; notes on what was settled left aside.
fn found(holder: &Holder) -> [usize; 3] {
    let told = holder.findings.iter().filter(|finding| finding.code != "settled");
    let count = |level| told.clone().filter(|finding| finding.level == level).count();
    [Level::Stop, Level::Warn, Level::Note].map(count)
}

#[test]
fn no_holder_is_worse_for_agreeing_and_none_moves_what_it_states() {
    let all = sets();
    let by_units: BTreeMap<bool, Vec<&Set>> = all.iter().fold(BTreeMap::new(), |mut sets, set| {
        sets.entry(set.units == crate::Units::Inches).or_insert_with(Vec::new).push(set);
        sets
    });
    let (mut fewer, mut moved) = (0, 0);
    for sets in by_units.values().flat_map(|sets| sets.chunks(7)).step_by(3) {
        let (agreed, alone) = (project(sets, ""), project(sets, "agree = false"));
        let [now, before] = [&agreed, &alone].map(|worked| different(holders(worked)));
        assert!(now.iter().sum::<usize>() <= before.iter().sum(), "{now:?} of {before:?}");
        fewer += usize::from(now != before);
        for (now, before) in holders(&agreed).zip(holders(&alone)) {
            let pairs = found(now).into_iter().zip(found(before));
            assert!(
                pairs.clone().all(|(now, before)| now <= before),
                "{}: {:?}",
                now.title,
                now.findings
            );
            moved += now.settled.len() - before.settled.len();
            assert!(now.settled.iter().all(|settled| settled.choice != "count"));
        }
    }
    assert!(fewer >= 5 && moved >= 20, "{fewer} projects, {moved} choices");
}

/// Two shelves for the same clamps, one with room for more; `more` is said of the second.
fn two_shelves(more: &str) -> Worked {
    let file = |count: u32, mass: &str, more: &str| {
        format!(
            "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"5/16\"\nhead_width = \"1 1/8\"\n\
             tool_length = 40\ntool_mass = \"{mass}\"\n[choices]\ncount = {count}\n{more}"
        )
    };
    let inputs = Inputs::new().with("holders/a.toml", &file(7, "1 lb", ""));
    worked(inputs.with("holders/b.toml", &file(7, "1.2 lb", more)))
}

#[test]
fn what_is_stated_stays_and_what_moves_is_told() {
    let height =
        |worked: &Worked, at: usize| worked.holders[at].holder.values["upright_height"].clone();
    let stated = two_shelves("upright_height = \"3 11/16\"\n");
    assert_eq!(height(&stated, 1).write(crate::Units::Inches), "3 11/16 in");
    assert_eq!(height(&stated, 0), height(&stated, 1));
    let holder = &stated.holders[0].holder;
    let is = |settled: &&SettledChoice| settled.choice == "upright_height";
    let default = holder.settled.iter().find(is).unwrap().default.write(crate::Units::Inches);
    let wanted = format!(
        "upright_height is 3 11/16 in, not {default}: at {default} the saw would be set once more, for the upright."
    );
    let told: Vec<_> = holder.findings.iter().map(|finding| &*finding.message).collect();
    assert!(told.contains(&&*wanted), "{told:#?}");
    let other = &stated.holders[1].holder;
    assert!(!other.settled.iter().any(|settled| settled.choice == "upright_height"));
}

#[test]
fn a_holder_alone_agrees_with_none() {
    for set in sets().iter().step_by(11) {
        let [agreed, alone] = ["", "agree = false"].map(|line| project(&[set], line));
        let [agreed, alone] =
            [&agreed, &alone].map(|worked| holders(worked).next().unwrap().clone());
        assert_eq!(agreed, alone, "{}", set.name);
    }
}

#[test]
fn a_holder_made_alone_is_as_the_whole_project_makes_it() {
    let whole = sample("");
    for name in ["deck-clamps", "levels"] {
        let alone = worked(inputs(SHED).with_only(name));
        let of_whole = holders(&whole).find(|holder| holder.name == name).unwrap();
        assert!(!of_whole.settled.is_empty());
        assert_eq!(holders(&alone).collect::<Vec<_>>(), [of_whole]);
    }
}
