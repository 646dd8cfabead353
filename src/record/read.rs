//! The record of how a holder was made, from its text.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;

use super::place::{KeptPlace, PlaceKeys};
use crate::length::Units;
use crate::reading::{Beside, Problem, Problems, Source, Spanned};
use crate::shop::{Shop, ShopFile, read_shop_keys};
use crate::style::{AsMade, ChoiceKind, Entries, HolderFile, HolderKeys, Library};

/// What a record says.
pub(super) struct Record {
    /// Measures and choices, every one stated; named as the holder.
    pub file: HolderFile,
    pub shop: Shop,
    pub left_open: Vec<String>,
    pub middle: Option<String>,
    /// Where it hangs, if that was planned.
    pub place: Option<KeptPlace>,
}

impl Record {
    /// `file`, which is the record's, with what it `follows` of the person's file as it is `now`.
    pub(super) fn followed(
        &self,
        file: HolderFile,
        now: HolderFile,
        follows: impl IntoIterator<Item = String>,
    ) -> HolderFile {
        // A file that is too large for the record is read from beside the holder file.
        let files = file.style.choices().filter(|(_, choice, _)| choice.kind == ChoiceKind::File);
        let unkept = files.filter(|(name, ..)| file.file_named(name).is_none());
        let unkept = unkept.map(|(name, ..)| name.to_owned());
        let follows = follows.into_iter().chain(unkept).collect();
        let (left_open, middle) = (self.left_open.clone(), self.middle.clone());
        let title = now.title.clone();
        let as_made = Some(Arc::new(AsMade { now, follows, left_open, middle }));
        HolderFile { title, as_made, ..file }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RecordKeys {
    style: Spanned<String>,
    units: Units,
    #[serde(default)]
    left_open: Vec<String>,
    middle: Option<String>,
    #[serde(default)]
    measures: Entries,
    #[serde(default)]
    choices: Entries,
    #[serde(default)]
    file: Vec<KeptFile>,
    shop: ShopFile,
    place: Option<PlaceKeys>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KeptFile {
    name: String,
    text: Vec<String>,
}

/// Reads the record of the holder called `name`.
///
/// # Errors
/// What is wrong in it, with the way out.
pub(super) fn read(source: &Source, name: &str, library: &Library) -> Result<Record, Problems> {
    record(source, name, library).map_err(|wrong| with_way_out(wrong, source))
}

fn record(source: &Source, name: &str, library: &Library) -> Result<Record, Problems> {
    let keys: RecordKeys = source.parse()?;
    let shop = read_shop_keys(source, &keys.shop, keys.units, Problems::default())?;
    let place =
        keys.place.as_ref().map(|place| place.place(name, keys.units, source)).transpose()?;
    let kept = keys.file.into_iter();
    let files: BTreeMap<String, Source> =
        kept.map(|file| (file.name.clone(), Source::new(file.name, file.text.concat()))).collect();
    let beside: Arc<dyn Beside> = Arc::new(files);
    let served = Source::new(source.name(), source.text()).in_folder("").served_by(&beside);
    let said = HolderKeys {
        style: keys.style,
        title: None,
        units: Some(keys.units),
        built: true,
        tool: None,
        count: None,
        measures: keys.measures,
        choices: keys.choices,
    };
    let mut file = HolderFile::of(said, (served, name), library, Problems::default())?;
    let file = std::mem::take(&mut file.wrong).or(file)?;
    Ok(Record { file, shop, left_open: keys.left_open, middle: keys.middle, place })
}

/// Whoever reads that a record is wrong did not write it: what to do is not what the line would want.
fn with_way_out(wrong: Problems, source: &Source) -> Problems {
    let help = format!(
        "put the record back as it was, or delete {} and built in the holder file and make the holder anew",
        source.name()
    );
    let told: Vec<Problem> = Vec::from(wrong);
    told.into_iter().map(|problem| problem.with_help(help.clone())).collect::<Vec<_>>().into()
}
