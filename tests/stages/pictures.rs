//! The pictures that README shows are what the sample makes today.

use std::collections::BTreeMap;
use std::path::Path;

use super::folder::{self, SHED};

#[test]
fn pictures_are_up_to_date_and_shown() {
    let flat: BTreeMap<String, &Vec<u8>> =
        folder::made().iter().map(|(path, bytes)| (path.replace('/', "-"), bytes)).collect();
    let readme = std::fs::read_to_string("README.md").unwrap();
    let mut count = 0;
    for entry in std::fs::read_dir(Path::new(SHED).join("pictures")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let fresh = flat.get(&name).unwrap_or_else(|| panic!("the sample makes no {name}"));
        assert!(std::fs::read(&path).unwrap() == **fresh, "{name} is out of date: copy it anew");
        assert!(readme.contains(&format!("{SHED}/pictures/{name}")), "README does not show {name}");
        count += 1;
    }
    assert!(count >= 12, "a picture for each style");
}
