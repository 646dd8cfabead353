//! Text from files and names, made safe to show: nothing in it moves the cursor, colors the
//! terminal or turns the reading direction.

/// `text` with every character that is not shown as itself replaced, byte for byte, so that
/// places in it stay what they were. Line ends and tabs stay.
pub(crate) fn shown(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let line_end = c == '\n' || c == '\r' && rest.peek() == Some(&'\n');
        if line_end || c == '\t' || !is_hidden(c) {
            shown.push(c);
        } else {
            shown.push_str(stand_in(c));
        }
    }
    shown
}

/// Whether `c` steers a terminal or the reading direction, or is not seen at all.
pub(crate) fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}')
}

/// Something to see of as many bytes.
fn stand_in(c: char) -> &'static str {
    match c.len_utf8() {
        1 => "?",
        2 => "·",
        3 => "\u{fffd}",
        _ => "\u{fffd}?",
    }
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn what_steers_a_terminal_is_shown_and_nothing_moves() {
        let text = "a\u{1b}[31mb\u{202e}c\u{9b}d\re\r\nf\tg\u{e0041}½ Küche Пилы";
        let safe = shown(text);
        assert_eq!(safe, "a?[31mb\u{fffd}c·d?e\r\nf\tg\u{fffd}?½ Küche Пилы");
        assert_eq!(safe.len(), text.len());
    }
}
