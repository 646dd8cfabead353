//! What a proposal rests on: the project's tools, styles and shop.

use rayon::prelude::*;

use crate::inputs::{Inputs, TOOLS};
use crate::inventory::{Inventory, Share, supplied};
use crate::length::Units;
use crate::reading::{Problem, Problems, Source};
use crate::shop::{Shop, read_shop_of};
use crate::style::{HolderFile, Library, Style};
use crate::work_out::shop_text;

/// What is at hand for all tools.
pub(super) struct Ground {
    pub inventory: Inventory,
    pub library: Library,
    /// The styles that say for which tools they suit.
    pub styles: Vec<Style>,
    pub shop: Shop,
    /// What bare figures of new files are in.
    pub units: Units,
    /// The tools and sets that holder files name.
    pub named: Vec<String>,
    /// What the holder files are called.
    pub taken: Vec<String>,
    /// Whether the project says where on the wall its holders hang.
    pub has_wall: bool,
}

impl Ground {
    /// # Errors
    /// What is wrong in the inventory, the shop file, the styles or a holder file.
    pub(super) fn new(inputs: &Inputs) -> Result<Self, Problems> {
        let library = Library::with(inputs);
        let mut wrong = Problems::default();
        let inventory = wrong.keep(inventory(inputs, &library));
        let (text, usual) = shop_text(inputs);
        let shop = wrong.keep(read_shop_of(&text, usual));
        let files = wrong.keep(inputs.holder_files()).unwrap_or_default();
        let read =
            files.par_iter().map(|(name, file)| HolderFile::read((*file).clone(), name, &library));
        let read: Vec<_> = read.collect();
        let read = read.into_iter().filter_map(|file| wrong.keep(file)).collect::<Vec<_>>();
        let styles = styles(&library, &mut wrong);
        let (Some(inventory), Some(shop)) = (inventory, shop) else { return Err(wrong) };
        let named = read.iter().flat_map(|file| &file.tool).map(|name| name.get_ref().clone());
        wrong.or(Self {
            units: inventory.units.unwrap_or(usual),
            named: named.collect(),
            taken: files.keys().cloned().collect(),
            has_wall: inputs.wall().is_some(),
            inventory,
            library,
            styles,
            shop,
        })
    }

    /// The holder file `text` as if it stood in the project, with the tools of `shares`; `None` where it can't be read.
    pub(super) fn file(&self, text: String, shares: &[Share<'_>]) -> Option<HolderFile> {
        let source = Source::new("the proposed holder", text);
        let file = HolderFile::read(source, "proposed", &self.library).ok()?;
        let file = supplied(file, Some(&self.inventory), shares);
        file.wrong.is_empty().then_some(file)
    }
}

fn inventory(inputs: &Inputs, library: &Library) -> Result<Inventory, Problems> {
    let Some(source) = inputs.tools() else {
        let help = format!(
            "\"cleatwright start tools > {TOOLS}\" writes one to begin from, in the project's folder"
        );
        return Err(Problem::plain(format!("there is no {TOOLS}")).with_help(help).into());
    };
    let (inventory, wrong) = Inventory::read(source, library);
    match inventory {
        Some(inventory) => wrong.or(inventory),
        None => Err(wrong),
    }
}

/// The styles that say for which tools they suit; what is wrong in one's own is told.
fn styles(library: &Library, wrong: &mut Problems) -> Vec<Style> {
    let names: Vec<&str> = library.names().collect();
    let read: Vec<_> = names.par_iter().map(|name| library.style(name)).collect();
    let read = read.into_iter().filter_map(|style| wrong.keep(style).flatten());
    read.filter(|style| style.layers.iter().any(|layer| !layer.file.suits.is_empty())).collect()
}
