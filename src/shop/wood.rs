//! What woods weigh.

use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Woods {
    wood: Vec<Wood>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wood {
    name: String,
    density: f64,
}

/// Density in kg/m³ of the wood called `name`, at 12 % moisture: the row of `woods.toml` with
/// that name, else the one with the longest name that occurs in it. `None` for an unknown wood.
pub fn density(name: &str) -> Option<f64> {
    let name = name.to_lowercase();
    let woods: Woods = toml::from_str(include_str!("woods.toml")).ok()?;
    let known = woods.wood.iter().filter(|wood| name.contains(&wood.name));
    known.max_by_key(|wood| wood.name.len()).map(|wood| wood.density)
}

#[cfg(test)]
mod tests {
    use super::density;

    #[test]
    fn woods_are_known_by_name() {
        assert_eq!(density("Red oak"), density("red oak"));
        assert!(density("birch plywood") != density("yellow birch"));
        assert_eq!(density("driftwood"), None);
    }
}
