//! `measure` and `ruler`: commands that write one file.

use std::fs::symlink_metadata;
use std::io::{Error, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use tempfile::Builder;

use super::{Done, UnitWord, folder, print};
use crate::length::Units;
use crate::reading::Problem;
use crate::render::{measuring_page, printer_check};
use crate::shop::Paper;

/// Where one file goes, and how its page is laid out.
#[derive(Debug, Args)]
pub(super) struct SingleFileArgs {
    /// The file to write.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace the file if there is one.
    #[arg(long)]
    force: bool,
    /// What lengths are told in.
    #[arg(long, value_enum)]
    units: Option<UnitWord>,
    /// Paper of the page, instead of the usual one.
    #[arg(long, value_enum, ignore_case = true)]
    paper: Option<Paper>,
}

#[derive(Debug, Args)]
pub(super) struct MeasureArgs {
    /// Name of a style.
    style: String,
    #[command(flatten)]
    file: SingleFileArgs,
    /// A folder of further style files.
    #[arg(long, value_name = "DIR")]
    styles: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct RulerArgs {
    /// The project's folder or its shop file: paper, margin and scale are taken from there.
    project: Option<PathBuf>,
    #[command(flatten)]
    file: SingleFileArgs,
}

/// Writes the page to check a printer with.
pub(super) fn ruler(args: &RulerArgs) -> Done {
    let shop = args.project.as_deref().map(folder::shop_file).transpose()?;
    let shop = shop.and_then(|(_, source)| source);
    let bytes = printer_check(shop, args.file.units.map(Units::from), args.file.paper)?;
    put(&args.file, "ruler.pdf", &bytes)
}

/// Writes the measuring sheet of a style.
pub(super) fn measure(args: &MeasureArgs) -> Done {
    let SingleFileArgs { units, paper, .. } = &args.file;
    let units = units.map_or(Units::default(), Units::from);
    let inputs = folder::styles(&args.styles)?;
    let bytes = measuring_page(&inputs, &args.style, units, *paper)?;
    put(&args.file, &format!("measure-{}.pdf", args.style), &bytes)
}

/// Writes the file and says so; `usual` is its name where none is asked for.
fn put(args: &SingleFileArgs, usual: &str, bytes: &[u8]) -> Done {
    let path = args.out.clone().unwrap_or_else(|| PathBuf::from(usual));
    write_whole(&path, bytes, args.force).map_err(|problem| vec![problem])?;
    print(&format!("Wrote {}. Print it at 100 %, actual size.\n", path.display()))
}

/// Writes the file whole or not at all: beside its place first, then moved there. One that is there is replaced only
/// with `force`.
pub(super) fn write_whole(path: &Path, bytes: &[u8], force: bool) -> Result<(), Problem> {
    let unwritten = |error: Error| Problem::io("write", path, &error);
    match symlink_metadata(path) {
        Ok(there) if !there.is_file() => {
            let message = format!("can't write {}: what is there is no plain file", path.display());
            return Err(Problem::plain(message).with_help("name another file with --out"));
        }
        Ok(_) if !force => return Err(in_the_way(path)),
        _ => {}
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let mut beside =
        usual_file().tempfile_in(folder.unwrap_or(Path::new("."))).map_err(unwritten)?;
    beside.write_all(bytes).and_then(|()| beside.as_file().sync_all()).map_err(unwritten)?;
    let moved = if force { beside.persist(path) } else { beside.persist_noclobber(path) };
    moved.map(drop).map_err(|failed| match failed.error.kind() {
        std::io::ErrorKind::AlreadyExists => in_the_way(path),
        _ => unwritten(failed.error),
    })
}

fn in_the_way(path: &Path) -> Problem {
    let message = format!("{} is there already: nothing was written", path.display());
    Problem::plain(message).with_help("--force replaces it, --out FILE writes another one")
}

/// A new file that others may read, as far as the system lets them.
fn usual_file() -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(".cleatwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    builder
}
