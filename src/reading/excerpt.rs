//! Messages that stay short, whatever the file holds.

use std::ops::Range;

use crate::limits;

/// `message`, without its middle where it is too long.
pub(super) fn short(message: String) -> String {
    let has = message.chars().count();
    if has <= limits::MESSAGE {
        return message;
    }
    let head: String = message.chars().take(limits::MESSAGE * 2 / 3).collect();
    let tail: String = message.chars().skip(has - limits::MESSAGE / 3).collect();
    format!("{head} … {tail}")
}

/// Whether the lines round the bytes `at` of `text`, which are shown below a message, are short
/// enough for that.
pub(super) fn can_be_shown(text: &str, at: &Range<usize>) -> bool {
    let begin = text[..at.start].rmatch_indices('\n').nth(1).map_or(0, |(place, _)| place);
    let end =
        text[at.end..].match_indices('\n').nth(1).map_or(text.len(), |(place, _)| at.end + place);
    let lines = &text[begin..end];
    lines.len() <= 40 * limits::SHOWN_LINE
        && lines.lines().all(|line| line.len() <= limits::SHOWN_LINE)
}
