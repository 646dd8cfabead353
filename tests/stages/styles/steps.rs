//! Steps that name what they add.

use crate::Inputs;
use crate::holder::{Holder, build};
use crate::reading::Source;
use crate::style::{HolderFile, Library};

use super::usual_shop;

/// A back, two slats that differ, and a cap that is not always made; the steps stand in no order.
const STYLE: &str = r#"
title = "Slats"
hangs = "battens"
makes = "slats on a back"
steps = [
  "Ease all edges.",
  { adds = ["back", "slat"], do = "Glue the slats to the back." },
  { last = true, adds = ["slat", "cap"], do = "Glue the cap onto the slats." },
  { early = true, adds = ["back"], do = "Lay the back down." },
]
[choices]
sheet = {}
cap = { ask = "Whether there is a cap", word = ["no cap", "a cap"] }
[parts.cap]
about = "closes it"
when = "cap = 'a cap'"
size = "4 in, 3 in"
sits = { faces = "front", at = "0, 0, 2 * sheet.thickness" }
[parts.back]
about = "carries all"
size = "8 in, 8 in"
sits = { faces = "front", at = "0, 0, 0" }
[parts.slat]
about = "differs by n"
repeat = "2"
size = "8 in, 1 in * n"
sits = { faces = "front", in_front_of = "back", y = "3 in * (n - 1)" }
"#;

fn slats(cap: &str) -> Holder {
    let library = Library::with(&Inputs::new().with("styles/slats.toml", STYLE));
    let text = format!("style = \"slats\"\n[choices]\ncap = \"{cap}\"\n");
    let file = HolderFile::read(Source::new("a.toml", text), "a", &library).unwrap();
    build(&file, &usual_shop()).unwrap()
}

/// What each step adds, by the names of parts.
fn added(holder: &Holder) -> Vec<Vec<&str>> {
    let name = |part: &usize| holder.parts[*part].name.as_str();
    holder.steps.iter().map(|step| step.adds.iter().map(name).collect()).collect()
}

/// The early step comes first and has the back; both slats are meant by their kind; what the last one names again is
/// what it is put on.
#[test]
fn a_part_is_added_by_the_first_step_that_names_it() {
    let [back, slats]: [&[&str]; 2] = [&["back"], &["slat-1", "slat-2"]];
    assert_eq!(added(&self::slats("a cap")), [back, &[], slats, &["cap"]]);
    // One without pieces is left out.
    assert_eq!(added(&self::slats("no cap")), [back, &[], slats, &[]]);
}
