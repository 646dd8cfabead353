//! What `wall.toml` says.

use crate::length::Units;
use crate::reading::{Problems, Source};
use crate::wall::{PinnedRow, RowsAsked, WallReading, WallsAsked, default_wall, read_walls};

fn read(text: &str) -> Result<WallsAsked, Problems> {
    let with = WallReading {
        usual: Units::Inches,
        stud_spacing: 406.4,
        shop_says_studs: false,
        masonry: false,
        holders: &["planes", "chisels"],
        cleat_makers: &[],
    };
    read_walls(&Source::new("wall.toml", text), with)
}

fn wrong(text: &str) -> String {
    let problems = read(text).unwrap_err();
    problems.iter().map(|problem| format!("{problem}\n")).collect()
}

const PLAIN: &str =
    "units = \"mm\"\nwidth = 3600\nheight = 2400\nstuds = { first = 400, spacing = 600 }\n";

#[test]
fn what_start_prints_reads() {
    for units in [Units::Inches, Units::Millimeters] {
        let text = default_wall(units);
        let asked = read(text).unwrap();
        assert_eq!(asked.walls[0].rows, RowsAsked::Open);
        let asked = read(&uncommented(text)).unwrap();
        assert_eq!(asked.walls[0].obstacles[0].name, "window");
        assert_eq!((asked.pins.len(), asked.groups.len()), (1, 1));
    }
}

/// The file with what it only shows of obstacles, people, pins and groups.
fn uncommented(text: &str) -> String {
    let (_, shown) = text.split_once("# Whatever is in the way").unwrap();
    let (shown, _) = shown.split_once("# Several walls").unwrap();
    let keys = shown.lines().filter_map(|line| line.strip_prefix("# ")).filter(|line| {
        let key = line.split_once(" = ").is_some_and(|(key, _)| !key.contains(' '));
        key || line.starts_with('[')
    });
    let shown: String = keys.map(|line| format!("{line}\n")).collect();
    format!("{text}{}", shown.replace("sash-clamps", "planes"))
}

#[test]
fn one_wall() {
    let asked = read(&format!(
        "{PLAIN}rows = [900, 1200]\n[person]\nheight = 1800\n[[obstacle]]\nname = \"window\"\nleft = 800\nbottom = 1000\n\
         width = 900\nheight = 1000\n[[pin]]\nholder = \"planes\"\nleft = 50\nrow = 2\n[[pin]]\nholder = \"chisels\"\n\
         row = \"900 mm\"\n[[together]]\nname = \"edge\"\nholders = [\"planes\", \"chisels\"]\n"
    ))
    .unwrap();
    let wall = &asked.walls[0];
    assert_eq!(wall.studs, [400.0, 1000.0, 1600.0, 2200.0, 2800.0, 3400.0]);
    assert_eq!(wall.rows, RowsAsked::Heights(vec![900.0, 1200.0]));
    assert_eq!(asked.pins[0].row, Some(PinnedRow::Number(1)));
    assert_eq!(asked.pins[1].row, Some(PinnedRow::Height(900.0)));
    assert_eq!(wall.obstacles[0].area.x1, 1700.0);
    assert_eq!(asked.groups[0].holders.len(), 2);
}

#[test]
fn studs_and_rows_in_other_words() {
    let feet = "width = \"12 ft\"\nheight = \"8 ft\"\n[studs]\nfirst = \"1 ft 3 1/4 in\"\n[rows]\nlowest = 40\nspacing = \"1 ft\"\n";
    let wall = &read(feet).unwrap().walls[0];
    assert!((wall.studs[1] - wall.studs[0] - 406.4).abs() < 1e-9);
    let RowsAsked::Spaced { lowest, spacing } = wall.rows else { panic!("{:?}", wall.rows) };
    assert!((lowest - 1016.0).abs() < 1e-9 && (spacing - 304.8).abs() < 1e-9);
    let list = PLAIN.replace("first = 400, spacing = 600", "at = [1000, 400, 1650]");
    assert_eq!(read(&list).unwrap().walls[0].studs, [400.0, 1000.0, 1650.0]);
}

#[test]
fn several_walls() {
    let one =
        "name = \"north\"\nwidth = 3000\nheight = 2400\nstuds = { first = 400, spacing = 600 }\n";
    let two = one.replace("north", "east");
    let asked = read(&format!(
        "units = \"mm\"\n[[wall]]\n{one}[[wall]]\n{two}[[pin]]\nholder = \"planes\"\nwall = \"east\"\n"
    ))
    .unwrap();
    assert_eq!(asked.walls.len(), 2);
    assert_eq!(asked.pins[0].wall, Some(1));
    assert!(wrong(&format!("width = 9\n[[wall]]\n{one}")).contains("the file has [[wall]] too"));
    assert!(
        wrong(&format!("units = \"mm\"\n[[wall]]\n{one}[[wall]]\n{one}"))
            .contains("two walls are called")
    );
}

#[test]
fn what_is_wrong_is_told() {
    let cases = [
        (PLAIN.replace("width = 3600", ""), "width is missing"),
        (PLAIN.replace("3600", "60"), "width: 60 mm is out of range"),
        (PLAIN.replace("studs = { first = 400, spacing = 600 }", ""), "studs are missing"),
        (PLAIN.replace("first = 400, ", ""), "studs.first is missing"),
        (format!("{PLAIN}rows = []"), "rows: 0 heights"),
        (format!("{PLAIN}rows = [2500]"), "above the wall"),
        (
            format!("{PLAIN}[[pin]]\nholder = \"planers\"\nleft = 0"),
            "no holder is called \"planers\"",
        ),
        (format!("{PLAIN}[[pin]]\nholder = \"planes\""), "it says no place"),
        (
            format!(
                "{PLAIN}[[pin]]\nholder = \"planes\"\nrow = 1\n[[pin]]\nholder = \"planes\"\nrow = 2"
            ),
            "pinned twice",
        ),
        (format!("{PLAIN}[[together]]\nholders = [\"planes\"]"), "1 named"),
        (format!("{PLAIN}[person]\nheight = 1700\nreach = 2000"), "tell the same"),
        (
            format!("{PLAIN}[[obstacle]]\nleft = 5000\nbottom = 0\nwidth = 10\nheight = 10"),
            "off the wall",
        ),
        (PLAIN.replace("units", "built = true\nunits"), "rows does not say where"),
        (format!("{PLAIN}colour = 1"), "colour"),
    ];
    for (text, told) in cases {
        let wrong = wrong(&text);
        assert!(wrong.contains(told), "{told}: {wrong}");
    }
}
