//! Every file of a run: what was worked out, turned into bytes and handed on as they are made.

mod single;
mod sink;
mod walls;

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;
use serde_json::Value as Json;

use crate::cutting::{self, CuttingPlan};
use crate::document::{self, Document, JobFiles, Pictures, picture_name};
use crate::drawing::{self, Drawing, PatternNotes, Pictured, SCREEN, SheetPlan, pattern};
use crate::export::{cut_svg, cut_tables, dxf, glb, html, md, plain, summary, svg, tables};
use crate::holder::{Explain, Face, Finding, Holder, MadeBy, Part};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::milling::{self, Jobs, MillJob};
use crate::page::{self, PageError, Printable, paged, pdf};
use crate::reading::Problem;
use crate::record::RECORD;
use crate::router::{self, RoutedSheet};
use crate::shop::{Paper, Printer, Shop};
use crate::solid::{WoodSolid, wood_solids, wood_tone};
use crate::trial;
use crate::wall::WallPlan;
use crate::work_out::{ShopServed, Worked, WorkedHolder};

pub use crate::page::Patterns;
#[cfg(test)]
pub(crate) use single::measuring_drawing;
pub use single::{measuring_page, printer_check};
pub use sink::{FileError, Sink};

/// Name of the file that tells every figure of a run.
pub(crate) const SUMMARY: &str = "summary.json";

/// Names of the shop book's files.
const BOOK: [&str; 2] = ["book.html", "book.pdf"];

/// What a person asked for beyond the defaults.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options {
    /// Version and unit of the DXF files.
    pub dxf: dxf::Dialect,
    /// Whether outlines for the CNC router follow the bit's center instead of the edges.
    pub offset_by_bit: bool,
    /// Paper of the pages, instead of the shop's.
    pub paper: Option<Paper>,
    /// Of which parts full-size patterns are printed.
    pub patterns: Patterns,
}

/// Writes every file of the project into `sink`, holder by holder in the order of their names, the summary last.
/// Paths are within the output folder, parted by `/`. Holders are drawn side by side; the files come in the same
/// order whichever is done first.
///
/// # Errors
/// When the printer's figures leave no room, an outline can't be offset, or the sink takes no more.
pub fn render(worked: &Worked, options: &Options, sink: &mut dyn Sink) -> Result<(), FileError> {
    let mut run = Run::new(worked, options, sink);
    run.holders()?;
    run.walls()?;
    run.sheets()?;
    run.cutting()?;
    run.tables()?;
    run.book_and_summary()
}

/// A kind of file that [`render_only`] writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// The full-size pattern of every part as SVG.
    Patterns,
    /// Patterns and marking strips on paper.
    Pages,
    /// The outline of every part as DXF.
    Outlines,
    /// The picture of every holder assembled and taken apart.
    Whole,
    /// That picture with all others, on a screen and on paper, and the solid to turn.
    Pictures,
    /// The cutting plan with its sheets, the cut list and what is bought.
    Lists,
}

/// Writes the files of one kind alone, as [`render`] does among all files.
///
/// # Errors
/// As [`render`].
pub fn render_only(
    worked: &Worked,
    kind: FileKind,
    options: &Options,
    sink: &mut dyn Sink,
) -> Result<(), FileError> {
    if kind == FileKind::Lists {
        let mut run = Run::new(worked, options, sink);
        run.cutting()?;
        return run.tables();
    }
    let desk = Desk::new(worked, options);
    for some in at_once(&worked.holders) {
        let made: Vec<_> = some.par_iter().map(|w| desk.only(kind, &w.holder)).collect();
        for files in made {
            files?.into_iter().try_for_each(|(name, bytes)| sink.take(&name, bytes))?;
        }
    }
    Ok(())
}

/// The picture of a holder of the style `name`, for tools of common size, as SVG: assembled and taken apart, and straight from
/// the front, the right end and above.
///
/// # Errors
/// What is wrong in the style's files, and when no holder of it has wood.
pub fn style_picture(inputs: &Inputs, name: &str, units: Units) -> Result<String, Vec<Problem>> {
    let holder = trial::example(inputs, name, units)?.holder;
    let solids = wood_solids(&holder);
    let pictured = Pictured { holder: &holder, solids: &solids, letters: &[] };
    let both = drawing::whole(&pictured).zip(drawing::views(&pictured));
    let (whole, views) =
        both.ok_or_else(|| vec![failed(format!("{name} has no parts to show"))])?;
    Ok(svg::write(&drawing::stacked(whole, views)))
}

/// White at both sides of a sheet's plan, in mm.
const ROUND_A_PLAN: f64 = 12.0;

/// How long a sheet is drawn in the book at most, in mm: a whole one of 96 in or 2500 mm at 1 : 10, and what is no longer
/// than 1600 mm so that it stands on a page without being turned.
const IN_BOOK: [f64; 2] = [250.0, 160.0];
const NOT_TURNED: f64 = 1600.0;

/// With more cuts than this a sheet is crowded at that scale: the drawing for a screen serves, letters and all made smaller.
const CROWDED: usize = 60;

/// How many holders are drawn at once for each hand.
const AT_ONCE: usize = 8;

/// A few holders at once for each hand, so that none waits for long and few files are in memory at a time.
fn at_once(holders: &[Arc<WorkedHolder>]) -> impl Iterator<Item = &[Arc<WorkedHolder>]> {
    holders.chunks(AT_ONCE * rayon::current_num_threads())
}

/// Files by their paths in the output folder, in the order they were made.
type Files = Vec<(String, Vec<u8>)>;

/// The files of a holder, what is to be said of them, and what the book shows of it.
struct MadeHolder {
    files: Files,
    remarks: Vec<Finding>,
    pictures: Pictures,
    /// What the summary tells of its pages.
    pages: Option<Json>,
}

/// A run of [`render`]: what it is made from, and what it has put out so far.
struct Run<'r> {
    worked: &'r Worked,
    options: &'r Options,
    sink: &'r mut dyn Sink,
    names: Vec<String>,
    remarks: Vec<Finding>,
    /// What the book shows of what was drawn.
    pictures: Pictures,
    /// What the summary tells of the pages of each holder.
    pages: BTreeMap<String, Json>,
}

impl<'r> Run<'r> {
    fn new(worked: &'r Worked, options: &'r Options, sink: &'r mut dyn Sink) -> Self {
        Self {
            worked,
            options,
            sink,
            names: Vec::new(),
            remarks: Vec::new(),
            pictures: Pictures::new(),
            pages: BTreeMap::new(),
        }
    }

    fn put(&mut self, name: String, bytes: impl Into<Vec<u8>>) -> Result<(), FileError> {
        self.sink.take(&name, bytes.into())?;
        self.names.push(name);
        Ok(())
    }

    fn desk(&self) -> Desk<'r> {
        Desk::new(self.worked, self.options)
    }

    fn holders(&mut self) -> Result<(), FileError> {
        let desk = self.desk();
        for some in at_once(&self.worked.holders) {
            let made: Vec<_> = some.par_iter().map(|worked| desk.holder(worked)).collect();
            for (holder, made) in some.iter().zip(made) {
                let MadeHolder { files, remarks, pictures, pages } = made?;
                self.remarks.extend(remarks);
                self.pictures.extend(pictures);
                self.pages.extend(pages.map(|pages| (holder.holder.name.clone(), pages)));
                for (name, bytes) in files {
                    self.put(name, bytes)?;
                }
            }
        }
        Ok(())
    }

    /// Where all of them hang, where there is a plan.
    fn walls(&mut self) -> Result<(), FileError> {
        let Some(plan) = &self.worked.wall_plan else { return Ok(()) };
        let (desk, holders) = (self.desk(), self.worked.holders.iter().map(|w| &*w.holder));
        let made = walls::walls(&desk, plan, &holders.collect::<Vec<_>>());
        let (files, pictures) = made.map_err(|error| desk.no_page(&error))?;
        self.pictures.extend(pictures);
        files.into_iter().try_for_each(|(name, bytes)| self.put(name, bytes))
    }

    fn sheets(&mut self) -> Result<(), FileError> {
        let (desk, plans) = (self.desk(), &self.worked.plans);
        let sheets = plans.router.sheets.par_iter().zip(&plans.milling.sheets);
        let made: Vec<_> = sheets.map(|(sheet, jobs)| desk.sheet(sheet, jobs)).collect();
        for files in made {
            for (name, bytes) in files? {
                self.put(name, bytes)?;
            }
        }
        Ok(())
    }

    /// The order of work, a drawing of each sheet, and the tables.
    fn cutting(&mut self) -> Result<(), FileError> {
        let (plans, units) = (&self.worked.plans, self.worked.shop.units);
        let plan = &plans.cutting;
        let name = |file: &str| picture_name(cutting::FOLDER, file);
        let drawn = plan.sheets.par_iter().enumerate().map(|(index, sheet)| {
            let drawing = drawing::sawn(plan, index, units, SCREEN);
            (name(&format!("{}.svg", sheet.file)), svg::write(&drawing), drawing)
        });
        for (file, bytes, drawing) in drawn.collect::<Vec<_>>() {
            self.put(file.clone(), bytes)?;
            self.pictures.insert(file, drawing);
        }
        let order = document::plan(plan, &plans.router, units);
        self.put(name("plan.md"), md::write(&order))?;
        self.put(name("pieces.csv"), cut_tables::pieces(plan, units).map_err(failed)?)?;
        self.put(name("shopping.csv"), cut_tables::shopping(plan, units).map_err(failed)?)?;
        self.put(name("offcuts.toml"), cut_tables::offcuts(plan, units))
    }

    fn tables(&mut self) -> Result<(), FileError> {
        let (worked, plan) = (self.worked, &self.worked.plans.cutting);
        // Nothing more is cut or bought for what hangs.
        let holders = worked.holders.iter().map(|w| &*w.holder).filter(|holder| !holder.built);
        let holders: Vec<&Holder> = holders.collect();
        self.put("cut-list.csv".into(), tables::cut_list(&holders, plan).map_err(failed)?)?;
        let in_box = worked.shop.screws_in_box;
        self.put("hardware.csv".into(), tables::hardware(&holders, in_box).map_err(failed)?)
    }

    /// The shop book, for a screen and for paper, and the summary beside it.
    fn book_and_summary(&mut self) -> Result<(), FileError> {
        let (desk, mut pictures) = (self.desk(), std::mem::take(&mut self.pictures));
        pictures.extend(desk.sheets_in_book(self.worked));
        let printer = desk.printer();
        let told = document::book(self.worked, printer.paper, &pictures);
        let mut names = self.names.clone();
        names.extend([BOOK[0], BOOK[1], SUMMARY].map(str::to_owned));
        names.sort_unstable();
        let (paper, (screen, summary)) = rayon::join(
            || desk.bound(&told, &pictures, &printer),
            || {
                let screen = html::write(&told, &pictures, printer.paper);
                (screen, summary::write(self.worked, &self.remarks, &names, &self.pages))
            },
        );
        let [on_screen, on_paper] = BOOK;
        self.put(on_screen.to_owned(), screen)?;
        self.put(on_paper.to_owned(), paper?)?;
        self.put(SUMMARY.to_owned(), summary)
    }
}

/// What one holder or sheet is drawn with.
#[derive(Clone, Copy)]
struct Desk<'r> {
    shop: &'r Shop,
    served: ShopServed,
    plan: &'r CuttingPlan,
    wall_plan: Option<&'r WallPlan>,
    options: &'r Options,
}

impl<'r> Desk<'r> {
    fn new(worked: &'r Worked, options: &'r Options) -> Self {
        let plan = &worked.plans.cutting;
        let wall_plan = worked.wall_plan.as_deref();
        Self { shop: &worked.shop, served: worked.shop_served, plan, wall_plan, options }
    }
}

impl Desk<'_> {
    /// The files of one kind; of lists, which are not a holder's, none.
    fn only(&self, kind: FileKind, holder: &Holder) -> Result<Files, Problem> {
        let letters = self.plan.letters_of(holder);
        match kind {
            FileKind::Patterns => Ok(patterns(holder, &letters)),
            FileKind::Outlines => self.outlines(holder),
            FileKind::Pages if holder.built => Ok(Files::new()),
            FileKind::Pages => {
                let pages = self.pages(holder, &letters)?;
                Ok(pages.map(|(file, bytes, _)| (of(holder, &file), bytes)).into_iter().collect())
            }
            FileKind::Whole => Ok(assembled(holder, &letters).into_iter().collect()),
            FileKind::Pictures => Ok(self.whole(holder, &letters)?.0),
            FileKind::Lists => Ok(Files::new()),
        }
    }

    fn holder(&self, worked: &WorkedHolder) -> Result<MadeHolder, Problem> {
        let holder = &*worked.holder;
        let name = |file: &str| of(holder, file);
        let letters = self.plan.letters_of(holder);
        let (mut files, mut remarks) = (patterns(holder, &letters), Vec::new());
        for part in &holder.parts {
            let (outlines, remark) = self.for_machine(part, holder)?;
            remarks.extend(remark);
            files.extend(outlines);
        }
        let (whole, pictures) = self.whole(holder, &letters)?;
        files.extend(whole);
        if let Some(record) = worked.record_on(self.wall_plan) {
            files.push((name(RECORD), record.into_bytes()));
        }
        if !holder.built {
            let shown = |number| pictures.contains_key(&name(&document::step_file(number)));
            let steps = document::steps(holder, self.served, shown);
            files.push((name("steps.md"), md::write(&steps).into_bytes()));
        }
        if let Some(carried) = &worked.carried {
            let sheet = document::load(holder, carried);
            files.push((name("load.md"), md::write(&sheet).into_bytes()));
        }
        let mut pages = None;
        if !holder.built
            && let Some((file, bytes, told)) = self.pages(holder, &letters)?
        {
            files.push((name(&file), bytes));
            pages = Some(told);
        }
        Ok(MadeHolder { files, remarks, pictures, pages })
    }

    /// Pictures of the whole and a solid to turn, and these pictures by their names in the book.
    fn whole(&self, holder: &Holder, letters: &[Vec<&str>]) -> Result<(Files, Pictures), Problem> {
        let solids = wood_solids(holder);
        if solids.is_empty() {
            return Ok((Files::new(), Pictures::new()));
        }
        let pictures = pictures(&Pictured { holder, solids: &solids, letters });
        let small = pictures.whole.as_ref().map(drawing::assembled_alone);
        let (names, drawings): (Vec<String>, Vec<Drawing>) = pictures.files().unzip();
        let svgs = drawings.iter().map(|drawing| svg::write(drawing).into_bytes());
        let inside = |file: &str| of(holder, file);
        let mut files: Files = names.iter().map(|file| inside(file)).zip(svgs).collect();
        let pages = page::leaves(&drawings, &self.printer()).map_err(|e| self.no_page(&e))?;
        let paged = pdf::write(&holder.title, &pages, &drawings).map_err(failed)?;
        files.push((inside("holder.pdf"), paged));
        files.push((inside("holder.glb"), turnable(holder, &solids)));
        let small = small.map(|small| (document::SMALL.to_owned(), small));
        let named = names.into_iter().zip(drawings).chain(small);
        let named = named.map(|(file, drawing)| (picture_name(&holder.name, &file), drawing));
        Ok((files, named.collect()))
    }

    /// What is sawn and routed, drawn for the book.
    fn sheets_in_book(&self, worked: &Worked) -> Pictures {
        let (plans, units) = (&worked.plans, self.shop.units);
        let cuts = |at: usize| plans.cutting.cuts().filter(|(_, cut)| cut.sheet.0 == at).count();
        let sawn = plans.cutting.sheets.iter().enumerate().filter(|(at, _)| cuts(*at) <= CROWDED);
        let sawn = sawn.map(|(at, sheet)| {
            let longest = long_in_book(sheet.size.map(cutting::millimeters));
            let drawing = drawing::sawn(&plans.cutting, at, units, longest);
            (picture_name(cutting::FOLDER, &format!("{}.svg", sheet.file)), drawing)
        });
        let jobs = plans.router.sheets.iter().zip(&plans.milling.sheets);
        let zero = self.shop.router_run.zero;
        let routed = jobs.map(|(sheet, jobs)| {
            let plan = SheetPlan { sheet, job: &jobs.front, back: false, zero, units };
            let longest = long_in_book([sheet.size.width, sheet.size.height]);
            let file = format!("{}.svg", sheet.file);
            (picture_name(router::FOLDER, &file), drawing::sheet(&plan, longest))
        });
        sawn.chain(routed).collect()
    }

    /// A document with its pictures on paper, with bookmarks.
    fn bound(
        &self,
        told: &Document,
        pictures: &Pictures,
        printer: &Printer,
    ) -> Result<Vec<u8>, Problem> {
        let set = page::set_book(told, pictures, printer).map_err(|error| self.no_page(&error))?;
        pdf::write_with(&told.title, &set.pages, &set.pictures, &set.bookmarks).map_err(failed)
    }

    /// The plan of a sheet, drawn no longer than it is told, and what is done to it, on paper.
    fn job_pages(
        &self,
        told: &Document,
        plan: impl Fn(f64) -> Drawing,
    ) -> Result<Vec<u8>, Problem> {
        let printer = self.printer();
        let room =
            page::room(&printer).map_err(|error| Problem::plain(error.explain(told.units)))?;
        let lines = plain::lines(told);
        let plan = plan(room.width - ROUND_A_PLAN);
        // What is told begins below the plan, where there is room.
        let mut texts =
            drawing::written(&told.title, &lines, room, room.height - plan.height).into_iter();
        let first = match texts.next().flatten() {
            Some(text) => drawing::stacked(plan, text),
            None => plan,
        };
        let drawings: Vec<Drawing> = std::iter::once(first).chain(texts.flatten()).collect();
        let pages = page::leaves(&drawings, &printer).map_err(|e| self.no_page(&e))?;
        pdf::write(&told.title, &pages, &drawings).map_err(failed)
    }

    fn printer(&self) -> Printer {
        let printer = self.shop.printer;
        Printer { paper: self.options.paper.unwrap_or(printer.paper), ..printer }
    }

    /// Patterns and marking strips on paper; none where there is nothing to print.
    fn pages(
        &self,
        holder: &Holder,
        letters: &[Vec<&str>],
    ) -> Result<Option<(String, Vec<u8>, Json)>, Problem> {
        let printer = self.printer();
        let Holder { title, units, parts, tools, .. } = holder;
        let printable = Printable { title, units: *units, parts, tools, letters };
        let paged = paged(printable, self.options.patterns, &printer)
            .map_err(|error| self.no_page(&error))?;
        if paged.pages.is_empty() {
            return Ok(None);
        }
        let bytes = pdf::write(title, &paged.pages, &paged.drawings).map_err(failed)?;
        let file = format!("pages-{}.pdf", printer.paper.name());
        let told = page::placed(&paged, &file, parts);
        Ok(Some((file, bytes, told)))
    }

    fn no_page(&self, error: &PageError) -> Problem {
        Problem::plain(error.explain(self.shop.units))
    }

    /// The files of a part for the machine, and what is to be said of them.
    fn for_machine(
        &self,
        part: &Part,
        holder: &Holder,
    ) -> Result<(Files, Option<Finding>), Problem> {
        let (jobs, remark) = self.part_jobs(part, holder)?;
        let mut files = Files::new();
        for face in faces(part, holder, &jobs) {
            files.push(self.outline(part, &face));
            let cut = cut_svg::write(face.job, self.shop.router_run.zero);
            files.push((format!("{}-cut.svg", face.name), cut.into_bytes()));
        }
        Ok((files, remark))
    }

    /// The DXF files of a holder.
    fn outlines(&self, holder: &Holder) -> Result<Files, Problem> {
        let mut files = Files::new();
        for part in &holder.parts {
            let (jobs, _) = self.part_jobs(part, holder)?;
            files.extend(faces(part, holder, &jobs).map(|face| self.outline(part, &face)));
        }
        Ok(files)
    }

    fn outline(&self, part: &Part, face: &WorkedFace<'_>) -> (String, Vec<u8>) {
        let zero = self.shop.router_run.zero;
        let outline = dxf::write_part(part, face.up, face.job, zero, self.options.dxf);
        (format!("{}.dxf", face.name), outline.into_bytes())
    }

    fn part_jobs(&self, part: &Part, holder: &Holder) -> Result<(Jobs, Option<Finding>), Problem> {
        let jobs = milling::part_jobs(part, self.shop);
        if !self.options.offset_by_bit {
            return Ok((jobs, None));
        }
        match self.along_bit(&jobs, &format!("{} of {}", part.name, holder.name), holder.units) {
            Ok(jobs) => Ok((jobs, None)),
            // What is made by hand may be finer than any bit: a saw's kerf.
            Err(problem) if self.shop.router.is_some() && part.made_by == MadeBy::Hand => {
                let message =
                    format!("{problem} It is made by hand; its outline keeps to the edges.");
                Ok((jobs, Some(Finding::note("not-offset", message))))
            }
            Err(problem) => Err(problem),
        }
    }

    /// The jobs by the way of the bit's center; `whose` they are for messages.
    fn along_bit(&self, jobs: &Jobs, whose: &str, units: Units) -> Result<Jobs, Problem> {
        if self.shop.router.is_none() {
            return Err(Problem::plain("--offset-by-bit: the shop has no CNC router")
                .with_help("add bit = … under [router] in shop.toml, or leave the option out"));
        }
        jobs.along_bit().map_err(|e| {
            Problem::plain(format!("--offset-by-bit: {whose}: {}", e.explain(units)))
                .with_help("change bit under [router] in shop.toml, or leave the option out")
        })
    }

    /// The files of a sheet for the machine.
    fn sheet(&self, sheet: &RoutedSheet, jobs: &Jobs) -> Result<Files, Problem> {
        let (units, zero) = (self.shop.units, self.shop.router_run.zero);
        let whose = format!("{}, number {}", sheet.stock, sheet.number);
        let by_center = self.options.offset_by_bit;
        let followed = match by_center {
            true => &self.along_bit(jobs, &whose, units)?,
            false => jobs,
        };
        let name = |file: &str| format!("{}/{}{file}", router::FOLDER, sheet.file);
        let plan = |back, job| SheetPlan { sheet, job, back, zero, units };
        let front = |longest| drawing::sheet(&plan(false, &jobs.front), longest);
        let told = JobFiles { units: self.options.dxf.units, by_center };
        let told = document::job(sheet, jobs, self.shop, told);
        let mut files = vec![
            (name(".svg"), svg::write(&front(SCREEN)).into_bytes()),
            (name("-job.md"), md::write(&told).into_bytes()),
            (name("-job.pdf"), self.job_pages(&told, front)?),
        ];
        if let Some(job) = &jobs.back {
            let back = drawing::sheet(&plan(true, job), SCREEN);
            files.push((name("-back.svg"), svg::write(&back).into_bytes()));
        }
        let back = followed.back.as_ref().map(|job| ("-back", true, job));
        for (of, turned, job) in std::iter::once(("", false, &followed.front)).chain(back) {
            let outlines = dxf::write_sheet(sheet, turned, job, zero, self.options.dxf);
            files.push((name(&format!("{of}.dxf")), outlines.into_bytes()));
            files.push((name(&format!("{of}-cut.svg")), cut_svg::write(job, zero).into_bytes()));
        }
        Ok(files)
    }
}

/// Where a file of the holder stands in the output folder.
fn of(holder: &Holder, file: &str) -> String {
    format!("{}/{file}", holder.name)
}

/// The patterns of a holder's parts.
fn patterns(holder: &Holder, letters: &[Vec<&str>]) -> Files {
    let Holder { title: holder_title, tools, .. } = holder;
    let each = holder.parts.par_iter().zip(letters).map(|(part, letters)| {
        let notes = PatternNotes { holder_title, letters, tools, ..PatternNotes::default() };
        let drawn = svg::write(&pattern(part, holder.units, notes));
        (of(holder, &format!("{}.svg", part.name)), drawn.into_bytes())
    });
    each.collect()
}

/// A face of a part that is worked, what its files are called without their ending.
struct WorkedFace<'f> {
    name: String,
    up: Face,
    job: &'f MillJob,
}

/// The faces of a part that are worked.
fn faces<'f>(part: &Part, holder: &Holder, jobs: &'f Jobs) -> impl Iterator<Item = WorkedFace<'f>> {
    let (name, up) = (of(holder, &part.name), part.up());
    let back = jobs.back.as_ref().map(|job| {
        let name = format!("{name}-back");
        WorkedFace { name, up: up.other(), job }
    });
    std::iter::once(WorkedFace { name, up, job: &jobs.front }).chain(back)
}

/// The picture of a holder assembled and taken apart; none of one without wood.
fn assembled(holder: &Holder, letters: &[Vec<&str>]) -> Option<(String, Vec<u8>)> {
    let solids = wood_solids(holder);
    let whole = drawing::whole(&Pictured { holder, solids: &solids, letters })?;
    Some((of(holder, document::WHOLE), svg::write(&whole).into_bytes()))
}

/// The pictures of a holder.
struct HolderPictures {
    whole: Option<Drawing>,
    views: Option<Drawing>,
    /// One entry a step.
    steps: Vec<Option<Drawing>>,
}

/// What hangs is not made again: it has no steps.
fn pictures(pictured: &Pictured<'_>) -> HolderPictures {
    let steps = if pictured.holder.built { Vec::new() } else { drawing::steps(pictured) };
    HolderPictures { whole: drawing::whole(pictured), views: drawing::views(pictured), steps }
}

impl HolderPictures {
    fn files(self) -> impl Iterator<Item = (String, Drawing)> {
        let steps = self.steps.into_iter().enumerate();
        let steps = steps.map(|(at, drawing)| (document::step_file(at + 1), drawing));
        let all =
            [(document::WHOLE.to_owned(), self.whole), (document::VIEWS.to_owned(), self.views)];
        all.into_iter().chain(steps).filter_map(|(file, drawing)| Some((file, drawing?)))
    }
}

/// How long a sheet of `size` mm is drawn in the book at most, in mm.
fn long_in_book(size: [f64; 2]) -> f64 {
    let [long, short] = IN_BOOK;
    if size[0].max(size[1]) > NOT_TURNED { long } else { short }
}

/// The holder as a solid to turn.
fn turnable(holder: &Holder, solids: &[WoodSolid]) -> Vec<u8> {
    let pieces = solids.iter().map(|solid| {
        let part = &holder.parts[solid.part];
        let tone = wood_tone(part.stock.kind, part.stock.density);
        glb::SolidPiece { name: part.piece_name(solid.piece), shell: &solid.shell, tone }
    });
    glb::write(&holder.title, &pieces.collect::<Vec<_>>())
}

fn failed(error: impl std::fmt::Display) -> Problem {
    Problem::plain(error.to_string())
}
