//! The cutting plan with its drawings, and what the CNC router takes, in short.

use super::super::plan::with_sheets;
use super::super::tree::{
    Block, Document, Inline, Listing, Phrase, PictureFile, PictureSize, Shown, many, phrase,
};
use super::{Pictures, picture_name, told_of};
use crate::cutting;
use crate::holder::caution;
use crate::length::Amount;
use crate::milling::Jobs;
use crate::router::{self, RoutedSheet};
use crate::work_out::{About, Worked};

/// How the wood is cut; nothing where none is.
pub(super) fn sawing(worked: &Worked, pictures: &Pictures) -> Option<Document> {
    let plans = &worked.plans;
    let sheets = plans.cutting.sheets.iter().map(|sheet| {
        let alt =
            format!("{}, number {} of {}, with its cuts", sheet.stock, sheet.number, sheet.of);
        (cutting::FOLDER, &sheet.file, alt)
    });
    let sheets = drawn(sheets, pictures);
    let told = with_sheets(&plans.cutting, &plans.router, worked.shop.units, sheets);
    let nothing = plans.cutting.pieces.is_empty() && plans.cutting.findings.is_empty();
    (!nothing).then_some(told)
}

/// Those that are drawn; the drawing says what it is.
fn drawn<'s>(
    sheets: impl Iterator<Item = (&'static str, &'s String, String)>,
    pictures: &Pictures,
) -> Vec<Shown> {
    let shown = sheets.filter_map(|(folder, file, alt)| {
        let file = picture_name(folder, &format!("{file}.svg"));
        let picture = pictures.contains_key(&file).then_some(PictureFile { file, alt })?;
        let caption = format!("Larger: {}", picture.file).into();
        Some(Shown { picture, size: PictureSize::Large, caption })
    });
    shown.collect()
}

/// What lies on the CNC router, and where its jobs are; nothing where there is none.
pub(super) fn routing(worked: &Worked, pictures: &Pictures) -> Option<Document> {
    let (router, milling) = (&worked.plans.router, &worked.plans.milling);
    let jobs = router.sheets.iter().zip(&milling.sheets);
    let rows = jobs.map(|(sheet, jobs)| job(worked, sheet, jobs)).collect();
    let head = vec!["", "sheet", "length × width", "parts", "minutes", "set-up and layers in"];
    let plans = router.sheets.iter().map(|sheet| {
        let alt = format!("{}, number {} of {}, laid out", sheet.stock, sheet.number, sheet.of);
        (router::FOLDER, &sheet.file, alt)
    });
    let findings = told_of(worked, About::RouterSheets);
    let nothing = router.sheets.is_empty() && findings.is_empty();
    let cautions = if nothing { Vec::new() } else { vec![Block::cautions(caution::for_routing())] };
    let told = [
        Block::List(findings),
        Block::Table(Listing { head, rows }),
        Block::Pictures(drawn(plans, pictures)),
    ];
    (!nothing).then(|| Document {
        title: "At the CNC router".to_owned(),
        units: worked.shop.units,
        blocks: cautions.into_iter().chain(told).collect(),
    })
}

fn job(worked: &Worked, sheet: &RoutedSheet, jobs: &Jobs) -> Vec<Phrase> {
    let both = jobs.back.iter().chain([&jobs.front]);
    let run = &worked.shop.router_run;
    let minutes: f64 = both.map(|job| job.effort(&job.cuts, run).minutes).sum();
    vec![
        phrase![Inline::Tick],
        format!("{}, {} {} of {}", sheet.stock, sheet.word(), sheet.number, sheet.of).into(),
        phrase![Amount::Sides([sheet.size.width, sheet.size.height])],
        many(sheet.parts.len(), "part").into(),
        format!("{minutes:.0}").into(),
        picture_name(router::FOLDER, &format!("{}-job.pdf", sheet.file)).into(),
    ]
}
