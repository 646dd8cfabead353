//! No figure of a pattern is odd that could have been chosen: each that reads in sixty-fourths or nearly is listed
//! with what it follows from.

use std::collections::BTreeMap;

use crate::stages::folder::made;

/// What a size may follow from.
const REASONS: [&str; 4] = ["thickness", "fit", "bevel", "slope"];

/// Lines `HOLDER/PART REASON: figure, figure`; a part may have several.
const LISTED: &str = include_str!("odd_sizes.txt");

/// Figures by the part whose pattern says them.
type Figures = BTreeMap<String, Vec<String>>;

/// The words of a drawing, as they stand beside the strokes that draw them.
fn words(svg: &str) -> impl Iterator<Item = String> {
    let labels = svg.split("aria-label=\"").skip(1).filter_map(|rest| rest.split('"').next());
    labels.map(|label| label.replace("&quot;", "\"").replace("&amp;", "&"))
}

fn is_odd(word: &str) -> bool {
    // Holes are as wide as their bit, and countersinks as the heads of screws.
    let bit = word.contains('Ø') || word.ends_with("drill");
    (word.contains('≈') || word.contains("/64")) && !bit
}

fn odd() -> Figures {
    let patterns = made().iter().filter(|(path, _)| {
        path.ends_with(".svg") && !path.starts_with("cutting/") && !path.starts_with("router/")
    });
    let mut odd = Figures::new();
    for (path, bytes) in patterns {
        let svg = std::str::from_utf8(bytes).unwrap();
        let mut figures: Vec<String> = words(svg).filter(|word| is_odd(word)).collect();
        figures.sort();
        figures.dedup();
        if !figures.is_empty() {
            odd.insert(path.trim_end_matches(".svg").to_owned(), figures);
        }
    }
    odd
}

fn listed() -> Figures {
    let mut listed = Figures::new();
    for line in LISTED.lines().filter(|line| !line.is_empty()) {
        let (head, figures) = line.split_once(": ").unwrap();
        let (part, reason) = head.split_once(' ').unwrap();
        assert!(REASONS.contains(&reason), "{line}");
        listed.entry(part.to_owned()).or_default().extend(figures.split("; ").map(str::to_owned));
    }
    listed.values_mut().for_each(|figures| figures.sort());
    listed
}

#[test]
fn every_odd_figure_of_the_sample_has_its_reason() {
    let (odd, listed) = (odd(), listed());
    let lines = |figures: &Figures| -> String {
        figures.iter().map(|(part, figures)| format!("{part}: {}\n", figures.join("; "))).collect()
    };
    assert!(odd == listed, "in the patterns:\n{}\nlisted:\n{}", lines(&odd), lines(&listed));
}
