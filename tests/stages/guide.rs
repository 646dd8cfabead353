//! Every key of `summary.json` is told in the guide.

use std::collections::BTreeSet;

use serde_json::Value as Json;

use super::folder;

/// Keys whose own keys are a style's names.
const NAMES: [&str; 3] = ["values", "words", "with"];

fn keys(of: &Json, found: &mut BTreeSet<String>) {
    match of {
        Json::Array(entries) => entries.iter().for_each(|entry| keys(entry, found)),
        Json::Object(entries) => {
            for (key, entry) in entries {
                found.insert(key.clone());
                if !NAMES.contains(&key.as_str()) {
                    keys(entry, found);
                }
            }
        }
        _ => {}
    }
}

/// The keys of a summary that stand nowhere in its topic of the guide.
pub(super) fn untold(summary: &[u8]) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    keys(&serde_json::from_slice(summary).unwrap(), &mut found);
    let guide = std::fs::read_to_string("src/guide/summary.md").unwrap();
    let told: BTreeSet<&str> = guide.split(['`', '.', '[', ']']).collect();
    found.retain(|key| !told.contains(key.as_str()));
    found
}

#[test]
fn every_key_of_the_summary_is_told() {
    assert_eq!(untold(&folder::made()["summary.json"]), BTreeSet::new());
    let strange = br#"{"holders": [{"values": {"pitch": 3}, "color_of_paint": 1}]}"#;
    assert_eq!(untold(strange), BTreeSet::from(["color_of_paint".to_owned()]));
}
