//! A holder that is built keeps its sizes as it was made, is no more cut or bought for, and carries what its file says
//! of the tools now.

use std::collections::{BTreeMap, BTreeSet};

use super::{folder, metric};
use crate::drawing::{PatternNotes, pattern};
use crate::export::svg;
use crate::holder::{Finding, Holder, Level};
use crate::style::Library;
use crate::work_out::WorkedHolder;
use crate::{Inputs, Options, Worked, render, work_out, work_out_again};

const SHOP: &str = include_str!("../../samples/boat-shed/shop.toml");

const SASH: &str = r#"style = "slotted-shelf"
title = "Sash clamps"
units = "in"
[measures]
bar_thickness = "5/16"
head_width = "1 1/8"
tool_length = "40"
tool_mass = "1.2 kg"
[choices]
count = 6
spare = 2
upright_height = "5 1/2"
"#;

const HAMMERS: &str = r#"style = "hammer-rack"
units = "in"
[measures]
handle_thickness = ["1 1/8", "1", "7/8"]
head_width = ["4 3/4", "4", "3 1/2"]
tool_thickness = ["1 1/8", "1", "7/8"]
tool_mass = ["1.5 lb", "1.1 lb", "0.8 lb"]
"#;

/// Files by their paths.
type Made = BTreeMap<String, Vec<u8>>;

/// All that is made, patterns without the letters of the cutting plan: what hangs has none.
fn made(worked: &Worked) -> Made {
    let mut made = Made::new();
    render(worked, &Options::default(), &mut made).unwrap();
    for holder in worked.holders.iter().map(|worked| &worked.holder) {
        let notes = PatternNotes {
            holder_title: &holder.title,
            tools: &holder.tools,
            ..PatternNotes::default()
        };
        for part in &holder.parts {
            let drawn = svg::write(&pattern(part, holder.units, notes));
            made.insert(format!("{}/{}.svg", holder.name, part.name), drawn.into_bytes()).unwrap();
        }
    }
    made
}

/// One holder called `a` in a shop.
fn project(holder: &str, shop: &str) -> Inputs {
    let inputs = Inputs::new().with_cutting_steps(1);
    inputs.with("shop.toml", shop).with("holders/a.toml", holder)
}

fn record(made: &Made, name: &str) -> String {
    String::from_utf8(made[&format!("{name}/made.toml")].clone()).unwrap()
}

/// The record of a holder as it is made first.
fn first(holder: &str, shop: &str) -> String {
    record(&made(&work_out(&project(holder, shop)).unwrap()), "a")
}

/// The same holder once it hangs; `now` is what its file and its shop say by then.
fn hung(record: &str, now: &str, shop: &str) -> Worked {
    work_out(&project(&built(now), shop).with("made/a.toml", record)).unwrap()
}

fn built(text: &str) -> String {
    format!("built = true\n{text}")
}

fn of<'w>(worked: &'w Worked, name: &str) -> &'w WorkedHolder {
    worked.holders.iter().find(|worked| worked.holder.name == name).unwrap()
}

fn holder(worked: &Worked) -> &Holder {
    &of(worked, "a").holder
}

fn findings<'w>(worked: &'w Worked, code: &str) -> Vec<&'w Finding> {
    let findings = holder(worked).findings.iter();
    findings.filter(|finding| finding.code == code).collect()
}

/// What is drawn of the parts of a holder, its views, and its record. What hangs has no steps, and no letters in the picture
/// of the whole.
fn patterns(made: &Made, name: &str) -> Made {
    let ends = [".svg", ".dxf", "made.toml"];
    let lettered = |path: &str| path.contains("/step-") || path.ends_with("/holder.svg");
    let own = made.iter().filter(|(path, _)| path.starts_with(&format!("{name}/")));
    let own = own.filter(|(path, _)| !lettered(path));
    let drawn = own.filter(|(path, _)| ends.iter().any(|end| path.ends_with(end)));
    drawn.map(|(path, bytes)| (path.clone(), bytes.clone())).collect()
}

/// All holders of a project once they hang, `made` being what was made of them.
fn all_hung(inputs: Inputs, texts: &BTreeMap<String, String>, made: &Made) -> Worked {
    let hung = texts.iter().fold(inputs, |inputs, (file, text)| {
        let name = file.strip_suffix(".toml").unwrap();
        let inputs = inputs.with(&format!("holders/{file}"), &built(text));
        inputs.with(&format!("made/{name}.toml"), &record(made, name))
    });
    work_out(&hung).unwrap()
}

/// The sample's holder files.
fn sample_texts() -> BTreeMap<String, String> {
    let files = std::fs::read_dir("samples/boat-shed/holders").unwrap();
    let paths = files.map(|file| file.unwrap().path());
    let read = |path: std::path::PathBuf| {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        (name, std::fs::read_to_string(path).unwrap())
    };
    paths.map(read).collect()
}

fn styles(worked: &Worked) -> BTreeSet<String> {
    worked.holders.iter().map(|worked| worked.holder.style.clone()).collect()
}

#[track_caller]
fn are_the_same(before: (&Worked, &Made), hung: &Worked) {
    let again = made(hung);
    for name in before.0.names() {
        let (was, is) = (patterns(before.1, name), patterns(&again, name));
        assert!(was.len() >= 3, "{name}");
        assert_eq!(was.keys().collect::<Vec<_>>(), is.keys().collect::<Vec<_>>());
        for (path, bytes) in was {
            let [was, is] = [&bytes, &is[&path]].map(|text| String::from_utf8_lossy(text));
            assert_eq!(was, is, "{path}");
        }
        let load = format!("{name}/load.md");
        assert_eq!(before.1.get(&load), again.get(&load), "{load}");
        assert!(!again.contains_key(&format!("{name}/steps.md")));
        assert!(findings_of(hung, name).is_empty(), "{:?}", findings_of(hung, name));
    }
}

/// What is told of a holder because it hangs.
fn findings_of<'w>(worked: &'w Worked, name: &str) -> Vec<&'w Finding> {
    let codes = ["as-made", "more-than-places", "no-record"];
    let found = of(worked, name).holder.findings.iter();
    found.filter(|finding| codes.contains(&finding.code.as_str())).collect()
}

/// The names of all built-in styles.
fn known() -> BTreeSet<String> {
    Library::built_in().names().map(str::to_owned).collect()
}

#[test]
fn every_style_in_inches_is_the_same_from_its_record() {
    let hung =
        all_hung(Inputs::new().with("shop.toml", SHOP), &sample_texts(), &made(folder::sample()));
    assert_eq!(styles(folder::sample()), known());
    are_the_same((folder::sample(), &made(folder::sample())), &hung);
}

#[test]
fn every_style_in_mm_is_the_same_from_its_record() {
    for shop in [None, Some(metric::SHOP)] {
        let inputs = Inputs::new().with_cutting_steps(1);
        let inputs = shop.map_or(inputs.clone(), |shop| inputs.with("shop.toml", shop));
        let texts = metric::holders();
        let first = texts.iter().fold(inputs.clone(), |inputs, (file, text)| {
            inputs.with(&format!("holders/{file}"), text)
        });
        let first = work_out(&first).unwrap();
        assert_eq!(styles(&first), known());
        let before = made(&first);
        are_the_same((&first, &before), &all_hung(inputs, &texts, &before));
    }
}

/// `text` with the choice `name` set to `value`, which stands alone in its line.
fn with_choice(text: &str, name: &str, value: usize) -> String {
    let start = format!("{name} = ");
    let rest: Vec<&str> = text.lines().filter(|line| !line.starts_with(&start)).collect();
    let rest = rest.join("\n");
    let line = format!("[choices]\n{name} = {value}");
    if rest.contains("[choices]") { rest.replace("[choices]", &line) } else { rest + "\n" + &line }
}

#[test]
fn more_tools_take_the_room_and_no_more() {
    let library = Library::built_in();
    let mut seen = BTreeSet::new();
    for (file, text) in sample_texts() {
        let name = file.strip_suffix(".toml").unwrap();
        let before = of(folder::sample(), name);
        let style = library.style(&before.holder.style).unwrap().unwrap();
        let Some(counts) = &style.own().counts else { continue };
        let names = [&counts.tools, &counts.room].map(|name| name.as_ref().unwrap().get_ref());
        let figure = |name: &str| before.holder.values[name].figure(Default::default()).unwrap();
        let places = names.iter().map(|name| figure(name)).sum::<f64>() as usize;
        let record = record(folder::made(), name);
        for tools in 1..=places {
            let full = hung(&record, &with_choice(&text, names[0], tools), SHOP);
            assert_eq!(holder(&full).parts, before.holder.parts, "{name}: {tools}");
            let said = names.map(|name| &holder(&full).values[name]);
            let said: f64 = said.map(|v| v.figure(Default::default()).unwrap()).iter().sum();
            assert_eq!(said as usize, places);
            assert!(findings_of(&full, "a").is_empty(), "{:?}", findings_of(&full, "a"));
        }
        let more = hung(&record, &with_choice(&text, names[0], places + 1), SHOP);
        let [told] = findings(&more, "more-than-places")[..] else { panic!("{name}") };
        assert_eq!(told.level, Level::Stop);
        let says = format!(
            "{} tools are in the file, and it was made with places for {places}: make a second",
            places + 1
        );
        assert!(told.message.starts_with(&says), "{}", told.message);
        assert_eq!(holder(&more).parts, before.holder.parts, "{name}");
        seen.insert(before.holder.style.clone());
    }
    assert!(seen.len() >= 5, "{seen:?}");
}

#[test]
fn heavier_tools_change_the_load_alone() {
    let record = first(SASH, SHOP);
    let before = work_out(&project(SASH, SHOP)).unwrap();
    let now = SASH.replace("1.2 kg", "1.4 kg");
    let after = hung(&record, &now, SHOP);
    assert_eq!(patterns(&made(&before), "a"), patterns(&made(&after), "a"));
    let tools = |worked: &Worked| of(worked, "a").carried.as_ref().unwrap().tools;
    assert!((tools(&before) - 8.0 * 1.2).abs() < 1e-9 && (tools(&after) - 8.0 * 1.4).abs() < 1e-9);
    assert!(findings(&after, "as-made").is_empty());
    // What is too heavy is told, and no size is moved or advised.
    let heavy = hung(&record, &SASH.replace("1.2 kg", "6 kg"), SHOP);
    let told = holder(&heavy).findings.iter().find(|finding| finding.level == Level::Stop).unwrap();
    assert!(told.message.contains("hang fewer or lighter tools"), "{}", told.message);
    assert!(!told.message.contains("Fix:"), "{}", told.message);
    assert_eq!(holder(&heavy).parts, holder(&before).parts);
}

#[test]
fn a_mass_out_of_range_is_told_in_the_holder_file() {
    let record = first(SASH, SHOP);
    let inputs = project(&built(&SASH.replace("1.2 kg", "400 kg")), SHOP);
    let wrong = work_out(&inputs.with("made/a.toml", &record)).unwrap_err();
    let told = wrong[0].to_string();
    assert!(told.starts_with("holders/a.toml, line 9: measures.tool_mass: "), "{told}");
}

#[test]
fn another_shop_changes_nothing_of_what_hangs() {
    for text in [SASH, HAMMERS] {
        let record = first(text, SHOP);
        let before = made(&work_out(&project(text, SHOP)).unwrap());
        let thinner = SHOP.replace("\"23/32\"", "\"11/16\"");
        let wider = SHOP.replace("width = \"2 1/4\"", "width = \"3 1/4\"");
        let renamed = SHOP.replace("birch ply 3/4", "poplar ply 18");
        let bits = SHOP.replace("\"7/16\", ", "").replace("drill = [", "drill = [\"15/32\", ");
        let coarse = format!("{SHOP}\n[tape]\ngrid = \"1/2\"\n");
        for shop in [thinner, wider, renamed, bits, coarse] {
            assert_ne!(shop, SHOP);
            let after = hung(&record, text, &shop);
            assert_eq!(patterns(&before, "a"), patterns(&made(&after), "a"));
            assert!(findings_of(&after, "a").is_empty());
        }
    }
}

#[test]
fn what_hangs_is_neither_cut_nor_bought() {
    let routed = SASH.replace("[choices]\n", "[choices]\nmade_by = \"router\"\njoint = \"tab\"\n");
    for text in [SASH, &routed, HAMMERS] {
        let record = first(text, SHOP);
        let inputs = project(&built(text), SHOP).with("made/a.toml", &record);
        let other = SASH.replace("5 1/2", "6");
        let worked = work_out(&inputs.with("holders/b.toml", &other)).unwrap();
        let alone = work_out(&project(&built(text), SHOP).with("made/a.toml", &record)).unwrap();
        let (plans, none) = (&worked.plans, &alone.plans);
        assert!(none.router.sheets.is_empty() && none.cutting.pieces.is_empty());
        assert!(plans.cutting.pieces.iter().all(|piece| piece.part.holder().name == "b"));
        let routed = plans.router.sheets.iter().flat_map(|sheet| &sheet.parts);
        assert_eq!(routed.filter(|placed| placed.part.holder().name == "a").count(), 0);
        let made = made(&worked);
        for (path, bytes) in made.iter().filter(|(path, _)| path.ends_with(".csv")) {
            let table = String::from_utf8(bytes.clone()).unwrap();
            let cells = table.lines().flat_map(|line| line.split([',', ';']));
            assert!(cells.map(str::trim).all(|cell| cell != "a"), "{path}: {table}");
        }
        let kept = ["a/load.md", "a/made.toml"];
        assert!(kept.iter().all(|path| made.contains_key(*path)));
        assert!(!made.contains_key("a/steps.md") && made.contains_key("b/steps.md"));
        let summary: serde_json::Value = serde_json::from_slice(&made["summary.json"]).unwrap();
        let [a, b] = [&summary["holders"][0], &summary["holders"][1]];
        assert!(a["built"] == true && b["built"] == false);
        assert!(!a["parts"].as_array().unwrap().is_empty());
        assert!(!a["checks"].as_array().unwrap().is_empty());
    }
}

/// The shop with cleats and wall screws left open.
fn open_shop() -> String {
    let open = SHOP.replace("width = \"2 1/4\"\n", "").replace("screw = 12\n", "");
    open.replace("screws = 2 ", "# ")
}

#[test]
fn what_hangs_settles_the_shop_and_is_not_settled() {
    let (shop, other) = (open_shop(), SASH.replace("5 1/2", "6"));
    let record = first(SASH, &SHOP.replace("width = \"2 1/4\"", "width = \"2 3/4\""));
    let inputs = project(&built(SASH), &shop).with("made/a.toml", &record);
    let worked = work_out(&inputs.with("holders/b.toml", &other)).unwrap();
    let (cleat, wall) = (&worked.shop.cleat, &worked.shop.wall);
    assert!((cleat.width - 2.75 * 25.4).abs() < 1e-9 && wall.screws == 2);
    let alone = work_out(&project(&other, &shop)).unwrap();
    assert!(alone.shop.cleat.width < cleat.width);
    let cleats = |name: &str| {
        let parts = &of(&worked, name).holder.parts;
        parts.iter().find(|part| part.name == "holder-cleat").unwrap().width()
    };
    assert!((cleats("a") - cleats("b")).abs() < 1e-9);
    let told: Vec<&Finding> = worked.findings().flat_map(|(_, found)| found).collect();
    let told: Vec<_> = told.iter().filter(|finding| finding.code == "as-built").collect();
    assert!(told[0].message == "cleat.width is 2 3/4 in, for a is built so.", "{told:?}");
    // However much too heavy it is, the shop is not settled for it.
    let thin = first(SASH, &SHOP.replace("width = \"2 1/4\"", "width = \"1 1/2\""));
    let heavy = hung(&thin, &SASH.replace("1.2 kg", "12 kg"), &shop);
    assert!(heavy.is_stopped() && heavy.settled.is_empty());
    assert!((heavy.shop.cleat.width - 1.5 * 25.4).abs() < 1e-9);
    // Of several the first by name.
    let inputs = project(&built(SASH), &shop).with("made/a.toml", &thin);
    let inputs = inputs.with("holders/b.toml", &built(SASH)).with("made/b.toml", &record);
    assert!((work_out(&inputs).unwrap().shop.cleat.width - 1.5 * 25.4).abs() < 1e-9);
}

#[test]
fn what_the_file_says_otherwise_is_told() {
    let record = first(SASH, SHOP);
    let before = work_out(&project(SASH, SHOP)).unwrap();
    let now = SASH.replace("5 1/2", "6").replace("\"5/16\"", "\"3/8\"");
    let now =
        now.replace("[choices]\n", "[choices]\nmade_by = \"router\"\nsheet = \"birch ply 1/2\"\n");
    let after = hung(&record, &(now + "screw = \"#10\"\npitch = \"head_width + 1 in\"\n"), SHOP);
    assert_eq!(holder(&after).parts, holder(&before).parts);
    let told = findings(&after, "as-made");
    let told: Vec<&str> = told.iter().map(|finding| finding.message.as_str()).collect();
    let stays = |name: &str, said: &str, was: &str| {
        format!(
            "{name} is {said} in the file and {was} as made: it stays as made. To make it anew, delete built."
        )
    };
    let wanted = [
        stays("bar_thickness", "3/8 in", "5/16 in"),
        stays("pitch", "2 1/8 in", "1 7/8 in"),
        stays("made_by", "router", "hand"),
        stays("screw", "#10", "#8"),
        stays("upright_height", "6 in", "5 1/2 in"),
        stays("sheet", "birch ply 1/2", "birch ply 3/4"),
    ];
    let each = |list: &[String]| list.iter().cloned().collect::<BTreeSet<_>>();
    let told: Vec<String> = told.into_iter().map(str::to_owned).collect();
    assert_eq!(each(&told), each(&wanted));
    assert!(findings(&after, "as-made").iter().all(|finding| finding.level == Level::Warn));
}

#[test]
fn another_style_is_told() {
    let record = first(SASH, SHOP);
    let after = hung(&record, HAMMERS, SHOP);
    assert_eq!(holder(&after).style, "slotted-shelf");
    let [told] = findings(&after, "as-made")[..] else { panic!() };
    assert!(told.message.starts_with("style is hammer-rack in the file and slotted-shelf as made"));
}

#[test]
fn masses_of_a_list_follow_as_long_as_it_is_as_long() {
    let record = first(HAMMERS, SHOP);
    let before = work_out(&project(HAMMERS, SHOP)).unwrap();
    let tools = |worked: &Worked| of(worked, "a").carried.as_ref().unwrap().tools;
    let heavier = hung(&record, &HAMMERS.replace("\"1.5 lb\"", "\"2.5 lb\""), SHOP);
    assert!((tools(&heavier) - tools(&before) - 0.453_592_37).abs() < 1e-9);
    assert!(findings(&heavier, "as-made").is_empty());
    let longer =
        HAMMERS.replace("\"7/8\"]", "\"7/8\", \"1\"]").replace("\"3 1/2\"]", "\"3 1/2\", \"4\"]");
    let longer = longer.replace("\"0.8 lb\"]", "\"0.8 lb\", \"5 lb\"]");
    let shorter = HAMMERS.replace(", \"7/8\"]", "]").replace(", \"3 1/2\"]", "]");
    let shorter = shorter.replace(", \"0.8 lb\"]", "]");
    for (now, says) in [
        (
            longer,
            "4 tools are listed in the file and 3 as made: it stays as made, loads too. Make a second holder for the rest.",
        ),
        (
            shorter,
            "2 tools are listed in the file and 3 as made: it stays as made, loads too. To make it anew",
        ),
    ] {
        let after = hung(&record, &now, SHOP);
        assert_eq!(holder(&after).parts, holder(&before).parts);
        assert!((tools(&after) - tools(&before)).abs() < 1e-9);
        let [told] = findings(&after, "as-made")[..] else { panic!("{says}") };
        assert!(told.level == Level::Warn && told.message.starts_with(says), "{}", told.message);
    }
}

#[test]
fn without_a_record_it_is_sized_and_that_is_told() {
    let before = work_out(&project(SASH, SHOP)).unwrap();
    let worked = work_out(&project(&built(SASH), SHOP)).unwrap();
    assert_eq!(holder(&worked).parts, holder(&before).parts);
    let [told] = findings(&worked, "no-record")[..] else { panic!() };
    assert!(told.level == Level::Note && told.message.contains("make it once without built"));
    let made = made(&worked);
    assert!(!made.contains_key("a/made.toml") && !made.contains_key("a/steps.md"));
    assert!(worked.plans.cutting.pieces.is_empty());
}

#[test]
fn a_record_that_is_wrong_is_told_with_the_way_out() {
    let record = first(SASH, SHOP);
    for (from, to, says) in [
        ("[choices]", "[choices", "line 1"),
        ("style = ", "stile = ", "stile"),
        ("\"slotted-shelf\"", "\"slotted-self\"", "no style \"slotted-self\""),
        ("thickness = \"23/32 in\"", "thickness = \"thin\"", "sheet.thickness"),
        ("depth = ", "deep = ", "no such name"),
    ] {
        assert!(record.contains(from), "{from}");
        let inputs = project(&built(SASH), SHOP).with("made/a.toml", &record.replace(from, to));
        let wrong = work_out(&inputs).unwrap_err();
        let told = wrong[0].to_string();
        assert!(told.starts_with("made/a.toml, line "), "{told}");
        assert!(told.contains(says), "{told}");
        let help = miette::Diagnostic::help(&wrong[0]).unwrap().to_string();
        assert!(help.starts_with("put the record back as it was, or delete made/a.toml"), "{help}");
    }
}

#[test]
fn what_is_wrong_in_its_file_is_told_all_the_same() {
    let record = first(SASH, SHOP);
    for (from, to, says) in [
        ("upright_height", "upright_hight", "upright_hight"),
        ("\"5 1/2\"", "\"5 1/2 kg\"", "choices.upright_height"),
        ("\"5/16\"", "\"five\"", "measures.bar_thickness"),
        ("count = 6", "count = 6.5", "choices.count"),
        ("\"5 1/2\"", "\"head_widht * 5\"", "head_widht"),
    ] {
        let now = built(&SASH.replace(from, to));
        let wrong = work_out(&project(&now, SHOP).with("made/a.toml", &record)).unwrap_err();
        let told = wrong[0].to_string();
        assert!(told.starts_with("holders/a.toml, line ") && told.contains(says), "{told}");
    }
}

#[test]
fn a_traced_outline_stays_as_it_was() {
    let inputs = folder::inputs("tests/outside/traced");
    let before = made(&work_out(&inputs).unwrap());
    let text = include_str!("../outside/traced/holders/spokeshave.toml");
    let drawing = include_str!("../outside/traced/holders/spokeshave.svg");
    let inputs = inputs.with("holders/spokeshave.toml", &built(text));
    let inputs = inputs.with("made/spokeshave.toml", &record(&before, "spokeshave"));
    let same = work_out(&inputs).unwrap();
    assert_eq!(patterns(&before, "spokeshave"), patterns(&made(&same), "spokeshave"));
    assert!(findings_of(&same, "spokeshave").is_empty());
    let turned = drawing.replace("height=\"", "data-x=\"\" height=\"9");
    assert_ne!(turned, drawing);
    let other = work_out(&inputs.with("holders/spokeshave.svg", &turned)).unwrap();
    assert_eq!(patterns(&before, "spokeshave"), patterns(&made(&other), "spokeshave"));
    assert!(findings_of(&other, "spokeshave")[0].message.contains("spokeshave.svg"));
}

#[test]
fn worked_out_again_it_is_as_worked_out_anew() {
    let (shop, other) = (open_shop(), SASH.replace("5 1/2", "6"));
    let inputs = project(SASH, &shop).with("holders/b.toml", &other);
    let wide = first(SASH, &SHOP.replace("width = \"2 1/4\"", "width = \"3\""));
    let narrow = first(SASH, &SHOP.replace("width = \"2 1/4\"", "width = \"2\""));
    let hung = |record: &str| {
        inputs.clone().with("holders/a.toml", &built(SASH)).with("made/a.toml", record)
    };
    let mut before = work_out(&inputs).unwrap();
    for inputs in [hung(&wide), hung(&narrow), inputs.clone(), hung(&narrow)] {
        let again = work_out_again(&inputs, Some(&before), &|_| {}).unwrap();
        assert_eq!(made(&again), made(&work_out(&inputs).unwrap()));
        before = again;
    }
}

/// A style whose back is the higher the heavier its tools, and that has no choice for the room.
const SIZED_BY_LOAD: &str = include_str!("built/loaded.toml");

#[test]
fn a_part_that_goes_with_the_load_stays_as_made() {
    let with_style = |text: &str| project(text, SHOP).with("styles/loaded.toml", SIZED_BY_LOAD);
    let text = "style = \"loaded\"\n[measures]\ntool_mass = \"0.5 kg\"\n[choices]\ncount = 3\n";
    let before = work_out(&with_style(text)).unwrap();
    let record = record(&made(&before), "a");
    let after =
        |now: &str| work_out(&with_style(&built(now)).with("made/a.toml", &record)).unwrap();
    for (now, says) in [
        (text.replace("0.5 kg", "2 kg"), "tool_mass: another figure would change the sizes"),
        (text.replace("count = 3", "count = 2"), "count is 2 in the file and 3 as made"),
        (text.replace("count = 3", "count = 4"), "4 tools are in the file"),
    ] {
        let after = after(&now);
        assert_eq!(holder(&after).parts, holder(&before).parts);
        let [told] = findings_of(&after, "a")[..] else {
            panic!("{says}: {:?}", findings_of(&after, "a"))
        };
        assert!(told.message.starts_with(says), "{}", told.message);
    }
    let lighter = after(&text.replace("0.5 kg", "0.4 kg"));
    assert!(findings_of(&lighter, "a").is_empty());
    assert!(holder(&lighter).values["tool_mass"] != holder(&before).values["tool_mass"]);
}

/// What a shop says of its plywood's plies and of its air stays with a holder that hangs.
#[test]
fn plies_and_damp_are_as_the_holder_was_made() {
    let plain = "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2500\nwidth = 1250\n\
                 wood = \"birch plywood\"\n[[dowel]]\ndiameter = 25\nlength = 1000\nwood = \"birch\"\n\
                 [cleat]\nfrom = \"ply\"\n";
    let shop = plain.replace("length = 2500", "plies = 13\nlength = 2500");
    let shop = format!("damp = true\n{shop}");
    let peg = "style = \"peg\"\nunits = \"mm\"\n[measures]\ntool_thickness = 12\ntool_mass = \"0.2 kg\"\n";
    let record = first(peg, &shop);
    assert!(record.contains("damp = true") && record.contains("plies = 13"), "{record}");
    let [before, dry] = [&shop, plain].map(|shop| work_out(&project(peg, shop)).unwrap());
    let hung = hung(&record, peg, plain);
    let load = |worked: &Worked| String::from_utf8(made(worked)["a/load.md"].clone()).unwrap();
    assert_eq!(load(&hung), load(&before));
    assert!(load(&hung).contains("The shop is damp") && !load(&dry).contains("The shop is damp"));
    assert!(holder(&hung).parts.iter().any(|part| part.stock.plies == Some(13)));
}

/// A sheet read at several places keeps its least and its most, those of an offcut too.
#[test]
fn readings_of_thickness_are_kept() {
    let read = SHOP.replace("thickness = \"23/32\"", "thickness = [\"0.715\", \"0.722\"]");
    let shop = read.replacen("[[offcut]]\n", "[[offcut]]\nthickness = \"0.7\"\n", 1);
    assert!(shop.contains("0.722") && shop.contains("\"0.7\""));
    let tabbed = SASH.replace("[choices]\n", "[choices]\nmade_by = \"router\"\njoint = \"tab\"\n");
    let record = first(&tabbed, &shop);
    assert!(record.contains("thickness = [\"0.7 in\", \"0.722 in\"]"), "{record}");
    let inputs = project(&built(&tabbed), SHOP).with("made/a.toml", &record);
    let hung = work_out(&inputs).unwrap();
    let fresh = work_out(&project(&tabbed, &shop)).unwrap();
    let shelf = |worked: &Worked| {
        let parts = &worked.holders[0].holder.parts;
        parts.iter().find(|part| part.name == "shelf").unwrap().clone()
    };
    assert!((shelf(&hung).stock.thickness - 0.722 * 25.4).abs() < 1e-9);
    assert_eq!(shelf(&hung), shelf(&fresh));
}
