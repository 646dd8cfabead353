//! The guide, the man pages and what shells complete: each knows all topics and commands.

use std::collections::BTreeSet;
use std::path::Path;

use pulldown_cmark::{Event, Parser, Tag};

use super::{run, said, status};

fn printed(args: &[&str]) -> String {
    let output = run(args);
    status(&output, 0);
    String::from_utf8(output.stdout).unwrap()
}

/// The first words of the lines between a heading and an empty line.
fn listed(text: &str, heading: &str) -> Vec<String> {
    let lines = text.split_once(heading).unwrap().1.lines().skip(1);
    let lines = lines.take_while(|line| !line.is_empty());
    let lines = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    lines.map(|line| line.split_whitespace().next().unwrap().to_owned()).collect()
}

fn commands() -> Vec<String> {
    let commands = listed(&printed(&["--help"]), "Commands:");
    assert!(commands.len() > 10, "{commands:?}");
    commands
}

/// The topics, and what each is about.
fn topics() -> Vec<(String, String)> {
    let list = printed(&["guide"]);
    let lines = list.lines().take_while(|line| !line.is_empty());
    let halves = lines.map(|line| line.split_once(' ').unwrap());
    halves.map(|(name, about)| (name.to_owned(), about.trim().to_owned())).collect()
}

#[test]
fn every_topic_is_a_file_that_readme_leads_to() {
    let readme = std::fs::read_to_string("README.md").unwrap();
    let topics = topics();
    for (topic, about) in &topics {
        let file = format!("src/guide/{topic}.md");
        let text = std::fs::read_to_string(&file).unwrap();
        let told = printed(&["guide", topic]);
        assert!(told.starts_with(&text), "{topic}");
        assert!(text.starts_with("# ") && told.ends_with('\n'), "{topic}");
        assert!(
            readme.contains(&format!("| [{topic}]({file}) | {about} |")),
            "README names {topic}"
        );
    }
    let files = std::fs::read_dir("src/guide").unwrap().map(|entry| entry.unwrap().path());
    let files = files.filter(|path| path.extension().is_some_and(|e| e == "md"));
    let files: BTreeSet<String> =
        files.map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned()).collect();
    assert_eq!(files, topics.into_iter().map(|(topic, _)| topic).collect());
}

#[test]
fn an_unknown_topic_is_told_with_the_nearest_and_all() {
    let output = run(&["guide", "comands"]);
    status(&output, 2);
    assert!(output.stdout.is_empty());
    let said = said(&output);
    assert!(said.contains("no topic \"comands\"") && said.contains("did you mean \"commands\"?"));
    for (topic, _) in topics() {
        assert!(said.contains(&topic), "{said}");
    }
}

/// The targets of links and pictures in a Markdown file, raw HTML aside.
fn targets(text: &str) -> Vec<String> {
    let target = |event| match event {
        Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
            Some(dest_url.into_string())
        }
        _ => None,
    };
    Parser::new(text).filter_map(target).collect()
}

/// What a heading is called in a link.
fn anchor(heading: &str) -> String {
    let kept = heading.to_lowercase().replace(' ', "-");
    kept.chars().filter(|c| c.is_alphanumeric() || *c == '-').collect()
}

#[test]
fn every_link_of_readme_leads_somewhere() {
    let readme = std::fs::read_to_string("README.md").unwrap();
    let headings = readme.lines().filter(|line| line.starts_with('#'));
    let anchors: BTreeSet<String> =
        headings.map(|line| anchor(line.trim_start_matches(['#', ' ']))).collect();
    let targets = targets(&readme);
    assert!(targets.len() > 20, "{targets:?}");
    for target in targets.iter().filter(|target| !target.starts_with("https://")) {
        match target.strip_prefix('#') {
            Some(within) => assert!(anchors.contains(within), "{target}"),
            None => assert!(Path::new(target).is_file(), "{target}"),
        }
    }
    for picture in readme.split("<img src=\"").skip(1) {
        let file = picture.split('"').next().unwrap();
        assert!(Path::new(file).is_file(), "{file}");
    }
}

/// Words like `--force` in a text.
fn options(text: &str) -> BTreeSet<&str> {
    let words = text.split(|c: char| !(c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'));
    words.filter(|word| word.starts_with("--") && word.len() > 2).collect()
}

#[test]
fn the_guide_tells_every_command_and_option() {
    let guide = printed(&["guide", "commands"]);
    let told = options(&guide);
    for command in commands().iter().filter(|command| *command != "help") {
        assert!(guide.contains(&format!("| `{command} ")), "{command}");
        let help = printed(&[command, "--help"]);
        for option in options(&help).into_iter().filter(|option| *option != "--help") {
            assert!(told.contains(option), "{option} of {command}");
        }
    }
}

#[test]
fn each_shells_script_knows_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = printed(&["completions", shell]);
        for command in commands() {
            assert!(script.contains(&command), "{command} in {shell}");
        }
        assert!(script.contains("cutting-steps"), "{shell}");
    }
    status(&run(&["completions", "abacus"]), 2);
}

#[test]
fn man_pages_know_every_command() {
    let whole = printed(&["man"]).replace("\\-", "-");
    assert!(whole.contains(".TH cleatwright 1"), "{whole}");
    for command in commands().iter().filter(|command| *command != "help") {
        assert!(whole.contains(&format!("cleatwright-{command}(1)")), "{command}");
        let page = printed(&["man", command]).replace("\\-", "-");
        assert!(page.contains(&format!(".TH cleatwright-{command} 1")), "{page}");
    }
    assert!(printed(&["man", "make"]).replace("\\-", "-").contains("--cutting-steps"));
    let output = run(&["man", "mak"]);
    status(&output, 2);
    assert!(said(&output).contains("did you mean \"make\"?"), "{}", said(&output));
}

/// The notices that the letters may not go without.
#[test]
fn licenses_are_printed_whole() {
    let told = printed(&["guide", "licenses"]);
    let file = std::fs::read_to_string("LICENSE").unwrap();
    assert!(told.ends_with(&file));
    for notice in ["MIT License", "Bitstream Vera", "Arev", "TeX Gyre DJV Math"] {
        assert!(file.contains(notice), "{notice}");
    }
}
