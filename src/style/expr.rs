//! The smallest things that a style file says: formulas, texts with formulas in them, repeats.

use std::fmt;
use std::marker::PhantomData;
use std::ops::Deref;

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, Error as _, MapAccess, SeqAccess, Visitor};

use crate::formula::{Formula, FormulaError, Names, Template, Value};
use crate::length::{Dimension, Quantity, Units};
use crate::reading::{AsEither, AsFigures, AsFormula, AsPlain, Entry, FORMULA, Spanned, TEXT};

/// A formula and where it stands in its file.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(with = "AsFormula", rename = "formula")]
#[schemars(description = "A formula: a figure, or arithmetic on names.")]
pub(crate) struct Expr {
    pub formula: Formula,
    pub span: std::ops::Range<usize>,
}

impl fmt::Display for Expr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.formula.fmt(f)
    }
}

/// Where no value has a name.
struct Nameless(Units);

impl Names for Nameless {
    fn value(&self, name: &str) -> Result<Value, FormulaError> {
        Err(FormulaError::UnknownName { name: name.to_owned(), hint: String::new() })
    }

    fn units(&self) -> Units {
        self.0
    }
}

/// A text with formulas in braces and where it stands in its file.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(with = "String", rename = "text")]
#[schemars(description = "A text, which may hold formulas in braces.")]
pub(crate) struct Say {
    pub template: Template,
    pub span: std::ops::Range<usize>,
}

/// So many formulas side by side, as a list or as one text with commas between them:
/// `["length", "depth"]` or `"length, depth"`.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(with = "AsFigures<COUNT>", rename = "{COUNT}-figures")]
#[schemars(description = "So many formulas: a list, or one text with commas between them.")]
pub(crate) struct Figures<const COUNT: usize>([Expr; COUNT]);

/// A point or size on a part: x and y.
pub(crate) type Pair = Figures<2>;

/// A place in the holder: x right, y up, z out of the wall.
pub(crate) type Triple = Figures<3>;

/// The same again, with `n` counting 1, 2, 3 … in every formula of what is repeated.
#[derive(Debug, JsonSchema)]
#[schemars(with = "AsEither<AsPlain, SteppedRepeat>")]
pub(crate) struct RepeatSpec {
    pub count: Expr,
    /// How far each is moved from the one before, besides what formulas make of `n`.
    pub step: Vec<Expr>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SteppedRepeat {
    /// How many times.
    count: Expr,
    /// How far each is moved from the one before.
    #[serde(default, deserialize_with = "side_by_side")]
    #[schemars(with = "AsEither<AsPlain, Vec<AsFormula>>")]
    step: Vec<Expr>,
}

impl Expr {
    /// The figure that it comes to where it leans on no other value.
    pub(crate) fn constant(&self, units: Units) -> Option<Quantity> {
        match self.formula.evaluate(&Nameless(units)) {
            Ok(Value::Figure(quantity)) => Some(quantity),
            _ => None,
        }
    }

    /// The length that it comes to without any name, in mm, as a project in `units` has it.
    pub(crate) fn plain_length(&self, units: Units) -> Option<f64> {
        self.formula.evaluate(&Nameless(units)).ok()?.figure(Dimension::LENGTH)
    }

    /// The word that it comes to where it leans on no other value.
    pub(crate) fn named_word(&self, units: Units) -> Option<String> {
        match self.formula.evaluate(&Nameless(units)) {
            Ok(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The word of an option.
    pub(super) fn word(word: &str) -> Self {
        Self { formula: Formula::word(word), span: 0..0 }
    }

    /// The name of a value, where a file leaves the formula out.
    pub(super) fn named(name: &'static str) -> Self {
        Self { formula: Formula::named(name), span: 0..0 }
    }

    /// The formula that stands in `entry`.
    ///
    /// # Errors
    /// What is wrong with it, in the words that [`FORMULA`] begins.
    pub(super) fn of(entry: &Spanned<Entry>) -> Result<Self, String> {
        let text = match entry.get_ref() {
            Entry::Text(text) => text.clone(),
            Entry::Either { inches, metric } => format!("either({inches}, {metric})"),
            other => other.to_string(),
        };
        let formula = Formula::of_style(&text).map_err(|e| format!("{FORMULA}{}", e.error))?;
        Ok(Self { formula, span: entry.span() })
    }
}

impl<'de> Deserialize<'de> for Expr {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let entry = Spanned::<Entry>::deserialize(deserializer)?;
        Self::of(&entry).map_err(D::Error::custom)
    }
}

impl<const COUNT: usize> Figures<COUNT> {
    /// What `each` makes of them.
    pub(super) fn map<T>(self, each: impl FnMut(Expr) -> T) -> [T; COUNT] {
        self.0.map(each)
    }
}

impl<const COUNT: usize> Deref for Figures<COUNT> {
    type Target = [Expr; COUNT];

    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl<'de, const COUNT: usize> Deserialize<'de> for Figures<COUNT> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let figures = side_by_side(deserializer)?;
        let figures = <[Expr; COUNT]>::try_from(figures).map_err(|found: Vec<Expr>| {
            let found = found.len();
            D::Error::custom(format!(
                "it has {found} figures, where {COUNT} are needed, with commas between"
            ))
        })?;
        Ok(Self(figures))
    }
}

/// Formulas in a list, or in one text with commas between them.
fn side_by_side<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Expr>, D::Error> {
    let entry = Spanned::<Entry>::deserialize(deserializer)?;
    let figures: Result<_, String> = match entry.get_ref() {
        Entry::List(entries) => entries.iter().map(Expr::of).collect(),
        Entry::Text(text) => {
            let spanned = |part: &str| Spanned::new(entry.span(), Entry::Text(part.to_owned()));
            split(text).into_iter().map(|part| Expr::of(&spanned(part))).collect()
        }
        _ => Expr::of(&entry).map(|one| vec![one]),
    };
    figures.map_err(D::Error::custom)
}

/// `text` at the commas that stand in no brackets and no quotes.
pub(super) fn split(text: &str) -> Vec<&str> {
    let (mut depth, mut quoted, mut from, mut parts) = (0_usize, false, 0, Vec::new());
    for (at, letter) in text.char_indices() {
        match letter {
            '\'' => quoted = !quoted,
            '(' if !quoted => depth += 1,
            ')' if !quoted => depth = depth.saturating_sub(1),
            ',' if !quoted && depth == 0 => {
                parts.push(text[from..at].trim());
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.push(text[from..].trim());
    parts
}

impl<'de> Deserialize<'de> for RepeatSpec {
    /// A table with `count` and perhaps a `step`, or the count alone.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let said = Spanned::<PlainOr<SteppedRepeat>>::deserialize(deserializer)?;
        let span = said.span();
        match said.into_inner() {
            PlainOr::Plain(entry) => {
                let count = Expr::of(&Spanned::new(span, entry)).map_err(D::Error::custom)?;
                Ok(Self { count, step: Vec::new() })
            }
            PlainOr::Table(SteppedRepeat { count, step }) => Ok(Self { count, step }),
        }
    }
}

/// What stands in a file as one plain value or as a table of keys.
#[derive(Debug, Clone)]
pub(super) enum PlainOr<T> {
    Plain(Entry),
    Table(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for PlainOr<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(PlainOrVisitor(PhantomData))
    }
}

struct PlainOrVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for PlainOrVisitor<T> {
    type Value = PlainOr<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a text, a figure or a table of keys")
    }
    fn visit_bool<E>(self, v: bool) -> Result<Self::Value, E> {
        Ok(PlainOr::Plain(Entry::Truth(v)))
    }
    fn visit_i64<E>(self, v: i64) -> Result<Self::Value, E> {
        Ok(PlainOr::Plain(Entry::Number(v as f64)))
    }
    fn visit_f64<E>(self, v: f64) -> Result<Self::Value, E> {
        Ok(PlainOr::Plain(Entry::Number(v)))
    }
    fn visit_str<E>(self, v: &str) -> Result<Self::Value, E> {
        Ok(PlainOr::Plain(Entry::Text(v.to_owned())))
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
        T::deserialize(MapAccessDeserializer::new(map)).map(PlainOr::Table)
    }
}

/// One table, or a list of such.
pub(super) fn one_or_more<'de, D, T>(deserializer: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    struct OneOrMore<T>(PhantomData<T>);
    impl<'de, T: Deserialize<'de>> Visitor<'de> for OneOrMore<T> {
        type Value = Vec<T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a table of keys, or a list of such")
        }
        fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Vec<T>, A::Error> {
            Ok(vec![T::deserialize(MapAccessDeserializer::new(map))?])
        }
        fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Vec<T>, A::Error> {
            let entries = Vec::<Wrapped<T>>::deserialize(SeqAccessDeserializer::new(seq))?;
            Ok(entries.into_iter().map(|Wrapped(entry)| entry).collect())
        }
    }
    deserializer.deserialize_any(OneOrMore(PhantomData))
}

impl<'de> Deserialize<'de> for Say {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Spanned::<String>::deserialize(deserializer)?;
        Self::of(text.get_ref(), text.span()).map_err(D::Error::custom)
    }
}

impl Say {
    /// The text that stands at `span`.
    ///
    /// # Errors
    /// What is wrong with it, in the words that [`TEXT`] begins.
    pub(super) fn of(text: &str, span: std::ops::Range<usize>) -> Result<Self, String> {
        let template =
            Template::of_style(&folded(text)).map_err(|e| format!("{TEXT}{}", e.error))?;
        Ok(Self { template, span })
    }
}

/// The one option that is given, or what to say where there is none or more than one.
pub(super) fn exactly_one<T, const OPTIONS: usize>(
    options: [Option<T>; OPTIONS],
    rule: &'static str,
) -> Result<T, &'static str> {
    let mut given = options.into_iter().flatten();
    match (given.next(), given.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(rule),
    }
}

/// A list whose entries are blamed each at its own place: the reader of TOML knows the place of a wrapped value, not
/// that of an entry.
pub(super) fn each<'de, D, T>(deserializer: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    let entries = Vec::<Wrapped<T>>::deserialize(deserializer)?;
    Ok(entries.into_iter().map(|Wrapped(entry)| entry).collect())
}

#[derive(Deserialize)]
struct Wrapped<T>(T);

/// Something that a file says under a name.
#[derive(Debug)]
pub(crate) struct Named<T> {
    pub name: Spanned<String>,
    spec: T,
}

impl<T> Deref for Named<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.spec
    }
}

/// A table of such things, in the order of the file.
pub(super) fn named<'de, D, T>(deserializer: D) -> Result<Vec<Named<T>>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    let named = IndexMap::<Spanned<String>, Wrapped<T>>::deserialize(deserializer)?;
    Ok(named.into_iter().map(|(name, Wrapped(spec))| Named { name, spec }).collect())
}

/// A text that stands over several lines, as one line.
fn folded(text: &str) -> String {
    text.lines().map(str::trim_start).collect::<Vec<_>>().join(" ")
}

/// A text, perhaps over several lines, as one line.
pub(super) fn one_line<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    String::deserialize(deserializer).map(|text| folded(&text))
}
