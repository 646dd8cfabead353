//! `steps.md`: how a holder is made, with what its checks say and the cautions.

use std::fmt::Write;

use super::words;
use crate::holder::{Holder, Level, caution};

/// The steps of making `holder`, as Markdown.
pub fn write(holder: &Holder) -> String {
    let units = holder.units;
    let [width, height, projection] = holder.size.map(|mm| units.length(mm));
    let mut text = format!(
        "# {}\n\n{width} wide, {height} high, stands out {projection} from the wall; its wood weighs \
         about {:.1} kg.\n",
        plain(&holder.title),
        holder.mass
    );
    section(
        &mut text,
        "What the checks say",
        holder.findings.iter().map(|finding| {
            let word = match finding.level {
                Level::Stop => "**Stop:** ",
                Level::Warn => "**Look at this:** ",
                Level::Note => "",
            };
            format!("- {word}{}", plain(&finding.message))
        }),
    );
    section(
        &mut text,
        "Pieces",
        holder.parts.iter().map(|part| {
            format!(
                "- {} × **{}**, {} × {}, from {}: {}",
                part.quantity(),
                part.name,
                units.length(part.length()),
                units.length(part.width()),
                plain(&part.stock.name),
                part.about
            )
        }),
    );
    section(
        &mut text,
        "Hardware",
        holder.hardware.iter().map(|item| {
            format!(
                "- {} × {}: {}",
                item.quantity,
                words::item(item).join(" ").trim_end(),
                item.used_for
            )
        }),
    );
    section(
        &mut text,
        "Steps",
        holder.steps.iter().enumerate().map(|(i, step)| format!("{}. {step}", i + 1)),
    );
    section(&mut text, "Cautions", caution::for_making().map(|caution| format!("- {caution}")));
    text
}

/// A heading with lines under it, or nothing where there are none.
pub(super) fn section(text: &mut String, heading: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    if !lines.is_empty() {
        // Writing to a string does not fail.
        let _ = write!(text, "\n## {heading}\n\n{}\n", lines.join("\n"));
    }
}

/// A person's own words, with nothing in them that Markdown or HTML would take for markup.
pub(super) fn plain(words: &str) -> String {
    let mut text = String::new();
    for letter in words.chars() {
        match letter {
            '<' => text.push_str("&lt;"),
            '&' => text.push_str("&amp;"),
            '*' | '_' | '`' | '[' | ']' | '\\' | '#' => text.extend(['\\', letter]),
            other => text.push(other),
        }
    }
    text
}
