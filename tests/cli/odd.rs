//! Hostile input: files that are none, or have no end, and figures that ask for too much. Each ends
//! with one short message that names the limit, within bounded memory.

use std::fmt::Write;
use std::process::{Command, Output};

use super::{Project, SASH, said, status};

/// A style with everything that a test changes left out.
const STYLE: &str = r#"title = "Rack"
hangs = "mallets"
makes = "a board"
include = ["making"]
[measures.handle]
ask = "How thick?"
with = "tape"
length = ["1/16 in", "200 in"]
for = "body"
[choices.sheet]
ask = "Which sheet"
stock = "sheet"
[choices.columns]
ask = "How many side by side"
count = [0, 1000000]
default = 3
[workings]
length = "13 in"
WORKINGS
[parts.shelf]
about = "a board"
cut_from = "sheet"
outline = { rectangle = { size = ["length", "6 in"] } }
sits = [{ at = ["0 in", "0 in", "0 in"], faces = "up" }]
"#;

const HOLDER: &str = "style = \"rack\"\nunits = \"in\"\n[measures]\nhandle = \"5/8\"\n";

/// A project with the style above, more `workings` and more after its part.
fn styled(workings: &str, more: &str) -> Project {
    let style = STYLE.replace("WORKINGS", workings) + more;
    Project::new(&[("holders/rack.toml", HOLDER), ("styles/rack.toml", &style)])
}

/// Runs `task` on a project, with no more than 800 MB of address space where the system can bound
/// it: what needs 200 MB of memory maps more than that.
fn run(project: &Project, task: &str) -> Output {
    let program = assert_cmd::cargo::cargo_bin("cleatwright");
    let mut command = if cfg!(target_os = "linux") {
        let mut shell = Command::new("sh");
        shell.args(["-c", "ulimit -v 800000 && exec \"$0\" \"$@\""]).arg(program);
        shell
    } else {
        Command::new(program)
    };
    command.args([task, project.0.path().to_str().unwrap()]);
    if task == "make" {
        command.args(["--cutting-steps", "1"]);
    }
    command.output().unwrap()
}

/// It ends with `code`, says `says`, and is short about it.
#[track_caller]
fn ends(project: &Project, code: i32, says: &str) {
    let output = run(project, "check");
    status(&output, code);
    let said = said(&output);
    assert!(said.contains(says), "{says:?} is not in: {said}");
    assert!(said.len() < 6_000, "{} characters are no short message", said.len());
}

#[track_caller]
fn holder_ends(text: &str, says: &str) {
    ends(&Project::new(&[("holders/sash.toml", text)]), 2, says);
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_not_read() {
    use std::os::unix::fs::symlink;
    let says = "it is a device or a pipe";
    for name in ["holders/b.toml", "shop.toml", "styles/b.toml"] {
        let project = Project::new(&[("holders/sash.toml", SASH), ("styles/a.toml", STYLE)]);
        let path = project.0.path().join(name);
        symlink("/dev/zero", &path).unwrap();
        ends(&project, 2, says);
        std::fs::remove_file(&path).unwrap();
        assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
        ends(&project, 2, says);
    }
    let output = super::run(&["check", "/dev/zero"]);
    status(&output, 2);
    assert!(said(&output).contains(says), "{}", said(&output));
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_traced_outline() {
    let style = STYLE
        .replace("WORKINGS", "")
        .replace("rectangle = { size = [\"length\", \"6 in\"] }", "svg = { file = \"o.svg\" }");
    let project = Project::new(&[("holders/rack.toml", HOLDER), ("styles/rack.toml", &style)]);
    let path = project.0.path().join("styles/o.svg");
    assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
    ends(&project, 2, "it is a device or a pipe");
    std::fs::remove_file(&path).unwrap();
    project.write("styles/o.svg", &format!("<svg><!--{}--></svg>", " ".repeat(11_000_000)));
    ends(&project, 2, "the file has 11.1 MB, and may have 10 MB");
}

#[test]
fn files_texts_and_tables_have_an_end() {
    let titled = |letters: usize| SASH.replace("Sash clamps", &"x".repeat(letters));
    holder_ends(&titled(50_000_000), "the file has 50.1 MB, and may have 0.5 MB");
    holder_ends(&titled(3_000), "a text of 3000 characters; at most 2000");
    holder_ends(&titled(101), "title: it has 101 characters");
    status(&run(&Project::new(&[("holders/sash.toml", &titled(100))]), "check"), 0);
    let deep = "more than 80 lists or tables stand within each other";
    holder_ends(&format!("a = {}", "[".repeat(400_000)), deep);
    holder_ends(&format!("a = {}", "{a=".repeat(150_000)), deep);
    holder_ends(&format!("a{} = 1", ".a".repeat(200_000)), deep);
    let keys: String = (0..1_001).fold(String::new(), |mut keys, i| {
        writeln!(keys, "k{i} = 1").unwrap();
        keys
    });
    holder_ends(&format!("{SASH}{keys}"), "keys in one table; at most 1000");
    let list = vec!["1"; 1_001].join(",");
    let listed = SASH.replace("\"3/8\"", &format!("[{list}]"));
    holder_ends(&listed, "1001 entries in one list; at most 1000");
    // The message does not bring back what it complains of.
    holder_ends(&SASH.replace("3/8", &"9".repeat(1_900)), "sash.toml, line 6");
}

#[test]
fn more_holders_or_styles_than_can_be_worked_out() {
    let project = Project::new(&[]);
    for i in 0..201 {
        project.write(&format!("holders/h{i}.toml"), SASH);
    }
    ends(&project, 2, "201 files; at most 200");
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    for i in 0..201 {
        project.write(&format!("styles/s{i}.toml"), STYLE);
    }
    ends(&project, 2, "201 files; at most 200");
}

#[test]
fn figures_without_measure() {
    for figure in
        ["1e308", "1e-308", "nan", "inf", "-inf", "\"inf\"", "\"nan in\"", "99999999999999999999"]
    {
        holder_ends(&SASH.replace("\"3/8\"", figure), "sash.toml, line 6: measures.bar_thickness");
    }
    let long = format!("length2 = \"1{} in\"", "0".repeat(300));
    let part = "[[parts.shelf.marks]]\nkind = \"scribe\"\nfrom = [\"0 in\", \"0 in\"]\nto = [\"length2\", \"0 in\"]\n";
    ends(&styled(&long, part), 1, "is the most that is worked with");
}

/// Each stands on the one before twice, so that without keeping them the last is worked out
/// 2^59 times.
#[test]
fn workings_that_double_are_worked_out_once() {
    let doubling = |first: &str, by: fn(usize) -> String| {
        let chain: Vec<String> = (2..=60).map(|i| format!("a{i} = \"{}\"", by(i - 1))).collect();
        format!("a1 = \"{first}\"\n{}", chain.join("\n"))
    };
    let sum = |i: usize| format!("(a{i} + a{i}) / 2");
    status(&run(&styled(&doubling("1 in", sum), ""), "make"), 0);
    let holes = "[[parts.shelf.cuts]]\nhole = { at = [\"a60\", \"3 in\"], diameter = \"1/2 in\" }\nrepeat = { count = 5 }\n";
    let project = styled(&doubling("2 in * n", sum), holes);
    status(&run(&project, "make"), 0);
    assert_eq!(project.summary()["holders"][0]["parts"][0]["openings"], 5);
    let lists = |i: usize| format!("list(a{i}, a{i})");
    ends(&styled(&doubling("list(1 in, 1 in)", lists), ""), 2, "a list of more than 1000 entries");
}

/// 46 × 23 holes are 1,058, and nobody is given 1,000 of them instead.
#[test]
fn more_repeats_than_the_limit_are_told() {
    let holes = |count: &str| {
        let cut = "hole = { at = [\"1/4 in\", \"3 in\"], diameter = \"0.01 in\" }";
        styled(
            "",
            &format!(
                "[[parts.shelf.cuts]]\n{cut}\nrepeat = {{ count = \"{count}\", step = [\"0.012 in\", \"0 in\"] }}\n"
            ),
        )
    };
    ends(&holes("46 * 23"), 1, "1058 are asked for by \"46 * 23\"; at most 1000");
    ends(&holes("1000000000"), 1, "1000000000 are asked for");
    ends(&holes("1000"), 1, "more like these (unsound)");
    let marks = "[[parts.shelf.marks]]\nkind = \"scribe\"\nfrom = [\"1 in\", \"3 in\"]\nto = [\"2 in\", \"4 in\"]\nrepeat = { count = 900 }\n";
    ends(
        &styled("", &marks.repeat(2)),
        1,
        "1800 rounds come of all repeats together; at most 1000",
    );
    let nails = "[[hardware]]\nitem = \"nail\"\nquantity = \"1000000\"\n";
    ends(&styled("", nails), 1, "1000000 are asked for by \"1000000\"; at most 1000");
    let row = |every: &str, more: &str| {
        styled(
            "",
            &format!(
                "[screws.\"shelf to the wall\"]\nthrough = \"shelf\"\ninto = \"wall\"\nenters = \"show\"\nnumber = 8\nrows = [{{ from = [\"1 in\", \"1 in\"], to = [\"12 in\", \"1 in\"], every = \"{every}\"{more} }}]\n"
            ),
        )
    };
    ends(&row("0.0000001 in", ""), 1, "screws stand in one row; at most 1000");
    ends(&row("0.02 in", ", repeat = { count = 9 }"), 1, "screws hold it; at most 1000");
}

#[test]
fn more_pieces_parts_and_corners_than_a_holder_has() {
    let part = |name: &str, sits: &str| {
        format!(
            "[parts.{name}]\nabout = \"a board\"\ncut_from = \"sheet\"\noutline = {{ rectangle = {{ size = [\"2 in\", \"2 in\"] }} }}\nsits = [{{ at = [\"0 in\", \"0 in\", \"0 in\"], faces = \"up\"{sits} }}]\n"
        )
    };
    let parts: String = (0..100).map(|i| part(&format!("p{i}"), "")).collect();
    ends(&styled("", &parts), 2, "more than 100 kinds of part in one style");
    let pieces = part("leg", ", repeat = { count = 301 }");
    ends(&styled("", &pieces), 1, "302 pieces are in it; at most 300");
    // All in one place: each runs into every other.
    ends(&styled("", &part("leg", ", repeat = { count = 299 }")), 1, "would share the same space");
    let name = "p".repeat(61);
    ends(&styled("", &part(&name, "")), 2, "the part name has 61 characters; at most 60");
    let label = format!("[[hardware]]\nitem = \"{}\"\nquantity = 1\n", "w".repeat(201));
    ends(&styled("", &label), 2, "201 characters; at most 200");
}

/// A shop with as much stock as it may have, and a holder that is asked too much: changes are tried
/// with a few sheets, not with each of them and with each pair.
#[test]
fn a_shop_full_of_sheets_is_not_tried_one_by_one() {
    let sheet = |i: usize| {
        format!(
            "[[sheet]]\nname = \"s{i}\"\nthickness = {}\nlength = 96\nwidth = 48\n",
            0.3 + i as f64 * 0.005
        )
    };
    let sheets: String = (0..200).map(sheet).collect();
    let shop = format!("units = \"in\"\n{sheets}[cleat]\nfrom = \"s90\"\n");
    let heavy = SASH.replace("2 kg", "14 kg");
    let project = Project::new(&[("holders/sash.toml", &heavy), ("shop.toml", &shop)]);
    ends(&project, 1, "stop: ");
    project.write("shop.toml", &format!("{shop}{}", sheet(200)));
    ends(&project, 2, "201 kinds of sheet, board and dowel; at most 200");
}
