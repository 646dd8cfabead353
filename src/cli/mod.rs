//! The command line.

mod folder;
mod make;
mod plain_file;
mod propose;
mod schema;
mod signals;
mod single;
mod terminal;

use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::builder::PossibleValue;
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::export::dxf;
use crate::guide;
use crate::inventory::default_tools;
use crate::length::Units;
use crate::reading::{Problem, shown};
use crate::render::{Options, Patterns, style_picture};
use crate::shop::{Paper, default_shop};
use crate::style::Styles;
use crate::trial::Trial;
use crate::wall::default_wall;

/// From a few readings off your tools to patterns, pages and CNC outlines for holders on a
/// French cleat wall.
#[derive(Debug, Parser)]
#[command(name = "cleatwright", version)]
struct Command {
    #[command(subcommand)]
    task: Task,
}

#[derive(Debug, Subcommand)]
enum Task {
    /// Make every drawing, page and list of a project (a folder or one holder file).
    Make(MakeArgs),
    /// Say what the checks find; write nothing.
    Check(ProjectArgs),
    /// Write holder files for the tools of tools.toml that no holder names, each in the style that suits best.
    Propose(propose::ProposeArgs),
    /// Make a try piece for the CNC router: mortises of more and more clearance, and a tab to push into them.
    Try(TryArgs),
    /// Write a measuring sheet for a style, as PDF: the tool, what to measure on it, and boxes for the figures.
    Measure(single::MeasureArgs),
    /// Write a page to check your printer with, as PDF: long bars both ways, and the scale to write where they are not true.
    Ruler(single::RulerArgs),
    /// List the styles of holder, or say what to measure for one. "check" tries a style file of your own,
    /// "writing" tells how one is written, "vocabulary" what readings are called.
    Styles {
        /// Name of a style, "check", "writing" or "vocabulary".
        style: Option<String>,
        /// With "check": the style file to try.
        #[arg(value_name = "FILE")]
        tried: Option<PathBuf>,
        /// Print a picture of one as SVG: assembled, taken apart, from the front, the end and above.
        #[arg(long, requires = "style", conflicts_with = "file")]
        picture: bool,
        /// Print the style's own file and the groups that it takes in.
        #[arg(long)]
        file: bool,
        /// What the figures are told in.
        #[arg(long, value_enum, default_value = "in")]
        units: UnitWord,
        /// A folder of further style files.
        #[arg(long, value_name = "DIR")]
        styles: Vec<PathBuf>,
    },
    /// Print the JSON Schema of a kind of file, for editors and for checks without this program.
    #[command(subcommand)]
    Schema(schema::SchemaTask),
    /// Print a holder file to begin from, with comments ("shop" prints a shop file, "tools" an inventory, "wall" a
    /// wall file).
    Start {
        /// Name of a style, "shop", "tools" or "wall".
        style: String,
        /// What you measure in.
        #[arg(long, value_enum, default_value = "in")]
        units: UnitWord,
        /// A folder of further style files.
        #[arg(long, value_name = "DIR")]
        styles: Vec<PathBuf>,
    },
    /// List the topics of the guide, or print one: files and their keys, what is made, what loads count.
    Guide {
        /// Name of a topic.
        topic: Option<String>,
    },
    /// Print what a shell needs to complete commands.
    Completions {
        /// Your shell.
        shell: clap_complete::Shell,
    },
    /// Print the man page, or that of one command.
    Man {
        /// Name of a command.
        command: Option<String>,
    },
}

#[derive(Debug, Args)]
struct ProjectArgs {
    /// The project's folder, or a single holder file.
    project: PathBuf,
    /// Work out this one holder only, named as its file.
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    /// A folder of further style files.
    #[arg(long, value_name = "DIR")]
    styles: Vec<PathBuf>,
    /// How hard to search for a good cutting plan; the same number gives the same plan.
    #[arg(long, value_name = "N", default_value_t = crate::cutting::Budget::default().steps)]
    cutting_steps: u64,
}

#[derive(Debug, Args)]
struct MakeArgs {
    #[command(flatten)]
    project: ProjectArgs,
    #[command(flatten)]
    files: FileArgs,
    /// Write the files even when a finding says stop.
    #[arg(long)]
    force: bool,
}

#[derive(Debug, Args)]
struct TryArgs {
    /// The project's folder, or a shop file.
    shop: PathBuf,
    /// The sheet to cut it from, as the shop file names it.
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    #[command(flatten)]
    files: FileArgs,
}

/// Where files go, and how they are written.
#[derive(Debug, Args)]
struct FileArgs {
    /// Where the files go; by default "made" in the project's folder, "try" for a try piece.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Version of the DXF files.
    #[arg(long, value_enum, default_value = "r2000")]
    dxf: DxfWord,
    /// Unit of the DXF files.
    #[arg(long, value_enum, default_value = "mm")]
    dxf_units: UnitWord,
    /// Outlines for the machine follow the center of the router bit instead of the edges of the part.
    #[arg(long)]
    offset_by_bit: bool,
    /// Paper of the pages, instead of what the shop file says.
    #[arg(long, value_enum, ignore_case = true)]
    paper: Option<Paper>,
    /// Which parts have full-size patterns on the pages: the others have marking strips where they are plain.
    #[arg(long, value_enum, default_value = "shaped")]
    patterns: PatternsWord,
    /// Say only what is wrong.
    #[arg(long)]
    quiet: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PatternsWord {
    All,
    Shaped,
    None,
}

impl From<PatternsWord> for Patterns {
    fn from(word: PatternsWord) -> Self {
        match word {
            PatternsWord::All => Self::All,
            PatternsWord::Shaped => Self::Shaped,
            PatternsWord::None => Self::None,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum DxfWord {
    R2000,
    R12,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum UnitWord {
    Mm,
    In,
}

impl From<UnitWord> for Units {
    fn from(word: UnitWord) -> Self {
        match word {
            UnitWord::Mm => Self::Millimeters,
            UnitWord::In => Self::Inches,
        }
    }
}

impl FileArgs {
    fn options(&self) -> Options {
        let version = match self.dxf {
            DxfWord::R2000 => dxf::Version::R2000,
            DxfWord::R12 => dxf::Version::R12,
        };
        let dxf = dxf::Dialect { version, units: self.dxf_units.into() };
        Options {
            dxf,
            offset_by_bit: self.offset_by_bit,
            paper: self.paper,
            patterns: self.patterns.into(),
        }
    }
}

impl ValueEnum for Paper {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.name()))
    }
}

/// How a run ended. The numbers are the exit status.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// All was made, or nothing stands against it.
    Done = 0,
    /// A finding says stop.
    Stopped = 1,
    /// The input is wrong.
    BadInput = 2,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome as u8)
    }
}

/// Runs the program on the arguments it was started with.
pub fn run() -> Outcome {
    // Lines stay whole, so that a path in a message is not torn; a terminal folds them itself.
    // The hook can be set only once, which this is.
    let _ = miette::set_hook(Box::new(|_| {
        Box::new(miette::MietteHandlerOpts::new().wrap_lines(false).build())
    }));
    signals::watch();
    let task = match Command::try_parse() {
        Ok(command) => command.task,
        Err(asked) => return usage(&asked),
    };
    let done = match &task {
        Task::Make(args) => make::make(args),
        Task::Check(args) => make::check(args),
        Task::Propose(args) => propose::propose(args),
        Task::Try(args) => make::try_piece(args),
        Task::Measure(args) => single::measure(args),
        Task::Ruler(args) => single::ruler(args),
        Task::Styles { style: Some(word), tried, styles, .. } if word == "check" => {
            try_style(tried.as_deref(), styles)
        }
        Task::Styles { style: Some(word), .. } if word == "writing" => print(Styles::writing()),
        Task::Styles { style: Some(word), .. } if word == "vocabulary" => {
            print(Styles::vocabulary())
        }
        Task::Styles { style: Some(name), picture: true, units, styles, .. } => {
            show_style(name, (*units).into(), styles)
        }
        Task::Styles { style, file, units, styles, .. } => {
            tell_styles(style.as_deref(), *file, (*units).into(), styles)
        }
        Task::Schema(task) => schema::schema(task),
        Task::Start { style, units, styles } => start(style, (*units).into(), styles),
        Task::Guide { topic } => tell_topic(topic.as_deref()),
        Task::Completions { shell } => terminal::completions(Command::command(), *shell),
        Task::Man { command } => terminal::man(Command::command(), command.as_deref()),
    };
    done.unwrap_or_else(failed)
}

/// Help, the version, or what is wrong with the arguments.
fn usage(asked: &clap::Error) -> Outcome {
    match written(asked.print()) {
        Ok(()) if !asked.use_stderr() => Outcome::Done,
        Ok(()) => Outcome::BadInput,
        Err(problems) => failed(problems),
    }
}

fn failed(problems: Vec<Problem>) -> Outcome {
    problems.into_iter().for_each(complain);
    Outcome::BadInput
}

type Done = Result<Outcome, Vec<Problem>>;

fn complain(problem: Problem) {
    let mut error = std::io::stderr().lock();
    // Nobody is left to tell when the terminal is gone.
    let _ = writeln!(error, "{:?}", miette::Report::new(problem));
}

fn tell_styles(name: Option<&str>, file: bool, units: Units, folders: &[PathBuf]) -> Done {
    let styles = Styles::of(&folder::styles(folders)?);
    let text = match name {
        None => styles.list(),
        Some(name) if file => styles.file(name),
        Some(name) => styles.guide(name, units),
    };
    print(&text?)
}

fn show_style(name: &str, units: Units, folders: &[PathBuf]) -> Done {
    print(&style_picture(&folder::styles(folders)?, name, units)?)
}

/// Tries a style file of the person's own, with the groups beside it.
fn try_style(file: Option<&Path>, folders: &[PathBuf]) -> Done {
    let Some(file) = file else {
        let help = "write: cleatwright styles check styles/NAME.toml";
        return Err(vec![Problem::plain("which style file is to be checked?").with_help(help)]);
    };
    let (inputs, name) = folder::style(file, folders)?;
    let trial = Trial::of(&inputs, &name)?;
    print(&trial.to_string())?;
    Ok(if trial.is_sound() { Outcome::Done } else { Outcome::Stopped })
}

fn start(name: &str, units: Units, folders: &[PathBuf]) -> Done {
    match name {
        "shop" => return print(default_shop(units)),
        "tools" => return print(default_tools(units)),
        "wall" => return print(default_wall(units)),
        _ => {}
    }
    print(&Styles::of(&folder::styles(folders)?).start(name, units)?)
}

fn tell_topic(name: Option<&str>) -> Done {
    match name {
        None => print(&guide::topics()),
        Some(name) => print(guide::topic(name).map_err(|problem| vec![problem])?),
    }
}

/// Prints to standard output.
///
/// # Errors
/// When it can't be written, as on a full disk.
fn print(text: &str) -> Done {
    let mut out = std::io::stdout().lock();
    written(out.write_all(shown(text).as_bytes()).and_then(|()| out.flush()))?;
    Ok(Outcome::Done)
}

/// A reader that has closed standard output early wants no more.
fn written(done: std::io::Result<()>) -> Result<(), Vec<Problem>> {
    match done {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(vec![Problem::io("write", Path::new("standard output"), &e)])
        }
        _ => Ok(()),
    }
}
