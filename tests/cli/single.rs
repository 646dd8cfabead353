//! Commands that write one file: measuring sheets, and the page to check a printer with.

use std::path::Path;

use super::{files, said, status, style_names};

fn run_in(folder: &Path, arguments: &[&str]) -> std::process::Output {
    let program = assert_cmd::cargo::cargo_bin("cleatwright");
    std::process::Command::new(program).current_dir(folder).args(arguments).output().unwrap()
}

fn is_pdf(path: &Path) -> bool {
    std::fs::read(path).unwrap().starts_with(b"%PDF")
}

#[test]
fn every_style_has_its_sheet_in_the_current_folder() {
    let folder = tempfile::tempdir().unwrap();
    for style in style_names() {
        let output = run_in(folder.path(), &["measure", &style]);
        status(&output, 0);
        assert!(said(&output).contains(&format!("Wrote measure-{style}.pdf")), "{}", said(&output));
        assert!(is_pdf(&folder.path().join(format!("measure-{style}.pdf"))));
    }
    // Nothing else is left there.
    assert_eq!(files(folder.path()).len(), style_names().len());
}

/// What is there stays to the byte, and nothing else is written.
#[test]
fn a_file_that_is_there_is_replaced_only_with_force() {
    let folder = tempfile::tempdir().unwrap();
    for command in [&["measure", "peg", "--out", "mine.pdf"][..], &["ruler", "--out", "mine.pdf"]] {
        let file = folder.path().join("mine.pdf");
        std::fs::write(&file, "mine").unwrap();
        let refused = run_in(folder.path(), command);
        status(&refused, 2);
        assert!(said(&refused).contains("mine.pdf is there already"), "{}", said(&refused));
        assert!(said(&refused).contains("--force"));
        assert_eq!(std::fs::read(&file).unwrap(), b"mine");
        assert_eq!(files(folder.path()).len(), 1);
        status(&run_in(folder.path(), &[command, &["--force"]].concat()), 0);
        assert!(is_pdf(&file));
        assert_eq!(files(folder.path()).len(), 1);
    }
}

#[test]
fn what_can_not_be_written_is_told_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("there")).unwrap();
    for (arguments, word) in [
        (&["ruler", "--out", "there", "--force"][..], "no plain file"),
        (&["ruler", "--out", "nowhere/ruler.pdf"], "no such file or folder"),
        (&["measure", "slotted-shelv"], "there is no style \"slotted-shelv\""),
        (&["measure", "peg", "--paper", "a5"], "a5"),
        (&["measure", "peg", "--units", "cm"], "cm"),
        (&["ruler", "nowhere"], "no such file or folder"),
    ] {
        let output = run_in(folder.path(), arguments);
        status(&output, 2);
        assert!(said(&output).contains(word), "{arguments:?}: {}", said(&output));
        assert!(files(folder.path()).is_empty(), "{arguments:?}");
    }
}

/// A style of a person's own is found with --styles, and what is wrong in it told with its line.
#[test]
fn a_style_of_ones_own_has_its_sheet() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("styles")).unwrap();
    let text = super::run(&["styles", "peg", "--file"]);
    let text = String::from_utf8(text.stdout).unwrap();
    let own = text.split("# templates/").nth(1).unwrap().split_once('\n').unwrap().1;
    let write = |text: &str| std::fs::write(folder.path().join("styles/own.toml"), text).unwrap();
    let arguments = ["measure", "own", "--styles", "styles", "--force"];
    write(own);
    status(&run_in(folder.path(), &arguments), 0);
    write(&own.replace("[measuring.lines]\ntool_thickness", "[measuring.lines]\ntool_thicknes"));
    let output = run_in(folder.path(), &arguments);
    status(&output, 2);
    assert!(said(&output).contains("own.toml"), "{}", said(&output));
    assert!(said(&output).contains("tool_thicknes"), "{}", said(&output));
}

/// The shop file of a project says which paper and which scale.
#[test]
fn the_page_to_check_a_printer_takes_the_projects_printer() {
    let folder = tempfile::tempdir().unwrap();
    let shop = super::DEFAULT_SHOP.replace("scale_x = 1.0", "scale_x = 0.994");
    std::fs::write(folder.path().join("shop.toml"), shop).unwrap();
    status(&run_in(folder.path(), &["ruler", "."]), 0);
    status(&run_in(folder.path(), &["ruler", "shop.toml", "--out", "same.pdf"]), 0);
    status(&run_in(folder.path(), &["ruler", "--out", "plain.pdf"]), 0);
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    assert_eq!(read("ruler.pdf"), read("same.pdf"));
    assert_ne!(read("ruler.pdf"), read("plain.pdf"));
}
