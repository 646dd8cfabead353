//! `make` and `check`.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::folder::{Opened, open, shop_file};
use super::{Done, FileArgs, MakeArgs, Outcome, ProjectArgs, TryArgs, print, signals};
use crate::holder::{Finding, Level};
use crate::inputs::{Inputs, ROUTER_FOLDER, TRY_PIECE};
use crate::place::{Kept, Run, mend, place};
use crate::reading::{Problem, shown};
use crate::record::RECORD;
use crate::render::{FileError, render};
use crate::work_out::{About, Doing, Worked, work_out, work_out_again};

/// What a run of one holder says where there are files of others.
const COMMON_KEPT: &str = "Only its own files are new. The lists and plans of the whole project are those of the \
                           run before: make the project to bring them up to date.\n";

pub(super) fn check(args: &ProjectArgs) -> Done {
    let mut opened = opened(args)?;
    let out = opened.out.clone();
    opened.take_records(&out)?;
    let worked = worked(&opened, &ProgressBar::hidden())?;
    print(&report(&worked, true))?;
    Ok(if worked.is_stopped() { Outcome::Stopped } else { Outcome::Done })
}

pub(super) fn make(args: &MakeArgs) -> Done {
    let mut opened = opened(&args.project)?;
    let out = &args.files.out.clone().unwrap_or_else(|| opened.out.clone());
    tell_kept(&signals::during(|_| mend(out)).map_err(|p| vec![p])?);
    opened.take_records(out)?;
    let bar = progress(args.files.quiet);
    let worked = worked(&opened, &bar);
    bar.finish_and_clear();
    let worked = worked?;
    let said = report(&worked, false);
    if worked.is_stopped() && !args.force {
        return stopped(&said);
    }
    let files = rendered(&worked, &args.files, out).map_err(|p| vec![p])?;
    let run = worked.names().next().filter(|_| opened.alone).map_or(Run::Whole, Run::Alone);
    let placed = signals::during(|halt| place(out, &files, run, halt)).map_err(|p| vec![p])?;
    tell_kept(&placed.kept);
    if !args.files.quiet {
        tell(if placed.part { COMMON_KEPT } else { "" });
        tell(&said);
        print(&made(&worked, out))?;
    }
    Ok(if worked.is_stopped() { Outcome::Stopped } else { Outcome::Done })
}

fn stopped(said: &str) -> Done {
    tell(said);
    tell("Nothing was written. Fix what stops it, or add --force.\n");
    Ok(Outcome::Stopped)
}

/// Makes the try piece of a shop, and nothing else of a project.
pub(super) fn try_piece(args: &TryArgs) -> Done {
    let (folder, shop) = shop_file(&args.shop)?;
    let out = &args.files.out.clone().unwrap_or_else(|| folder.join("try"));
    tell_kept(&signals::during(|_| mend(out)).map_err(|p| vec![p])?);
    let worked = work_out(&Inputs::of_try_piece(shop, args.sheet.as_deref()))?;
    let told = worked.findings().filter(|(about, _)| !matches!(about, About::Shop | About::Wall));
    let said = told_of(told, false);
    if worked.is_stopped() {
        return stopped(&said);
    }
    let mut files = rendered(&worked, &args.files, out).map_err(|p| vec![p])?;
    files.retain(|path, _| {
        let of_piece = path.starts_with(TRY_PIECE) && !path.ends_with(RECORD);
        of_piece || path.starts_with(ROUTER_FOLDER)
    });
    let placed =
        signals::during(|halt| place(out, &files, Run::Whole, halt)).map_err(|p| vec![p])?;
    tell_kept(&placed.kept);
    if !args.files.quiet {
        tell(&said);
        let steps = out.join(TRY_PIECE).join("steps.md");
        print(&format!(
            "Made the try piece in {}. How it is used: {}.\n",
            out.display(),
            steps.display()
        ))?;
    }
    Ok(Outcome::Done)
}

fn opened(args: &ProjectArgs) -> Result<Opened, Vec<Problem>> {
    let mut opened = open(&args.project, args.only.as_deref(), &args.styles)?;
    opened.inputs = opened.inputs.with_cutting_steps(args.cutting_steps);
    Ok(opened)
}

fn worked(opened: &Opened, bar: &ProgressBar) -> Result<Worked, Vec<Problem>> {
    work_out_again(&opened.inputs, None, &|doing| {
        bar.set_message(match doing {
            Doing::Holder(name) => name.to_owned(),
            Doing::Plans => "planning the cuts".to_owned(),
        });
    })
}

/// The run's files by their paths in the folder `out`.
fn rendered(
    worked: &Worked,
    args: &FileArgs,
    out: &Path,
) -> Result<BTreeMap<PathBuf, Vec<u8>>, Problem> {
    let mut files = BTreeMap::new();
    render(worked, &args.options(), &mut files).map_err(|error| match error {
        FileError::Input(problem) => problem,
        FileError::Sink(error) => Problem::io("write", out, &error),
    })?;
    Ok(files.into_iter().map(|(name, bytes)| (PathBuf::from(name), bytes)).collect())
}

fn tell_kept(kept: &[Kept]) {
    kept.iter().for_each(|kept| tell(&format!("{kept}\n")));
}

/// "Made 16 holders, 79 parts, in …. 2 holders are built already. Shop: …".
fn made(worked: &Worked, out: &Path) -> String {
    let holders = many(worked.names().count() - worked.built(), "holder");
    let parts = many(worked.parts(), "part");
    let built = match worked.built() {
        0 => String::new(),
        1 => " 1 holder is built already.".to_owned(),
        count => format!(" {count} holders are built already."),
    };
    format!("Made {holders}, {parts}, in {}.{built} Shop: {}.\n", out.display(), worked.shop_name())
}

fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// What the checks found, by holder, then of the sheets and the cutting plan. Notes only when `all` is wanted,
/// and then each holder is named.
fn report(worked: &Worked, all: bool) -> String {
    told_of(worked.findings(), all)
}

fn told_of<'w>(findings: impl Iterator<Item = (About<'w>, &'w [Finding])>, all: bool) -> String {
    let mut text = String::new();
    for (about, findings) in findings {
        let told: Vec<&Finding> =
            findings.iter().filter(|f| all || f.level < Level::Note).collect();
        let clear = told.is_empty();
        match about {
            About::Holder { name, title } if all || !clear => {
                text.push_str(&format!("{name} ({title})\n"));
            }
            About::Shop if !clear => text.push_str("the shop\n"),
            About::Inventory if !clear => text.push_str("the tools\n"),
            About::Wall if !clear => text.push_str("the wall\n"),
            About::RouterSheets if !clear => text.push_str("sheets for the CNC router\n"),
            About::CuttingPlan if !clear => text.push_str("cutting plan\n"),
            _ => continue,
        }
        told.iter().for_each(|finding| text.push_str(&line(finding)));
        if clear {
            text.push_str("  No problems found.\n");
        }
    }
    text
}

fn line(finding: &Finding) -> String {
    format!("  {}: {}\n", finding.level.word(), finding.message)
}

fn tell(text: &str) {
    // Nobody is left to tell when the terminal is gone.
    let _ = std::io::stderr().lock().write_all(shown(text).as_bytes());
}

/// A line that shows what is being worked out; only on a terminal.
fn progress(quiet: bool) -> ProgressBar {
    if quiet {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new_spinner();
    if let Ok(style) = ProgressStyle::with_template("{elapsed}: {msg}") {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}
