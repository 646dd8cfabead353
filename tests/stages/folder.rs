//! Projects on the disk, read for tests without the command line's help.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use crate::{Inputs, Options, Worked, render, work_out};

pub const SHED: &str = "samples/boat-shed";

/// The sample worked out, once for all tests: its cutting plan is thought over for some seconds.
pub fn sample() -> &'static Worked {
    static SAMPLE: LazyLock<Worked> = LazyLock::new(|| work_out(&inputs(SHED)).unwrap());
    &SAMPLE
}

/// All that is made of the sample, once for all tests.
pub fn made() -> &'static BTreeMap<String, Vec<u8>> {
    static MADE: LazyLock<BTreeMap<String, Vec<u8>>> = LazyLock::new(|| {
        let mut made = BTreeMap::new();
        render(sample(), &Options::default(), &mut made).unwrap();
        made
    });
    &MADE
}

/// All texts of a project's folder by their paths in it.
pub fn inputs(root: &str) -> Inputs {
    let folders = ["", "holders", "styles", "styles/groups"];
    let files = folders.iter().flat_map(|folder| files(root, folder));
    files.fold(Inputs::new(), |inputs, path| {
        let text = fs::read_to_string(Path::new(root).join(&path)).unwrap();
        inputs.with(&path, &text)
    })
}

fn files(root: &str, folder: &str) -> Vec<String> {
    let Ok(entries) = fs::read_dir(Path::new(root).join(folder)) else { return Vec::new() };
    let paths = entries.map(|entry| entry.unwrap()).filter(|e| e.file_type().unwrap().is_file());
    let names = paths.map(|entry| entry.file_name().into_string().unwrap());
    names.map(|name| format!("{folder}/{name}").trim_start_matches('/').to_owned()).collect()
}
