//! A number with its dimension.

use std::fmt;

/// What kind of thing a number counts, as powers of length (mm), mass (kg), force (N) and
/// angle (degrees). Force stands on its own: nobody in the shop thinks of it as kg·m/s².
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Dimension {
    /// Power of length.
    pub length: i8,
    /// Power of mass.
    pub mass: i8,
    /// Power of force.
    pub force: i8,
    /// Power of angle.
    pub angle: i8,
}

impl Dimension {
    /// A plain number.
    pub const NUMBER: Self = Self { length: 0, mass: 0, force: 0, angle: 0 };
    /// In mm.
    pub const LENGTH: Self = Self { length: 1, ..Self::NUMBER };
    /// In mm².
    pub const AREA: Self = Self { length: 2, ..Self::NUMBER };
    /// In kg.
    pub const MASS: Self = Self { mass: 1, ..Self::NUMBER };
    /// In N.
    pub const FORCE: Self = Self { force: 1, ..Self::NUMBER };
    /// In degrees.
    pub const ANGLE: Self = Self { angle: 1, ..Self::NUMBER };

    /// The dimension of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_add(other.length),
            mass: self.mass.saturating_add(other.mass),
            force: self.force.saturating_add(other.force),
            angle: self.angle.saturating_add(other.angle),
        }
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn per(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_sub(other.length),
            mass: self.mass.saturating_sub(other.mass),
            force: self.force.saturating_sub(other.force),
            angle: self.angle.saturating_sub(other.angle),
        }
    }

    /// The dimension of a square root; `None` where a power is odd.
    pub fn root(self) -> Option<Self> {
        let powers = [self.length, self.mass, self.force, self.angle];
        powers.iter().all(|p| p % 2 == 0).then_some(Self {
            length: self.length / 2,
            mass: self.mass / 2,
            force: self.force / 2,
            angle: self.angle / 2,
        })
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = match *self {
            Self::NUMBER => "a plain number",
            Self::LENGTH => "a length",
            Self::AREA => "an area",
            Self::MASS => "a mass",
            Self::FORCE => "a force",
            Self::ANGLE => "an angle",
            Self { length, mass, force, angle } => {
                let powers = [(length, "mm"), (mass, "kg"), (force, "N"), (angle, "deg")];
                let words: Vec<String> = powers
                    .iter()
                    .filter(|(power, _)| *power != 0)
                    .map(|(power, unit)| format!("{unit}^{power}"))
                    .collect();
                return write!(f, "a figure in {}", words.join(" "));
            }
        };
        f.write_str(name)
    }
}

/// A number with its dimension, held in mm, kg, N and degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// In mm, kg, N, degrees and their products.
    pub value: f64,
    /// What it measures.
    pub dimension: Dimension,
}

impl Quantity {
    /// A plain number or a count.
    pub fn number(value: f64) -> Self {
        Self { value, dimension: Dimension::NUMBER }
    }

    /// A length in mm.
    pub fn mm(value: f64) -> Self {
        Self { value, dimension: Dimension::LENGTH }
    }

    /// A mass in kg.
    pub fn kg(value: f64) -> Self {
        Self { value, dimension: Dimension::MASS }
    }

    /// An angle in degrees.
    pub fn degrees(value: f64) -> Self {
        Self { value, dimension: Dimension::ANGLE }
    }
}
