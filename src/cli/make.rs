//! `make` and `check`.

use std::io::Write;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::files::{Plans, Wishes, files};
use super::{Done, MakeArgs, Outcome, ProjectArgs, print};
use crate::cutting::{self, Budget};
use crate::holder::{Finding, Holder, Level};
use crate::project::{Project, open, place};
use crate::router::plan;

pub(super) fn check(args: &ProjectArgs) -> Done {
    let project = open(&args.project, &args.styles)?;
    let router = plan(&project.holders, &project.shop);
    let cutting = cutting::plan(&project.holders, &project.shop, &router, Budget::default());
    print(&report(&project.holders, Plans { router: &router, cutting: &cutting }, true));
    Ok(if is_stopped(&project.holders) { Outcome::Stopped } else { Outcome::Done })
}

pub(super) fn make(args: &MakeArgs) -> Done {
    let project = open(&args.project.project, &args.project.styles)?;
    let router = plan(&project.holders, &project.shop);
    let budget = Budget { steps: args.cutting_steps };
    let cutting = cutting::plan(&project.holders, &project.shop, &router, budget);
    let plans = Plans { router: &router, cutting: &cutting };
    let said = report(&project.holders, plans, false);
    if is_stopped(&project.holders) && !args.anyway {
        tell(&said);
        tell("Nothing was written. Change what the findings say, or add --anyway.\n");
        return Ok(Outcome::Stopped);
    }
    let wishes = Wishes {
        dxf: args.dxf_options(),
        offset_by_bit: args.offset_by_bit,
        printer: crate::shop::Printer {
            paper: args.paper.unwrap_or(project.shop.printer.paper),
            ..project.shop.printer
        },
    };
    let bar = progress(&project, args.quiet);
    let made = files(&project, plans, &wishes, &|name| {
        bar.inc(1);
        bar.set_message(name.to_owned());
    });
    bar.finish_and_clear();
    let out = args.out.as_ref().unwrap_or(&project.out);
    place(out, &made.map_err(|p| vec![p])?).map_err(|p| vec![p])?;
    if !args.quiet {
        tell(&said);
        let parts: usize = project.holders.iter().map(|h| h.parts.len()).sum();
        let (holders, parts) = (many(project.holders.len(), "holder"), many(parts, "part"));
        print(&format!("Made {holders} with {parts} in {}\n", out.display()));
    }
    Ok(Outcome::Done)
}

fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

fn is_stopped(holders: &[Holder]) -> bool {
    holders.iter().flat_map(|h| &h.findings).any(|f| f.level == Level::Stop)
}

/// What the checks found, by holder, then of the router's sheets. Notes only when `all` is wanted,
/// and then each holder is named.
fn report(holders: &[Holder], plans: Plans<'_, '_>, all: bool) -> String {
    let mut text = String::new();
    for holder in holders {
        let told: Vec<&Finding> =
            holder.findings.iter().filter(|f| all || f.level < Level::Note).collect();
        if told.is_empty() && !all {
            continue;
        }
        text.push_str(&format!("{} ({})\n", holder.name, holder.title));
        for finding in &told {
            text.push_str(&line(finding));
        }
        if told.is_empty() {
            text.push_str("  nothing stands against it\n");
        }
    }
    let common = [
        ("sheets for the router", &plans.router.findings),
        ("cutting plan", &plans.cutting.findings),
    ];
    for (heading, findings) in common {
        let told: Vec<&Finding> =
            findings.iter().filter(|f| all || f.level < Level::Note).collect();
        if !told.is_empty() {
            text.push_str(&format!("{heading}\n"));
            told.iter().for_each(|finding| text.push_str(&line(finding)));
        }
    }
    text
}

fn line(finding: &Finding) -> String {
    format!("  {}: {}\n", finding.level.word(), finding.message)
}

fn tell(text: &str) {
    // Nobody is left to tell when the terminal is gone.
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// A line that shows how far a longer run has come; only on a terminal.
fn progress(project: &Project, quiet: bool) -> ProgressBar {
    if quiet {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(project.holders.len() as u64);
    if let Ok(style) = ProgressStyle::with_template("{pos} of {len}: {msg}") {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}
