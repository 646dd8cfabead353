//! The whole cutting plan of a project.

use std::sync::Arc;

use super::bevel::Strip;
use super::blank::{Piece, pieces};
use super::cut::{Area, Count, Fence, Name, Rules, Setting, What, count};
use super::finding;
use super::group::{Group, Laid, Sawn};
use super::last;
use super::left::{self, Left, is_kept};
use super::search::{Panels, filling, roots};
use super::shopping::{self, Buy};
use super::supply::{Supply, unused};
use super::tilted;
use super::work::{Root, order};
use super::{Budget, micrometres};
use crate::holder::{Finding, Holder};
use crate::reading::file_name;
use crate::router;
use crate::shop::{Shop, StockKind};

/// From parts to cuts: what is sawn, from what, in which order, and what is left.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Every piece of the project with its letter.
    pub pieces: Vec<Piece>,
    /// What [`What::Piece`] counts: each blank is one piece or one strip.
    pub blanks: Vec<Sawn>,
    /// What the tilted blade makes of [`Sawn::Strip`]: the pieces of each strip, one or two.
    pub strips: Vec<Vec<Vec<usize>>>,
    /// What is sawn, by stock in the order of the shop file, offcuts first.
    pub sheets: Vec<Sheet>,
    /// The order of work.
    pub settings: Vec<Setting>,
    pub count: Count,
    /// How often the saw is set for a plan that looks at waste alone.
    pub plain: Count,
    pub verdicts: Vec<Verdict>,
    /// Pieces that no stock is left for.
    pub missing: Vec<usize>,
    pub shopping: Vec<Buy>,
    pub left: Vec<Left>,
    pub findings: Vec<Finding>,
}

/// A sheet, board, dowel or offcut in use. Sizes in micrometres.
#[derive(Debug, Clone)]
pub struct Sheet {
    pub stock: String,
    pub kind: StockKind,
    /// Counted from 1 over those of one stock.
    pub number: usize,
    pub of: usize,
    /// Its name as a file, without ending.
    pub file: String,
    pub offcut: bool,
    pub grain: bool,
    /// In mm.
    pub thickness: f64,
    /// Along the grain and across it, edges trimmed.
    pub size: [i64; 2],
    /// Taken off each edge first.
    pub edge_trim: i64,
    /// Share that becomes blanks.
    pub filling: f64,
    /// The blanks on it.
    pub blanks: Vec<Placed>,
}

/// A blank on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of the blank.
    pub blank: usize,
    pub area: Area,
    /// Number of the cut that frees it; `None` where the whole panel is the blank.
    pub cut: Option<usize>,
}

/// How good the plan of one stock is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    pub stock: String,
    pub kind: StockKind,
    /// How many new ones are sawn, and how many offcuts.
    pub used: usize,
    pub offcuts: usize,
    /// Fewer new ones than this are not possible.
    pub least: usize,
    pub proved: bool,
    /// How many pieces there is no stock left for.
    pub missing: usize,
}

/// Plans all cutting for `holders`: what is made by hand from sheets and boards, cleat strips and
/// dowels. Sheets and offcuts that the router uses are not there for the saw. The same steps give
/// the same plan.
pub fn plan(holders: &[Arc<Holder>], shop: &Shop, router: &router::Plan, budget: Budget) -> Plan {
    let rules = rules(shop);
    let mut plan = Plan { pieces: pieces(holders, shop), ..Plan::default() };
    let mut groups: Vec<Group<'_>> = Vec::new();
    let mut strips: Vec<Strip> = Vec::new();
    for (index, row) in shop.stock.iter().enumerate() {
        let supply = Supply::new(shop, row, router);
        let group = Group::new(&plan.pieces, shop, index, supply, strips.len(), &|_| true);
        let Some(group) = group else { continue };
        plan.missing.extend(&group.too_large);
        plan.findings.extend(finding::too_large(&group, &plan.pieces, shop));
        if group.is_empty() {
            continue;
        }
        strips.extend(group.strips.iter().cloned());
        groups.push(group);
    }
    let pieces: u64 = groups.iter().map(Group::pieces).sum();
    // A stock has its share of the budget by its pieces.
    let share = |group: &Group<'_>| budget.steps / pieces.max(1) * group.pieces();
    let laid: Vec<Laid> = groups.iter().map(|g| g.lay(shop, &rules, share(g))).collect();
    let groups: Vec<(Group<'_>, Laid)> = groups.into_iter().zip(laid).collect();
    plan.strips = strips.iter().map(bars).collect();
    let chosen: Vec<&Panels> = groups.iter().map(|(_, laid)| &laid.panels).collect();
    let plain: Vec<&Panels> = groups.iter().map(|(_, laid)| &laid.plain).collect();
    let kinds: Vec<&Group<'_>> = groups.iter().map(|(group, _)| group).collect();
    plan.plain = count(&Joined::new(&kinds, &plain, &strips, &rules).settings);
    plan.add_work(&kinds, &chosen, &strips, &rules);
    for (group, laid) in &groups {
        plan.add_verdict(group, laid, shop, share(group));
    }
    plan.missing.extend(finding::no_cleat_stock(&plan.pieces, &mut plan.findings));
    plan.missing.sort_unstable();
    plan.keep_left(shop, router);
    plan.findings.extend(finding::of_cuts(&plan.settings, shop));
    for (group, laid) in &groups {
        plan.findings.extend(last::advice(group, laid, &plan.pieces, shop, router, share(group)));
    }
    plan
}

fn rules(shop: &Shop) -> Rules {
    Rules {
        kerf: micrometres(shop.kerf),
        narrowest: micrometres(shop.saw.narrowest_rip),
        widest: shop.saw.widest_rip.map(micrometres),
        longest: shop.saw.longest_crosscut.map(micrometres),
        shortest: micrometres(shop.saw.shortest_rip),
    }
}

fn bars(strip: &Strip) -> Vec<Vec<usize>> {
    strip.bars.iter().map(|bar| bar.pieces.iter().map(|(_, piece)| *piece).collect()).collect()
}

/// All stock together, so that a width is set once for all sheets and boards.
struct Joined {
    settings: Vec<Setting>,
    /// What each blank is, by the item numbers of the settings.
    blanks: Vec<Sawn>,
    /// Panels that are a blank as they are: the sheet and the item.
    whole: Vec<(usize, usize, Area)>,
}

impl Joined {
    fn new(groups: &[&Group<'_>], panels: &[&Panels], strips: &[Strip], rules: &Rules) -> Self {
        let (mut flat, mut round) = (Vec::new(), Vec::new());
        let (mut members, mut sheets) = (Vec::new(), 0);
        for (group, panels) in groups.iter().zip(panels) {
            let roots = roots(panels).into_iter().map(|root| Root {
                sheet: root.sheet + sheets,
                name: Name::Sheet(root.sheet + sheets),
                at: root.at,
                slab: root.slab.renumbered(members.len()),
            });
            if group.is_dowel() {
                round.extend(roots);
            } else {
                flat.extend(roots);
            }
            sheets += panels.len();
            members.extend(group.members.iter().cloned());
        }
        let mut settings = order(&flat, rules, 1);
        let next = 1 + cuts(&settings);
        settings.extend(order(&round, rules, next));
        let mut joined = Self { settings, blanks: Vec::new(), whole: Vec::new() };
        joined.give_out(members, flat.iter().chain(&round));
        let Self { settings, blanks, whole } = &mut joined;
        let tilted = tilted::settings(settings, whole, blanks, strips, rules);
        settings.extend(tilted);
        joined
    }

    /// Makes a blank of its own of every piece of an item, in the order they come free.
    fn give_out<'r>(&mut self, mut members: Vec<Vec<Sawn>>, roots: impl Iterator<Item = &'r Root>) {
        members.iter_mut().for_each(|all| all.reverse());
        let blanks = &mut self.blanks;
        let mut give = |item: &mut usize| {
            if let Some(sawn) = members.get_mut(*item).and_then(Vec::pop) {
                *item = blanks.len();
                blanks.push(sawn);
            }
        };
        for root in roots {
            if let super::slab::Fate::Piece { mut item, .. } = root.slab.fate {
                give(&mut item);
                self.whole.push((root.sheet, item, Area { at: root.at, size: root.slab.size }));
            }
        }
        let cuts = self.settings.iter_mut().flat_map(|setting| &mut setting.cuts);
        for body in cuts.flat_map(|cut| std::iter::once(&mut cut.gives).chain(&mut cut.rest)) {
            if let What::Piece { item, .. } = &mut body.what {
                give(item);
            }
        }
    }
}

fn cuts(settings: &[Setting]) -> usize {
    settings.iter().map(|setting| setting.cuts.len()).sum()
}

impl Plan {
    fn add_work(
        &mut self,
        groups: &[&Group<'_>],
        panels: &[&Panels],
        strips: &[Strip],
        rules: &Rules,
    ) {
        let joined = Joined::new(groups, panels, strips, rules);
        for (group, panels) in groups.iter().zip(panels) {
            self.add_sheets(group, panels);
        }
        for (sheet, blank, area) in joined.whole {
            if let Some(sheet) = self.sheets.get_mut(sheet) {
                sheet.blanks.push(Placed { blank, area, cut: None });
            }
        }
        self.count = count(&joined.settings);
        self.blanks = joined.blanks;
        let square = |setting: &&Setting| !tilted::is_tilted(setting.fence);
        for cut in joined.settings.iter().take_while(square).flat_map(|setting| &setting.cuts) {
            for body in std::iter::once(&cut.gives).chain(&cut.rest) {
                if let (What::Piece { item, .. }, Some(sheet)) =
                    (body.what, self.sheets.get_mut(cut.sheet))
                {
                    let (area, cut) = (body.area, Some(cut.number));
                    sheet.blanks.push(Placed { blank: item, area, cut });
                }
            }
        }
        self.settings = joined.settings;
    }

    fn add_sheets(&mut self, group: &Group<'_>, panels: &Panels) {
        let mut count = 0;
        for (i, (stock, slab)) in panels.iter().enumerate() {
            let stem = Some(file_name(&group.row.name)).filter(|stem| !stem.is_empty());
            let stem = stem.unwrap_or_else(|| group.row.kind.word().to_owned());
            let file = loop {
                count += 1;
                let name = format!("{stem}-{count}");
                if self.sheets.iter().all(|sheet| sheet.file != name) {
                    break name;
                }
            };
            let offcut = group.supply.is_offcut(*stock);
            self.sheets.push(Sheet {
                stock: group.row.name.clone(),
                kind: group.row.kind,
                number: i + 1,
                of: panels.len(),
                file,
                offcut,
                grain: group.row.grain,
                thickness: group.row.thickness,
                size: slab.size,
                edge_trim: if offcut { 0 } else { group.supply.edge_trim },
                filling: filling(slab),
                blanks: Vec::new(),
            });
        }
    }

    fn add_verdict(&mut self, group: &Group<'_>, laid: &Laid, shop: &Shop, steps: u64) {
        let panels = &laid.panels;
        let missing = group.missing(panels).into_iter();
        let mut missing: Vec<usize> = missing.flat_map(|sawn| group.pieces_of(sawn)).collect();
        missing.sort_unstable();
        let short = group.to_buy(panels, steps);
        match &laid.unfit {
            Some(unfit) => self.findings.push(finding::not_laid_out(group, unfit)),
            None => {
                self.findings.extend(finding::short(group, &missing, short, &self.pieces, shop));
            }
        }
        let count = missing.len();
        self.missing.extend(missing);
        self.shopping.extend(shopping::buy(group, panels, short));
        let used = group.new_ones(panels);
        let new = group.problem.stock.iter().map(|stock| stock.cost).find(|cost| *cost > 0);
        let least = new.map_or(0, |cost| (laid.lower + cost - 1) / cost).max(0) as usize;
        self.verdicts.push(Verdict {
            stock: group.row.name.clone(),
            kind: group.row.kind,
            used,
            offcuts: panels.len() - used,
            least: least.min(used),
            proved: count == 0
                && laid.unfit.is_none()
                && (used <= least || cost(group, panels) <= laid.lower),
            missing: count,
        });
    }

    /// What is left of what is sawn, and offcuts that stay as they were.
    fn keep_left(&mut self, shop: &Shop, router: &router::Plan) {
        let mut kept = Vec::new();
        for (_, cut) in self.cuts() {
            let Some(sheet) = self.sheets.get(cut.sheet) else { continue };
            let bevelled = self.is_bevelled(cut.number);
            let bodies = std::iter::once(&cut.gives).chain(&cut.rest);
            let left = bodies.filter(|body| body.what == What::Left).map(|body| body.area.size);
            let as_strip = bevelled || sheet.kind == StockKind::Dowel;
            for size in left.filter(|size| is_kept(*size, as_strip, &shop.saw)) {
                kept.push(Left::new(&sheet.stock, size, bevelled, cut.sheet));
            }
        }
        self.left.extend(kept);
        self.left.extend(left::untouched(unused(shop, router), &self.sheets));
    }

    /// Whether a cut comes after the blade was tilted, so that its wood is a finished cleat strip.
    pub fn is_bevelled(&self, cut: usize) -> bool {
        let mut after = self.cuts().skip_while(|(fence, _)| !tilted::is_tilted(*fence));
        after.any(|(_, other)| other.number == cut)
    }

    /// Letters of the pieces that come of the blank `index`.
    pub fn letters(&self, index: usize) -> Vec<&str> {
        let letter = |piece: &usize| self.pieces.get(*piece).map(|p| p.letter.as_str());
        match self.blanks.get(index) {
            Some(Sawn::Piece(piece)) => letter(piece).into_iter().collect(),
            Some(Sawn::Strip(strip)) => {
                let bars = self.strips.get(*strip);
                bars.into_iter().flatten().flatten().filter_map(letter).collect()
            }
            None => Vec::new(),
        }
    }

    /// The sheet's file and the cut that frees a piece; the cut is `None` where the sheet is the
    /// piece. `None` for what is not sawn.
    pub fn freed(&self, piece: usize) -> Option<(String, Option<usize>)> {
        let blank = self.blanks.iter().position(|sawn| *sawn == Sawn::Piece(piece))?;
        let is_it = |what: What| matches!(what, What::Piece { item, .. } if item == blank);
        let by_cut = self.cuts().find(|(_, cut)| {
            is_it(cut.gives.what) || cut.rest.is_some_and(|rest| is_it(rest.what))
        });
        if let Some((_, cut)) = by_cut {
            return Some((self.sheets.get(cut.sheet)?.file.clone(), Some(cut.number)));
        }
        let sheet = self.sheets.iter().find(|s| s.blanks.iter().any(|b| b.blank == blank))?;
        Some((sheet.file.clone(), None))
    }

    /// How many new ones are sawn of each stock, where any are.
    pub fn new_ones(&self) -> impl Iterator<Item = (&str, usize)> {
        let used = self.verdicts.iter().filter(|verdict| verdict.used > 0);
        used.map(|verdict| (verdict.stock.as_str(), verdict.used))
    }

    /// All cuts in the order of work, each with its setting.
    pub fn cuts(&self) -> impl Iterator<Item = (Fence, &super::Cut)> {
        self.settings.iter().flat_map(|s| s.cuts.iter().map(move |cut| (s.fence, cut)))
    }
}

fn cost(group: &Group<'_>, panels: &Panels) -> i64 {
    let stock = panels.iter().filter_map(|(stock, _)| group.problem.stock.get(*stock));
    stock.map(|stock| stock.cost).sum()
}
