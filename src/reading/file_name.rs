//! What a person calls things, made safe for names of files and folders on any system.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::shown::is_hidden;

/// `text` as part of a file name: letters of any script in lower case, digits, `-` and `_`;
/// everything else becomes `-`. May be empty.
pub(crate) fn file_name(text: &str) -> String {
    let safe = |c: char| if is_letter(c) || c == '_' { c } else { '-' };
    let name: String = text.to_lowercase().nfc().map(safe).collect();
    name.trim_matches('-').to_owned()
}

/// `text`, a file's name without its ending, as the name of a folder: the same name where every
/// system takes it. Where something in it had to be changed, a mark worked out from the whole of
/// `text` follows, so that two names stay two whatever else there is. Never empty.
pub(crate) fn folder_name(text: &str, taken: &[&str]) -> String {
    let own: String = text.nfc().collect();
    let safe = |c: char| if is_letter(c) || " -_.()".contains(c) { c } else { '-' };
    let mut name: String = own.chars().map(safe).collect();
    while name.len() > LONGEST {
        name.pop();
    }
    let trimmed = name.trim_end_matches([' ', '.']).trim_start_matches([' ', '.', '-']);
    let refused = is_reserved(trimmed) || taken.iter().any(|name| alike(name, trimmed));
    if trimmed == own && !refused && !own.is_empty() {
        return own;
    }
    // A device keeps its name before any ending.
    let plain = if is_reserved(trimmed) { trimmed.replace('.', "-") } else { trimmed.to_owned() };
    let stem = plain.trim_matches(['-', ' ', '.']);
    format!("{}-{}", if stem.is_empty() { "holder" } else { stem }, mark(text))
}

/// Whether a file system may take two names for one: letter case and ways of writing an accent
/// tell no files apart.
pub(crate) fn alike(one: &str, other: &str) -> bool {
    let plain =
        |name: &str| name.nfc().collect::<String>().to_lowercase().nfc().collect::<String>();
    plain(one) == plain(other)
}

/// In bytes: what is left of the 255 that systems take serves for a mark and a new file's name.
const LONGEST: usize = 200;

fn is_letter(c: char) -> bool {
    (c.is_alphanumeric() || is_combining_mark(c)) && !is_hidden(c)
}

/// Names that Windows keeps for devices, with any ending.
fn is_reserved(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_ascii_lowercase();
    let numbered = stem.strip_prefix("com").or(stem.strip_prefix("lpt"));
    let port = numbered.is_some_and(|n| {
        let mut digits = n.chars();
        digits.next().is_some_and(|c| "0123456789¹²³".contains(c)) && digits.next().is_none()
    });
    port || ["con", "prn", "aux", "nul", "conin$", "conout$"].contains(&stem.as_str())
}

/// Five letters and digits that hang on every byte of `text`: FNV-1a, public domain.
fn mark(text: &str) -> String {
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let digits = b"0123456789abcdefghjkmnpqrstvwxyz";
    (0..5).map(|i| char::from(digits[(hash >> (59 - 5 * i)) as usize % 32])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_is_called_what_the_file_is_called() {
        let same =
            ["Küche", "Пилы", "sash clamps", "鉋", "x.y", "saws (old)", "हथौड़ा", "router table"];
        for name in same {
            assert_eq!(folder_name(name, &["router"]), name.nfc().collect::<String>());
        }
        // An accent written as a letter of its own is the same name.
        assert_eq!(folder_name("Ku\u{308}che", &[]), "Küche");
    }

    #[test]
    fn a_name_that_some_system_refuses_is_marked_after_its_own_text() {
        let refused = [
            "",
            ".",
            "a<b",
            "a>b",
            "a:b",
            "con",
            "COM1",
            "nul.x",
            "Router",
            "x.",
            " x",
            "x ",
            "-x",
            ".x",
            "a\u{202e}b",
            "a\tb",
            "a\\b",
            "lpt9",
            "com¹",
        ];
        let mut names: Vec<String> =
            refused.iter().map(|name| folder_name(name, &["router"])).collect();
        for (name, was) in names.iter().zip(refused) {
            assert_ne!(name, was);
            assert!(name.chars().all(|c| c.is_alphanumeric() || "-._ ".contains(c)), "{name}");
            assert!(!is_reserved(name) && !name.ends_with(['.', ' ']), "{name}");
        }
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), refused.len(), "two are one");
        assert!(folder_name(&"ö".repeat(300), &[]).len() < 210);
    }

    #[test]
    fn names_alike_but_for_case_and_accents_are_one() {
        assert!(alike("Küche", "KU\u{308}CHE") && alike("ПИЛЫ", "пилы"));
        assert!(!alike("Küche", "Kuche"));
    }

    #[test]
    fn parts_of_file_names_keep_letters_of_any_script() {
        assert_eq!(file_name("Sperrholz Küche 3/4"), "sperrholz-küche-3-4");
        assert_eq!(file_name("фанера 18"), "фанера-18");
        assert_eq!(file_name("../<b>"), "b");
    }
}
