//! Sizes that agree: lengths that may give are drawn together over the holders of a project, so that as few
//! different widths and lengths as can be are cut. One setting of the saw then serves many pieces.
//!
//! A size is given up where every holder that has it can take one that another holder has anyhow, by moving one
//! of its open choices no further than its style says. Each holder so moved is built and judged; none may come
//! out worse than it was.

mod meet;
mod member;
mod plan;
mod search;
mod sizes;
mod tally;

use rayon::prelude::*;

use super::candidate::Files;
use super::moved::Moved;
pub(super) use member::Looks;
use member::Member;

/// Moves choices of the holders in `files` that have something `moved` so that their sizes agree. `looks` is what
/// is known of each from before.
pub(super) fn agree(files: &[Files<'_>], moved: &mut [Option<Moved>], looks: &mut [Looks]) {
    // A holder alone agrees with none.
    if files.len() < 2 {
        return;
    }
    let each = files.par_iter().zip(moved.par_iter()).zip(looks.par_iter_mut()).enumerate();
    let (places, mut members): (Vec<usize>, Vec<Member<'_>>) = each
        .filter_map(|(at, ((files, moved), looks))| {
            let looks = std::mem::take(looks);
            Some((at, Member::new(*files, moved.as_ref()?, looks)?))
        })
        .unzip();
    if members.len() > 1 {
        search::draw_together(&mut members);
    }
    let told = search::told(&mut members);
    for ((at, member), agreed) in places.into_iter().zip(members).zip(told) {
        looks[at] = member.into_looks();
        if let Some(moved) = &mut moved[at] {
            moved.agreed = agreed;
        }
    }
}
