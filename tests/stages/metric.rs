//! A shop that measures in millimeters sees no inch and no gauge number, with a shop file of its own and
//! with the built-in one; and what it leaves open comes in whole millimeters.

use std::collections::BTreeMap;

use crate::holder::Holder;
use crate::length::{Dimension, Units};
use crate::shop::{SizedScrew, default_shop, read_shop};
use crate::style::Library;
use crate::{Inputs, Options, Worked, render, work_out};

pub const SHOP: &str = include_str!("metric/shop.toml");

/// One of every style, as a person would write it: readings, counts, and a size here and there.
pub fn holders() -> BTreeMap<String, String> {
    let files = std::fs::read_dir("tests/stages/metric/holders").unwrap();
    let read = |path: std::path::PathBuf| {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        (name, std::fs::read_to_string(path).unwrap())
    };
    files.map(|file| read(file.unwrap().path())).collect()
}

fn project(shop: Option<&str>) -> Worked {
    let mut inputs = Inputs::new().with_cutting_steps(1);
    if let Some(shop) = shop {
        inputs = inputs.with("shop.toml", shop);
    }
    for (name, text) in holders() {
        inputs = inputs.with(&format!("holders/{name}"), &text);
    }
    work_out(&inputs).unwrap()
}

fn made(worked: &Worked) -> BTreeMap<String, Vec<u8>> {
    let mut made = BTreeMap::new();
    render(worked, &Options::default(), &mut made).unwrap();
    made
}

/// The texts among some files.
fn texts(made: &BTreeMap<String, Vec<u8>>) -> impl Iterator<Item = (&str, &str)> {
    let text = |bytes| std::str::from_utf8(bytes).ok();
    made.iter().filter_map(move |(path, bytes)| Some((path.as_str(), text(bytes)?)))
}

/// Signs of an inch, and of a screw by number, behind a figure or before one.
fn is_american(line: &str) -> bool {
    const UNITS: [&str; 11] =
        ["in", "inch", "inches", "ft", "in²", "lb", "lbs", "oz", "psi", "″", "gauge"];
    let bare = |word: &str| word.trim_matches(|c: char| ".,;:()|<>\"'".contains(c)).to_owned();
    let words: Vec<&str> =
        line.split([' ', '\u{a0}', '<', '>']).filter(|w| !w.is_empty()).collect();
    let ends_in_figure =
        |word: &str| word.ends_with(|c: char| c.is_ascii_digit() || "½¼¾⅛".contains(c));
    let measured = words.windows(2).any(|pair| {
        let figure = pair[0].trim_start_matches(['"', '(', '|']);
        ends_in_figure(figure) && UNITS.contains(&bare(pair[1]).as_str())
    });
    let number = |word: &String| {
        word.strip_prefix('#')
            .is_some_and(|rest| rest.len() <= 2 && rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    let words: Vec<String> = words.into_iter().flat_map(|word| word.split(',')).map(bare).collect();
    let fraction = words.iter().any(|word| {
        ["1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8", "1/16", "1/32", "1/64"]
            .contains(&word.as_str())
    });
    measured || words.iter().any(number) || fraction
}

/// What usual inches come to, as a table or drawing rounds them.
const CONVERTED: [f64; 16] = [
    6.35, 9.525, 12.7, 15.875, 19.05, 22.225, 25.4, 31.75, 38.1, 44.45, 50.8, 63.5, 76.2, 88.9,
    101.6, 139.7,
];

fn is_converted(word: &str) -> bool {
    let word = word.trim_end_matches("mm").trim_end_matches(['.', ';', ':']);
    let Some((_, tenth)) = word.split_once('.') else { return false };
    let Ok(mm) = word.parse::<f64>() else { return false };
    let off = if tenth.len() > 1 { 0.006 } else { 0.051 };
    CONVERTED.iter().any(|inch| (mm - inch).abs() < off)
}

/// The figures of a text that are in mm.
fn in_mm(text: &str) -> Vec<&str> {
    let words: Vec<&str> = text.split([' ', '(', '\n', '\u{a0}']).collect();
    let mm = words.windows(2).filter(|pair| pair[1].starts_with("mm") && !pair[1].contains('²'));
    mm.map(|pair| pair[0]).collect()
}

#[test]
fn nothing_of_a_metric_project_is_in_inches() {
    for shop in [Some(SHOP), None] {
        let made = made(&project(shop));
        assert!(made.len() > 150, "{}", made.len());
        let mut found = Vec::new();
        for (path, text) in texts(&made) {
            // What a file says for programs is in mm whatever the project: only prose is looked at there.
            // A page for a browser is one line: there each element is one, and how they look is told before them.
            let elements: &[char] = if path.ends_with(".html") { &['\n', '<'] } else { &['\n'] };
            let told = text.split_once("</style>").map_or(text, |(_, body)| body);
            let lines = told.split(elements).filter(|line| is_american(line));
            found.extend(lines.map(|line| format!("{path}: {line}")));
        }
        assert!(found.is_empty(), "{}", found.join("\n"));
        assert!(made.keys().any(|path| path.ends_with("pages-a4.pdf")));
        assert!(!made.keys().any(|path| path.ends_with("pages-letter.pdf")));
    }
}

/// What is told in words and tables, and drawn: coordinates in drawings are of the program's own.
#[test]
fn nothing_of_a_metric_project_is_a_converted_inch() {
    for shop in [Some(SHOP), None] {
        let made = made(&project(shop));
        let mut found = Vec::new();
        for (path, text) in texts(&made) {
            // Where saw cuts add up over stock of 17.6 mm any tenth comes up.
            if shop.is_some() && path.starts_with("cutting/") {
                continue;
            }
            let told: Vec<&str> = match path.rsplit('.').next() {
                Some("md") => in_mm(text),
                Some("csv" | "toml") => text.split([' ', ',', '"', '\n', '(', ')', '|']).collect(),
                Some("svg") => text
                    .split("<text")
                    .skip(1)
                    .filter_map(|t| t.split_once('>')?.1.split('<').next())
                    .flat_map(|t| t.split(' '))
                    .collect(),
                _ => continue,
            };
            found.extend(
                told.into_iter().filter(|w| is_converted(w)).map(|w| format!("{path}: {w}")),
            );
        }
        assert!(found.is_empty(), "{}", found.join("\n"));
    }
}

#[test]
fn what_is_searched_for_is_found() {
    for line in ["1 3/8 in", "| 4 lb |", "screw #8, 4 of them", "<text>3/4</text>", "12 in²"] {
        assert!(is_american(line), "{line}");
    }
    for line in ["4 × 40 mm", "hang it in the shop", "see cut 3, in the plan", "#e8e8e8"] {
        assert!(!is_american(line), "{line}");
    }
    assert!(is_converted("12.7") && is_converted("19.1mm") && is_converted("88.9"));
    assert!(!is_converted("12") && !is_converted("17.6") && !is_converted("12.5"));
}

/// Lengths that a person may choose, as the program chose them.
fn free(holder: &Holder, library: &Library) -> Vec<(String, f64)> {
    let style = library.style(&holder.style).unwrap().unwrap();
    let lengths =
        style.choices().filter(|(_, choice, _)| choice.kind == crate::style::ChoiceKind::Length);
    // A clearance is a fit, and fits come in tenths.
    let lengths = lengths.filter(|(name, ..)| !name.contains("fit"));
    let values = lengths.filter_map(|(name, ..)| Some((name, holder.values.get(name)?)));
    let entries = values.flat_map(|(name, value)| value.entries().iter().map(move |v| (name, v)));
    entries.filter_map(|(name, v)| Some((name.to_owned(), v.figure(Dimension::LENGTH)?))).collect()
}

#[test]
fn what_is_left_open_is_whole_millimeters() {
    let library = Library::built_in();
    let mut seen = 0;
    for shop in [Some(SHOP), None] {
        for worked in &project(shop).holders {
            for (name, mm) in free(&worked.holder, &library) {
                assert!((mm - mm.round()).abs() < 1e-9, "{}: {name} {mm}", worked.holder.name);
                seen += 1;
            }
        }
    }
    assert!(seen > 100, "{seen}");
}

/// Screws of a row stand a whole number of millimeters apart.
#[test]
fn screws_stand_on_whole_millimeters() {
    let mut seen = 0;
    for worked in &project(None).holders {
        // A ramp leans, and so do its screws.
        for joint in worked.holder.screws.iter().filter(|_| worked.holder.style != "plane-ramp") {
            let part = &worked.holder.parts[joint.through];
            for pair in joint.screws.windows(2).filter(|pair| pair[0].piece == pair[1].piece) {
                let apart: Vec<f64> =
                    (0..2).map(|i| (pair[1].head[i] - pair[0].head[i]).abs()).collect();
                // Along one row; the way to the next row may cross half a thickness.
                if apart.iter().filter(|mm| **mm > 0.01).count() == 1 && part.bevel.is_none() {
                    let mm = apart[0].max(apart[1]);
                    seen += 1;
                    let whole = (mm - mm.round()).abs() < 1e-6;
                    assert!(whole, "{} {}: {mm}", worked.holder.name, joint.about);
                }
            }
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn no_holder_is_stopped() {
    for shop in [Some(SHOP), None] {
        let worked = project(shop);
        let findings = worked.findings().flat_map(|(_, findings)| findings);
        let stops: Vec<_> = findings.filter(|f| f.level == crate::holder::Level::Stop).collect();
        assert!(stops.is_empty(), "{stops:?}");
    }
}

/// The built-in metric shop has in mm what the other has in inches.
#[test]
fn the_built_in_shop_is_in_the_units_of_the_project() {
    let shop =
        |units| read_shop(&crate::reading::Source::new("shop", default_shop(units))).unwrap();
    let [inch, metric] = [Units::Inches, Units::Millimeters].map(shop);
    assert_eq!(inch.stock.len(), metric.stock.len());
    assert_eq!(metric.printer.paper, crate::shop::Paper::A4);
    assert_eq!((metric.wall.stud_spacing, metric.wall.screw_length), (600.0, 80.0));
    let sheet = &metric.stock[0];
    assert_eq!((sheet.length, sheet.width, sheet.thickness), (2500.0, 1250.0, 18.0));
    assert!(metric.bits.iter().all(|bit| (bit.diameter * 2.0).fract() == 0.0));
}

fn problem(shop: &str, choices: &str) -> String {
    let text = &holders()["saws.toml"];
    let inputs = Inputs::new()
        .with("shop.toml", shop)
        .with("holders/saws.toml", &format!("{text}\n[choices]\n{choices}\n"));
    let wrong = work_out(&inputs).err().unwrap_or_default();
    let help = |p: &crate::reading::Problem| miette::Diagnostic::help(p).map(|h| h.to_string());
    wrong.iter().map(|p| format!("{p} {}\n", help(p).unwrap_or_default())).collect()
}

#[test]
fn a_bare_size_of_screw_is_asked_about() {
    for size in [4, 5, 6] {
        let told = problem(SHOP, &format!("screw = {size}"));
        assert!(
            told.contains(&format!("{size} could be {size} mm thick or number {size}")),
            "{told}"
        );
        assert!(told.contains(&format!("\"{size} mm\"")) && told.contains(&format!("\"#{size}\"")));
        let shop = SHOP.replace("screw = \"6x80\"", &format!("screw = {size}"));
        assert!(problem(&shop, "").contains("wall.screw"), "{}", problem(&shop, ""));
    }
    assert_eq!(problem(SHOP, "screw = 4.5"), "");
    assert_eq!(problem(SHOP, "screw = \"4x40\""), "");
}

#[test]
fn brick_is_no_wood() {
    let brick = SHOP.replace("wood = \"C24\"", "wood = \"brick\"");
    let told = problem(&brick, "");
    assert!(told.contains("brick is no wood") && told.contains("masonry = \"brick\""), "{told}");
    let both = SHOP.replace("wood = \"C24\"", "masonry = \"brick\"");
    let told = problem(&both, "");
    assert!(told.contains("wall.stud_spacing: a wall of masonry has no studs"), "{told}");
    let none = SHOP.replace("wood = \"C24\"", "masonry = \"none\"");
    assert!(problem(&none, "").contains("no masonry known here"));
    let birch = SHOP.replace("wood = \"C24\"", "wood = \"driftwood\"");
    assert!(problem(&birch, "").contains("driftwood"));
    let comma = SHOP.replace("thickness = 17.6", "thickness = \"17,6\"");
    assert!(problem(&comma, "").contains("17.6"), "{}", problem(&comma, ""));
}

/// In masonry the holder's own wood and screws are rated, the plugs are told what they must hold.
#[test]
fn plugs_are_told_and_not_rated() {
    let studs = "stud_spacing = 400\nstud_width = 45\ncovering = 12.5\nwood = \"C24\"";
    assert!(SHOP.contains(studs));
    let masonry = SHOP.replace(studs, "masonry = \"brick\"\ncovering = 15");
    let worked = project(Some(&masonry));
    let mut hung = 0;
    for worked in &worked.holders {
        let findings = &worked.holder.findings;
        assert!(findings.iter().all(|f| f.level != crate::holder::Level::Stop), "{findings:?}");
        let notes = findings.iter().filter(|f| f.code == "wall-not-rated");
        let Some(carried) = worked.carried.as_ref().filter(|c| !c.checks.is_empty()) else {
            continue;
        };
        assert!(notes.count() >= 1, "{}", worked.holder.name);
        assert!(carried.highest().is_some());
        hung += 1;
    }
    assert!(hung > 10, "{hung}");
    let made = made(&worked);
    let load = std::str::from_utf8(&made["saws/load.md"]).unwrap();
    let told = load.replace("Find every stud", "");
    assert!(load.contains("not rated") && !told.contains("stud"), "{load}");
    let hardware = std::str::from_utf8(&made["hardware.csv"]).unwrap();
    assert!(hardware.contains("wall plug"));
}

/// The drawer has 4 × 30 to 50: what is longer or thicker is told, and what lies there is taken.
#[test]
fn screws_come_from_the_drawer() {
    let worked = project(Some(SHOP));
    let drawer = [
        (3.5, 30.0),
        (4.0, 30.0),
        (4.0, 35.0),
        (4.0, 40.0),
        (4.0, 50.0),
        (4.5, 60.0),
        (6.0, 80.0),
        (6.0, 100.0),
    ];
    let (mut taken, mut bought) = (0, 0);
    for worked in &worked.holders {
        let holder = &worked.holder;
        for joint in &holder.screws {
            let there = drawer.contains(&(joint.screw.shank(), joint.length));
            let told = holder
                .findings
                .iter()
                .any(|f| f.code == "not-in-the-drawer" && f.message.starts_with(&joint.about));
            assert_eq!(
                there,
                !told,
                "{} {}: {}",
                holder.name,
                joint.about,
                SizedScrew { screw: joint.screw, length: joint.length }
            );
            if there { taken += 1 } else { bought += 1 }
        }
    }
    assert!(taken > 20, "{taken} {bought}");
}

/// What a holder file in mm says of screws by number goes on as before.
#[test]
fn numbers_are_still_numbers() {
    assert_eq!(problem(SHOP, "screw = \"#8\""), "");
    assert_eq!(problem(SHOP, "screw_number = \"#8\""), "");
    assert_eq!(problem(SHOP, "screw_number = 8"), "");
}
