//! The pictures that README shows are what the sample makes today.

#![allow(clippy::unwrap_used, missing_docs)]

use std::collections::BTreeMap;
use std::path::Path;

use cleatwright::cli::{Plans, Wishes, files};
use cleatwright::cutting::{self, Budget};
use cleatwright::export::dxf;
use cleatwright::project::open;
use cleatwright::router::plan;

const SHED: &str = "samples/boat-shed";

#[test]
fn pictures_are_up_to_date_and_shown() {
    let project = open(Path::new(SHED), &[]).unwrap();
    let wishes = Wishes {
        dxf: dxf::Options::default(),
        offset_by_bit: false,
        printer: project.shop.printer,
    };
    let plan = plan(&project.holders, &project.shop);
    let cutting = cutting::plan(&project.holders, &project.shop, &plan, Budget::default());
    let plans = Plans { router: &plan, cutting: &cutting };
    let made = files(&project, plans, &wishes, &|_| {}).unwrap();
    let flat: BTreeMap<String, &Vec<u8>> = made
        .iter()
        .map(|(path, bytes)| (path.to_str().unwrap().replace(['/', '\\'], "-"), bytes))
        .collect();
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
