//! What lies at the machine beside a sheet: how it is set up, and what is done layer by layer.

use super::tree::{Block, Document, Listing, Phrase, many, phrase, strong};
use crate::holder::{Face, caution};
use crate::length::Amount;
use crate::milling::{
    ContourKind, Effort, JobLayer, Jobs, MillCut, MillJob, MillWork, is_cleared, layers,
};
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::{CutDirection, RouterBits, RouterZero, Shop};

/// How deep a cut right through goes into the board below, in mm. Common practice, no source.
const INTO_BOARD: f64 = 0.5;

/// How deep the dowels' holes go into it, in mm. Common practice, no source.
const DOWEL_INTO_BOARD: f64 = 10.0;

/// The job of `sheet` for the shop's router.
pub(crate) fn job(sheet: &RoutedSheet, jobs: &Jobs, shop: &Shop) -> Document {
    let told = JobSheet { sheet, jobs, shop };
    let chapters = [
        Block::chapter("Set up", Block::List(told.set_up())),
        Block::chapter("The back first", Block::Numbered(told.turning())),
        jobs.back.as_ref().and_then(|job| Block::chapter("Layers of the back", told.layers(job))),
        Block::chapter("Layer by layer", told.layers(&jobs.front)),
        Block::chapter("What holds the parts", Block::List(told.hold())),
        Block::chapter("When all is cut", Block::List(told.after())),
        Block::chapter("Cautions", Block::cautions(caution::for_routing())),
    ];
    let blocks =
        std::iter::once(Block::Paragraph(told.head())).chain(chapters.into_iter().flatten());
    Document {
        title: format!(
            "{}, number {} of {}, at the CNC router",
            sheet.stock, sheet.number, sheet.of
        ),
        units: shop.units,
        blocks: blocks.collect(),
    }
}

/// What words for a job need to look up.
struct JobSheet<'j> {
    sheet: &'j RoutedSheet,
    jobs: &'j Jobs,
    shop: &'j Shop,
}

impl JobSheet<'_> {
    fn head(&self) -> Phrase {
        let RoutedSheet { size, thickness, offcut, grain, .. } = self.sheet;
        let kind = if *offcut { "An offcut, " } else { "A sheet, " };
        let both = std::iter::once(&self.jobs.front).chain(&self.jobs.back);
        let minutes: f64 =
            both.map(|job| job.effort(&job.cuts, &self.shop.router_run).minutes).sum();
        phrase![
            kind,
            Amount::Length(size.width),
            " × ",
            Amount::Length(size.height),
            ", ",
            Amount::Fine(*thickness),
            " thick",
            if *grain { ", the grain from left to right" } else { "" },
            format!("; {}. About ", many(self.sheet.parts.len(), "part")),
            strong(time(minutes)),
            " of cutting, an estimate: bits to change and sheets to clamp come on top."
        ]
    }

    fn set_up(&self) -> Vec<Phrase> {
        let run = &self.shop.router_run;
        let zero = match run.zero {
            RouterZero::Corner => "the lower left corner of the sheet",
            RouterZero::Center => "the middle of the sheet",
        };
        let mut lines = vec![
            phrase![
                "Screw a waste board to the bed. What goes right through is cut ",
                Amount::Fine(INTO_BOARD),
                " into it."
            ],
            phrase![
                strong("Zero"),
                format!(
                    ": x and y at {zero}, z on top of the sheet. Measure its thickness with a caliper first: "
                ),
                Amount::Fine(self.sheet.thickness),
                " is what joints and depths are worked out for."
            ],
            self.up(),
            phrase![
                strong("Hold-down"),
                ": clamp or screw the sheet within ",
                Amount::Length(self.sheet.hold_down),
                " of its edges, all round. The bit stays clear of that."
            ],
        ];
        lines.extend(self.shop.router.map(bits));
        lines.push(match run.direction {
            CutDirection::Conventional => phrase![
                strong("Direction"),
                ": conventional: outlines counter-clockwise, openings and pockets clockwise, seen from above, \
                 with a bit that turns clockwise."
            ],
            CutDirection::Climb => phrase![
                strong("Direction"),
                ": climb: outlines clockwise, openings and pockets counter-clockwise, seen from above, with a \
                 bit that turns clockwise. Take lighter passes: the bit pulls itself along."
            ],
        });
        lines.push(phrase![
            strong("Speed"),
            ": ",
            Amount::Length(run.feed),
            " a minute along, ",
            Amount::Length(run.plunge),
            " a minute down, at most ",
            Amount::Fine(run.pass_depth),
            " deep in one pass. Try it in a piece of waste."
        ]);
        lines
    }

    /// Which face of the parts lies up.
    fn up(&self) -> Phrase {
        let on_back = self.sheet.parts.iter().filter(|piece| piece.part.up() == Face::Back);
        let names: Vec<String> = on_back.map(RoutedPiece::name).collect();
        let but = match names.as_slice() {
            [] => ".".to_owned(),
            names => format!(", but for those worked on the back alone: {}.", names.join(", ")),
        };
        phrase![strong("Face up"), format!(": the show face of all parts{but}")]
    }

    /// How a sheet with work on both faces is turned; nothing where there is none.
    fn turning(&self) -> Vec<Phrase> {
        let (Some(_), Some(pair)) = (&self.jobs.back, &self.jobs.dowels) else { return Vec::new() };
        let both = self.sheet.parts.iter().filter(|piece| piece.part.is_turned_over());
        let names: Vec<String> = both.map(RoutedPiece::name).collect();
        let file = &self.sheet.file;
        let from_edge = |at: kurbo::Point| Amount::Sides([at.x, at.y]);
        vec![
            format!("These parts have work on both faces: {}.", names.join(", ")).into(),
            phrase![
                format!(
                    "Lay the sheet with its back up and run {file}-back.dxf. Bore the two dowel holes first, "
                ),
                Amount::Fine(pair.diameter),
                " wide, through the sheet and ",
                Amount::Fine(DOWEL_INTO_BOARD),
                " into the board below. From the lower left corner they are at ",
                from_edge(pair.at[0]),
                " and ",
                from_edge(pair.at[1]),
                "."
            ],
            "Mark the edge that points at you. Leave the board and the zero as they are.".into(),
            phrase![
                "Turn the sheet over like a page, left to right: the marked edge still points at you. Set two dowels ",
                Amount::Fine(pair.diameter),
                " thick through its holes into the board; each hole lies where the other was."
            ],
            format!("Clamp it, and run {file}.dxf without its DOWEL layer: those holes are there.")
                .into(),
        ]
    }

    fn layers(&self, job: &MillJob) -> Block {
        let rows =
            layers(job).enumerate().map(|(i, (layer, cuts))| self.row(job, i + 1, layer, cuts));
        Block::Table(Listing {
            head: vec!["", "layer", "what", "with", "depth", "passes", "cuts", "minutes"],
            rows: rows.collect(),
        })
    }

    fn row(&self, job: &MillJob, number: usize, layer: JobLayer, cuts: &[MillCut]) -> Vec<Phrase> {
        let Effort { passes, minutes } = job.effort(cuts, &self.shop.router_run);
        let first = cuts.first();
        vec![
            number.to_string().into(),
            layer.name().into(),
            what(layer).into(),
            first.map(|cut| with(job, cut)).unwrap_or_default(),
            first.map(|cut| depth(job, cut)).unwrap_or_default(),
            passes.to_string().into(),
            cuts.len().to_string().into(),
            format!("{minutes:.1}").into(),
        ]
    }

    /// What keeps the parts in the sheet, and what would come loose.
    fn hold(&self) -> Vec<Phrase> {
        let (rules, front) = (&self.shop.router_sheets, &self.jobs.front);
        let bridged: usize = front.cuts.iter().map(|cut| cut.bridges.len()).sum();
        let mut lines = Vec::new();
        if rules.skin > 0.0 {
            lines.push(phrase![
                "A skin of ",
                Amount::Fine(rules.skin),
                " is left below every outline: cut along it with a knife from the back, and sand it off."
            ]);
        } else if bridged > 0 {
            lines.push(phrase![
                format!("{}, each ", many(bridged, "bridge")),
                Amount::Fine(rules.bridge_width),
                " long and ",
                Amount::Fine(rules.bridge_height.min(self.sheet.thickness)),
                " high, on layer BRIDGE: a point in the middle of each, a short line along it. ",
                self.bridges_by_part()
            ]);
        }
        let unheld = front.cuts.iter().filter(|cut| is_outline(cut) && cut.bridges.is_empty());
        let unheld: Vec<String> = unheld.filter_map(|cut| self.name(cut)).collect();
        if rules.skin <= 0.0 && !unheld.is_empty() {
            let told = format!(
                "Nothing holds {}: use double-sided tape or a screw in the waste.",
                unheld.join(", ")
            );
            lines.push(told.into());
        }
        let cleared = front.cuts.iter().filter(|cut| is_cleared(front, cut)).count();
        if cleared > 0 {
            let told = format!(
                "{} too small for a bridge: mill all of the wood in them away, like a pocket, so that \
                               nothing comes loose.",
                openings(cleared)
            );
            lines.push(told.into());
        }
        lines
    }

    /// "rack back: 4; rack arm: 2".
    fn bridges_by_part(&self) -> String {
        let front = &self.jobs.front;
        let count = |index: usize| {
            let of = front.cuts.iter().filter(|cut| cut.piece == index);
            of.map(|cut| cut.bridges.len()).sum::<usize>()
        };
        let parts = self.sheet.parts.iter().enumerate();
        let held = parts.map(|(i, piece)| (piece.name(), count(i))).filter(|(_, count)| *count > 0);
        let held: Vec<String> = held.map(|(name, count)| format!("{name}: {count}")).collect();
        format!("{}.", held.join("; "))
    }

    fn name(&self, cut: &MillCut) -> Option<String> {
        self.sheet.parts.get(cut.piece).map(RoutedPiece::name)
    }

    fn after(&self) -> Vec<Phrase> {
        let mut lines = Vec::new();
        if self.jobs.front.cuts.iter().any(|cut| !cut.bridges.is_empty()) {
            lines.push(
                "Saw through the bridges with a fine hand saw or a chisel, and plane them flush."
                    .into(),
            );
        }
        let leans = self
            .sheet
            .parts
            .iter()
            .filter(|piece| piece.part.drillings.iter().any(|drilling| drilling.lean != 0.0));
        let leans: Vec<String> = leans.map(RoutedPiece::name).collect();
        if !leans.is_empty() {
            lines.push(
                format!(
                    "Bore the leaning holes on the drill press, where crosses mark them: {}.",
                    leans.join(", ")
                )
                .into(),
            );
        }
        lines.push("Write each part's name on it before it leaves the sheet: the plan shows which is which.".into());
        lines
    }
}

fn bits(bits: RouterBits) -> Phrase {
    let outline = phrase![strong("Bit"), ": ", Amount::Fine(bits.outline), " across, as measured"];
    if bits.joint < bits.outline {
        return outline.then(phrase![
            "; on layers with B in their name ",
            Amount::Fine(bits.joint),
            ". A bit that measures otherwise changes every joint: correct it in shop.toml first."
        ]);
    }
    outline.then(
        ".  One that measures otherwise changes every joint: correct it in shop.toml first."
            .trim_start()
            .into(),
    )
}

fn what(layer: JobLayer) -> &'static str {
    match layer {
        JobLayer::Dowel { .. } => "dowel holes",
        JobLayer::Drilling { sink: true, .. } => "countersinks",
        JobLayer::Drilling { sink: false, .. } => "holes",
        JobLayer::Pocket { .. } => "pockets",
        JobLayer::Contour { kind: ContourKind::Opening, inner, .. } if inner.0 > 0 => {
            "openings of inner parts"
        }
        JobLayer::Contour { kind: ContourKind::Outline, inner, .. } if inner.0 > 0 => {
            "outlines of inner parts"
        }
        JobLayer::Contour { kind: ContourKind::Opening, .. } => "openings, the bit inside",
        JobLayer::Contour { kind: ContourKind::Outline, .. } => "outlines, the bit outside",
        JobLayer::Sheet
        | JobLayer::Mark
        | JobLayer::MarkBelow
        | JobLayer::Bridge { .. }
        | JobLayer::Note => "not cut",
    }
}

fn with(job: &MillJob, cut: &MillCut) -> Phrase {
    match cut.work {
        MillWork::Drill { diameter } => phrase!["drill ", Amount::Fine(diameter)],
        MillWork::Sink { .. } => "countersink".into(),
        MillWork::Dowel { diameter } => phrase!["bit ", Amount::Fine(diameter)],
        MillWork::Pocket | MillWork::Opening { .. } | MillWork::Outline { .. } => match job.bits {
            Some(bits) => phrase!["bit ", Amount::Fine(cut.bit.diameter(bits))],
            None => "bit".into(),
        },
    }
}

fn depth(job: &MillJob, cut: &MillCut) -> Phrase {
    match cut.depth {
        Some(depth) => phrase![Amount::Fine(depth)],
        None => phrase!["through ", Amount::Fine(job.thickness)],
    }
}

fn is_outline(cut: &MillCut) -> bool {
    matches!(cut.work, MillWork::Outline { .. })
}

fn openings(count: usize) -> String {
    if count == 1 { "1 opening is".to_owned() } else { format!("{count} openings are") }
}

/// `25 min`, `1 h 20 min`; to 5 minutes from 20 on.
fn time(minutes: f64) -> String {
    let step = if minutes < 20.0 { 1.0 } else { 5.0 };
    let told = ((minutes / step).round() * step).max(1.0) as usize;
    match (told / 60, told % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}
