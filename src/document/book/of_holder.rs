//! The part of the book about one holder.

use super::super::finding::finding;
use super::super::steps::{VIEWS, making, step_picture, whole, whole_picture};
use super::super::tree::{
    Block, Document, Inline, Listing, Phrase, PictureFile, PictureSize, Shown, phrase, strong,
};
use super::super::{load, words};
use super::{Pictures, boring, marking, picture_name};
use crate::cutting::CuttingPlan;
use crate::holder::{Hardware, Holder, MadeBy, Part, SETTLED, caution};
use crate::length::{Amount, Units};
use crate::shop::Paper;
use crate::work_out::WorkedHolder;

/// One holder as the book tells of it.
pub(super) struct HolderPart<'b> {
    pub worked: &'b WorkedHolder,
    pub plan: &'b CuttingPlan,
    /// What all that is no holder's is told in.
    pub shop_units: Units,
    pub paper: Paper,
    pub pictures: &'b Pictures,
}

impl HolderPart<'_> {
    pub(super) fn told(&self) -> Document {
        let holder = self.holder();
        let blocks = self.head().into_iter().chain(self.making()).chain(self.carries());
        Document { title: holder.title.clone(), units: holder.units, blocks: blocks.collect() }
    }

    fn holder(&self) -> &Holder {
        &self.worked.holder
    }

    /// What it is, what it takes, how it looks, and what is to be known before any wood is cut.
    fn head(&self) -> Vec<Block> {
        let holder = self.holder();
        let carried = self.worked.carried.as_ref();
        let takes = carried.map(|carried| phrase![strong(load::headline(carried, holder.units))]);
        let units = (holder.units != self.shop_units).then(|| {
            format!("Lengths of this holder are in {} where no unit is said.", holder.units.word())
                .into()
        });
        // What the program settled is of no use at the bench.
        let findings = holder.findings.iter().filter(|finding| finding.code != SETTLED);
        let findings = findings.map(finding).collect();
        let views = PictureFile {
            file: VIEWS.to_owned(),
            alt: format!("{} from the front, the right end and above", holder.title),
        };
        let whole = (!holder.parts.is_empty()).then(|| whole(holder));
        let folder =
            phrase!["In the cutting plan and in folders it is called ", strong(&holder.name), "."];
        let paragraphs = takes.into_iter().chain(whole).chain([folder]).chain(units);
        let paragraphs = paragraphs.map(Block::Paragraph);
        let chapters = [
            self.shown(whole_picture(holder)),
            Block::chapter("Findings", Block::List(findings)),
            self.shown(views).and_then(|views| Block::chapter("Measures", views)),
        ];
        paragraphs.chain(chapters.into_iter().flatten()).collect()
    }

    /// Its wood, its holes and its screws, then step by step; nothing of what hangs already.
    fn making(&self) -> Vec<Block> {
        let holder = self.holder();
        if holder.built {
            return vec![Block::Paragraph("It hangs already: nothing of it is made again.".into())];
        }
        let through = boring::into_edges(holder).map(Block::Paragraph);
        let holes = std::iter::once(Block::Table(boring::holes(holder))).chain(through);
        let picture = |number| self.named(step_picture(holder, number));
        let steps = making(holder, picture);
        let steps = steps.into_iter().map(|step| phrase![Inline::Tick, " "].then(step)).collect();
        let chapters = [
            Block::chapter_of("Pieces", self.pieces()),
            Block::chapter_of("Drilling by bit", holes.collect()),
            Block::chapter("Hardware", Block::Table(self.hardware())),
            Block::chapter_of("Steps", vec![self.cautions(), Block::Numbered(steps)]),
        ];
        chapters.into_iter().flatten().collect()
    }

    fn carries(&self) -> Option<Block> {
        let holder = self.holder();
        let mut blocks = load::in_short(self.worked.carried.as_ref()?);
        let more =
            format!("{}/load.md has the formulas, their sources and the figures.", holder.name);
        // Before the table, so that it never stands alone on a page.
        blocks.insert(blocks.len().saturating_sub(1), Block::Paragraph(more.into()));
        Block::chapter_of("What it carries", blocks)
    }

    fn pieces(&self) -> Vec<Block> {
        let holder = self.holder();
        let letters = self.plan.letters_of(holder);
        let parts = holder.parts.iter().zip(&letters).filter(|(part, _)| part.quantity() > 0);
        let rows = parts.enumerate().map(|(at, (part, letters))| {
            let by = marking::by_what(part, &holder.parts[..at]);
            self.piece(part, letters, by)
        });
        let rows: Vec<Vec<Phrase>> = rows.collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let head = vec![
            "",
            "piece",
            "part",
            "across × up",
            "thick",
            "stock",
            "grain",
            "cut by",
            "mark by",
        ];
        let Holder { name, .. } = holder;
        let patterns = format!(
            "Patterns and strips: {name}/pages-{}.pdf. Sizes are across and up as a part is drawn there.",
            self.paper.name()
        );
        vec![Block::Table(Listing { head, rows }), Block::Paragraph(patterns.into())]
    }

    fn piece(&self, part: &Part, letters: &[&str], marked_by: String) -> Vec<Phrase> {
        let sawn = part.made_by == MadeBy::Hand || letters.iter().any(|l| self.plan.is_sawn(l));
        vec![
            phrase![Inline::Tick],
            match letters {
                [] => part.quantity().to_string().into(),
                letters => phrase![strong(letters.join(", "))],
            },
            phrase![strong(&part.name), format!(": {}", part.about)],
            phrase![Amount::Sides([part.length(), part.width()])],
            phrase![Amount::Length(part.stock.thickness)],
            part.stock.name.as_str().into(),
            part.grain.word().into(),
            if sawn { "saw" } else { "CNC router" }.into(),
            marked_by.into(),
        ]
    }

    fn hardware(&self) -> Listing {
        let holder = self.holder();
        let head = vec!["", "how many", "item", "size", "for", "clearance", "pilot", "countersink"];
        let row = |hardware: &Hardware| {
            let bits = words::bits(hardware, holder.units).unwrap_or_default();
            let [item, size] = words::item(hardware);
            let told = [hardware.quantity.to_string(), item, size, hardware.used_for.clone()];
            let cells = told.into_iter().chain(bits).map(Phrase::from);
            std::iter::once(phrase![Inline::Tick]).chain(cells).collect()
        };
        Listing { head, rows: holder.hardware.iter().map(row).collect() }
    }

    /// Cautions for the bench: what is said of walls and loads stands where it is hung.
    fn cautions(&self) -> Block {
        let later: Vec<&str> = caution::for_loads().collect();
        let here = caution::for_making(self.holder());
        Block::cautions(here.filter(|told| !later.contains(told)))
    }

    /// A picture under its name in the book; `None` where there is none.
    fn named(&self, picture: PictureFile) -> Option<PictureFile> {
        let file = picture_name(&self.holder().name, &picture.file);
        self.pictures.contains_key(&file).then_some(PictureFile { file, ..picture })
    }

    fn shown(&self, picture: PictureFile) -> Option<Block> {
        let picture = self.named(picture)?;
        let caption = Phrase::default();
        Some(Block::Pictures(vec![Shown { picture, size: PictureSize::Large, caption }]))
    }
}
