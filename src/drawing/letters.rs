//! The letters that the cutting plan calls a part's pieces by: in the title block, and large on the wood.

use super::canvas::{Canvas, Care, Label, LabelSize};
use super::near::{self, WoodArea};
use crate::holder::Part;

/// Letter sizes on the wood, in mm, the first that finds room; no larger than a share of the part's width.
const SIZES: [f64; 4] = [12.0, 9.0, 7.0, 5.0];
const SHARE: f64 = 0.2;

/// More letters than this are told by the first and the last.
const MOST: usize = 3;

/// `4`, or `4: C, D, E, F in the cutting plan`. `letters` stand in the plan's order, none left out between them.
pub(super) fn pieces(part: &Part, letters: &[&str]) -> String {
    let count = part.quantity();
    if letters.is_empty() {
        return count.to_string();
    }
    format!("{count}: {} in the cutting plan", in_short(letters, ", ", " to "))
}

/// Writes them on the wood, as large as there is room for.
pub(super) fn write(canvas: &mut Canvas, part: &Part, letters: &[&str], wood: &WoodArea) {
    if letters.is_empty() {
        return;
    }
    let text = in_short(letters, " ", " – ");
    let area = part.region.bounds();
    let most = (area.width().min(area.height()) * SHARE).max(SIZES[3]);
    let labels = SIZES.into_iter().filter(|size| *size <= most).flat_map(|size| {
        let label = Label::new(text.as_str(), size).bold();
        [label.clone(), label.upright(true)]
    });
    for label in labels {
        let size = LabelSize::of(&label);
        let place = near::within(area, label.extent(), |place| {
            canvas.has_room_for(&size, place, Care::All) && wood.contains(place)
        });
        if let Some(place) = place {
            return canvas.write(&label, place);
        }
    }
}

/// All letters, or of many the first and the last.
pub(super) fn in_short(letters: &[&str], between: &str, to: &str) -> String {
    match letters {
        [first, .., last] if letters.len() > MOST => format!("{first}{to}{last}"),
        _ => letters.join(between),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_letters_are_told_by_the_first_and_the_last() {
        assert_eq!(in_short(&["C", "D"], ", ", " to "), "C, D");
        assert_eq!(in_short(&["Y", "Z", "AA", "AB"], ", ", " to "), "Y to AB");
    }
}
