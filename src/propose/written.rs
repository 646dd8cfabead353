//! A proposal to the holder file that says it and what speaks for it.

use super::ground::Ground;
use super::pick::Pick;
use super::plain::plain;
use super::sized::Piece;
use super::subject::Subject;
use crate::reading::quoted;

/// Characters of a line of comment.
const WIDTH: usize = 110;

/// What is written down of a proposal.
pub(super) struct Written<'w, 'i> {
    pub ground: &'w Ground,
    pub subject: &'w Subject<'i>,
    pub pick: &'w Pick,
    pub piece: &'w Piece,
    /// Which of how many holders this is.
    pub number: Option<(usize, usize)>,
}

/// The holder file with what speaks for it.
pub(super) fn written(of: &Written<'_, '_>) -> String {
    let Written { ground, subject, pick, piece, number } = of;
    let share = number.map(|(i, all)| format!(", {i} of {all} holders")).unwrap_or_default();
    let many = match subject.count() {
        1 => String::new(),
        count => format!("{count} of "),
    };
    let first = format!("Proposed for {many}{}{share}: {}.", quoted(&subject.name), pick.because);
    let more =
        if piece.spare > 0 { format!(", and {} for more", piece.spare) } else { String::new() };
    let places = format!("Places: {}{more}.", piece.places);
    let told = [Some(first), pick.second.clone(), Some(places)];
    let comments: String = told.iter().flatten().map(|text| comment(text)).collect();
    let title =
        number.map_or(subject.name.clone(), |(i, all)| format!("{} {i} of {all}", subject.name));
    let names: Vec<&str> = match subject.whole && number.is_none() {
        true => vec![&subject.name],
        false => piece.tools.iter().map(String::as_str).collect(),
    };
    let style = ground.styles.iter().find(|style| style.name == pick.style);
    let text = style.map(|style| plain(ground, style, (&title, &names), piece.count));
    comments + &text.unwrap_or_default()
}

/// A text as lines of comment.
fn comment(text: &str) -> String {
    let (mut lines, mut line) = (String::new(), String::from("#"));
    for word in text.split_whitespace() {
        if line.chars().count() + word.chars().count() > WIDTH {
            lines.push_str(&line);
            lines.push('\n');
            line = String::from("#  ");
        }
        line.push(' ');
        line.push_str(word);
    }
    format!("{lines}{line}\n")
}
