//! All holders of a project: what the shop leaves open is settled for them together, then each by itself.

use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use super::agree::{Looks, agree};
use super::candidate::Files;
use super::change::Change;
use super::knob::shop_knobs;
use super::moved::{Moved, changes, moved, moved_and_far};
use super::search::{Move, Scope, best};
use super::worth::Worth;
use crate::holder::SettledChoice;
use crate::shop::{OpenFigures, Shop};
use crate::style::HolderFile;

/// At most so many of the shop's figures are moved.
const OF_SHOP: usize = 3;

/// Choices of a holder that are moved at once while the shop is not settled: more would be no reason to settle
/// it otherwise.
const WHILE_OPEN: usize = 2;

/// What was settled for a project.
pub(crate) struct Project {
    /// The shop with what it left open.
    pub shop: Shop,
    /// What of it was moved.
    pub settled: Vec<SettledChoice>,
    /// What is moved of each holder, in their order; `None` where its file is wrong.
    pub moved: Vec<Option<Moved>>,
    /// What was worked out on the way, of each holder.
    pub known: Vec<Known>,
}

/// What is moved of all holders with changes of the shop, and at most so many choices of each at once.
type MovedAll<'a> = &'a dyn Fn(&[&Change], usize) -> Vec<Option<Moved>>;

/// What is moved of one holder with changes of the shop: worked out once however often it is asked for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Known {
    moved: Vec<KnownMoved>,
    /// What it looks like with some choices moved, in the shop with those changes.
    looks: (Vec<Change>, Looks),
}

#[derive(Debug, Clone)]
struct KnownMoved {
    of_shop: Vec<Change>,
    at_once: usize,
    moved: Option<Moved>,
}

impl Known {
    fn with(
        &mut self,
        (of_shop, at_once): (&[&Change], usize),
        file: &HolderFile,
        shop: &Shop,
    ) -> Option<Moved> {
        // What served with fewer moves at once serves with more.
        let as_many = |known: &KnownMoved| {
            let served = known.moved.as_ref().is_some_and(|moved| moved.worth.found() == [0, 0]);
            known.at_once == at_once || served && known.at_once < at_once
        };
        let same =
            |known: &KnownMoved| known.of_shop.iter().eq(of_shop.iter().copied()) && as_many(known);
        // A slow holder is not worked out anew for each shop that comes into question.
        let slow = |known: &KnownMoved| known.moved.as_ref().is_some_and(|moved| moved.slow);
        let tried = at_once <= WHILE_OPEN;
        if let Some(known) = self.moved.iter().find(|known| same(known) || tried && slow(known)) {
            return known.moved.clone();
        }
        let (file, shop) = Files { file, shop }.with(of_shop.iter().copied());
        let moved = moved(Files { file: &file, shop: &shop }, at_once).ok();
        let of_shop = of_shop.iter().map(|change| (*change).clone()).collect();
        self.moved.push(KnownMoved { of_shop, at_once, moved: moved.clone() });
        moved
    }
}

/// Settles what `shop` and `files` leave open. `known` is what is known of each file in this shop from before.
pub(crate) fn project(files: &[&HolderFile], shop: &Shop, known: Vec<Known>) -> Project {
    let known: Vec<Mutex<Known>> = known.into_iter().map(Mutex::new).collect();
    let all_at_once = |of_shop: &[&Change], at_once: usize| -> Vec<Option<Moved>> {
        let each = files.par_iter().zip(&known);
        let with = |known: &Mutex<Known>, file: &HolderFile| {
            known.lock().ok().and_then(|mut known| known.with((of_shop, at_once), file, shop))
        };
        each.map(|(file, known)| with(known, file)).collect()
    };
    let all = &|of_shop: &[&Change], at_once: usize| all_at_once(of_shop, at_once);
    let moves = of_shop(shop, all);
    let knobs = shop_knobs(shop, shop.open);
    let of_shop: Vec<&Change> = changes(&knobs, &moves).collect();
    let mut moved = all_at_once(&of_shop, usize::MAX);
    let told = of_shop.iter().map(|change| told(shop, change, &of_shop, all)).collect();
    let shop = with(shop, &of_shop);
    let unlocked = |known: Mutex<Known>| known.into_inner().unwrap_or_else(PoisonError::into_inner);
    let mut known: Vec<Known> = known.into_iter().map(unlocked).collect();
    if shop.agree {
        agreed(files, (&shop, &of_shop), &mut moved, &mut known);
    }
    Project { settled: told, moved, known, shop }
}

/// The shop with what was settled of it.
fn with(shop: &Shop, changes: &[&Change]) -> Shop {
    let mut shop = shop.clone();
    changes.iter().for_each(|change| change.in_shop(&mut shop));
    shop.open = OpenFigures::default();
    shop
}

/// Draws the sizes of the holders together, in the shop with those changes.
fn agreed(
    files: &[&HolderFile],
    (shop, of_shop): (&Shop, &[&Change]),
    moved: &mut [Option<Moved>],
    known: &mut [Known],
) {
    let files: Vec<Files<'_>> = files.iter().map(|file| Files { file, shop }).collect();
    let of_shop: Vec<Change> = of_shop.iter().copied().cloned().collect();
    let looks = |known: &mut Known| {
        let (in_shop, looks) = std::mem::take(&mut known.looks);
        if in_shop == of_shop { looks } else { Looks::default() }
    };
    let mut looks: Vec<Looks> = known.iter_mut().map(looks).collect();
    agree(&files, moved, &mut looks);
    known.iter_mut().zip(looks).for_each(|(known, looks)| known.looks = (of_shop.clone(), looks));
}

/// What is moved of the shop, with its reason: what comes about where it alone is not moved.
fn told(shop: &Shop, change: &Change, of_shop: &[&Change], all: MovedAll<'_>) -> SettledChoice {
    let others: Vec<&Change> = of_shop.iter().copied().filter(|other| *other != change).collect();
    let found = all(&others, WHILE_OPEN).into_iter().flatten().map(|moved| moved.worth.found());
    let because = match found.filter(|found| *found != [0, 0]).count() {
        0 => "more choices of the holders would have to move".to_owned(),
        1 => "too much would be asked of one holder".to_owned(),
        count => format!("too much would be asked of {count} holders"),
    };
    let [default, value] = change.of_shop(shop);
    SettledChoice { choice: change.name().to_owned(), default, value, because }
}

/// What is moved of the shop: what is best for all holders together.
fn of_shop(shop: &Shop, all: MovedAll<'_>) -> Vec<Move> {
    let knobs = shop_knobs(shop, shop.open);
    if knobs.is_empty() {
        return Vec::new();
    }
    let good = |worth: &Worth| worth.found() == [0, 0];
    let worth = |moves: &[Move], least: Option<Worth>| {
        let of_shop: Vec<&Change> = changes(&knobs, moves).collect();
        let [moved, far] = moved_and_far(moves);
        // With more moves than the best that serves has a holder would not make it better.
        let fewer =
            least.filter(good).map_or(WHILE_OPEN, |least| least.moved.saturating_sub(moved));
        let each = all(&of_shop, fewer.min(WHILE_OPEN)).into_iter().flatten();
        let each = each.map(|moved| moved.worth);
        each.fold(Worth { moved, far, ..Worth::default() }, Worth::plus)
    };
    let start = worth(&[], None);
    if start.found() == [0, 0] && start.moved == 0 {
        return Vec::new();
    }
    let sizes: Vec<usize> = knobs.iter().map(|knob| knob.changes.len()).collect();
    // Where it serves as it is, one figure moved may save choices of the holders.
    let scope =
        Scope { sizes: &sizes, most: usize::MAX, at_once: if good(&start) { 1 } else { OF_SHOP } };
    let least = |known: Option<Worth>| Some(known.map_or(start, |known| known.min(start)));
    let asked = |moves: &[Move], known, ()| Some(worth(moves, least(known)));
    let best = best(&scope, good, (|_: &[Move], _| (), asked), || true);
    best.filter(|(_, worth)| *worth < start).map_or_else(Vec::new, |(moves, _)| moves)
}
