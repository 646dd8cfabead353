//! What goes in: texts by path, as a project's folder holds them, and who hands in the files that they name. No
//! disk, no clock.

mod naming;

use std::collections::BTreeMap;
use std::sync::Arc;

use naming::named;
pub(crate) use naming::{CUTTING_FOLDER, ROUTER_FOLDER};

use crate::reading::{Beside, Problem, Source, quoted};

/// The texts of a project by their paths in its folder, parted by `/`: `shop.toml`, `tools.toml`, `wall.toml`, `holders/NAME.toml`,
/// `styles/NAME.toml`, `styles/groups/NAME.toml`, and the files that these name; `made/NAME.toml`, the record of how
/// the holder was made whose folder is called so, for one that says `built = true`.
///
/// ```
/// let inputs = cleatwright::Inputs::new()
///     .with("shop.toml", "units = \"mm\"\n")
///     .with("holders/sash-clamps.toml", "style = \"slotted-shelf\"\n");
/// let problems = cleatwright::work_out(&inputs).unwrap_err();
/// assert!(problems[0].to_string().contains("measures"));
/// ```
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    texts: BTreeMap<String, Source>,
    beside: Option<Arc<dyn Beside>>,
    cutting_steps: Option<u64>,
    only: Option<String>,
}

/// The holder that shows which clearance joints want, and the style it is made by.
pub(crate) const TRY_PIECE: &str = "try-piece";
const TRY_STYLE: &str = include_str!("../../templates/try/try-piece.toml");

/// The file of what the shop has.
pub(crate) const SHOP: &str = "shop.toml";
/// The file of the tools that there are.
pub(crate) const TOOLS: &str = "tools.toml";
/// The file of what the walls are like.
pub(crate) const WALL: &str = "wall.toml";
/// The folder of the holder files.
pub(crate) const HOLDERS: &str = "holders/";
const STYLES: &str = "styles/";
const GROUPS: &str = "styles/groups/";
const RECORDS: &str = "made/";

impl Inputs {
    /// Nothing yet: the built-in styles and the built-in shop serve.
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes in the text of the file at `path`, which messages call by that path.
    #[must_use]
    pub fn with(self, path: &str, text: &str) -> Self {
        let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
        self.with_source(path, Source::new(path, text).in_folder(folder))
    }

    /// Takes in a text that messages call otherwise than by its path, or whose neighbors lie elsewhere.
    #[must_use]
    pub fn with_source(mut self, path: &str, source: Source) -> Self {
        self.texts.insert(path.to_owned(), source);
        self
    }

    /// Who hands in the files that texts name; without one they are looked for among the texts.
    #[must_use]
    pub fn with_beside(mut self, beside: Arc<dyn Beside>) -> Self {
        self.beside = Some(beside);
        self
    }

    /// How long the cutting plan is thought over: the same steps give the same plan.
    #[must_use]
    pub fn with_cutting_steps(mut self, steps: u64) -> Self {
        self.cutting_steps = Some(steps);
        self
    }

    /// The only holder that is made, by the name of its file without the ending. It shares with the others what is
    /// settled for all; what is wrong in those is not told.
    #[must_use]
    pub fn with_only(mut self, name: &str) -> Self {
        self.only = Some(name.to_owned());
        self
    }

    /// A project of nothing but the try piece: a board of mortises and a tab, from the sheet called `sheet` or else
    /// the one that serves, for the shop whose file is `shop`.
    #[must_use]
    pub fn of_try_piece(shop: Option<Source>, sheet: Option<&str>) -> Self {
        let sheet = sheet.map(|name| format!("sheet = {}\n", quoted(name))).unwrap_or_default();
        let holder = format!("style = \"{TRY_PIECE}\"\n[choices]\nmade_by = \"router\"\n{sheet}");
        let inputs = Self::new()
            .with(&format!("{STYLES}{TRY_PIECE}.toml"), TRY_STYLE)
            .with(&format!("{HOLDERS}{TRY_PIECE}.toml"), &holder);
        match shop {
            Some(shop) => inputs.with_source(SHOP, shop),
            None => inputs,
        }
    }

    /// Whether the holder file `HOLDERS/name.toml` is to be made.
    pub(crate) fn wants(&self, source: &Source) -> bool {
        let Some(only) = &self.only else { return true };
        self.texts
            .get(&format!("{HOLDERS}{only}.toml"))
            .is_some_and(|text| text.name() == source.name())
    }

    /// What was asked of [`Inputs::with_cutting_steps`].
    pub(crate) fn cutting_steps(&self) -> Option<u64> {
        self.cutting_steps
    }

    /// The shop file, if there is one.
    pub(crate) fn shop(&self) -> Option<&Source> {
        self.texts.get(SHOP)
    }

    /// The wall file, if there is one.
    pub(crate) fn wall(&self) -> Option<&Source> {
        self.texts.get(WALL)
    }

    /// The file of the tools that there are, if there is one.
    pub(crate) fn tools(&self) -> Option<&Source> {
        self.texts.get(TOOLS)
    }

    /// The holder files by the names of their folders, in order.
    ///
    /// # Errors
    /// At two that have one name on some systems.
    pub(crate) fn holder_files(&self) -> Result<BTreeMap<String, &Source>, Problem> {
        named(self.toml_in(HOLDERS))
    }

    /// The record of how the holder called `name` was made, if there is one.
    pub(crate) fn record(&self, name: &str) -> Option<&Source> {
        self.texts.get(&format!("{RECORDS}{name}.toml"))
    }

    /// The same with that record.
    #[cfg(feature = "cli")]
    pub(crate) fn with_record(self, name: &str, record: Source) -> Self {
        self.with_source(&format!("{RECORDS}{name}.toml"), record)
    }

    /// The project's own style files by name.
    pub(crate) fn styles(&self) -> impl Iterator<Item = (&str, &Source)> {
        self.toml_in(STYLES)
    }

    /// The groups of the project's own styles by name.
    pub(crate) fn groups(&self) -> impl Iterator<Item = (&str, &Source)> {
        self.toml_in(GROUPS)
    }

    /// Who hands in the files that texts name.
    pub(crate) fn beside(&self) -> Arc<dyn Beside> {
        self.beside.clone().unwrap_or_else(|| Arc::new(self.texts.clone()))
    }

    /// The texts right in `folder` (with its `/`), by their names without the ending.
    fn toml_in(&self, folder: &'static str) -> impl Iterator<Item = (&str, &Source)> {
        self.texts.iter().filter_map(move |(path, source)| {
            let name = path.strip_prefix(folder)?.strip_suffix(".toml")?;
            (!name.contains('/')).then_some((name, source))
        })
    }
}

/// Files that others name, looked for among the texts.
impl Beside for BTreeMap<String, Source> {
    fn text(&self, path: &str) -> Result<String, String> {
        let source =
            self.get(path).ok_or_else(|| format!("can't read {path}: there is no such file"));
        source.map(|source| source.text().to_owned())
    }
}
