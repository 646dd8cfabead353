//! The words of a style file that have a meaning of their own.

use schemars::JsonSchema;
use serde::Deserialize;

/// Which way the grain runs on a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Grain {
    /// Along x.
    #[default]
    Length,
    /// Along y.
    Width,
    /// It does not matter.
    Any,
}

impl Grain {
    /// The word used in style files and summary.json.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Width => "width",
            Self::Any => "any",
        }
    }
}

/// What a drilling is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Purpose {
    #[serde(rename = "slot end")]
    SlotEnd,
    Pilot,
    Countersink,
    Peg,
    /// What a tool hangs in.
    Tool,
    Clearance,
}

impl Purpose {
    /// The word used in style files and summary.json.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::SlotEnd => "slot end",
            Self::Pilot => "pilot",
            Self::Countersink => "countersink",
            Self::Peg => "peg",
            Self::Tool => "tool",
            Self::Clearance => "clearance",
        }
    }
}

/// How much what a check says matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Level {
    /// It can't be made, or is unsafe.
    Stop,
    /// It can be made, but look at it.
    Warn,
    /// Good to know.
    Note,
}

impl Level {
    /// The word used in files and messages.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Warn => "warn",
            Self::Note => "note",
        }
    }
}

/// The two faces of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Face {
    /// The one the pattern shows.
    Show,
    Back,
}

impl Face {
    /// The word used in style files and summary.json.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Show => "show",
            Self::Back => "back",
        }
    }

    /// The face across from it.
    pub(crate) fn other(self) -> Self {
        match self {
            Self::Show => Self::Back,
            Self::Back => Self::Show,
        }
    }
}

/// The four edges of a part's bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Edge {
    Bottom,
    Top,
    Left,
    Right,
}

impl Edge {
    /// The word used in style files and messages.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Bottom => "bottom",
            Self::Top => "top",
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// A point or a size in space: x right, y up, z out of the wall, in mm.
pub(crate) type Space = [f64; 3];

/// Which way a piece's show face looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Facing {
    /// Away from the wall: length runs right, width up.
    Front,
    /// To the wall: length runs left, width up.
    Back,
    /// Up: length runs right, width to the wall.
    Up,
    /// Down: length runs right, width away from the wall.
    Down,
    /// To the left: length runs away from the wall, width up.
    Left,
    /// To the right: length runs to the wall, width up.
    Right,
}

impl Facing {
    /// The directions of length (x), width (y) and out of the show face: a right-handed frame.
    pub(crate) fn frame(self) -> [Space; 3] {
        match self {
            Self::Front => [[1., 0., 0.], [0., 1., 0.], [0., 0., 1.]],
            Self::Back => [[-1., 0., 0.], [0., 1., 0.], [0., 0., -1.]],
            Self::Up => [[1., 0., 0.], [0., 0., -1.], [0., 1., 0.]],
            Self::Down => [[1., 0., 0.], [0., 0., 1.], [0., -1., 0.]],
            Self::Left => [[0., 0., 1.], [0., 1., 0.], [-1., 0., 0.]],
            Self::Right => [[0., 0., -1.], [0., 1., 0.], [1., 0., 0.]],
        }
    }
}
