//! What lies at the machine beside a sheet: how it is set up, and what is done layer by layer.

use super::tree::{Block, Document, Listing, Phrase, many, phrase, strong};
use crate::holder::{Face, caution};
use crate::length::{Amount, Units};
use crate::milling::{
    ContourKind, DOWEL_INTO_BOARD, Effort, JobLayer, Jobs, MillCut, MillJob, MillWork, layers,
    loose,
};
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::{CutDirection, RouterBits, RouterZero, Shop};
use crate::tolerance::COORDINATE;

/// The least thickness of the waste board, in inches and in mm: the dowels' holes stay in it. Common practice, no source.
const WASTE_BOARD: [f64; 2] = [0.5, 12.0];

/// How the files are written that the job tells of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct JobFiles {
    /// Of lengths in them.
    pub units: Units,
    /// Whether their lines are the way of the bit's center.
    pub by_center: bool,
}

/// The job of `sheet` for the shop's router; `jobs` by the edges, whatever the files follow.
pub(crate) fn job(sheet: &RoutedSheet, jobs: &Jobs, shop: &Shop, files: JobFiles) -> Document {
    let told = JobSheet { sheet, jobs, shop, files };
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
    files: JobFiles,
}

impl JobSheet<'_> {
    fn head(&self) -> Phrase {
        let RoutedSheet { size, thickness, grain, .. } = self.sheet;
        let minutes: f64 = self.all().map(|job| self.effort(job, &job.cuts).minutes).sum();
        phrase![
            match self.sheet.word() {
                "offcut" => "An offcut, ".to_owned(),
                word => format!("A {word}, "),
            },
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

    /// The back's job and the front's, as far as there are any.
    fn all(&self) -> impl Iterator<Item = &MillJob> {
        self.jobs.back.iter().chain([&self.jobs.front])
    }

    fn effort(&self, job: &MillJob, cuts: &[MillCut]) -> Effort {
        job.effort(cuts, &self.shop.router_run)
    }

    fn set_up(&self) -> Vec<Phrase> {
        let bits = self.shop.router.into_iter().flat_map(|bits| [self.bits(bits), self.depth()]);
        let mut lines = vec![self.drawing(), self.waste_board(), self.zero(), self.up()];
        lines.push(self.hold_down());
        lines.extend(bits);
        lines.extend([self.direction(), self.speed()]);
        lines
    }

    /// Which file, in which unit, and how that is seen.
    fn drawing(&self) -> Phrase {
        let units = self.files.units;
        let (size, stem) = (self.sheet.size, &self.sheet.file);
        let [length, width] = [size.width, size.height].map(|mm| mm / units.in_mm());
        let lines = match self.files.by_center {
            true => "its lines are the way of the bit's center: set no offset",
            false => "its lines are the edges of the parts: the bit goes beside them",
        };
        phrase![
            strong("Drawing"),
            format!(
                ": make the tool paths from {stem}.dxf, lengths in {}; {lines}. Check: its sheet, on layer \
                 MARK_SHEET, measures {length:.2} × {width:.2}.",
                units.symbol()
            )
        ]
    }

    fn waste_board(&self) -> Phrase {
        let [inches, mm] = WASTE_BOARD;
        phrase![
            "Screw a waste board at least ",
            Amount::Length(self.shop.units.either(inches, mm)),
            " thick to the bed: what goes right through is cut a little into it."
        ]
    }

    fn zero(&self) -> Phrase {
        let place = match self.shop.router_run.zero {
            RouterZero::Corner => "the lower left corner of the sheet",
            RouterZero::Center => "the middle of the sheet",
        };
        let skin = self.shop.router_sheets.skin > 0.0;
        let height =
            if skin { "on the waste board, below the sheet" } else { "on top of the sheet" };
        let RoutedSheet { thickness_least: least, thickness: most, .. } = *self.sheet;
        let read = match most - least > COORDINATE {
            true => phrase![
                Amount::Fine(least),
                " to ",
                Amount::Fine(most),
                " was read; depths are worked out for the most."
            ],
            false => phrase![Amount::Fine(most), " is what depths are worked out for."],
        };
        phrase![
            strong("Zero"),
            format!(": x and y at {place}, z {height}. After each change of bit set z anew; x and y stay. Measure \
                     the thickness with a caliper first: ")
        ]
        .then(read)
    }

    /// Which face of the parts lies up.
    fn up(&self) -> Phrase {
        let on_back = self.sheet.parts.iter().filter(|piece| piece.part.up() == Face::Back);
        let names: Vec<String> = on_back.map(RoutedPiece::name).collect();
        let but = match names.as_slice() {
            [] => ".".to_owned(),
            names => format!(", but for those worked on the back alone: {}.", names.join(", ")),
        };
        let turned = if self.jobs.back.is_some() { " while they are cut free" } else { "" };
        phrase![strong("Face up"), format!("{turned}: the show face of all parts{but}")]
    }

    fn hold_down(&self) -> Phrase {
        let zone = self.sheet.hold_down;
        if zone <= 0.0 {
            return phrase![
                strong("Hold-down"),
                ": there is no room for clamps along the edges, with hold_down = 0: use tape or vacuum."
            ];
        }
        phrase![
            strong("Hold-down"),
            ": clamp or screw the sheet within ",
            Amount::Length(zone),
            " of its edges, all round. The bit stays clear of that."
        ]
    }

    fn bits(&self, RouterBits { outline, joint }: RouterBits) -> Phrase {
        let told = phrase![strong("Bit"), ": ", Amount::Fine(outline), " across, as measured"];
        let told = match joint < outline {
            true => told.then(phrase![
                "; on layers that end in ",
                format!("_B{:.0} ", joint * 100.0),
                Amount::Fine(joint)
            ]),
            false => told,
        };
        told.then(
            ". One that measures otherwise changes every joint: correct it in shop.toml first."
                .into(),
        )
    }

    /// How long the edge of a bit must be.
    fn depth(&self) -> Phrase {
        let cuts = self.all().flat_map(|job| job.cuts.iter().map(move |cut| job.down(cut)));
        let deepest = cuts.fold(0.0, f64::max);
        phrase![
            "The bit must cut at least ",
            Amount::Fine(deepest),
            " deep; how fast it may turn and go, its maker says."
        ]
    }

    fn direction(&self) -> Phrase {
        let way = match self.shop.router_run.direction {
            CutDirection::Conventional => {
                "conventional: outlines counter-clockwise, openings and pockets clockwise, seen from above, with a bit \
                 that turns clockwise."
            }
            CutDirection::Climb => {
                "climb: outlines clockwise, openings and pockets counter-clockwise, seen from above, with a bit that \
                 turns clockwise. The bit pulls itself along: lower pass_depth if the machine gives way."
            }
        };
        phrase![strong("Direction"), format!(": {way}")]
    }

    fn speed(&self) -> Phrase {
        let run = &self.shop.router_run;
        phrase![
            strong("Speed"),
            ": ",
            Amount::Length(run.feed),
            " a minute along, ",
            Amount::Length(run.plunge),
            " a minute down, at most ",
            Amount::Fine(run.pass_depth),
            " deep in one pass. Try it in a piece of waste."
        ]
    }

    /// How a sheet with work on both faces is turned; nothing where there is none.
    fn turning(&self) -> Vec<Phrase> {
        let (Some(_), Some(pair)) = (&self.jobs.back, &self.jobs.front.dowels) else {
            return Vec::new();
        };
        let both = self.sheet.parts.iter().filter(|piece| piece.part.is_turned_over());
        let names: Vec<String> = both.map(RoutedPiece::name).collect();
        let file = &self.sheet.file;
        let zero = self.shop.router_run.zero.of(self.sheet.area());
        let at = pair.at.map(|at| Amount::Sides([at.x - zero.x, at.y - zero.y]));
        vec![
            format!("These parts have work on both faces: {}.", names.join(", ")).into(),
            phrase![
                format!(
                    "Lay the sheet with its back up and make the tool paths from {file}-back.dxf. Bore the two \
                         dowel holes first, "
                ),
                Amount::Fine(pair.diameter),
                " wide, through the sheet and ",
                Amount::Fine(DOWEL_INTO_BOARD),
                " into the board below. From the zero they are at ",
                at[0],
                " and ",
                at[1],
                "."
            ],
            "Mark the edge that points at you. Leave the board and the zero as they are.".into(),
            phrase![
                "Turn the sheet over like a page, left to right: the marked edge still points at you. Set two dowels ",
                Amount::Fine(pair.diameter),
                " thick through its holes into the board; each hole lies where the other was. They stand no higher \
                 than the sheet."
            ],
            format!("Clamp it, and go on with {file}.dxf.").into(),
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
        let Effort { passes, minutes } = self.effort(job, cuts);
        let first = cuts.first();
        vec![
            number.to_string().into(),
            layer.name().into(),
            self.what(layer).into(),
            first.map(|cut| with(job, cut)).unwrap_or_default(),
            first.map(|cut| depth(job, cut)).unwrap_or_default(),
            passes.to_string().into(),
            cuts.len().to_string().into(),
            format!("{minutes:.1}").into(),
        ]
    }

    fn what(&self, layer: JobLayer) -> String {
        let beside = |side: &str| match self.files.by_center {
            true => "the bit on the line".to_owned(),
            false => format!("the bit {side}"),
        };
        match layer {
            JobLayer::Dowel { .. } => "dowel holes".to_owned(),
            JobLayer::Drilling { sink: true, .. } => "countersinks".to_owned(),
            JobLayer::Drilling { sink: false, .. } => "holes".to_owned(),
            JobLayer::Pocket { .. } => format!("pockets, {}", beside("inside")),
            JobLayer::Contour { kind, inner, .. } => {
                let inner = if inner.0 > 0 { " of inner parts" } else { "" };
                match kind {
                    ContourKind::Opening => format!("openings{inner}, {}", beside("inside")),
                    ContourKind::Outline => format!("outlines{inner}, {}", beside("outside")),
                }
            }
            JobLayer::Sheet
            | JobLayer::Mark
            | JobLayer::MarkBelow
            | JobLayer::MarkDowel
            | JobLayer::Bridge { .. }
            | JobLayer::Note => "not cut".to_owned(),
        }
    }

    /// What keeps the parts in the sheet, and what would come loose.
    fn hold(&self) -> Vec<Phrase> {
        let skin = self.shop.router_sheets.skin > 0.0;
        let holds = if skin { Some(self.skin()) } else { self.bridges() };
        let loose = if skin { None } else { self.loose() };
        holds.into_iter().chain(loose).chain(self.cleared()).chain([not_cut()]).collect()
    }

    fn skin(&self) -> Phrase {
        phrase![
            "A skin of ",
            Amount::Fine(self.shop.router_sheets.skin),
            " is left below outlines and large openings: cut along it with a knife from the back, and sand it off. The \
             sheet must lie flat on the board all over."
        ]
    }

    fn bridges(&self) -> Option<Phrase> {
        let rules = &self.shop.router_sheets;
        let all: usize = self.jobs.front.cuts.iter().map(|cut| cut.bridges.len()).sum();
        let where_they_are =
            match (self.files.by_center, rules.down_to_bridge(self.sheet.thickness)) {
                (false, _) => {
                    "on layer BRIDGE: a point in the middle of each, a short line along it"
                        .to_owned()
                }
                (true, depth) => format!(
                    "between the runs of a cut, on layer {}",
                    JobLayer::of_bridge(depth).name()
                ),
            };
        let told = phrase![
            format!("{}, each ", many(all, "bridge")),
            Amount::Fine(rules.bridge_width),
            " long and ",
            Amount::Fine(rules.bridge_height.min(self.sheet.thickness)),
            format!(" high, {where_they_are}. {}", self.bridges_by_part())
        ];
        (all > 0).then_some(told)
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

    fn loose(&self) -> Option<Phrase> {
        let named = loose(self.jobs).into_iter().filter_map(|cut| {
            let name = self.sheet.parts.get(cut.piece)?.name();
            let outline = matches!(cut.work, MillWork::Outline { .. });
            Some(if outline { name } else { format!("what comes out of {name}") })
        });
        let named: Vec<String> = named.collect();
        let told = format!(
            "Nothing holds {}: stick it down with double-sided tape before you cut.",
            named.join(", ")
        );
        (!named.is_empty()).then(|| told.into())
    }

    fn cleared(&self) -> Option<Phrase> {
        let opening = |cut: &&MillCut| matches!(cut.work, MillWork::Opening { .. }) && cut.clears;
        let told = match self.jobs.front.cuts.iter().filter(opening).count() {
            0 => return None,
            1 => "1 opening is narrow".to_owned(),
            count => format!("{count} openings are narrow"),
        };
        Some(format!("{told}: mill all of the wood in them away, like a pocket, so that nothing comes loose.").into())
    }

    fn after(&self) -> Vec<Phrase> {
        let mut lines: Vec<Phrase> = Vec::new();
        if self.jobs.front.cuts.iter().any(|cut| !cut.bridges.is_empty()) {
            lines.push(
                "Saw through the bridges with a fine hand saw or a chisel, and plane them flush."
                    .into(),
            );
        }
        let leans =
            |piece: &&RoutedPiece| piece.part.drillings.iter().any(|drilling| drilling.lean != 0.0);
        let leaning: Vec<String> =
            self.sheet.parts.iter().filter(leans).map(RoutedPiece::name).collect();
        if !leaning.is_empty() {
            let told = "Bore the leaning holes on the drill press, where crosses mark them";
            lines.push(format!("{told}: {}.", leaning.join(", ")).into());
        }
        lines.push("Write each part's name on it before it leaves the sheet: the plan shows which is which.".into());
        lines
    }
}

fn not_cut() -> Phrase {
    "Not cut: layers MARK_SHEET, MARK_BACK and NOTE. What lies on MARK may be scribed.".into()
}

fn with(job: &MillJob, cut: &MillCut) -> Phrase {
    match cut.work {
        MillWork::Drill { .. } if job.is_milled(cut) => {
            phrase!["bit ", Amount::Fine(job.bit_of(cut)), ", round in the hole"]
        }
        MillWork::Drill { diameter } => {
            phrase!["drill ", Amount::Length(diameter), " (", Amount::Fine(diameter), "), slowly"]
        }
        MillWork::Sink { .. } => "countersink".into(),
        MillWork::Dowel { .. }
        | MillWork::Pocket
        | MillWork::Opening { .. }
        | MillWork::Outline { .. } => {
            phrase!["bit ", Amount::Fine(job.bit_of(cut))]
        }
    }
}

fn depth(job: &MillJob, cut: &MillCut) -> Phrase {
    let down = Amount::Fine(job.down(cut));
    if cut.depth.is_some() { phrase![down] } else { phrase!["through, ", down] }
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
