//! Every tolerance of the program, in one place. In millimeters unless it says otherwise.

/// Two coordinates closer than this are the same point to a woodworker and to every file written.
pub const COORDINATE: f64 = 0.001;

/// A contour's segments meet to within this.
pub const CLOSING: f64 = 1e-6;

/// A vertex this close to the run through its neighbors is no corner and is left out.
pub const MERGING: f64 = 1e-9;

/// A vertex of a cutter this close to an edge of the part is meant to lie on it.
pub const ALIGNING: f64 = 1e-4;

/// No coordinate lies further out and no size is larger: 100 m. Beyond it the tolerances above
/// would come down to the grain of the numbers.
pub const REACH: f64 = 1e5;

/// How far a flattened arc may stand off the true arc when areas are compared.
pub const FLATTENING: f64 = 0.001;

/// How far a line or arc may stand off the curve it is fitted to, and the curve off it.
pub const FITTING: f64 = 0.01;

/// Sine of the least turn that counts as a corner and not as a smooth run: half a degree.
pub const SMOOTH: f64 = 0.0087;

/// Least wood left between two cuts by router. Common practice, no source.
pub const LEAST_WEB_ROUTER: f64 = 3.0;

/// Least wood left between two cuts by hand saw. Common practice, no source.
pub const LEAST_WEB_HAND: f64 = 6.0;

/// Least wood left between a cut and a screw or its hole, however the cut is made: what a drill wanders and a chisel
/// slips comes to a millimeter each. Common practice, no source.
pub const LEAST_WEB_SCREW: f64 = 3.0;

/// Least wood left under a pocket. Common practice, no source.
pub const LEAST_FLOOR: f64 = 3.0;

/// Slack on each side of the bit by which a relief or slot is wider, so that the bit is never trapped.
pub const RELIEF_SLACK: f64 = 0.05;
