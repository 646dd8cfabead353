//! The styles at hand: the built-in ones and the user's own.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Arc, LazyLock, OnceLock};

use include_dir::{Dir, include_dir};

use super::asked::{self, Said};
use super::asked::{Choice, Measure};
use super::expr::Expr;
use super::spec::{Measured, PartSpec, ScrewSpec, StyleFile};
use super::uses::names_used;
use super::validate::validate;
use crate::inputs::Inputs;
use crate::reading::{Beside, Problem, Problems, Source, Spanned, nearest};

static BUILT_IN: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/templates");

/// The folder beside style files that holds the groups they include.
const GROUPS: &str = "groups";

/// The file beside them that says what readings and choices are called in all styles.
const VOCABULARY: &str = "vocabulary.toml";

/// Styles and groups by name. A later folder's style replaces an earlier one's of the same name. Each style is read when it
/// is first asked for, once for all copies of the library. Cheap to clone.
#[derive(Debug, Clone)]
pub(crate) struct Library {
    styles: Arc<BTreeMap<String, StyleText>>,
    groups: Arc<BTreeMap<String, Source>>,
    /// The texts among them that are no built-in ones.
    own: Arc<Vec<Source>>,
    /// What hands in the files that styles name.
    beside: Option<Arc<dyn Beside>>,
}

/// The text of a style, and what was read of it.
#[derive(Debug)]
struct StyleText {
    source: Source,
    read: OnceLock<Result<Style, Problems>>,
}

/// One style, ready to be worked out: its own file first, then the groups it includes. Where two
/// layers name the same thing, the first one holds.
#[derive(Debug, Clone)]
pub(crate) struct Style {
    pub name: String,
    pub layers: Vec<Layer>,
}

/// One file of a style.
#[derive(Debug, Clone)]
pub(crate) struct Layer {
    pub source: Source,
    pub file: Arc<StyleFile>,
    /// What it asks, whole: as the file says it and else the vocabulary.
    pub measures: Arc<Said<Measure>>,
    pub choices: Arc<Said<Choice>>,
    /// Names of parts and screws for which a file before this one holds.
    replaced: Arc<BTreeSet<String>>,
}

/// What a row of screws is called among all that is named: no part's name has a space.
fn row(screws: &ScrewSpec) -> String {
    format!("screws {}", screws.name.get_ref())
}

impl Layer {
    /// The names that its formulas use, and those that lists are as long as.
    pub(super) fn names_used(&self) -> BTreeSet<&str> {
        names_used(&self.file, &self.measures, &self.choices)
    }

    /// The parts that it says and no file before it; and what it adds to others.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &PartSpec> {
        let held = |part: &&PartSpec| part.adds() || !self.replaced.contains(part.name.get_ref());
        self.file.parts.iter().filter(held)
    }

    /// The screws that it says and no file before it.
    pub(crate) fn screws(&self) -> impl Iterator<Item = &ScrewSpec> {
        self.file.screws.iter().filter(|screws| !self.replaced.contains(&row(screws)))
    }
}

impl Library {
    /// The styles that come with the program.
    #[cfg(test)]
    pub(crate) fn built_in() -> Self {
        Self::with(&Inputs::new())
    }

    /// The styles that come with the program and those of `inputs`, which stand in for built-in ones of the same name.
    pub(crate) fn with(inputs: &Inputs) -> Self {
        let (mut styles, mut groups) = built_in_texts();
        let owned = |(name, source): (&str, &Source)| (name.to_owned(), source.clone());
        styles.extend(inputs.styles().map(owned));
        groups.extend(inputs.groups().map(owned));
        let unread = |(name, source)| (name, StyleText { source, read: OnceLock::new() });
        let styles = styles.into_iter().map(unread).collect();
        let own = own_texts(inputs).cloned().collect();
        Self {
            styles: Arc::new(styles),
            groups: Arc::new(groups),
            own: Arc::new(own),
            beside: None,
        }
    }

    /// The same, what was read `before` kept where the texts are the same.
    pub(crate) fn again(inputs: &Inputs, before: &Self) -> Self {
        let text = |source: &Source| (source.name().to_owned(), source.text().to_owned());
        let same = own_texts(inputs).map(text).eq(before.own.iter().map(text));
        if same { before.clone() } else { Self::with(inputs) }
    }

    /// The same styles, the files that they name handed in by `beside`.
    pub(crate) fn served_by(&self, beside: &Arc<dyn Beside>) -> Self {
        Self { beside: Some(Arc::clone(beside)), ..self.clone() }
    }

    /// The names of the styles, in order.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.styles.keys().map(String::as_str)
    }

    /// Reads the style called `name`. `Ok(None)` when there is none; see
    /// [`Library::advice`].
    ///
    /// # Errors
    /// What is wrong in the style's file and those that it includes.
    pub(crate) fn style(&self, name: &str) -> Result<Option<Style>, Problems> {
        let Some(text) = self.styles.get(name) else { return Ok(None) };
        let read = text.read.get_or_init(|| self.read(name, &text.source));
        let mut style = read.clone()?;
        for (layer, beside) in style.layers.iter_mut().zip(self.beside.iter().cycle()) {
            layer.source = layer.source.served_by(beside);
        }
        Ok(Some(style))
    }

    fn read(&self, name: &str, source: &Source) -> Result<Style, Problems> {
        let (file, mut wrong) = source.parse_all::<StyleFile>();
        let Some(file) = file else { return Err(wrong) };
        let mut files = vec![(source.clone(), file)];
        let mut seen = BTreeSet::new();
        self.include(0, &mut files, &mut seen, &mut wrong);
        // What was left out is missed wherever it is used: that is no fault of its own.
        let files = wrong.or(files)?;
        let style = Style { name: name.to_owned(), layers: completed(files)? };
        validate(&style)?;
        Ok(style)
    }

    /// Takes in the groups that the file at `index` includes, each after those that it includes itself.
    fn include(
        &self,
        index: usize,
        files: &mut Vec<(Source, StyleFile)>,
        seen: &mut BTreeSet<String>,
        wrong: &mut Problems,
    ) {
        let (source, included) = (files[index].0.clone(), files[index].1.include.clone());
        for group in included {
            let Some(text) = wrong.keep(self.group(&source, &group)) else { continue };
            if !seen.insert(group.get_ref().clone()) {
                continue;
            }
            let (file, more) = text.parse_all::<StyleFile>();
            wrong.add(more);
            let Some(file) = file else { continue };
            files.push((text.clone(), file));
            let own = files.len() - 1;
            self.include(own, files, seen, wrong);
            // Behind what it stands on.
            files[own..].rotate_left(1);
        }
    }

    /// The text of a group that `source` includes.
    fn group(&self, source: &Source, group: &Spanned<String>) -> Result<&Source, Problem> {
        self.groups.get(group.get_ref()).ok_or_else(|| {
            let known: Vec<&str> = self.groups.keys().map(String::as_str).collect();
            let message = format!("include: there is no group \"{}\"", group.get_ref());
            source.problem(group.span(), message).with_help(nearest(group.get_ref(), &known))
        })
    }

    /// Whether a style of a user's own stands in for a built-in one.
    pub(crate) fn replaces(&self, name: &str) -> bool {
        let file = format!("{name}.toml");
        let built_in = file != VOCABULARY && BUILT_IN.get_file(&file).is_some();
        built_in
            && self
                .styles
                .get(name)
                .is_some_and(|own| own.source.name() != format!("templates/{file}"))
    }

    /// The text of a style and of all groups that it takes in.
    pub(crate) fn files(&self, style: &Style) -> String {
        let files = style
            .layers
            .iter()
            .map(|layer| format!("# {}\n\n{}", layer.source.name(), layer.source.text()));
        files.collect::<Vec<_>>().join("\n")
    }

    /// What to say when there is no style `name`.
    pub(crate) fn advice(&self, name: &str) -> String {
        nearest(name, &self.names().collect::<Vec<_>>())
    }
}

impl Style {
    /// The style's own file.
    pub(crate) fn own(&self) -> &StyleFile {
        &self.layers[0].file
    }

    /// Choices, series and workings of its own file that nothing uses.
    pub(crate) fn idle(&self) -> Vec<String> {
        let used: BTreeSet<&str> = self.layers.iter().flat_map(Layer::names_used).collect();
        let own = &self.layers[0];
        let stocked: BTreeSet<&str> = self
            .layers
            .iter()
            .flat_map(|l| &l.file.parts)
            .map(|part| part.cut_from.get_ref().as_str())
            .collect();
        let traced = own.file.parts.iter().flat_map(|part| part.traces());
        let traced: BTreeSet<&str> = traced.collect();
        let needed: BTreeSet<&str> = self
            .layers
            .iter()
            .flat_map(|l| l.file.needs.keys())
            .map(|name| name.get_ref().as_str())
            .collect();
        let uses = |name: &str| {
            let member = format!("{name}.");
            used.contains(name)
                || used.iter().any(|used| used.starts_with(&member))
                || [&stocked, &traced, &needed].iter().any(|names| names.contains(name))
        };
        let tables = [
            ("choices", own.choices.keys().collect::<Vec<_>>()),
            ("series", own.file.series.keys().collect()),
            ("workings", own.file.workings.keys().collect()),
        ];
        let all = tables.into_iter().flat_map(|(table, names)| {
            names.into_iter().map(move |name| (table, name.get_ref().as_str()))
        });
        all.filter(|(_, name)| !uses(name)).map(|(table, name)| format!("{table}.{name}")).collect()
    }

    /// How its shaped parts are made, as the first of its files that says so says it.
    pub(crate) fn made_by(&self) -> Option<(&Expr, &Source)> {
        self.layers.iter().find_map(|layer| Some((layer.file.made_by.as_ref()?, &layer.source)))
    }

    /// Every measure with its name, in the order to take them.
    pub(crate) fn measures(&self) -> impl Iterator<Item = (&str, &Measure, &Layer)> {
        self.named(|layer| layer.measures.iter().map(|(k, v)| (k.get_ref().as_str(), v)))
    }

    /// Every choice with its name.
    pub(crate) fn choices(&self) -> impl Iterator<Item = (&str, &Choice, &Layer)> {
        self.named(|layer| layer.choices.iter().map(|(k, v)| (k.get_ref().as_str(), v)))
    }

    /// Things of one sort by name, the first layer's where two layers name the same.
    pub(crate) fn named<'a, T: 'a, I>(
        &'a self,
        of: impl Fn(&'a Layer) -> I + 'a,
    ) -> impl Iterator<Item = (&'a str, &'a T, &'a Layer)>
    where
        I: Iterator<Item = (&'a str, &'a T)> + 'a,
    {
        let mut seen = BTreeSet::new();
        let all =
            self.layers.iter().flat_map(move |layer| of(layer).map(move |(n, t)| (n, t, layer)));
        all.filter(move |(name, _, _)| seen.insert(*name))
    }
}

/// The texts of a person's own styles, then of their groups.
fn own_texts(inputs: &Inputs) -> impl Iterator<Item = &Source> {
    inputs.styles().chain(inputs.groups()).map(|(_, source)| source)
}

/// The texts of the styles and groups that come with the program.
fn built_in_texts() -> (BTreeMap<String, Source>, BTreeMap<String, Source>) {
    let texts = |dir: &Dir<'_>, shown: &str| {
        let files = dir.files().filter(|file| file.path() != Path::new(VOCABULARY));
        let files = files.filter_map(|file| {
            let name = style_name(file.path())?;
            let text = file.contents_utf8()?;
            Some((name.clone(), Source::new(format!("{shown}{name}.toml"), text)))
        });
        files.collect::<BTreeMap<_, _>>()
    };
    let groups = BUILT_IN.get_dir(GROUPS);
    let groups = groups.map(|dir| texts(dir, "templates/groups/")).unwrap_or_default();
    (texts(&BUILT_IN, "templates/"), groups)
}

/// The vocabulary, read; unsound only if the built-in file were, which a test rules out.
static SAID_IN_ALL: LazyLock<Result<StyleFile, Problems>> =
    LazyLock::new(|| Source::new(format!("templates/{VOCABULARY}"), vocabulary()).parse());

/// The vocabulary's text.
pub(super) fn vocabulary() -> &'static str {
    BUILT_IN.get_file(VOCABULARY).and_then(|file| file.contents_utf8()).unwrap_or_default()
}

/// The files of a style with what they ask, whole.
fn completed(files: Vec<(Source, StyleFile)>) -> Result<Vec<Layer>, Problems> {
    let mut wrong = Problems::default();
    let vocabulary = SAID_IN_ALL.as_ref().map_err(Clone::clone)?;
    let each = files.first().is_some_and(|(_, file)| file.measured == Measured::Each);
    let list = files.first().and_then(|(_, file)| file.measures.keys().next().cloned());
    let list = list.filter(|_| each);
    let mut named = BTreeSet::new();
    // A group's choice of the same name says what a style's own leaves out.
    let mut usual = vocabulary.choices.clone();
    let grouped = files.iter().skip(1).flat_map(|(_, file)| &file.choices);
    usual.extend(grouped.map(|(name, said)| (name.clone(), said.clone())));
    let layers = files.into_iter().enumerate().map(|(i, (source, file))| {
        let each = each && i == 0;
        let replaced = named.clone();
        let whole = file.parts.iter().filter(|part| !part.adds());
        named.extend(whole.map(|part| part.name.get_ref().clone()));
        named.extend(file.screws.iter().map(row));
        let measures =
            asked::measures(&file.measures, &vocabulary.measures, each, &source, &mut wrong);
        let choices = asked::choices(&file.choices, &usual, list.as_ref(), &source, &mut wrong);
        Layer {
            source,
            file: Arc::new(file),
            measures: Arc::new(measures),
            choices: Arc::new(choices),
            replaced: Arc::new(replaced),
        }
    });
    let layers = layers.collect();
    wrong.or(layers)
}

/// `shelf` for `…/shelf.toml`.
fn style_name(path: &Path) -> Option<String> {
    let toml = path.extension().is_some_and(|e| e == "toml");
    toml.then(|| path.file_stem()?.to_str().map(str::to_owned)).flatten()
}
