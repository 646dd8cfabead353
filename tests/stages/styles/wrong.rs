//! Style files that are wrong: each a problem that names the file and the line.

use crate::holder::build;
use crate::reading::{Problem, Source};
use crate::style::HolderFile;
use miette::Diagnostic;

use super::own::{GROUP, STYLE, library};
use super::usual_shop;

/// The problem with the mallet rack's style file after `from` was changed to `to` in it.
fn problem(from: &str, to: &str) -> Problem {
    assert_eq!(STYLE.matches(from).count(), 1, "{from}");
    wrong(&STYLE.replacen(from, to, 1), GROUP, "")
}

fn wrong(style: &str, group: &str, choices: &str) -> Problem {
    let library = library(style, group);
    let text = format!(
        "style = \"mallet-rack\"\nunits = \"in\"\n[measures]\nhandle = \"5/8\"\n[choices]\n{choices}"
    );
    let read = HolderFile::read(Source::new("rack.toml", text), "rack", &library);
    let built = read.and_then(|file| build(&file, &usual_shop()));
    let problems = built.map(|h| h.findings).expect_err(&format!("it is wrong:\n{style}"));
    Vec::from(problems).remove(0)
}

/// A problem names the file and the line of `line`, and says `says` in message or help.
#[track_caller]
fn told(problem: &Problem, file: &str, line: usize, says: &[&str]) {
    let message = problem.to_string();
    assert!(message.contains(&format!("{file}.toml, line {line}: ")), "not line {line}: {message}");
    let help = problem.help().map(|help| help.to_string()).unwrap_or_default();
    let all = format!("{message}\n{help}");
    for word in says {
        assert!(all.contains(word), "{word:?} is not in: {all}");
    }
}

/// The line of `text` in the style file.
fn line_of(text: &str) -> usize {
    STYLE.lines().position(|line| line.contains(text)).unwrap() + 1
}

#[test]
fn each_fault_is_told_with_its_line() {
    let table: &[(&str, &str, &str, &[&str])] = &[
        ("\nhangs = ", "\nhangz = ", "hangs = ", &["\"hangz\"", "did you mean \"hangs\"?"]),
        (
            "ask   = \"How thick",
            "aks   = \"How thick",
            "ask   = \"How thick",
            &["\"aks\"", "ask, with"],
        ),
        (
            "length = [\"1/4 in\"",
            "lenght = [\"1/4 in\"",
            "length = [\"1/4 in\"",
            &["lenght", "length"],
        ),
        ("ask   = \"How thick is the handle?\"\n", "", "[measures.handle]", &["it asks nothing"]),
        (
            "footprints = [\"bracket\"]",
            "footprints = [\"braket\"]",
            "footprints =",
            &["\"braket\"", "did you mean \"bracket\"?"],
        ),
        (
            "include = [\"making\", \"rubber\"]",
            "include = [\"making\", \"rubber\"]\nsteps = [{ adds = [\"braket\"], do = \"Glue it.\" }]",
            "include = ",
            &["\"braket\"", "did you mean \"bracket\"?"],
        ),
        ("through = \"shelf\"", "through = \"shelv\"", "through =", &["\"shelv\"", "\"shelf\""]),
        ("into    = \"bracket\"", "into    = \"ceiling\"", "into    =", &["\"ceiling\""]),
        (
            "slot   = \"bit_at_least(handle + 1/16 in)\"",
            "ft   = \"1 in\"\nslot = \"1 in\"",
            "slot   = \"bit",
            &["\"ft\"", "choose another name"],
        ),
        (
            "slot   = \"bit_at_least(handle + 1/16 in)\"",
            "wall = \"1 in\"\nslot = \"1 in\"",
            "slot   = \"bit",
            &["\"wall\""],
        ),
        (
            "slot   = \"bit_at_least(handle + 1/16 in)\"",
            "\"slot x\" = \"1 in\"\nslot = \"1 in\"",
            "slot   = \"bit",
            &["\"slot x\""],
        ),
        (
            "slot   = \"bit_at_least(handle + 1/16 in)\"",
            "count = \"2\"\nslot = \"1 in\"",
            "slot   = \"bit",
            &["named twice"],
        ),
        (
            "hole = {",
            "notch = { edge = \"left\", middle = \"1 in\", width = \"1 in\", depth = \"1 in\" }\nhole = {",
            "hole = {",
            &["a cut has exactly one of slot, hole, window, notch and traced"],
        ),
        ("toward = \"bottom\", ", "", "slot   = {", &["either toward (an edge) or to (a point)"]),
        (
            "to = [\"4 in\"",
            "mouth_width = \"1 in\", to = [\"4 in\"",
            "slot = { end",
            &["mouth_width", "toward an edge"],
        ),
        (
            "end_diameter = \"eye\"",
            "end_diameter = \"eye\", mouth_radius = \"1 in\"",
            "slot   = { end",
            &["at most one of end_diameter, mouth_width and mouth_radius"],
        ),
        (
            "stop = \"eye > 2 in\"\n",
            "",
            "[checks.eye-too-large]",
            &["exactly one of stop, warn and note"],
        ),
        (
            "stop = \"eye > 2 in\"",
            "stop = \"eye > 2 in\"\nwarn = \"yes\"",
            "[checks.eye-too-large]",
            &["exactly one of stop, warn and note"],
        ),
        (
            "\"making\", \"rubber\"",
            "\"making\", \"ruber\"",
            "include =",
            &["\"ruber\"", "did you mean \"rubber\"?"],
        ),
        ("\"count * 3 in + 4 in\"", "\"count * 3 in + \"", "length = \"count", &["found the end"]),
        (
            "\"count * 3 in + 4 in\"",
            "\"count * 3 in + 4\"",
            "length = \"count",
            &["length", "can't add a length and a plain number"],
        ),
        (
            "\"count * 3 in + 4 in\"",
            "\"cuont * 3 in + 4 in\"",
            "length = \"count",
            &["\"cuont\"", "did you mean \"count\"?"],
        ),
        (
            "\"count * 3 in + 4 in\"",
            "\"length + 4 in\"",
            "length = \"count",
            &["depends on itself"],
        ),
        (
            "\"count * 3 in + 4 in\"",
            "\"3 * 4\"",
            "outline = { polygon",
            &["\"length\"", "a plain number", "a length"],
        ),
        ("\"eye > 2 in\"", "\"eye\"", "stop =", &["not a yes or no"]),
        ("{eye} wide", "{eye wide", "say  =", &["brace"]),
        ("{eye} wide", "{eyes} wide", "say  =", &["\"eyes\""]),
        (
            "cut_from    = \"sheet\"\noutline = { polygon",
            "cut_from    = \"sheets\"\noutline = { polygon",
            "cut_from    = \"sheet\"",
            &["\"sheets\"", "did you mean \"sheet\"?"],
        ),
        (
            "[parts.bracket]",
            "[parts.\"Knee 1\"]\nabout = \"\"\n[parts.bracket]",
            "[parts.bracket]",
            &["Knee 1", "a-z"],
        ),
        (
            "[parts.bracket]",
            "[parts.\"../knee\"]\nabout = \"\"\n[parts.bracket]",
            "[parts.bracket]",
            &["../knee", "a-z"],
        ),
        ("[parts.bracket]", "[parts.shelf]", "[parts.bracket]", &["\"shelf\" appears twice"]),
        ("number  = \"8\"", "number  = \"3\"", "number  =", &["no wood screw number 3"]),
        (
            "step = [\"3 in\", \"0 in\"]",
            "step = [\"3 in\"]",
            "step = [\"3 in\"",
            &["step of two lengths"],
        ),
        ("[checks.eye-too-large]", "[[checks.eye-too-large]", "[checks.eye-too-large]", &[]),
    ];
    for (from, to, line, says) in table {
        let found = problem(from, to);
        // The fault may stand a line above or below what it replaced.
        let lines = [line_of(line), line_of(line) + 1, line_of(line) - 1];
        let message = found.to_string();
        let told_at = lines.into_iter().find(|n| message.contains(&format!("line {n}: ")));
        told(&found, "mallet-rack", told_at.unwrap_or(lines[0]), says);
    }
}

/// A reading costs a person a walk to the tool: something must come of it.
#[test]
fn a_reading_that_no_formula_uses_is_refused() {
    let with = |key: &str| {
        let measure = "[measures.reach]\nask = \"How long?\"\nwith = \"tape\"\n\
                       length = [\"1 in\", \"9 in\"]\n";
        STYLE.replace("[choices.count]", &format!("{measure}{key}\n[choices.count]"))
    };
    let line = line_of("[choices.count]");
    let unused = wrong(&with(""), GROUP, "");
    told(&unused, "mallet-rack", line, &["measures.reach", "no formula uses it", "for = \"body\""]);
    // Where it is said to serve the tool's body, only the holder file is at fault: it lacks it.
    let lacking = wrong(&with("for = \"body\""), GROUP, "");
    assert!(lacking.to_string().contains("measures.reach is missing"), "{lacking}");
}

/// What says how parts are made comes to one of two words, whatever the choice is called.
#[test]
fn parts_are_made_by_hand_or_router() {
    let style = STYLE.replace("\n[measures.handle]", "\nmade_by = \"'saw'\"\n\n[measures.handle]");
    let line = line_of("[measures.handle]");
    told(&wrong(&style, GROUP, ""), "mallet-rack", line, &["the word 'saw'", "'hand' or 'router'"]);
}

#[test]
fn a_fault_in_a_group_names_the_groups_file() {
    let group = GROUP.replace("item     =", "itme     =");
    told(&wrong(STYLE, &group, ""), "rubber", 8, &["\"itme\"", "\"item\""]);
}

#[test]
fn workings_that_lean_on_one_another_in_a_ring_are_told() {
    let ring = STYLE.replace("[workings]", "[workings]\na = \"b + 1 in\"\nb = \"c\"\nc = \"a\"");
    let problem = wrong(&ring, GROUP, "");
    assert!(problem.to_string().contains("depends on itself"), "{problem}");
}

#[test]
fn a_long_chain_of_workings_is_told() {
    let chain: String = (0..500).map(|i| format!("w{i} = \"w{} + 1\"\n", i + 1)).collect();
    let style = STYLE.replace("[workings]", &format!("[workings]\n{chain}w500 = \"1\""));
    let problem = wrong(&style, GROUP, "");
    assert!(problem.to_string().contains("nested too deeply"), "{problem}");
}

/// A formula in a holder file is the holder file's to mend.
#[test]
fn a_wrong_formula_of_a_choice_names_the_holder_file() {
    told(&wrong(STYLE, GROUP, "count = \"handle\"\n"), "rack", 6, &["count", "a length"]);
    told(
        &wrong(STYLE, GROUP, "count = \"hndle / 1 in\"\n"),
        "rack",
        6,
        &["\"hndle\"", "did you mean \"handle\"?"],
    );
    told(&wrong(STYLE, GROUP, "count = \"3 * 4\"\n"), "rack", 6, &["out of range", "from 1 to 6"]);
    told(&wrong(STYLE, GROUP, "count = \"count\"\n"), "rack", 6, &["depends on itself"]);
}
