//! What a person calls things, made safe for names of files.

/// `text` as a file name for any system: lower-case letters, digits, `-` and `_`; everything else
/// becomes `-`. May be empty.
pub fn file_name(text: &str) -> String {
    let safe = |c: char| {
        let c = c.to_ascii_lowercase();
        if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }
    };
    let name: String = text.chars().map(safe).collect();
    name.trim_matches('-').to_owned()
}
