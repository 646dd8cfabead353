//! Holder files for the tools that no holder names: the style that suits each best, tried in the project's shop.

mod ground;
mod pick;
mod plain;
mod sized;
mod subject;
mod written;

use std::collections::BTreeSet;

use rayon::prelude::*;

use crate::inputs::{CUTTING_FOLDER, HOLDERS, Inputs, ROUTER_FOLDER};
use crate::reading::{Problem, alike, file_name, folder_name};
use ground::Ground;
use pick::{Pick, Unsuited};
use subject::{Subject, subjects};
use written::{Written, written};

/// What is proposed for a tool, or for a set of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposed {
    /// The name of the tool or set.
    pub of: String,
    /// Why it is proposed; or why nothing is, and which readings would help.
    pub why: String,
    /// The style; `None` where nothing suits.
    pub style: Option<String>,
    /// The files to write; none where nothing suits.
    pub files: Vec<ProposedFile>,
}

/// A holder file to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProposedFile {
    /// Its path in the project's folder. None of the project's holder files is called so.
    pub path: String,
    /// What it says.
    pub text: String,
}

/// A holder file, or several, for each tool and set of `tools.toml` that no holder file names. What is proposed was
/// worked out in the project's shop, and nothing stops it.
///
/// # Errors
/// Every problem in the texts that this rests on.
///
/// ```
/// use cleatwright::{Inputs, propose};
///
/// let tools = r#"
/// units = "in"
/// [[tool]]
/// name = "sash clamp"
/// count = 4
/// bar_thickness = "5/16"
/// head_width = "1 1/8"
/// tool_length = "40"
/// tool_mass = "2.1 kg"
/// "#;
/// let proposed = propose(&Inputs::new().with("tools.toml", tools)).unwrap();
/// assert_eq!(proposed[0].of, "sash clamp");
/// assert!(proposed[0].files[0].text.contains("tool = \"sash clamp\""));
/// ```
pub fn propose(inputs: &Inputs) -> Result<Vec<Proposed>, Vec<Problem>> {
    let ground = Ground::new(inputs)?;
    let subjects = subjects(&ground.inventory, &ground.named);
    let picked: Vec<(Subject<'_>, Result<Pick, Unsuited>)> =
        subjects.into_par_iter().flat_map_iter(|subject| picked(&ground, subject)).collect();
    let mut taken: BTreeSet<String> = ground.taken.iter().cloned().collect();
    let told = picked.iter().map(|(subject, pick)| match pick {
        Ok(pick) => proposed(&ground, subject, pick, &mut taken),
        Err(unsuited) => nothing(subject, unsuited),
    });
    Ok(told.collect())
}

/// What suits a tool or set; of a set that nothing suits as a whole, what suits each of its tools.
fn picked<'i>(
    ground: &'i Ground,
    subject: Subject<'i>,
) -> Vec<(Subject<'i>, Result<Pick, Unsuited>)> {
    let pick = pick::pick(ground, &subject);
    if pick.is_ok() || subject.tools.len() < 2 {
        return vec![(subject, pick)];
    }
    let alone = subject.tools.iter().map(|tool| Subject::alone(tool));
    alone.map(|tool| (tool.clone(), pick::pick(ground, &tool))).collect()
}

fn proposed(
    ground: &Ground,
    subject: &Subject<'_>,
    pick: &Pick,
    taken: &mut BTreeSet<String>,
) -> Proposed {
    let several = pick.pieces.len() > 1;
    let numbered = pick.pieces.iter().enumerate().map(|(i, piece)| {
        let number = several.then_some((i + 1, pick.pieces.len()));
        let wanted = number.map_or(subject.name.clone(), |(i, _)| format!("{} {i}", subject.name));
        let path = format!("{HOLDERS}{}.toml", free_name(&wanted, taken));
        let text = written(&Written { ground, subject, pick, piece, number });
        ProposedFile { path, text }
    });
    Proposed {
        of: subject.name.clone(),
        why: pick.because.clone(),
        style: Some(pick.style.clone()),
        files: numbered.collect(),
    }
}

fn nothing(subject: &Subject<'_>, Unsuited(why): &Unsuited) -> Proposed {
    Proposed { of: subject.name.clone(), why: why.clone(), style: None, files: Vec::new() }
}

/// `wanted` as the name of a file, with a number behind it where a file is called so; it is taken from now on.
fn free_name(wanted: &str, taken: &mut BTreeSet<String>) -> String {
    let kept = [ROUTER_FOLDER, CUTTING_FOLDER];
    let plain = folder_name(&file_name(wanted), &kept);
    let numbered = (2..).map(|number| format!("{plain}-{number}"));
    let mut names = std::iter::once(plain.clone()).chain(numbered);
    let free = |name: &String| !taken.iter().any(|other| alike(other, name));
    let name = names.find(free).unwrap_or(plain);
    taken.insert(name.clone());
    name
}
