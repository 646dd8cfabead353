//! Published instances: `instances/README.md` says what they are and where they come from.

use std::fs;

use crate::cutting::{Bar, Item, Length, LengthProblem, Problem, Stock, Valued};

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

    pub fn size(&self) -> [i64; 2] {
        [self.sheet[0], self.sheet[1]]
    }

    pub fn problem(&self, turns: bool) -> Problem {
        let stock = vec![Stock { size: self.size(), quantity: None, cost: 1 }];
        let item = |of: &Vec<i64>| Item { size: [of[0], of[1]], turns, demand: of[2] as usize };
        Problem { stock, items: self.items.iter().map(item).collect(), kerf: 0 }
    }

    pub fn valued(&self, turns: bool) -> Vec<Valued> {
        let valued = |of: &Vec<i64>| {
            let (copies, value) = (of[2] as usize, of[3]);
            Valued { size: [of[0], of[1]], turns, value, copies }
        };
        self.items.iter().map(valued).collect()
    }

    pub fn lengths(&self) -> LengthProblem {
        let stock = vec![Bar { length: self.sheet[0], quantity: None, cost: 1 }];
        let piece = |of: &Vec<i64>| Length { length: of[0], demand: of[1] as usize };
        LengthProblem { stock, pieces: self.items.iter().map(piece).collect(), kerf: 0 }
    }
}
