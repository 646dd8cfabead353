//! What holders are called: after their files, made safe as names of folders.

use std::collections::BTreeMap;

use crate::reading::{Source, file_name};

/// Name of the folder that the CNC router's sheets go into.
pub(crate) const ROUTER_FOLDER: &str = "router";

/// Name of the folder that the cutting plan goes into.
pub(crate) const CUTTING_FOLDER: &str = "cutting";

/// Each file under a name that is safe as a folder name on any system; where two files would
/// have the same, or one that of the router's sheets or of the cutting plan, it gets a number.
pub(super) fn named<'a>(
    files: impl Iterator<Item = (&'a str, &'a Source)>,
) -> BTreeMap<String, &'a Source> {
    let mut named = BTreeMap::new();
    for (stem, source) in files {
        let stem = file_name(stem);
        let stem = if stem.is_empty() { "holder".to_owned() } else { stem };
        let mut name = stem.clone();
        let mut count = 1;
        while named.contains_key(&name) || [ROUTER_FOLDER, CUTTING_FOLDER].contains(&name.as_str())
        {
            count += 1;
            name = format!("{stem}-{count}");
        }
        named.insert(name, source);
    }
    named
}
