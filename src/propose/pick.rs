//! The style that suits a tool best.

use super::ground::Ground;
use super::plain::plain;
use super::sized::{Piece, sized};
use super::subject::Subject;
use crate::holder::suited;
use crate::inventory::Share;
use crate::style::{Measure, Style};

/// What was picked for a tool or set.
pub(super) struct Pick {
    pub style: String,
    pub because: String,
    /// The holders, one or more.
    pub pieces: Vec<Piece>,
    /// Why the one that comes next does.
    pub second: Option<String>,
}

/// Why nothing suits, and what would help.
pub(super) struct Unsuited(pub String);

/// A style that suits by its readings.
pub(super) struct Suit<'g> {
    pub style: &'g Style,
    /// How well, from 0 to 1: its own merit, as far as it takes in what was read off the tool. A reading that it has no
    /// use for was taken for another style.
    score: f64,
    because: String,
}

/// The style that suits best and that nothing stops in the project's shop.
pub(super) fn pick(ground: &Ground, subject: &Subject<'_>) -> Result<Pick, Unsuited> {
    let suits = suits(ground, subject);
    let mut stops: Vec<String> = Vec::new();
    for (i, suit) in suits.iter().enumerate() {
        match sized(ground, suit.style, subject) {
            Ok(pieces) => {
                let next = suits.get(i + 1).map(|next| second(next, suit));
                return Ok(Pick {
                    style: suit.style.name.clone(),
                    because: suit.because.clone(),
                    pieces,
                    second: stops.first().cloned().or(next),
                });
            }
            Err(stop) => stops.push(format!("{} would suit, and stops: {stop}", suit.style.name)),
        }
    }
    Err(Unsuited(stops.first().cloned().unwrap_or_else(|| lacking(ground, subject))))
}

fn second(next: &Suit<'_>, first: &Suit<'_>) -> String {
    let Suit { style, score, because } = next;
    format!("Next comes {}, {score:.2} against {:.2}: {because}.", style.name, first.score)
}

/// The styles that suit, the best first.
fn suits<'g>(ground: &'g Ground, subject: &Subject<'_>) -> Vec<Suit<'g>> {
    let suits = ground.styles.iter().filter_map(|style| suit(ground, style, subject));
    let mut suits: Vec<Suit<'_>> = suits.filter(|suit| suit.score > 0.0).collect();
    suits.sort_by(|one, other| other.score.total_cmp(&one.score));
    suits
}

/// How well a style suits one tool of each kind; `None` where it does not, or their readings lack one that it must have
/// or are out of its range.
fn suit<'g>(ground: &Ground, style: &'g Style, subject: &Subject<'_>) -> Option<Suit<'g>> {
    if required(style).any(|(name, _)| !subject.has(name)) {
        return None;
    }
    let shares: Vec<Share<'_>> =
        subject.tools.iter().map(|tool| Share { tool, count: 1 }).collect();
    let names: Vec<&str> = subject.tools.iter().map(|tool| tool.name.get_ref().as_str()).collect();
    let text = plain(ground, style, (&subject.name, &names), None);
    let found = suited(&ground.file(text, &shares)?, &ground.shop).ok().flatten()?;
    let score = found.merit * taken_in(style, subject);
    Some(Suit { style, score, because: found.because })
}

/// The readings that a style can't do without.
fn required(style: &Style) -> impl Iterator<Item = (&str, &Measure)> {
    let measures = style.measures().filter(|(_, measure, _)| measure.default.is_none());
    measures.map(|(name, measure, _)| (name, measure))
}

/// What part of a tool's readings a style asks for.
fn taken_in(style: &Style, subject: &Subject<'_>) -> f64 {
    let readings = subject.readings();
    let asked = |name: &&&str| style.measures().any(|(known, ..)| known == **name);
    readings.iter().filter(asked).count() as f64 / readings.len().max(1) as f64
}

/// Which readings the style would want that takes in the most of what there is and lacks the least.
fn lacking(ground: &Ground, subject: &Subject<'_>) -> String {
    let missing = |style: &Style| required(style).filter(|(name, _)| !subject.has(name)).count();
    let near =
        |style: &&Style| (taken_in(style, subject) * 1000.0) as i64 - 200 * missing(style) as i64;
    let Some(style) = ground.styles.iter().max_by_key(near) else {
        return "no style says for which tools it suits".to_owned();
    };
    let wants: Vec<String> = required(style)
        .filter(|(name, _)| !subject.has(name))
        .map(|(name, measure)| format!("{name} ({})", measure.ask))
        .collect();
    if wants.is_empty() {
        return format!(
            "no style suits its readings, {} the least badly: look at them again",
            style.name
        );
    }
    format!("no style suits by these readings. {} would want {}", style.name, wants.join(", "))
}
