//! Every file of a run, in memory.

use std::collections::BTreeMap;
use std::path::PathBuf;

use rayon::prelude::*;

use crate::carry::Assessment;
use crate::cutting;
use crate::drawing::{self, Drawing, pattern};
use crate::export::{self, cut_tables, dxf, load, steps, summary, svg, tables};
use crate::holder::{Explain, Finding, Holder, MadeBy, Part};
use crate::kernel::Region;
use crate::page::{lay_out, pdf};
use crate::project::{Project, SUMMARY};
use crate::reading::Problem;
use crate::router::{FOLDER, Plan, Sheet};
use crate::shop::Printer;

/// What a person asked for beyond the defaults.
#[derive(Debug, Clone, Copy)]
pub struct Wishes {
    pub dxf: dxf::Options,
    /// Whether router outlines follow the bit's centre instead of the edges.
    pub offset_by_bit: bool,
    pub printer: Printer,
}

/// The bytes of each file by its path in the output folder.
pub type Files = BTreeMap<PathBuf, Vec<u8>>;

/// What is worked out for all holders together.
#[derive(Debug, Clone, Copy)]
pub struct Plans<'p, 'a> {
    pub router: &'p Plan<'a>,
    pub cutting: &'p cutting::Plan<'a>,
}

/// Makes every file of the project, its parts laid out as in `plans`; calls `progress` with each holder's name before its turn. Holders are made side by side, and their
/// files are the same whichever is done first.
///
/// # Errors
/// When the printer's figures leave no room, or an outline can't be offset.
pub fn files(
    project: &Project,
    plans: Plans<'_, '_>,
    wishes: &Wishes,
    progress: &(dyn Fn(&str) + Sync),
) -> Result<Files, Problem> {
    let mut files = Files::new();
    let mut remarks = Vec::new();
    let made: Vec<_> = project
        .holders
        .par_iter()
        .zip(&project.carried)
        .map(|(holder, carried)| {
            progress(&holder.name);
            holder_files(holder, carried.as_ref(), project, wishes)
        })
        .collect();
    for holder in made {
        let (of_holder, said) = holder?;
        files.extend(of_holder);
        remarks.extend(said);
    }
    sheet_files(plans.router, project, wishes, &mut files)?;
    cutting_files(plans, project, &mut files)?;
    let holders = &project.holders;
    files.insert(
        "cut-list.csv".into(),
        tables::cut_list(holders, plans.cutting).map_err(|e| failed(&e))?,
    );
    files.insert("hardware.csv".into(), tables::hardware(holders).map_err(|e| failed(&e))?);
    let mut names: Vec<PathBuf> = files.keys().cloned().collect();
    names.push(SUMMARY.into());
    files.insert(
        SUMMARY.into(),
        summary::write(project, plans.router, plans.cutting, &remarks, &names).into_bytes(),
    );
    Ok(files)
}

fn holder_files(
    holder: &Holder,
    carried: Option<&Assessment>,
    project: &Project,
    wishes: &Wishes,
) -> Result<(Files, Vec<Finding>), Problem> {
    let (mut files, mut remarks) = (Files::new(), Vec::new());
    let folder = PathBuf::from(&holder.name);
    let mut patterns: Vec<Drawing> = Vec::new();
    for part in &holder.parts {
        let drawing = pattern(part, holder.units, &holder.title);
        files.insert(folder.join(format!("{}.svg", part.name)), svg::write(&drawing).into_bytes());
        let outline = outline(part, holder, project.shop.router_bit, wishes, &mut remarks)?;
        files.insert(folder.join(format!("{}.dxf", part.name)), outline.into_bytes());
        patterns.push(drawing);
    }
    files.insert(folder.join("steps.md"), steps::write(holder).into_bytes());
    if let Some(carried) = carried {
        files.insert(folder.join("load.md"), load::write(holder, carried).into_bytes());
    }
    if !patterns.is_empty() {
        let pages = lay_out(&patterns, &wishes.printer).map_err(|e| failed(&e))?;
        let bytes = pdf::write(&holder.title, &pages, &patterns).map_err(|e| failed(&e))?;
        let name = format!("pages-{}.pdf", wishes.printer.paper.name());
        files.insert(folder.join(name), bytes);
    }
    Ok((files, remarks))
}

fn outline(
    part: &Part,
    holder: &Holder,
    bit: Option<f64>,
    wishes: &Wishes,
    remarks: &mut Vec<Finding>,
) -> Result<String, Problem> {
    let edges = || dxf::write(part, dxf::Follow::Edges, wishes.dxf);
    if !wishes.offset_by_bit {
        return Ok(edges());
    }
    match bit_path(part, holder, bit) {
        Ok((region, bit)) => {
            Ok(dxf::write(part, dxf::Follow::BitCentre { region: &region, bit }, wishes.dxf))
        }
        // What is made by hand may be finer than any bit: a saw's kerf.
        Err(problem) if bit.is_some() && part.made_by == MadeBy::Hand => {
            let message = format!("{problem} It is made by hand; its outline keeps to the edges.");
            remarks.push(Finding::note("not-offset", message));
            Ok(edges())
        }
        Err(problem) => Err(problem),
    }
}

/// The path of the bit's centre round a part, and the bit.
fn bit_path(part: &Part, holder: &Holder, bit: Option<f64>) -> Result<(Region, f64), Problem> {
    let bit = bit.ok_or_else(|| {
        Problem::plain("--offset-by-bit: the shop has no router")
            .with_help("add [router] bit = … to shop.toml, or leave the option out")
    })?;
    let region = part.region.offset_for_bit(bit).map_err(|e| {
        let why = e.explain(holder.units);
        Problem::plain(format!("--offset-by-bit: {} of {}: {why}", part.name, holder.name))
            .with_help("change [router] bit in shop.toml, or leave the option out")
    })?;
    Ok((region, bit))
}

fn sheet_files(
    plan: &Plan<'_>,
    project: &Project,
    wishes: &Wishes,
    files: &mut Files,
) -> Result<(), Problem> {
    let folder = PathBuf::from(FOLDER);
    for sheet in &plan.sheets {
        let drawing = drawing::sheet(sheet, project.shop.units);
        files.insert(folder.join(format!("{}.svg", sheet.file)), svg::write(&drawing).into_bytes());
        let outlines = sheet_outlines(sheet, project.shop.router_bit, wishes)?;
        files.insert(folder.join(format!("{}.dxf", sheet.file)), outlines.into_bytes());
    }
    Ok(())
}

/// The order of work, a drawing of each sheet, and the tables.
fn cutting_files(
    plans: Plans<'_, '_>,
    project: &Project,
    files: &mut Files,
) -> Result<(), Problem> {
    let (plan, units) = (plans.cutting, project.shop.units);
    let folder = PathBuf::from(cutting::FOLDER);
    for (index, sheet) in plan.sheets.iter().enumerate() {
        let drawing = drawing::sawn(plan, index, units);
        files.insert(folder.join(format!("{}.svg", sheet.file)), svg::write(&drawing).into_bytes());
    }
    let cut_list = cut_tables::cut_list(plan, units).map_err(|e| failed(&e))?;
    let shopping = cut_tables::shopping(plan, units).map_err(|e| failed(&e))?;
    let order = export::cutting::write(plan, plans.router, units).into_bytes();
    files.insert(folder.join("plan.md"), order);
    files.insert(folder.join("cut-list.csv"), cut_list);
    files.insert(folder.join("shopping.csv"), shopping);
    files.insert(
        folder.join("offcuts.toml"),
        cut_tables::offcuts(plan, plans.router, units).into_bytes(),
    );
    Ok(())
}

fn sheet_outlines(sheet: &Sheet<'_>, bit: Option<f64>, wishes: &Wishes) -> Result<String, Problem> {
    let (true, Some(bit)) = (wishes.offset_by_bit, bit) else {
        return Ok(dxf::write_sheet(sheet, dxf::SheetFollow::Edges, wishes.dxf));
    };
    let paths = sheet.parts.iter().map(|p| Ok(bit_path(p.part, p.holder, Some(bit))?.0));
    let regions: Vec<Region> = paths.collect::<Result<_, Problem>>()?;
    let follow = dxf::SheetFollow::BitCentre { regions: &regions, bit };
    Ok(dxf::write_sheet(sheet, follow, wishes.dxf))
}

fn failed(error: &dyn std::fmt::Display) -> Problem {
    Problem::plain(error.to_string())
}
