//! The one pipeline: texts in, everything worked out. Pure: no disk, no clock, no terminal.

mod on_wall;

use std::sync::Arc;

use rayon::prelude::*;

use crate::carry::{Assessment, WallLoad, stud_note, unknown_apart, wall_load};
use crate::cutting::{self, Budget};
use crate::holder::{Finding, Holder, Level, SettledChoice, build, look_over};
use crate::inputs::Inputs;
use crate::inventory::{Inventory, Share, counted, supplied};
use crate::length::Units;
use crate::milling;
use crate::motion::Hanging;
use crate::reading::{Beside, Noted, Problem, Problems, Source};
use crate::record::{self, Rebuilt, rebuilt};
use crate::router;
use crate::settle::{Known, Moved, Project, Settled, finished, note, project};
use crate::shop::{Shop, default_shop, read_shop_of};
use crate::style::{HolderFile, HungTools, Library, units_of};
use crate::tolerance::COORDINATE;
use crate::tool::ToolRoom;
use crate::wall::{WallPlan, WallsAsked};
use on_wall::{walls_asked, with_rows_of, with_walls};

/// A project with everything worked out: what [`render`](crate::render) turns into files. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Worked {
    /// With what its file leaves open settled.
    pub(crate) shop: Arc<Shop>,
    /// What of it was settled otherwise than it begins, and notes on that.
    pub(crate) settled: Vec<SettledChoice>,
    settled_told: Vec<Finding>,
    /// As its file has it.
    read_shop: Arc<Shop>,
    /// The same with what is fixed by what hangs, from which it was settled.
    begun_shop: Shop,
    shop_text: Source,
    library: Library,
    /// What the shop measures in: as it says, else as most holders do.
    usual: Units,
    pub(crate) shop_served: ShopServed,
    /// Whether the counts of the holders agree with those of the inventory.
    pub(crate) counted: Vec<Finding>,
    /// In the order of their names.
    pub(crate) holders: Vec<Arc<WorkedHolder>>,
    /// What all of them bring to one stud; `None` where nothing hangs on wall cleats, and in masonry.
    pub(crate) wall: Option<Arc<WallLoad>>,
    /// Where all of them hang; `None` without `wall.toml`.
    pub(crate) wall_plan: Option<Arc<WallPlan>>,
    pub(crate) plans: Arc<Plans>,
}

/// One holder worked out, with the texts that it came from.
#[derive(Debug)]
pub(crate) struct WorkedHolder {
    pub holder: Arc<Holder>,
    /// What it carries; `None` for one that can't be made or where nothing hangs.
    pub carried: Option<Assessment>,
    /// How it comes on its wall cleat; `None` for one that can't be made or hangs otherwise.
    pub hanging: Option<Hanging>,
    /// The room that its tools have; `None` for one that can't be made or whose style says nothing of them.
    pub room: Option<ToolRoom>,
    /// The tools of the inventory that hang in it; none where it names none.
    pub hung: HungTools,
    /// What is moved of its open choices, and what is known of others.
    moved: Moved,
    known: Known,
    /// How it was made; `None` for one that can't be, and one that is built and has no record.
    pub record: Option<String>,
    /// The holder's file, then those of its style, the inventory with its share of that, and its record, where it
    /// takes from these.
    texts: Vec<Source>,
    beside: Arc<Noted>,
}

/// A holder file that was read, with the texts that it came from.
struct Asked {
    file: HolderFile,
    /// Whether it is to be made, and not only to be settled with those that are.
    wanted: bool,
    /// Of one that hangs as its record says.
    rebuilt: Option<Rebuilt>,
    texts: Vec<Source>,
    beside: Arc<Noted>,
}

/// What is worked out for all holders together.
#[derive(Debug)]
pub(crate) struct Plans {
    pub router: router::RouterPlan,
    /// What the machine does to each of the router's sheets.
    pub milling: milling::Milling,
    pub cutting: cutting::CuttingPlan,
    steps: u64,
}

/// Which shop served.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ShopServed {
    /// The project's own file.
    File,
    /// The built-in one, for there is no file.
    BuiltIn,
}

/// What a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum About<'a> {
    Holder { name: &'a str, title: &'a str },
    Shop,
    Inventory,
    Wall,
    RouterSheets,
    CuttingPlan,
}

/// What is being worked out just now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing<'a> {
    /// The holder of this name.
    Holder(&'a str),
    /// The sheets for the CNC router and the cutting plan.
    Plans,
}

/// Works out everything that `inputs` ask for.
///
/// # Errors
/// Every problem found in the texts.
pub fn work_out(inputs: &Inputs) -> Result<Worked, Vec<Problem>> {
    work_out_again(inputs, None, &|_| {})
}

/// The same as [`work_out`], taking from `before` what comes from unchanged texts, and telling what it is doing.
/// Holders are worked out side by side; what comes out is the same whichever is done first.
///
/// # Errors
/// Every problem found in the texts.
///
/// ```
/// use cleatwright::{Inputs, work_out, work_out_again};
///
/// let holder = |tools: u32| {
///     let text = format!(
///         "style = \"peg\"\nunits = \"in\"\n[measures]\ntool_thickness = 1\ntool_mass = \"8 oz\"\n[choices]\ncount = {tools}\n"
///     );
///     Inputs::new().with_cutting_steps(1).with("holders/spring-clamps.toml", &text)
/// };
/// let before = work_out(&holder(4)).unwrap();
/// let after = work_out_again(&holder(6), Some(&before), &|_| {}).unwrap();
/// assert_eq!(after.names().collect::<Vec<_>>(), ["spring-clamps"]);
/// ```
pub fn work_out_again(
    inputs: &Inputs,
    before: Option<&Worked>,
    doing: &(dyn Fn(Doing<'_>) + Sync),
) -> Result<Worked, Vec<Problem>> {
    let (bench, mut wrong) = Workshop::new(inputs, before);
    let files: Vec<_> = wrong.keep(inputs.holder_files()).unwrap_or_default().into_iter().collect();
    let (asked, counted) = bench.asked(inputs, &files, &mut wrong);
    let walls = bench.shop.as_ref().map(|shop| walls_asked(inputs, shop, &asked));
    let walls = walls.and_then(|walls| wrong.keep(walls)).flatten();
    let begun = bench.shop.as_ref().map(|shop| begun(shop, &asked, walls.as_ref()));
    let (project, holders) = match &begun {
        Some((shop, _)) => bench.holders(&asked, shop, doing, &mut wrong),
        None => {
            for asked in asked.iter().filter(|asked| asked.wanted) {
                wrong.keep(look_over(&asked.file).or(()));
            }
            (None, Vec::new())
        }
    };
    // What is wrong in a style that a holder uses is told there.
    if wrong.is_empty() {
        inputs.styles().for_each(|(name, _)| drop(wrong.keep(bench.library.style(name))));
    }
    let (read_shop, (begun_shop, fixed), project) = match (bench.shop.clone(), begun, project) {
        (Some(shop), Some(begun), Some(project)) if wrong.is_empty() => (shop, begun, project),
        _ => return Err(wrong.into()),
    };
    let (mut project, mut holders, mut begun_shop) = (project, holders, begun_shop);
    let mut wall_plan = None;
    // One holder by itself is not placed: the plan of all stays as it is.
    if let Some(walls) = walls.as_ref().filter(|_| asked.iter().all(|asked| asked.wanted)) {
        let mut plan = on_wall::wall_plan(walls, &project.shop, &asked, &holders);
        // Holders are settled anew between the rows that were chosen.
        if let Some(chosen) = with_rows_of(walls, &plan) {
            begun_shop = with_walls(begun_shop, &chosen);
            let (again, settled) = bench.holders(&asked, &begun_shop, doing, &mut wrong);
            project = again.unwrap_or(project);
            holders = settled;
            plan = on_wall::wall_plan(&chosen, &project.shop, &asked, &holders);
        }
        plan.findings.extend(on_wall::made_twice(&asked));
        let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
        let cleats = bench.wall_cleats(inputs, (walls, &plan), &project.shop, &names);
        holders.extend(wrong.keep(cleats).unwrap_or_default());
        holders.sort_by(|one, other| one.holder.name.cmp(&other.holder.name));
        wall_plan = Some(Arc::new(plan));
    }
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    let shop = Arc::new(project.shop);
    let budget = inputs.cutting_steps().map_or_else(Budget::default, |steps| Budget { steps });
    let plans = bench.plans(&shop, &holders, budget, doing);
    let hung: Vec<&Holder> = holders.iter().map(|worked| &*worked.holder).collect();
    let wall = wall_load(&hung, &shop).map(Arc::new);
    let shop_served = inputs.shop().map_or(ShopServed::BuiltIn, |_| ShopServed::File);
    let Workshop { shop_text, usual, library, .. } = bench;
    let settled = project.settled;
    let settled_told = settled.iter().map(|settled| note(settled, shop.units));
    let unknown = unknown_apart(&shop, files.iter().map(|(name, _)| name.as_str()));
    let settled_told = unknown.into_iter().chain(fixed).chain(settled_told).collect();
    Ok(Worked {
        shop,
        settled,
        settled_told,
        read_shop,
        begun_shop,
        shop_text,
        library,
        usual,
        shop_served,
        counted,
        holders,
        wall,
        wall_plan,
        plans,
    })
}

/// What all holders are worked out with.
struct Workshop<'w> {
    /// `None` where the shop file is wrong.
    shop: Option<Arc<Shop>>,
    shop_text: Source,
    usual: Units,
    library: Library,
    beside: Arc<dyn Beside>,
    before: Option<&'w Worked>,
}

impl<'w> Workshop<'w> {
    /// The workshop, and what is wrong in the shop file.
    fn new(inputs: &Inputs, before: Option<&'w Worked>) -> (Self, Problems) {
        let (shop_text, usual) = shop_text(inputs);
        let library = before.map(|before| Library::again(inputs, &before.library));
        let library = library.unwrap_or_else(|| Library::with(inputs));
        // What was worked out in another shop is of no use.
        let before = before
            .filter(|before| before.shop_text.text() == shop_text.text() && before.usual == usual);
        let mut wrong = Problems::default();
        let shop = match before {
            Some(before) => Some(Arc::clone(&before.read_shop)),
            None => wrong.keep(read_shop_of(&shop_text, usual)).map(Arc::new),
        };
        (Self { shop, shop_text, usual, library, beside: inputs.beside(), before }, wrong)
    }

    /// The holder files with all that they take from elsewhere, and what there is to say of how many tools they count.
    fn asked(
        &self,
        inputs: &Inputs,
        files: &[(String, &Source)],
        wrong: &mut Problems,
    ) -> (Vec<Asked>, Vec<Finding>) {
        let inventory = inputs.tools().and_then(|source| {
            let (inventory, faults) = Inventory::read(source, &self.library);
            wrong.add(faults);
            inventory
        });
        let read = files.par_iter().map(|(name, source)| self.read(name, source, inputs));
        let mut read = kept(read.collect(), inputs, wrong);
        if inputs.tools().is_some() && inventory.is_none() {
            // What they would take is not known.
            read.retain(|asked| asked.file.tool.is_empty());
        }
        let named: Vec<&HolderFile> = read.iter().map(|asked| &asked.file).collect();
        let none = || vec![Vec::new(); read.len()];
        let shares = inventory.as_ref().map_or_else(none, |inventory| inventory.shares(&named));
        let of_each = named.iter().map(|file| file.name.as_str()).zip(shares.iter().cloned());
        let of_each: Vec<_> = of_each.collect();
        let counted = inventory.as_ref().map(|inventory| counted(inventory, &of_each));
        let whole = read.par_iter().zip(&shares).map(|(asked, shares)| {
            let asked = asked.supplied(inventory.as_ref(), shares);
            (asked.file.source.clone(), self.rebuilt(asked, inputs))
        });
        (kept(whole.collect(), inputs, wrong), counted.unwrap_or_default())
    }

    /// Reads a holder file.
    fn read(
        &self,
        name: &str,
        source: &Source,
        inputs: &Inputs,
    ) -> (Source, Result<Asked, Problems>) {
        let noted = Arc::new(Noted::new(Arc::clone(&self.beside)));
        let beside: Arc<dyn Beside> = noted.clone();
        let library = self.library.served_by(&beside);
        let file = HolderFile::read(source.served_by(&beside), name, &library);
        let wanted = inputs.wants(source);
        let asked =
            |file| Asked { texts: texts(&file), file, wanted, rebuilt: None, beside: noted };
        (source.clone(), file.map(asked))
    }

    /// With the record of how it was made, where it is built and has one.
    fn rebuilt(&self, mut asked: Asked, inputs: &Inputs) -> Result<Asked, Problems> {
        let record = inputs.record(&asked.file.name).filter(|_| asked.file.built);
        let Some(record) = record else { return Ok(asked) };
        let beside: Arc<dyn Beside> = asked.beside.clone();
        asked.texts.push(record.clone());
        let rebuilt = rebuilt(asked.file, record, &self.library.served_by(&beside))?;
        Ok(Asked { file: rebuilt.file.clone(), rebuilt: Some(rebuilt), ..asked })
    }

    /// What is open settled for all together, then every holder worked out.
    fn holders(
        &self,
        asked: &[Asked],
        shop: &Shop,
        doing: &(dyn Fn(Doing<'_>) + Sync),
        wrong: &mut Problems,
    ) -> (Option<Project>, Vec<Arc<WorkedHolder>>) {
        let (built, open): (Vec<&Asked>, Vec<&Asked>) =
            asked.iter().partition(|asked| asked.rebuilt.is_some());
        let known = open.iter().map(|asked| self.known(asked, shop)).collect();
        let files: Vec<&HolderFile> = open.iter().map(|asked| &asked.file).collect();
        let mut project = project(&files, shop, known);
        let known = std::mem::take(&mut project.known);
        let settled = open.into_iter().zip(&project.moved).zip(known);
        // Nothing is settled for what hangs.
        let as_made = built.into_iter().map(|asked| ((asked, &None), Known::default()));
        let mut each: Vec<_> = settled.chain(as_made).collect();
        each.retain(|((asked, _), _)| asked.wanted);
        each.sort_by(|((one, _), _), ((other, _), _)| one.file.name.cmp(&other.file.name));
        let worked: Vec<_> = each
            .into_par_iter()
            .map(|((asked, moved), known)| {
                doing(Doing::Holder(&asked.file.name));
                self.holder(asked, &project.shop, moved.as_ref(), known)
            })
            .collect();
        let holders = worked.into_iter().filter_map(|holder| wrong.keep(holder)).collect();
        (Some(project), holders)
    }

    /// What is known of a holder in this shop from before.
    fn known(&self, asked: &Asked, shop: &Shop) -> Known {
        let same = self.before.is_some_and(|before| before.begun_shop == *shop);
        let before = self.unchanged(asked).filter(|_| same);
        before.map_or_else(Known::default, |before| before.known.clone())
    }

    /// One holder worked out with what is moved of it, one that hangs in the shop that it was made in.
    fn holder(
        &self,
        asked: &Asked,
        shop: &Shop,
        moved: Option<&Moved>,
        known: Known,
    ) -> Result<Arc<WorkedHolder>, Problems> {
        let moved = moved.cloned().unwrap_or_default();
        let same_shop = self.before.is_some_and(|before| *before.shop == *shop);
        if let Some(before) = self.unchanged(asked).filter(|_| same_shop)
            && before.moved == moved
        {
            return Ok(before);
        }
        let shop = asked.rebuilt.as_ref().map_or(shop, |rebuilt| &rebuilt.shop);
        let Settled { mut holder, carried, hanging, room } = finished(&asked.file, shop, &moved)?;
        holder.tell(asked.told());
        holder.tell(stud_note(&holder, shop).into_iter().collect());
        let record = asked.record(shop, &holder);
        let hung = asked.hung();
        let (holder, texts, beside) =
            (Arc::new(holder), asked.texts.clone(), Arc::clone(&asked.beside));
        Ok(Arc::new(WorkedHolder {
            holder,
            carried,
            hanging,
            room,
            hung,
            moved,
            known,
            record,
            texts,
            beside,
        }))
    }

    /// The holder as it was worked out before, if all its texts are the same.
    fn unchanged(&self, asked: &Asked) -> Option<Arc<WorkedHolder>> {
        let name = &asked.file.name;
        let before = self.before?.holders.iter().find(|before| before.holder.name == *name)?;
        let texts = asked.texts.iter().map(Source::text);
        let same = before.texts.iter().map(Source::text).eq(texts);
        (same && before.beside.holds_with(&*self.beside)).then(|| Arc::clone(before))
    }

    fn plans(
        &self,
        shop: &Shop,
        holders: &[Arc<WorkedHolder>],
        budget: Budget,
        doing: &dyn Fn(Doing<'_>),
    ) -> Arc<Plans> {
        let same = |before: &&Worked| {
            let mut pairs = before.holders.iter().zip(holders);
            before.plans.steps == budget.steps
                && before.holders.len() == holders.len()
                && pairs.all(|(before, now)| Arc::ptr_eq(before, now))
        };
        if let Some(before) = self.before.filter(same) {
            return Arc::clone(&before.plans);
        }
        doing(Doing::Plans);
        let holders = holders.iter().filter(|worked| !worked.holder.built);
        let holders: Vec<Arc<Holder>> = holders.map(|h| Arc::clone(&h.holder)).collect();
        let router = router::plan(&holders, shop);
        let cutting = cutting::plan(&holders, shop, &router, budget);
        let milling = milling::milling(&router.sheets, shop);
        Arc::new(Plans { router, milling, cutting, steps: budget.steps })
    }
}

impl Asked {
    /// With what it takes from the inventory.
    fn supplied(&self, inventory: Option<&Inventory>, shares: &[Share<'_>]) -> Self {
        let file = supplied(self.file.clone(), inventory, shares);
        let mut texts = self.texts.clone();
        if let Some(inventory) = inventory.filter(|_| !file.tool.is_empty()) {
            let share = file.hung().names.join("\n");
            texts.extend([inventory.source.clone(), Source::new("share", share)]);
        }
        Self { file, wanted: self.wanted, rebuilt: None, texts, beside: Arc::clone(&self.beside) }
    }

    /// The tools of the inventory that hang in it: of one that hangs as its file has it now.
    fn hung(&self) -> HungTools {
        let now = self.file.as_made.as_ref().map_or(&self.file, |made| &made.now);
        now.hung()
    }

    /// What there is to say of it beyond what it comes to.
    fn told(&self) -> Vec<Finding> {
        match &self.rebuilt {
            Some(rebuilt) => rebuilt.told.clone(),
            None if self.file.built => vec![record::no_record()],
            None => Vec::new(),
        }
    }

    /// How `holder` was made in `shop`: of one that hangs the record that there is.
    fn record(&self, shop: &Shop, holder: &Holder) -> Option<String> {
        match &self.rebuilt {
            Some(rebuilt) => Some(rebuilt.record.text().to_owned()),
            None if self.file.built || holder.parts.is_empty() => None,
            None => Some(record::write(&self.file, shop, holder)),
        }
    }
}

/// The shop with what is fixed by the first of those that hang, and what there is to say of that.
fn begun(shop: &Shop, asked: &[Asked], walls: Option<&WallsAsked>) -> (Shop, Vec<Finding>) {
    let mut rebuilt = asked.iter().filter_map(|asked| Some((asked, asked.rebuilt.as_ref()?)));
    let first = rebuilt.next().map(|(asked, rebuilt)| (asked.file.name.as_str(), &*rebuilt.shop));
    let (shop, told) = record::fixed(shop, first);
    let shop = with_rows(asked, &shop);
    (walls.map_or(shop.clone(), |walls| with_walls(shop, walls)), told)
}

/// The shop with the least way from one wall cleat to the next that holders which make rows of them have.
fn with_rows(asked: &[Asked], shop: &Shop) -> Shop {
    let make_rows = asked.iter().filter(|asked| asked.file.style.own().wall_cleats.is_some());
    let heights = make_rows.filter_map(|asked| Some(build(&asked.file, shop).ok()?.wall_cleats));
    let apart = heights.flat_map(|mut heights| {
        heights.sort_by(f64::total_cmp);
        heights.windows(2).map(|pair| pair[1] - pair[0]).collect::<Vec<_>>()
    });
    let mut shop = shop.clone();
    shop.wall.row_spacing = apart.filter(|apart| *apart > COORDINATE).min_by(f64::total_cmp);
    shop
}

/// The text of the shop that serves, and what it measures in where that does not say.
pub(crate) fn shop_text(inputs: &Inputs) -> (Source, Units) {
    let usual = inputs.shop().and_then(units_of).unwrap_or_else(|| units(inputs));
    let built_in = || Source::new("the built-in shop", default_shop(usual));
    (inputs.shop().cloned().unwrap_or_else(built_in), usual)
}

/// What most files that say it measure in, holders and the inventory; inches where as many say one as the other.
fn units(inputs: &Inputs) -> Units {
    let files = inputs.holder_files().unwrap_or_default();
    let files = files.values().copied().chain(inputs.tools());
    let said: Vec<Units> = files.filter_map(units_of).collect();
    let metric = said.iter().filter(|units| **units == Units::Millimeters).count();
    if 2 * metric > said.len() { Units::Millimeters } else { Units::Inches }
}

/// Those that could be read; what is wrong in the others is told of those that are to be made.
fn kept(
    read: Vec<(Source, Result<Asked, Problems>)>,
    inputs: &Inputs,
    wrong: &mut Problems,
) -> Vec<Asked> {
    let keep = |(source, read): (Source, Result<Asked, Problems>)| {
        if inputs.wants(&source) { wrong.keep(read) } else { read.ok() }
    };
    read.into_iter().filter_map(keep).collect()
}

/// The holder's file, then those of its style.
fn texts(file: &HolderFile) -> Vec<Source> {
    let layers = file.style.layers.iter().map(|layer| layer.source.clone());
    std::iter::once(file.source.clone()).chain(layers).collect()
}

impl Worked {
    /// The names of the holders, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.holders.iter().map(|worked| worked.holder.name.as_str())
    }

    /// How many parts the holders to be made have, each counted once whatever its quantity.
    pub fn parts(&self) -> usize {
        let made = self.holders.iter().filter(|worked| !worked.holder.built);
        made.map(|worked| worked.holder.parts.len()).sum()
    }

    /// How many holders hang already.
    pub fn built(&self) -> usize {
        self.holders.iter().filter(|worked| worked.holder.built).count()
    }

    /// What the checks found: of each holder, then of the wall and the plans for all.
    pub(crate) fn findings(&self) -> impl Iterator<Item = (About<'_>, &[Finding])> {
        let own = self.holders.iter().map(|worked| {
            let Holder { name, title, findings, .. } = &*worked.holder;
            (About::Holder { name, title }, findings.as_slice())
        });
        let plans = &*self.plans;
        own.chain([
            (About::Shop, self.settled_told.as_slice()),
            (About::Inventory, self.counted.as_slice()),
            (About::Wall, self.wall_findings()),
            (About::RouterSheets, plans.router.findings.as_slice()),
            (About::RouterSheets, plans.milling.findings.as_slice()),
            (About::CuttingPlan, plans.cutting.findings.as_slice()),
        ])
    }

    /// What is found of the wall: of the plan, and without one of the holders that might hang side by side.
    pub(crate) fn wall_findings(&self) -> &[Finding] {
        let might = self.wall.as_ref().map_or(&[][..], |wall| &wall.findings);
        self.wall_plan.as_ref().map_or(might, |plan| &plan.findings)
    }

    /// Whether a finding says that something can't be made or is unsafe.
    pub fn is_stopped(&self) -> bool {
        let mut all = self.findings().flat_map(|(_, findings)| findings);
        all.any(|finding| finding.level == Level::Stop)
    }

    /// Which shop served: the name of its file, or that of the built-in one.
    pub fn shop_name(&self) -> &str {
        self.shop_text.name()
    }
}
