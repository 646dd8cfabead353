//! The holder file for some tools: what does not follow from the inventory, and nothing else.

use super::ground::Ground;
use crate::reading::quoted;
use crate::style::Style;

/// The choice by which a style may hang straight on the studs, and its word for a cleat.
const MOUNT: [&str; 2] = ["mount", "cleat"];

/// The holder file of `style` for the tools of these `names`.
pub(super) fn plain(
    ground: &Ground,
    style: &Style,
    (title, names): (&str, &[&str]),
    count: Option<usize>,
) -> String {
    let names: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    let tool = match names.as_slice() {
        [name] => name.clone(),
        several => format!("[{}]", several.join(", ")),
    };
    let choices: String =
        no_room(ground, style, count).into_iter().chain(on_cleat(ground, style)).collect();
    let choices = if choices.is_empty() { choices } else { format!("\n[choices]\n{choices}") };
    let count = count.map(|count| format!("count = {count}\n")).unwrap_or_default();
    format!(
        "style = {}\ntitle = {}\nunits = {}\ntool = {tool}\n{count}{choices}",
        quoted(&style.name),
        quoted(&capital(title)),
        quoted(ground.units.symbol()),
    )
}

/// Where tools are shared between holders, each has no room for more but what the inventory asks for: every one of them
/// would have it.
fn no_room(ground: &Ground, style: &Style, count: Option<usize>) -> Option<String> {
    let room = style.own().counts.as_ref()?.room.as_ref()?.get_ref();
    let none = count.is_some() && ground.inventory.room.is_none();
    none.then(|| format!("{room} = 0\n"))
}

/// Where the wall is planned, what may hang on a cleat or on studs is to hang on a cleat.
fn on_cleat(ground: &Ground, style: &Style) -> Option<String> {
    let [mount, cleat] = MOUNT;
    let mut choices = style.choices();
    let may =
        choices.any(|(name, choice, _)| name == mount && choice.options.iter().any(|o| o == cleat));
    (ground.has_wall && may).then(|| format!("{mount} = {}\n", quoted(cleat)))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}
