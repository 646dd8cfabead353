//! Words made safe for a DXF string.

/// Longest string written, in bytes; the DXF reference allows 255 in R12.
const LONGEST: usize = 250;

/// `words` as one DXF string of printable ASCII that reads as the same words.
///
/// After the DXF reference: line breaks and other control characters become spaces; a character
/// beyond ASCII, and the backslash that might start an escape, is written `\U+XXXX`; a caret is
/// followed by a space, else it would stand for a control character; a per cent sign is written
/// `%%%` where two of them would start a special sign. A character beyond `\U+FFFF` becomes `?`.
pub(super) fn encode(words: &str) -> String {
    let special = words.contains("%%");
    let mut out = String::new();
    for letter in words.trim().chars() {
        let written = match letter {
            '%' if special => "%%%".to_owned(),
            '^' => "^ ".to_owned(),
            '\\' => escape(letter),
            ' '..='~' => letter.to_string(),
            _ if letter.is_control() || letter.is_whitespace() => " ".to_owned(),
            _ => escape(letter),
        };
        if out.len() + written.len() > LONGEST {
            out.push_str("...");
            break;
        }
        out.push_str(&written);
    }
    out
}

fn escape(letter: char) -> String {
    match u32::from(letter) {
        code @ 0..=0xFFFF => format!("\\U+{code:04X}"),
        _ => "?".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::encode;

    #[test]
    fn words_stay_on_one_ascii_line() {
        assert_eq!(encode("oak\r\n0\nEOF"), "oak  0 EOF");
        assert_eq!(encode("Ø 12 — é"), r"\U+00D8 12 \U+2014 \U+00E9");
        assert_eq!(encode("\u{2028}a\u{85}b\0"), "a b ");
        assert_eq!(encode(r"\U+0041 ^J 50%"), r"\U+005CU+0041 ^ J 50%");
        assert_eq!(encode("50%%d"), "50%%%%%%d");
        assert_eq!(encode("🪚"), "?");
        assert!(encode(&"é".repeat(400)).len() <= 255);
    }
}
