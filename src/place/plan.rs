//! What is to be done so that the new files stand in for the old ones.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::folder::{Folder, Look};
use super::journal::{In, Journal, Out, old_folder};
use super::marker::Marker;
use super::name::Name;
use super::run::{Kept, New, Run};
use super::seal::Seal;
use crate::reading::Problem;

/// The moves, the bytes of the new files in the order of the journal, and what is left as it is.
#[derive(Debug)]
pub(super) struct Plan<'n> {
    pub(super) journal: Journal,
    pub(super) bytes: Vec<Cow<'n, [u8]>>,
    pub(super) left: Vec<Kept>,
    /// Whether it is a share of the run's files only.
    pub(super) part: bool,
}

/// How a file of an earlier run is found.
enum Found {
    AsWritten,
    /// A person changed it to this, which is `None` for a link in its place.
    Changed(Option<Seal>),
    Gone,
    /// Something that is no file is in its place.
    Foreign,
}

/// The moves that put `new` in place of all earlier files; where the run is for one folder alone and the earlier
/// ones are for more, what is in that folder in place of what was. Other earlier files stay, and stay known.
///
/// # Errors
/// When something that no run wrote is in the way of a new file.
pub(super) fn plan<'n>(folder: &Folder, new: &New<'n>, run: Run<'_>) -> Result<Plan<'n>, Problem> {
    let (old, old_seal) = Marker::read(folder)?;
    let share = Share::of(run, &old);
    let new: New<'n> =
        new.iter().filter(|(name, _)| share.takes(name)).map(|(n, b)| (n.clone(), *b)).collect();
    let mut draft = Draft::new(folder, new);
    for (name, seal) in &old.files {
        if share.takes(name) {
            draft.earlier(name, seal)?;
        } else {
            draft.carried.insert(name.clone(), seal.clone());
        }
    }
    draft.come_in()?;
    draft.folders(&old.folders)?;
    let alone = if share == Share::All { run.alone() } else { old.alone.as_deref() };
    draft.alone = alone.map(str::to_owned);
    Ok(Plan { part: share != Share::All, ..draft.finish(&old.folders, old_seal) })
}

/// What of the whole set a run replaces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Share<'r> {
    All,
    Folder(&'r str),
}

impl<'r> Share<'r> {
    fn of(run: Run<'r>, old: &Marker) -> Self {
        match run {
            Run::Alone(folder) if !old.files.is_empty() && old.alone.as_deref() != Some(folder) => {
                Self::Folder(folder)
            }
            Run::Alone(_) | Run::Whole => Self::All,
        }
    }

    fn takes(self, name: &Name) -> bool {
        match self {
            Self::All => true,
            Self::Folder(folder) => name.path().starts_with(folder),
        }
    }
}

struct Draft<'f, 'n> {
    folder: &'f Folder,
    new: New<'n>,
    /// As the marker will say it.
    alone: Option<String>,
    /// Of the new files.
    seals: BTreeMap<Name, Seal>,
    /// Earlier files that this run leaves as they are.
    carried: BTreeMap<Name, Seal>,
    /// New files that lie there already.
    same: BTreeSet<Name>,
    outs: BTreeMap<Name, Out>,
    ins: Vec<In>,
    bytes: Vec<Cow<'n, [u8]>>,
    /// Folders of ours, and those of them that are to be made.
    ours: BTreeSet<Name>,
    fresh: BTreeSet<Name>,
    left: Vec<Kept>,
}

impl<'f, 'n> Draft<'f, 'n> {
    fn new(folder: &'f Folder, new: New<'n>) -> Self {
        Self {
            folder,
            seals: new.iter().map(|(name, bytes)| (name.clone(), Seal::of(bytes))).collect(),
            new,
            alone: None,
            carried: BTreeMap::new(),
            same: BTreeSet::new(),
            outs: BTreeMap::new(),
            ins: Vec::new(),
            bytes: Vec::new(),
            ours: BTreeSet::new(),
            fresh: BTreeSet::new(),
            left: Vec::new(),
        }
    }

    /// What becomes of a file that was written with `seal`.
    fn earlier(&mut self, name: &Name, seal: &Seal) -> Result<(), Problem> {
        let new = self.seals.get(name).cloned();
        match (found(self.folder, name, seal, new.as_ref())?, new) {
            (Found::AsWritten, Some(new)) if new == *seal => drop(self.same.insert(name.clone())),
            (Found::AsWritten, _) => self.goes(name, seal.clone()),
            (Found::Changed(now), Some(new)) if now.as_ref() == Some(&new) => {
                self.same.insert(name.clone());
            }
            (Found::Changed(_), Some(_)) => self.stands_aside(name)?,
            (Found::Changed(_), None) => self.left.push(Kept { name: name.clone(), now: None }),
            (Found::Gone | Found::Foreign, _) => {}
        }
        Ok(())
    }

    fn goes(&mut self, name: &Name, seal: Seal) {
        let to = old_folder().join(&self.outs.len().to_string());
        self.outs.insert(name.clone(), Out { name: name.clone(), to, seal: Some(seal) });
    }

    fn stands_aside(&mut self, name: &Name) -> Result<(), Problem> {
        let taken =
            |to: &Name| self.seals.contains_key(to) || self.outs.values().any(|o| o.to == *to);
        let to = aside(self.folder, name, &taken)?;
        self.outs.insert(name.clone(), Out { name: name.clone(), to, seal: None });
        Ok(())
    }

    /// Lets every new file come in that does not lie there already.
    fn come_in(&mut self) -> Result<(), Problem> {
        for (name, bytes) in std::mem::take(&mut self.new) {
            if self.same.contains(&name) {
                continue;
            }
            if !self.outs.contains_key(&name) {
                free(self.folder, &name)?;
            }
            self.comes(&name, Cow::Borrowed(bytes));
        }
        Ok(())
    }

    fn comes(&mut self, name: &Name, bytes: Cow<'n, [u8]>) {
        self.ins.push(In { name: name.clone(), seal: Seal::of(&bytes) });
        self.bytes.push(bytes);
    }

    /// Which folders are to be made, and which are the program's own from now on.
    fn folders(&mut self, old: &BTreeSet<Name>) -> Result<(), Problem> {
        let files = self.seals.keys().chain(self.carried.keys());
        let needed: BTreeSet<Name> =
            files.flat_map(|name| name.folders().collect::<Vec<_>>()).collect();
        let wanted: BTreeSet<Name> =
            self.seals.keys().flat_map(|name| name.folders().collect::<Vec<_>>()).collect();
        for folder in needed {
            let missing = self.folder.look(&folder)? == Look::Nothing && wanted.contains(&folder);
            if missing {
                self.fresh.insert(folder.clone());
            }
            if missing || old.contains(&folder) {
                self.ours.insert(folder);
            }
        }
        Ok(())
    }

    fn finish(mut self, old: &BTreeSet<Name>, old_marker: Option<Seal>) -> Plan<'n> {
        let stale: Vec<Name> =
            old.iter().rev().filter(|name| !self.ours.contains(name)).cloned().collect();
        let mut files = std::mem::take(&mut self.seals);
        files.append(&mut self.carried);
        let marker = Marker::new(std::mem::take(&mut self.ours), files, self.alone.take());
        self.marker(&marker, old_marker);
        let folders = self.fresh.into_iter().collect();
        let outs = self.outs.into_values().collect();
        let journal = Journal::new(folders, outs, self.ins, stale);
        Plan { journal, bytes: self.bytes, left: self.left, part: false }
    }

    /// The marker comes in last of all.
    fn marker(&mut self, marker: &Marker, old: Option<Seal>) {
        let bytes = marker.bytes();
        if old.as_ref() == Some(&Seal::of(&bytes)) {
            return;
        }
        if let Some(old) = old {
            self.goes(&Marker::name(), old);
        }
        self.comes(&Marker::name(), Cow::Owned(bytes));
    }
}

/// How a file lies there that was written with `seal`; `new` is what is to come in its place.
/// A file whose size fits neither is not read.
fn found(folder: &Folder, name: &Name, seal: &Seal, new: Option<&Seal>) -> Result<Found, Problem> {
    Ok(match folder.look(name)? {
        Look::File(_) if folder.is_sealed(name, seal)? => Found::AsWritten,
        Look::File(_) => {
            let is_new = new.map_or(Ok(false), |new| folder.is_sealed(name, new))?;
            Found::Changed(new.filter(|_| is_new).cloned())
        }
        Look::Link => Found::Changed(None),
        Look::Nothing => Found::Gone,
        Look::Folder | Look::Other | Look::Blocked(_) => Found::Foreign,
    })
}

/// A free name beside `name` for what a person made of it.
pub(super) fn aside(
    folder: &Folder,
    name: &Name,
    taken: &dyn Fn(&Name) -> bool,
) -> Result<Name, Problem> {
    let mut count = 1;
    loop {
        let to = name.changed(count);
        if !taken(&to) && folder.look(&to)? == Look::Nothing {
            return Ok(to);
        }
        count += 1;
    }
}

/// Nothing may lie where a new file comes in.
fn free(folder: &Folder, name: &Name) -> Result<(), Problem> {
    match folder.look(name)? {
        Look::Nothing => Ok(()),
        Look::Blocked(by) => Err(folder.in_the_way(&by)),
        _ => Err(folder.in_the_way(name)),
    }
}
