//! What is worth keeping.

use super::super::measure::micrometers;
use crate::shop::SawRules;

/// Whether a rest of `size` is worth keeping: as long and wide as the shop file says, whichever
/// way the grain runs; of a dowel and of a finished cleat strip (`as_strip`) only the length counts.
pub(crate) fn is_kept(size: [i64; 2], as_strip: bool, saw: &SawRules) -> bool {
    let [longer, shorter] = saw.keep_offcut.map(micrometers);
    let [length, width] = size;
    if as_strip {
        return length >= longer;
    }
    length.max(width) >= longer && length.min(width) >= shorter
}
