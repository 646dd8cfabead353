//! `schema`: prints the JSON Schema of a kind of file.

use std::path::PathBuf;

use clap::Subcommand;

use super::{Done, UnitWord, folder, print};
use crate::schema::FileSchema;

/// The kinds of file.
#[derive(Debug, Subcommand)]
pub(super) enum SchemaTask {
    /// Of a holder file; with --style its measures and choices too.
    Holder {
        /// Name of a style.
        #[arg(long, value_name = "NAME")]
        style: Option<String>,
        /// What the figures are told in.
        #[arg(long, value_enum, default_value = "in", requires = "style")]
        units: UnitWord,
        /// A folder of further style files.
        #[arg(long, value_name = "DIR", requires = "style")]
        styles: Vec<PathBuf>,
    },
    /// Of a style file.
    Style,
    /// Of a shop file.
    Shop,
    /// Of an inventory, with the readings of all styles.
    Tools {
        /// A folder of further style files.
        #[arg(long, value_name = "DIR")]
        styles: Vec<PathBuf>,
    },
    /// Of a wall file.
    Wall,
}

pub(super) fn schema(task: &SchemaTask) -> Done {
    let schema = match task {
        SchemaTask::Holder { style: None, .. } => FileSchema::holder(),
        SchemaTask::Holder { style: Some(name), units, styles } => {
            FileSchema::holder_of(&folder::styles(styles)?, name, (*units).into())?
        }
        SchemaTask::Style => FileSchema::style(),
        SchemaTask::Shop => FileSchema::shop(),
        SchemaTask::Tools { styles } => FileSchema::tools(&folder::styles(styles)?),
        SchemaTask::Wall => FileSchema::wall(),
    };
    print(&schema.to_string())
}
