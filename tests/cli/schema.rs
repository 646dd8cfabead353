//! The schemas of the files, printed.

use serde_json::Value;

use super::{run, said, status};

#[track_caller]
fn printed(args: &[&str]) -> Value {
    let output = run(&[&["schema"], args].concat());
    status(&output, 0);
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn each_kind_of_file_has_a_schema() {
    for kind in ["holder", "style", "shop", "tools", "wall"] {
        let schema = printed(&[kind]);
        assert!(schema["properties"]["units"].is_object() || kind == "style", "{kind}");
        assert_eq!(schema["additionalProperties"], false, "{kind}");
    }
}

#[test]
fn a_style_brings_its_own_keys() {
    let any = printed(&["holder"]);
    assert!(any["properties"]["measures"]["properties"].is_null());
    let of = |units| printed(&["holder", "--style", "slotted-shelf", "--units", units]);
    let told = |units| of(units)["properties"]["measures"]["properties"]["bar_thickness"].clone();
    assert!(told("in")["description"].as_str().unwrap().contains("1/16 in"));
    assert!(told("mm")["description"].as_str().unwrap().contains(" mm"));
    let count = &of("in")["properties"]["choices"]["properties"]["count"];
    assert_eq!((count["minimum"].as_f64(), count["maximum"].as_f64()), (Some(1.0), Some(40.0)));
}

#[test]
fn a_schema_is_asked_for_in_full() {
    let none = run(&["schema", "holder", "--style", "sloted-shelf"]);
    status(&none, 2);
    assert!(said(&none).contains("did you mean \"slotted-shelf\"?"), "{}", said(&none));
    for words in [&["schema"][..], &["schema", "bench"], &["schema", "holder", "--units", "mm"]] {
        status(&run(words), 2);
    }
}
