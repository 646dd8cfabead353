//! What a person may look up, topic by topic: plain texts, the same that README leads to.

use crate::reading::{Problem, nearest_name};

const TOPICS: [Topic; 15] = [
    Topic("commands", include_str!("commands.md")),
    Topic("holder", include_str!("holder.md")),
    Topic("shop", include_str!("shop.md")),
    Topic("tools", include_str!("tools.md")),
    Topic("wall", include_str!("wall.md")),
    Topic("styles", include_str!("styles.md")),
    Topic("made", include_str!("made.md")),
    Topic("cutting", include_str!("cutting.md")),
    Topic("router", include_str!("router.md")),
    Topic("loads", include_str!("loads.md")),
    Topic("summary", include_str!("summary.md")),
    Topic("limits", include_str!("limits.md")),
    Topic("cautions", include_str!("cautions.md")),
    Topic("changes", include_str!("changes.md")),
    Topic("licenses", concat!(include_str!("licenses.md"), "\n", include_str!("../../LICENSE"))),
];

/// A topic's name and its text, whose heading says behind a colon what it is about.
struct Topic(&'static str, &'static str);

impl Topic {
    fn about(&self) -> &'static str {
        let heading = self.1.lines().next().unwrap_or_default();
        heading.split_once(": ").map_or(heading, |(_, about)| about)
    }
}

/// The topics, a line each.
pub(crate) fn topics() -> String {
    let line = |topic: &Topic| format!("{:10} {}\n", topic.0, topic.about());
    let lines: String = TOPICS.iter().map(line).collect();
    format!("{lines}\n\"cleatwright guide TOPIC\" prints one.\n")
}

/// The text of one topic.
///
/// # Errors
/// When there is none of that name.
pub(crate) fn topic(name: &str) -> Result<&'static str, Problem> {
    let found = TOPICS.iter().find(|topic| topic.0 == name);
    found.map(|topic| topic.1).ok_or_else(|| unknown(name))
}

fn unknown(name: &str) -> Problem {
    let known = TOPICS.map(|topic| topic.0);
    let meant = nearest_name(name, &known);
    let meant = meant.map(|name| format!("did you mean \"{name}\"? ")).unwrap_or_default();
    let help = format!("{meant}The topics are: {}", known.join(", "));
    Problem::plain(format!("the guide has no topic \"{name}\"")).with_help(help)
}
