//! What trying a style came to, in words.

use std::fmt;

use super::{Stop, Trial};

impl fmt::Display for Trial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: the style \"{}\"", self.file, self.name)?;
        if self.replaces {
            writeln!(f, "  It stands in for the built-in style of that name.")?;
        }
        for idle in &self.idle {
            writeln!(f, "  {idle}: nothing uses it. Use it in a formula, or leave it out.")?;
        }
        for part in &self.unadded {
            writeln!(
                f,
                "  {part}: no step adds it. Name it under adds in the step that puts it in place."
            )?;
        }
        writeln!(f, "  {} holders were tried, {} can be made.", self.tried, self.made)?;
        for (code, stop) in &self.stops {
            writeln!(f, "  {} stop: {code}. {}", stop.times, stop.message)?;
        }
        for (code, stop) in &self.faults {
            at_fault(f, code, stop)?;
        }
        if let Some(missed) = &self.missed {
            writeln!(
                f,
                "  Wrong: the loads leave something out. {missed}: look at mass in [weights]."
            )?;
        }
        if self.made == 0 {
            writeln!(
                f,
                "  Wrong: no holder of this style can be made. Look at the stops above, or at the ranges."
            )?;
        }
        if self.is_sound() {
            writeln!(f, "No problems found.")?;
        }
        Ok(())
    }
}

/// A stop that no measure should bring about, with a file that shows it.
fn at_fault(f: &mut fmt::Formatter<'_>, code: &str, stop: &Stop) -> fmt::Result {
    writeln!(f, "  Wrong, {} times: {code}. {}", stop.times, stop.message)?;
    writeln!(f, "    With this holder file:")?;
    stop.with.lines().filter(|line| !line.is_empty()).try_for_each(|line| writeln!(f, "    {line}"))
}
