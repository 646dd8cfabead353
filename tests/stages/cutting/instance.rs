//! Published instances: `instances/README.md` says what they are and where they come from.

use std::fs;

use crate::least::{ItemType, PanelProblem, StockSize};

/// What is known of the best answer.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    pub lower: i64,
    pub upper: i64,
}

pub struct Instance {
    pub name: String,
    pub sheet: Vec<i64>,
    pub items: Vec<Vec<i64>>,
    fixed: Option<Known>,
    turned: Option<Known>,
}

pub fn read(set: &str) -> Vec<Instance> {
    let path = format!("tests/stages/cutting/instances/{set}.toml");
    let file: toml::Table = fs::read_to_string(path).unwrap().parse().unwrap();
    file["instance"].as_array().unwrap().iter().map(instance).collect()
}

fn instance(from: &toml::Value) -> Instance {
    let whole = |key: &toml::Value, of: &str| key[of].as_integer().unwrap();
    let known = |key: &str| {
        let known = from.get(key)?;
        Some(Known { lower: whole(known, "lower"), upper: whole(known, "upper") })
    };
    Instance {
        name: from["name"].as_str().unwrap().to_owned(),
        sheet: wholes(&from["sheet"]),
        items: from["items"].as_array().unwrap().iter().map(wholes).collect(),
        fixed: known("fixed"),
        turned: known("turned"),
    }
}

fn wholes(from: &toml::Value) -> Vec<i64> {
    from.as_array().unwrap().iter().map(|each| each.as_integer().unwrap()).collect()
}

impl Instance {
    pub fn known(&self, turns: bool) -> Option<Known> {
        if turns { self.turned } else { self.fixed }
    }

    /// As a problem for sheets or, where the sheet is a length, for bars.
    pub fn problem(&self, turns: bool) -> PanelProblem {
        let stock = vec![StockSize { size: size(&self.sheet), quantity: None, cost: 1 }];
        let item = |of: &Vec<i64>| {
            let (demand, sides) = of.split_last().unwrap();
            ItemType { size: size(sides), turns, demand: *demand as usize }
        };
        PanelProblem { stock, items: self.items.iter().map(item).collect(), kerf: 0 }
    }
}

/// A bar is as wide as its pieces.
fn size(sides: &[i64]) -> [i64; 2] {
    match *sides {
        [length] => [length, 1],
        [length, width, ..] => [length, width],
        [] => panic!("an instance without a size"),
    }
}
