//! Factors by which reference design values are adjusted.

/// Lateral design value in end grain as part of that in side grain (NDS-2018 12.5.2.2).
pub const END_GRAIN_LATERAL: f64 = 0.67;

/// What a fastener's length lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScrewGrain {
    /// It stands across the grain: through a face or a long edge of a board. A panel's faces.
    Side,
    /// It runs along the grain, as into the end of a board.
    End,
}

impl ScrewGrain {
    /// The end grain factor for lateral loads (NDS-2018 12.5.2.2).
    pub fn lateral(self) -> f64 {
        match self {
            Self::Side => 1.0,
            Self::End => END_GRAIN_LATERAL,
        }
    }
}

/// How long a load stays on in all (NDS-2018 table 2.3.2).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadDuration {
    /// For good, as tools on a wall.
    Permanent,
    TenYears,
    TwoMonths,
    SevenDays,
    TenMinutes,
}

impl LoadDuration {
    /// The load duration factor, by which strengths and fastener values are multiplied, stiffness
    /// and compression across the grain not (NDS-2018 table 2.3.2 and its footnotes).
    pub fn factor(self) -> f64 {
        match self {
            Self::Permanent => 0.9,
            Self::TenYears => 1.0,
            Self::TwoMonths => 1.15,
            Self::SevenDays => 1.25,
            Self::TenMinutes => 1.6,
        }
    }
}
