//! How much the program takes in, in one place: beyond a limit it ends at once and says which one.
//! The guide lists them for people (`src/guide/limits.md`). All of them are far above what a shop needs,
//! and low enough that a run ends within seconds.

/// Bytes of a holder, style or shop file.
pub(crate) const FILE_BYTES: u64 = 500_000;

/// Bytes of a traced SVG file: a photo may lie in it beside the outline.
pub(crate) const SVG_BYTES: u64 = 10_000_000;

/// Characters of a text between two quotes in a file, and of a formula.
pub(crate) const TEXT: usize = 2_000;

/// Characters of a title.
pub(crate) const NAME: usize = 100;

/// Characters of the name of a part or a stock, which names files too: with four bytes for each and
/// a number behind it a file system still takes it.
pub(crate) const FILE_NAME: usize = 60;

/// Characters of what a style writes onto drawings and into lists.
pub(crate) const LABEL: usize = 200;

/// Entries of a list, and keys of a table, in a file.
pub(crate) const ENTRIES: usize = 1_000;

/// Holder files of a project, and style files of a folder.
#[cfg(feature = "cli")]
pub(crate) const FILES: usize = 200;

/// Kinds of sheet, board and dowel in a shop, together.
pub(crate) const STOCKS: usize = 200;

/// Offcuts of a shop.
pub(crate) const OFFCUTS: usize = 300;

/// Tools of one name in an inventory, and names of tools in it.
pub(crate) const TOOLS: usize = 1_000;

/// Bits of a shop, of all kinds together.
pub(crate) const BITS: usize = 300;

/// Figures, names and signs of a formula: a sum of many terms is a deep tree.
pub(crate) const TOKENS: usize = 256;

/// Parentheses, `if`s and signs within one another in a formula: few enough for any stack.
pub(crate) const NESTING: usize = 64;

/// Names that lean on one another in a row: few enough for any stack.
pub(crate) const CHAIN: usize = 64;

/// Entries of a list that a formula makes.
pub(crate) const LIST: usize = 1_000;

/// Characters that a text with formulas in braces comes to.
pub(crate) const SAID: usize = 10_000;

/// Kinds of part of a style.
pub(crate) const PARTS: usize = 100;

/// Rounds of one repeat, tabs of a joint, screws of a row, and pieces of hardware of one kind.
pub(crate) const REPEATS: usize = 1_000;

/// Rounds of all repeats of a holder together.
pub(crate) const ROUNDS: usize = 1_000;

/// Pieces of a holder.
pub(crate) const PIECES: usize = 300;

/// Corners and arcs of a part's edges.
pub(crate) const CORNERS: usize = 6_000;

/// Inside corners of a part that a router's bit opens so that square wood seats.
pub(crate) const SEATS: usize = 1_000;

/// Convex pieces that an outline falls into in side view; of a busier one the hull is taken.
pub(crate) const SIDE_PIECES: usize = 40;

/// Faults of one kind that are looked for in a part or a holder: after so many there is enough to
/// mend.
pub(crate) const FAULTS: usize = 100;

/// Screws of a holder.
pub(crate) const SCREWS: usize = 1_000;

/// Findings of one kind that a holder tells in full.
pub(crate) const TOLD: usize = 20;

/// Stocks of a kind that are tried in the place of one that is asked too much.
pub(crate) const STOCKS_TRIED: usize = 12;

/// Holders that are tried to settle what one leaves open: all of small spaces of choices.
pub(crate) const TRIES: usize = 2_000;

/// What the parts of a holder have to be drawn (corners, holes, marks, pieces), squared, times the holders that
/// are tried: with 1,000 of them 40 are.
pub(crate) const DRAWN_IN_TRIES: usize = 40_000_000;

/// Groups within one another in an SVG file: few enough for any stack.
pub(crate) const SVG_NESTING: usize = 100;

/// Attributes of one element of an SVG file: each is held against all others.
pub(crate) const SVG_ATTRIBUTES: usize = 250;

/// Elements and texts of an SVG file.
pub(crate) const SVG_NODES: u32 = 50_000;

/// Points, lines and curves of a traced outline.
pub(crate) const SVG_STEPS: usize = 10_000;

/// Problems of one file: more than a person mends between two runs.
pub(crate) const PROBLEMS: usize = 50;

/// Characters of a message; what is longer loses its middle.
pub(crate) const MESSAGE: usize = 600;

/// Characters of a line of a file that is shown under a message.
pub(crate) const SHOWN_LINE: usize = 300;

/// The largest mass in kg that a formula may come to.
pub(crate) const MASS: f64 = 100_000.0;

/// What to say of a file of more than `most` bytes; its size is rounded up, so that it is more.
pub(crate) fn too_long(name: &str, bytes: u64, most: u64) -> Option<String> {
    let has = (bytes as f64 / 1e5).ceil() / 10.0;
    let told = || format!("{name} has {has} MB, and may have {} MB", most as f64 / 1e6);
    (bytes > most).then(told)
}
