//! Parts that nothing holds: a style may say any place for them.

use crate::holder::{Holder, build};
use crate::reading::Source;
use crate::style::HolderFile;

use super::own::{GROUP, STYLE, library};
use super::{shop, stops};

/// The mallet rack, its pieces `out` from the wall.
fn moved(out: &str) -> Holder {
    let moved = STYLE.replace("\"0 in\"], faces", &format!("\"{out}\"], faces"));
    assert_eq!(moved.matches(&format!("\"{out}\"], faces")).count(), 3);
    let library = library(&moved, GROUP);
    let source = Source::new("rack.toml", include_str!("rack.toml"));
    let file = HolderFile::read(source, "rack", &library).unwrap();
    build(&file, &shop(crate::shop::DEFAULT_SHOP)).unwrap()
}

fn told(holder: &Holder, code: &str) -> String {
    let found = stops(holder);
    let found = found.iter().find(|finding| finding.code == code);
    found.unwrap_or_else(|| panic!("{:?}", holder.findings)).message.clone()
}

#[test]
fn what_the_wall_holds_is_not_told() {
    assert!(stops(&moved("0 in")).is_empty(), "{:?}", moved("0 in").findings);
}

#[test]
fn a_part_behind_the_wall_is_told() {
    let said = told(&moved("-1 in"), "behind-the-wall");
    assert!(said.starts_with("shelf lies 1 in behind the face of the wall"), "{said}");
}

/// The pieces touch one another, and nothing joins them to the wall.
#[test]
fn a_part_in_the_air_is_told() {
    let said = told(&moved("2 in"), "in-the-air");
    assert!(said.starts_with("shelf hangs in the air, 2 in from the wall"), "{said}");
}
