//! Counting in letters.

/// Counted from 0: A to Z, then AA, AB …
pub(crate) fn letters(mut index: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + (index % 26) as u8));
        match (index / 26).checked_sub(1) {
            Some(next) => index = next,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn letters_go_on_after_z() {
        let some = [0, 1, 25, 26, 27, 51, 52, 701, 702].map(letters);
        assert_eq!(some, ["A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]);
    }
}
