//! What shells and `man` are told of the command line.

use clap::Command;
use clap_complete::Shell;
use clap_mangen::Man;

use super::{Done, print, written};
use crate::reading::{Problem, nearest};

/// What `shell` needs to complete commands.
pub(super) fn completions(mut command: Command, shell: Shell) -> Done {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command, "cleatwright", &mut script);
    print(&String::from_utf8_lossy(&script))
}

/// The man page, or that of one command.
pub(super) fn man(command: Command, name: Option<&str>) -> Done {
    let mut whole = command.disable_help_subcommand(true);
    whole.build();
    let told = name.map_or(Ok(whole.clone()), |name| found(&whole, name))?;
    let mut page = Vec::new();
    written(Man::new(told).render(&mut page))?;
    print(&String::from_utf8_lossy(&page))
}

fn found(whole: &Command, name: &str) -> Result<Command, Vec<Problem>> {
    whole.find_subcommand(name).cloned().ok_or_else(|| {
        let known: Vec<&str> = whole.get_subcommands().map(Command::get_name).collect();
        let help = nearest(name, &known);
        vec![Problem::plain(format!("there is no command \"{name}\"")).with_help(help)]
    })
}
