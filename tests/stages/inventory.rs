//! Tools measured once for all holders: what a holder takes from `tools.toml` is what it would state, counts are shared
//! and held against what there is, and what is wrong is told at the line where it stands.

use std::sync::Arc;

use crate::formula::Value;
use crate::holder::{Finding, Level};
use crate::inventory::default_tools;
use crate::length::{Dimension, Units};
use crate::shop::DEFAULT_SHOP;
use crate::style::HungTools;
use crate::work_out::{About, WorkedHolder};
use crate::{Inputs, Options, Worked, render, work_out, work_out_again};

/// Sash clamps, and chisels of two sizes.
const TOOLS: &str = r#"units = "mm"
[[tool]]
name = "sash clamp"
count = 8
two_handed = true
bar_thickness = 8
head_width = 28
tool_length = 1000
tool_mass = "2.1 kg"

[[tool]]
name = "chisel 12"
set = "chisels"
shank_diameter = 10
head_width = 32
widest_below = 12
neck_thickness = 6
tool_mass = "150 g"

[[tool]]
name = "chisel 25"
set = "chisels"
count = 3
shank_diameter = 13
head_width = 35
widest_below = 25
neck_thickness = 8
tool_mass = "220 g"
"#;

const SASH: &str = "style = \"slotted-shelf\"\nunits = \"in\"\ntool = \"sash clamp\"\n";
const CHISELS: &str = "style = \"hole-rail\"\nunits = \"in\"\ntool = \"chisels\"\n";

/// A project of these holders and tools.
fn project(tools: &str, holders: &[(&str, &str)]) -> Inputs {
    let begun = Inputs::new().with_cutting_steps(1).with("tools.toml", tools);
    holders.iter().fold(begun, |all, (name, text)| all.with(&format!("holders/{name}.toml"), text))
}

fn worked(tools: &str, holders: &[(&str, &str)]) -> Worked {
    work_out(&project(tools, holders)).unwrap()
}

#[track_caller]
fn wrong(tools: &str, holders: &[(&str, &str)]) -> Vec<String> {
    let problems = work_out(&project(tools, holders)).unwrap_err();
    problems.iter().map(ToString::to_string).collect()
}

fn named<'w>(worked: &'w Worked, name: &str) -> &'w Arc<WorkedHolder> {
    worked.holders.iter().find(|worked| worked.holder.name == name).unwrap()
}

fn number(worked: &Worked, holder: &str, name: &str) -> f64 {
    named(worked, holder).holder.values[name].figure(Dimension::NUMBER).unwrap()
}

fn told(worked: &Worked) -> Vec<Finding> {
    let told = worked.findings().filter(|(about, _)| *about == About::Inventory);
    told.flat_map(|(_, findings)| findings.to_vec()).collect()
}

fn names(each: &[(&str, usize)]) -> Vec<String> {
    each.iter().flat_map(|(name, count)| vec![(*name).to_owned(); *count]).collect()
}

/// Bare figures are of the file they stand in: 8 mm beside a holder in inches.
#[test]
fn what_is_taken_is_as_if_it_were_stated() {
    let stated = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"8 mm\"\n\
                  head_width = \"28 mm\"\ntool_length = \"1000 mm\"\ntool_mass = \"2.1 kg\"\n[choices]\ncount = 8\n";
    let taken = worked(TOOLS, &[("a", SASH)]);
    let plain = worked(TOOLS, &[("a", stated)]);
    let (taken, plain) = (named(&taken, "a"), named(&plain, "a"));
    assert_eq!(taken.holder.values, plain.holder.values);
    assert_eq!(taken.holder.parts, plain.holder.parts);
    assert_eq!(taken.holder.findings, plain.holder.findings);
    assert_eq!(taken.record, plain.record);
    assert_eq!(taken.hung, HungTools { names: names(&[("sash clamp", 8)]), two_handed: true });
    assert_eq!(plain.hung, HungTools::default());
}

#[test]
fn a_set_has_a_place_for_each_of_its_tools() {
    let project = worked(TOOLS, &[("chisels", CHISELS)]);
    let rail = named(&project, "chisels");
    let mm = |value: &Value| value.figure(Dimension::LENGTH).unwrap();
    let wide: Vec<f64> = rail.holder.values["widest_below"].entries().iter().map(mm).collect();
    assert_eq!(wide, [12.0, 25.0, 25.0, 25.0]);
    assert_eq!(rail.holder.tools.len(), 4);
    let hung = names(&[("chisel 12", 1), ("chisel 25", 3)]);
    assert_eq!(rail.hung, HungTools { names: hung.clone(), two_handed: false });
    // A list of names is the same, in its own order.
    let listed = CHISELS.replace("\"chisels\"", "[\"chisel 25\", \"chisel 12\"]");
    let turned = worked(TOOLS, &[("chisels", &listed)]);
    let hung = names(&[("chisel 25", 3), ("chisel 12", 1)]);
    assert_eq!(named(&turned, "chisels").hung.names, hung);
    // One tool of a set goes by its own name.
    let one = CHISELS.replace("\"chisels\"", "\"chisel 25\"\ncount = 2");
    let one = worked(TOOLS, &[("chisels", &one)]);
    assert_eq!(named(&one, "chisels").hung.names, names(&[("chisel 25", 2)]));
}

/// A style that has places for several sizes, though most often all are alike: one figure where they are, else a list.
#[test]
fn clamps_of_two_sizes_share_a_shelf() {
    let tools = TOOLS.to_owned()
        + "[[tool]]\nname = \"short clamp\"\ncount = 2\nbar_thickness = 6\nhead_width = 28\ntool_length = 500\n\
           tool_mass = \"1 kg\"\n";
    let both = SASH.replace("\"sash clamp\"", "[\"sash clamp\", \"short clamp\"]");
    let project = worked(&tools, &[("a", &both)]);
    let values = &named(&project, "a").holder.values;
    assert_eq!(number(&project, "a", "count"), 10.0);
    assert_eq!(values["bar_thickness"].entries().len(), 10);
    let longest = values["tool_length"].figure(Dimension::LENGTH);
    assert_eq!(longest, Some(1000.0), "the longest stands for all");
}

#[test]
fn what_the_file_states_holds() {
    let own = format!("{SASH}[measures]\nhead_width = \"2\"\n[choices]\ncount = 4\n");
    let project = worked(TOOLS, &[("a", &own)]);
    let values = &named(&project, "a").holder.values;
    assert_eq!(values["head_width"].clone().alike().figure(Dimension::LENGTH), Some(50.8));
    assert_eq!(number(&project, "a", "count"), 4.0);
    assert_eq!(named(&project, "a").hung.names.len(), 4);
}

/// 8 in all: 5 stated leave 3; between two that state none 4 and 4, of 7 the first has one more.
#[test]
fn what_others_leave_is_shared_evenly() {
    let five = format!("{SASH}count = 5\n");
    let shared = worked(TOOLS, &[("a", &five), ("b", SASH)]);
    assert_eq!([number(&shared, "a", "count"), number(&shared, "b", "count")], [5.0, 3.0]);
    for (there, wanted) in [("count = 8", [4.0, 4.0]), ("count = 7", [4.0, 3.0])] {
        let shared = worked(&TOOLS.replace("count = 8", there), &[("a", SASH), ("b", SASH)]);
        assert_eq!([number(&shared, "a", "count"), number(&shared, "b", "count")], wanted);
    }
    let eight = format!("{SASH}count = 8\n");
    let none = wrong(TOOLS, &[("a", &eight), ("b", SASH)]).join("\n");
    assert!(none.contains("holders/b.toml, line 3"), "{none}");
    assert!(none.contains("leave no \"sash clamp\""), "{none}");
}

#[test]
fn counts_are_held_against_what_there_is() {
    let of = |count: usize| format!("{SASH}count = {count}\n");
    let all = |a: usize, b: usize| {
        told(&worked(TOOLS, &[("a", &of(a)), ("b", &of(b)), ("chisels", CHISELS)]))
    };
    assert_eq!(all(5, 3), []);
    let many = &all(5, 4)[0];
    assert_eq!((many.level, many.code.as_str()), (Level::Warn, "more-than-there-are"));
    let begin = "9 places of a (5) and b (4); tools.toml has 8 \"sash clamp\": lower count by 1";
    assert!(many.message.starts_with(begin), "{many:?}");
    let few = &all(3, 4)[0];
    assert_eq!((few.level, few.code.as_str()), (Level::Warn, "without-place"));
    let begin = "1 of 8 \"sash clamp\" have no place, with 7 in a (3) and b (4)";
    assert!(few.message.starts_with(begin), "{few:?}");
    let unnamed = &told(&worked(TOOLS, &[("a", SASH)]))[0];
    assert_eq!((unnamed.level, unnamed.code.as_str()), (Level::Note, "without-holder"));
    assert!(unnamed.message.contains("\"chisel 12\", \"chisel 25\""), "{unnamed:?}");
}

/// A quarter of 8 is 2 more places; of 4 chisels 1, as large as the largest in each way. What is stated holds.
#[test]
fn room_for_more_is_a_share_of_the_tools() {
    let tools = TOOLS.replace("[[tool]]\nname = \"sash", "room = 0.25\n[[tool]]\nname = \"sash");
    let stated = format!("{SASH}count = 4\n[choices]\nspare = 5\n");
    let project = worked(&tools, &[("a", SASH), ("b", &stated), ("chisels", CHISELS)]);
    assert_eq!([number(&project, "a", "spare"), number(&project, "b", "spare")], [1.0, 5.0]);
    let rail = named(&project, "chisels");
    let mm = |value: &Value| value.figure(Dimension::LENGTH).unwrap();
    let shanks: Vec<f64> = rail.holder.values["shank_diameter"].entries().iter().map(mm).collect();
    assert_eq!(shanks, [10.0, 13.0, 13.0, 13.0, 13.0]);
    assert_eq!(rail.hung.names.len(), 4, "no tool hangs in the room for more");
}

#[test]
fn a_range_is_told_where_the_reading_stands() {
    let told = wrong(&TOOLS.replace("widest_below = 25", "widest_below = 900"), &[("c", CHISELS)]);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("tools.toml, line 26: widest_below: "), "{told:?}");
    // A count of more than a style takes: at the count.
    let told = wrong(&TOOLS.replace("count = 8", "count = 60"), &[("a", SASH)]);
    assert!(told[0].contains("tools.toml, line 4: count: 60 is out of range"), "{told:?}");
}

#[test]
fn what_a_tool_lacks_is_told_at_the_tool_with_its_question() {
    let told = wrong(&TOOLS.replace("neck_thickness = 8\n", ""), &[("c", CHISELS)]);
    assert_eq!(told.len(), 1, "{told:?}");
    let wanted = "tools.toml, line 21: \"chisel 25\" lacks neck_thickness: How thick is each at its thinnest";
    assert!(told[0].contains(wanted), "{told:?}");
}

#[test]
fn one_run_tells_all_that_is_wrong() {
    let tools = TOOLS
        .replace("name = \"chisel 25\"", "name = \"sash clamp\"")
        .replace("bar_thickness = 8", "bar_thickness = \"8 kg\"")
        .replace("head_width = 32", "head_widht = 32")
        .replace("count = 3", "count = 0");
    let other = SASH.replace("sash clamp", "sahs clamp");
    let told = wrong(&tools, &[("a", SASH), ("b", &other)]).join("\n");
    for wanted in [
        "tools.toml, line 6: bar_thickness: \"8 kg\" is a mass",
        "tools.toml, line 15: head_widht: no style has a reading of that name",
        "tools.toml, line 21: name: \"sash clamp\": a tool before it has that name",
        "tools.toml, line 23: count: 0 is no whole number from 1 to 1000",
        "holders/b.toml, line 3: tool: tools.toml has no tool or set \"sahs clamp\"",
    ] {
        assert!(told.contains(wanted), "{wanted}: {told}");
    }
    assert_eq!(told.lines().count(), 5, "{told}");
}

#[test]
fn a_change_of_the_tools_works_out_anew_what_takes_from_them() {
    let stated = [
        ("agree = false", "agree = false"),
        ("width = \"1 1/2\" ", "width = 3 "),
        ("screw = 12", "screw = 12"),
        ("screws = 2", "screws = 2"),
    ];
    let shop = stated.iter().fold(DEFAULT_SHOP.to_owned(), |text, (line, stated)| {
        assert_eq!(text.matches(&format!("# {line}")).count(), 1, "{line}");
        text.replace(&format!("# {line}"), stated)
    });
    let plain = "style = \"hammer-rack\"\nunits = \"in\"\n[measures]\nhandle_thickness = [1]\nhead_width = [4]\n\
                 tool_thickness = [1]\ntool_mass = [\"1 lb\"]\n";
    let all = |tools: &str| {
        project(tools, &[("a", SASH), ("chisels", CHISELS), ("plain", plain)])
            .with("shop.toml", &shop)
    };
    let before = work_out(&all(TOOLS)).unwrap();
    let same = work_out_again(&all(TOOLS), Some(&before), &|_| {}).unwrap();
    let now =
        work_out_again(&all(&TOOLS.replace("2.1 kg", "1.9 kg")), Some(&before), &|_| {}).unwrap();
    let kept = |now: &Worked, name: &str| Arc::ptr_eq(named(&before, name), named(now, name));
    assert!(["a", "chisels", "plain"].iter().all(|name| kept(&same, name)));
    assert!(!kept(&now, "a") && kept(&now, "plain"));
    // What another holder counts changes what is left, too.
    let other = all(TOOLS).with("holders/b.toml", &format!("{SASH}count = 2\n"));
    let shared = work_out_again(&other, Some(&before), &|_| {}).unwrap();
    assert_eq!(number(&shared, "a", "count"), 6.0);
}

/// A holder that hangs keeps its sizes; the mass and the count follow the tools within its places.
#[test]
fn what_is_built_follows_the_tools() {
    let tools = TOOLS.replace("[[tool]]\nname = \"sash", "room = 0.25\n[[tool]]\nname = \"sash");
    let begun = worked(&tools, &[("a", SASH)]);
    let mut files = std::collections::BTreeMap::new();
    render(&begun, &Options::default(), &mut files).unwrap();
    let record = String::from_utf8(files["a/made.toml"].clone()).unwrap();
    let built = format!("built = true\n{SASH}");
    let now = tools.replace("2.1 kg", "2.4 kg").replace("count = 8", "count = 9");
    let hung = work_out(&project(&now, &[("a", &built)]).with("made/a.toml", &record)).unwrap();
    let (was, is) = (named(&begun, "a"), named(&hung, "a"));
    assert!(was.holder.parts.iter().zip(&is.holder.parts).all(|(a, b)| a.region == b.region));
    assert_eq!(number(&hung, "a", "count"), 9.0);
    assert_eq!(is.holder.values["tool_mass"].clone().alike().figure(Dimension::MASS), Some(2.4));
    assert_eq!(is.hung.names.len(), 9);
    // Ten places there are, and no more.
    let eleven = tools.replace("count = 8", "count = 11");
    let over = work_out(&project(&eleven, &[("a", &built)]).with("made/a.toml", &record)).unwrap();
    let stop = &named(&over, "a").holder.findings[0];
    assert_eq!((stop.level, stop.code.as_str()), (Level::Stop, "more-than-places"));
}

/// What `start tools` prints reads without error, and its tools come to holders.
#[test]
fn what_a_new_inventory_begins_as_is_right() {
    for units in [Units::Inches, Units::Millimeters] {
        let begun = default_tools(units);
        let said = format!("units = \"{}\"", units.symbol());
        assert!(begun.contains(&said), "{begun}");
        let holders = [("a", SASH.replace("in\"", &format!("{}\"", units.symbol())))];
        let rail = CHISELS.replace("\"in\"", &format!("\"{}\"", units.symbol()));
        let project = worked(begun, &[("a", &holders[0].1), ("chisels", &rail)]);
        assert!(!project.is_stopped());
        assert_eq!(told(&project), []);
        // Each line that is commented out may be taken in.
        let more = begun.replace("# room =", "room =").replace("# two_handed =", "two_handed =");
        let more = worked(&more, &[("a", &holders[0].1)]);
        assert!(named(&more, "a").hung.two_handed && number(&more, "a", "spare") == 2.0);
    }
}
