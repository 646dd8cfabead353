//! Figures that are written late: what they count goes with them.

use super::{Quantity, Units};

/// A figure and what it counts, before it is known in which units it will be written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Amount {
    /// In mm.
    Length(f64),
    /// In mm, told as a caliper or a machine shows it.
    Fine(f64),
    /// A length that no tape shows, told as less than this one, in mm.
    Under(f64),
    /// Length and width in mm, where the units are said elsewhere: `13 9/16 × 8`.
    Sides([f64; 2]),
    /// In kg.
    Mass(f64),
    /// A mass times a length, in kg mm.
    MassLength(f64),
    /// In N.
    Force(f64),
    /// In N/mm².
    Stress(f64),
    /// In degrees.
    Angle(f64),
}

impl Units {
    /// An amount as a person reads it.
    pub(crate) fn amount(self, amount: Amount) -> String {
        match amount {
            Amount::Length(mm) => self.length(mm),
            Amount::Fine(mm) => self.fine(mm),
            Amount::Under(mm) => {
                let told = if self == Units::Millimeters { mm.ceil() } else { mm };
                format!("under {}", self.length(told))
            }
            Amount::Sides([length, width]) => {
                format!("{} × {}", self.bare_length(length), self.bare_length(width))
            }
            Amount::Mass(kg) => self.mass(kg),
            Amount::MassLength(kg_mm) => self.mass_length(kg_mm),
            Amount::Force(newtons) => self.force(newtons),
            Amount::Stress(mpa) => self.stress(mpa),
            Amount::Angle(degrees) => self.quantity(Quantity::degrees(degrees)),
        }
    }
}
