//! Runs in a folder that a person also works in.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use super::*;

type Files = BTreeMap<PathBuf, Vec<u8>>;

/// Files by name and text.
fn files(all: &[(&str, &str)]) -> Files {
    all.iter().map(|(name, text)| (PathBuf::from(name), text.as_bytes().to_vec())).collect()
}

/// A folder "made" in a folder of its own.
struct Made(TempDir);

impl Made {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn out(&self) -> PathBuf {
        self.0.path().join("made")
    }

    fn at(&self, name: &str) -> PathBuf {
        self.out().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        fs::create_dir_all(self.at(name).parent().unwrap()).unwrap();
        fs::write(self.at(name), text).unwrap();
    }

    fn place(&self, all: &[(&str, &str)]) -> Result<Vec<Kept>, Problem> {
        place(&self.out(), &files(all), Run::Whole, &|| false).map(|placed| placed.kept)
    }

    /// What lies in it but for the hidden folder: files with their bytes, folders without.
    fn all(&self) -> BTreeMap<PathBuf, Option<Vec<u8>>> {
        let mut found = BTreeMap::new();
        walk(&self.out(), Path::new(""), &mut found);
        found.retain(|name, _| !name.starts_with(HIDDEN));
        found
    }

    fn hidden(&self) -> Vec<String> {
        let entries = fs::read_dir(self.at(HIDDEN)).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

fn walk(root: &Path, within: &Path, found: &mut BTreeMap<PathBuf, Option<Vec<u8>>>) {
    for entry in fs::read_dir(root.join(within)).unwrap() {
        let entry = entry.unwrap();
        let name = within.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            found.insert(name.clone(), None);
            walk(root, &name, found);
        } else {
            found.insert(name, fs::read(entry.path()).ok());
        }
    }
}

fn told(kept: &[Kept]) -> Vec<String> {
    kept.iter().map(ToString::to_string).collect()
}

#[test]
fn a_new_run_replaces_the_old_one_and_nothing_else() {
    let made = Made::new();
    made.place(&[("a/x.svg", "1"), ("b/y.svg", "2"), ("same", "3")]).unwrap();
    made.write("a/my notes.txt", "keep me");
    fs::create_dir(made.at("empty")).unwrap();
    assert_eq!(made.place(&[("a/z.svg", "4"), ("same", "3")]).unwrap(), []);
    let names: Vec<PathBuf> = made.all().into_keys().collect();
    let wanted = ["a", "a/my notes.txt", "a/z.svg", "empty", "same"].map(PathBuf::from);
    assert_eq!(names, wanted);
    assert_eq!(made.hidden(), ["files.json", "lock"]);
    assert_eq!(fs::read_dir(made.0.path()).unwrap().count(), 1, "something is left beside it");
}

#[test]
fn a_run_that_changes_nothing_touches_nothing() {
    let made = Made::new();
    made.place(&[("a/x.svg", "1")]).unwrap();
    let time = |name: &str| fs::metadata(made.at(name)).unwrap().modified().unwrap();
    let names = ["", "a", "a/x.svg", HIDDEN, ".cleatwright/files.json"];
    let before = names.map(time);
    made.place(&[("a/x.svg", "1")]).unwrap();
    assert_eq!(names.map(time), before);
}

#[test]
fn a_file_of_the_persons_own_is_never_overwritten() {
    for own in ["summary.json", "a/x.svg", "a"] {
        let made = Made::new();
        made.write(own, "mine");
        let error = made.place(&[("a/x.svg", "1"), ("summary.json", "2")]).unwrap_err();
        let wanted = format!("{} was not written by an earlier run", made.at(own).display());
        assert_eq!(error.to_string(), wanted);
        assert_eq!(fs::read_to_string(made.at(own)).unwrap(), "mine");
        assert!(!made.at(HIDDEN).exists());
        assert_eq!(
            made.all().into_keys().filter(|name| made.out().join(name).is_file()).count(),
            1
        );
    }
}

#[test]
fn a_summary_from_elsewhere_is_believed_for_nothing() {
    let made = Made::new();
    made.write("summary.json", r#"{"files": ["thesis.txt", "summary.json"]}"#);
    made.write("thesis.txt", "years of work");
    assert!(made.place(&[("summary.json", "{}")]).is_err());
    made.place(&[("a/x.svg", "1")]).unwrap();
    made.place(&[("a/y.svg", "1")]).unwrap();
    assert_eq!(fs::read_to_string(made.at("thesis.txt")).unwrap(), "years of work");
}

#[test]
fn what_a_person_changed_is_kept_and_told() {
    let made = Made::new();
    made.place(&[("a/steps.md", "1"), ("a/gone.md", "1"), ("b.md", "1")]).unwrap();
    made.write("a/steps.md", "1, and my notes");
    made.write("a/steps (changed by you).md", "from before");
    made.write("a/gone.md", "2");
    made.write("b.md", "new");
    let kept = made.place(&[("a/steps.md", "2"), ("b.md", "new")]).unwrap();
    assert_eq!(
        told(&kept),
        [
            "a/gone.md was changed since it was made: it is not part of this run and stays as it is",
            "a/steps.md was changed since it was made: your version is now a/steps (changed by you 2).md",
        ]
    );
    let text = |name: &str| fs::read_to_string(made.at(name)).unwrap();
    assert_eq!(text("a/steps.md"), "2");
    assert_eq!(text("a/steps (changed by you 2).md"), "1, and my notes");
    assert_eq!(text("a/steps (changed by you).md"), "from before");
    assert_eq!(text("a/gone.md"), "2");
    // From now on these are the person's own.
    made.place(&[("c.md", "3")]).unwrap();
    assert_eq!(made.all().len(), 5, "{:?}", made.all());
}

#[test]
fn a_run_for_one_folder_leaves_the_rest_and_still_knows_it() {
    let made = Made::new();
    made.place(&[("a/1", "1"), ("a/2", "1"), ("b/1", "1"), ("summary.json", "1")]).unwrap();
    made.write("b/1", "changed");
    let alone =
        |run| place(&made.out(), &files(&[("a/1", "2"), ("summary.json", "2")]), run, &|| false);
    let part = PlacedFiles { kept: Vec::new(), part: true };
    assert_eq!(alone(Run::Alone("a")).unwrap(), part);
    assert!(!made.at("a/2").exists());
    assert_eq!(fs::read_to_string(made.at("a/1")).unwrap(), "2");
    assert_eq!(fs::read_to_string(made.at("summary.json")).unwrap(), "1");
    assert_eq!(fs::read_to_string(made.at("b/1")).unwrap(), "changed");
    // It was known all along.
    let kept = made.place(&[("b/1", "3")]).unwrap();
    assert_eq!(kept.len(), 1);
    assert!(!made.at("a").exists() && !made.at("summary.json").exists());
}

#[test]
fn a_run_for_one_folder_alone_replaces_all_of_the_one_before_it() {
    let made = Made::new();
    let alone =
        |run, all: &[(&str, &str)]| place(&made.out(), &files(all), run, &|| false).unwrap();
    let first = [("a/1", "1"), ("summary.json", "1"), ("cutting/plan.md", "1")];
    assert!(!alone(Run::Alone("a"), &first).part);
    assert!(!alone(Run::Alone("a"), &[("a/1", "2"), ("summary.json", "2")]).part);
    assert!(!made.at("cutting").exists());
    assert_eq!(fs::read_to_string(made.at("summary.json")).unwrap(), "2");
    // Another's run adds to it.
    assert!(alone(Run::Alone("b"), &[("b/1", "1"), ("summary.json", "3")]).part);
    assert_eq!(fs::read_to_string(made.at("summary.json")).unwrap(), "2");
    assert!(made.at("a/1").exists() && made.at("b/1").exists());
}

#[test]
fn a_folder_that_was_there_before_is_never_removed() {
    let made = Made::new();
    fs::create_dir_all(made.at("a")).unwrap();
    made.place(&[("a/x", "1"), ("b/y", "1")]).unwrap();
    made.place(&[("c", "1")]).unwrap();
    assert!(made.at("a").is_dir() && !made.at("b").exists());
}

#[test]
fn lists_that_lead_out_of_the_folder_or_say_nothing_are_not_followed() {
    let seal = r#"{"size": 4, "sha256": "x"}"#;
    for list in [
        String::from("{"),
        String::new(),
        r#"{"version": 99}"#.into(),
        format!(r#"{{"version": 1, "folders": [], "files": {{"../thesis.txt": {seal}}}}}"#),
        format!(r#"{{"version": 1, "folders": ["/"], "files": {{"/thesis.txt": {seal}}}}}"#),
    ] {
        let made = Made::new();
        fs::write(made.0.path().join("thesis.txt"), "mine").unwrap();
        made.write(".cleatwright/files.json", &list);
        assert!(made.place(&[("x", "1")]).is_err(), "{list}");
        assert_eq!(made.hidden(), ["files.json", "lock"]);
        assert!(made.all().is_empty());
        assert!(made.0.path().join("thesis.txt").exists());
    }
}

/// A run that stops dead, as if killed, when it asks for the `step`th time whether to stop; with
/// its result if it does not ask so often.
fn killed_at(out: &Path, new: &Files, step: usize) -> Option<Result<PlacedFiles, Problem>> {
    let asked = Cell::new(0);
    let halt = || {
        asked.set(asked.get() + 1);
        if asked.get() == step {
            resume_unwind(Box::new("killed"));
        }
        false
    };
    catch_unwind(AssertUnwindSafe(|| place(out, new, Run::Whole, &halt))).ok()
}

const OLD: [(&str, &str); 4] = [("a/1", "1"), ("a/2", "1"), ("b/1", "1"), ("summary.json", "1")];
const NEW: [(&str, &str); 4] = [("a/1", "2"), ("b/1", "1"), ("c/1", "2"), ("summary.json", "2")];

/// The old set, with a file that a person changed and one of the person's own.
fn old_set() -> Made {
    let made = Made::new();
    made.place(&OLD).unwrap();
    made.write("a/2", "changed");
    made.write("a/1", "changed");
    made.write("a/own", "mine");
    made
}

/// The number of times that a run from the old set to the new one asks whether to stop.
fn steps() -> usize {
    let asked = Cell::new(0);
    let halt = || {
        asked.set(asked.get() + 1);
        false
    };
    place(&old_set().out(), &files(&NEW), Run::Whole, &halt).unwrap();
    asked.get()
}

#[test]
fn after_a_kill_at_any_step_the_old_set_stands_again() {
    assert!(steps() > 8, "{}", steps());
    for step in 1..=steps() {
        let made = old_set();
        let before = made.all();
        assert!(killed_at(&made.out(), &files(&NEW), step).is_none());
        assert!(made.hidden().contains(&"journal.json".to_owned()));
        mend(&made.out()).unwrap();
        assert_eq!(made.all(), before, "step {step}");
        assert_eq!(made.hidden(), ["files.json", "lock"]);
        assert_eq!(mend(&made.out()).unwrap(), []);
    }
}

#[test]
fn after_a_kill_at_any_step_the_next_run_goes_through() {
    let wanted = old_set();
    let told_first = told(&wanted.place(&NEW).unwrap());
    for step in 1..=steps() {
        let made = old_set();
        assert!(killed_at(&made.out(), &files(&NEW), step).is_none());
        assert_eq!(told(&made.place(&NEW).unwrap()), told_first, "step {step}");
        assert_eq!(made.all(), wanted.all(), "step {step}");
    }
}

#[test]
fn what_a_person_writes_after_a_kill_stays() {
    for step in 1..=steps() {
        let made = old_set();
        assert!(killed_at(&made.out(), &files(&NEW), step).is_none());
        for name in ["a/1", "b/1", "c/1", "summary.json"] {
            made.write(name, "written after the kill");
        }
        mend(&made.out()).unwrap();
        for name in ["a/1", "b/1", "c/1", "summary.json"] {
            let text = fs::read_to_string(made.at(name)).unwrap();
            assert_eq!(text, "written after the kill", "{name}, step {step}");
        }
        let all = made.all();
        let changed = all.values().flatten().filter(|bytes| *bytes == b"changed").count();
        assert!(changed >= 1, "step {step}: {all:?}");
        assert_eq!(fs::read_to_string(made.at("a/own")).unwrap(), "mine");
    }
}

#[test]
fn a_run_that_is_stopped_at_any_step_undoes_all() {
    for step in 1..=steps() {
        let made = old_set();
        let before = made.all();
        let asked = Cell::new(0);
        let halt = || {
            asked.set(asked.get() + 1);
            asked.get() >= step
        };
        let error = place(&made.out(), &files(&NEW), Run::Whole, &halt).unwrap_err();
        assert!(error.to_string().starts_with("stopped: "), "{error}");
        assert_eq!(made.all(), before, "step {step}");
        assert_eq!(made.hidden(), ["files.json", "lock"]);
    }
}

#[test]
fn a_first_run_that_is_stopped_leaves_nothing() {
    let made = Made::new();
    let out = made.0.path().join("deep/er/made");
    let error = place(&out, &files(&NEW), Run::Whole, &|| true).unwrap_err();
    assert!(error.to_string().starts_with("stopped: "), "{error}");
    assert_eq!(fs::read_dir(made.0.path()).unwrap().count(), 0);
}

#[test]
fn a_new_set_that_stands_is_not_undone() {
    // Killed after the new files stood and before the old ones were cleared away: as the journal
    // lies on the disk then.
    let made = old_set();
    let last = steps();
    assert!(killed_at(&made.out(), &files(&NEW), last).is_none());
    let journal: journal::Journal =
        serde_json::from_slice(&fs::read(made.at(".cleatwright/journal.json")).unwrap()).unwrap();
    let index = journal.ins.len() - 1;
    assert_eq!(journal.ins[index].name, marker::Marker::name());
    let waits = made.at(&format!(".cleatwright/new/{index}"));
    fs::rename(waits, made.at(".cleatwright/files.json")).unwrap();
    let notes = [".cleatwright/journal.json", ".cleatwright/done.json"].map(|name| made.at(name));
    fs::rename(&notes[0], &notes[1]).unwrap();
    let wanted = old_set();
    let first = wanted.place(&NEW).unwrap();
    let kept = mend(&made.out()).unwrap();
    assert!(kept.iter().all(|kept| first.contains(kept)) && !kept.is_empty());
    assert_eq!(made.all(), wanted.all());
    assert_eq!(made.hidden(), ["files.json", "lock"]);
}

#[test]
fn a_second_name_for_a_file_that_came_in_is_seen_through() {
    // Where the disk has no renaming that spares what is there, it is a second name and then the
    // removal of the first: a kill in between leaves both.
    let made = Made::new();
    made.place(&OLD).unwrap();
    let before = made.all();
    assert!(killed_at(&made.out(), &files(&NEW), steps()).is_none());
    let name = made.at(".cleatwright/new/0");
    fs::hard_link(made.at("a/1"), name).unwrap();
    mend(&made.out()).unwrap();
    assert_eq!(made.all(), before);
}

#[test]
fn a_run_that_is_alive_is_left_alone() {
    let made = old_set();
    assert!(killed_at(&made.out(), &files(&NEW), steps()).is_none());
    let before = made.all();
    let lock = fs::File::open(made.at(".cleatwright/lock")).unwrap();
    lock.lock().unwrap();
    assert_eq!(mend(&made.out()).unwrap(), []);
    assert_eq!(made.all(), before);
    let error = place(&made.out(), &files(&NEW), Run::Whole, &|| true).unwrap_err();
    assert!(error.to_string().starts_with("stopped: "), "{error}");
    assert_eq!(made.all(), before);
}

#[test]
fn no_file_is_written_among_the_programs_own_lists() {
    for name in [".cleatwright/files.json", ".cleatwright", "../x", "/x", ""] {
        let made = Made::new();
        assert!(made.place(&[(name, "1")]).is_err(), "{name}");
        assert!(!made.out().exists());
    }
}

#[cfg(unix)]
mod links {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn a_link_to_the_folder_is_followed_and_stays_a_link() {
        let made = Made::new();
        let real = made.0.path().join("real");
        fs::create_dir(&real).unwrap();
        symlink("real", made.out()).unwrap();
        made.place(&OLD).unwrap();
        made.place(&NEW).unwrap();
        assert_eq!(fs::read_link(made.out()).unwrap(), Path::new("real"));
        assert!(real.join("c/1").exists());
    }

    #[test]
    fn a_link_that_leads_nowhere_is_told_and_left() {
        for to in ["nowhere", "made"] {
            let made = Made::new();
            symlink(to, made.out()).unwrap();
            assert!(made.place(&OLD).is_err());
            assert_eq!(fs::read_link(made.out()).unwrap(), Path::new(to));
            assert_eq!(fs::read_dir(made.0.path()).unwrap().count(), 1);
        }
    }

    #[test]
    fn links_in_the_folder_harm_no_run_and_are_left_alone() {
        let made = Made::new();
        made.place(&OLD).unwrap();
        let elsewhere = made.0.path().join("elsewhere");
        fs::create_dir(&elsewhere).unwrap();
        fs::write(elsewhere.join("1"), "1").unwrap();
        let links = [("a/loop", "loop"), ("dangling", "nowhere"), ("a/up", "..")];
        links.iter().for_each(|(name, to)| symlink(to, made.at(name)).unwrap());
        // A folder of an earlier run that a person has put elsewhere.
        fs::remove_dir_all(made.at("b")).unwrap();
        symlink(&elsewhere, made.at("b")).unwrap();
        made.place(&[("a/1", "2")]).unwrap();
        for (name, to) in links {
            assert_eq!(fs::read_link(made.at(name)).unwrap(), Path::new(to));
        }
        assert_eq!(fs::read_to_string(elsewhere.join("1")).unwrap(), "1");
        let error = made.place(&[("a/1", "3"), ("b/1", "3")]).unwrap_err();
        assert!(error.to_string().contains("made/b was not written"), "{error}");
        assert_eq!(fs::read_to_string(made.at("a/1")).unwrap(), "2");
    }

    #[test]
    fn a_link_in_the_place_of_a_file_is_kept_beside_the_new_one() {
        let made = Made::new();
        made.place(&OLD).unwrap();
        fs::remove_file(made.at("a/1")).unwrap();
        symlink("own", made.at("a/1")).unwrap();
        made.write("a/own", "mine");
        assert_eq!(made.place(&NEW).unwrap().len(), 1);
        assert_eq!(fs::read_link(made.at("a/1 (changed by you)")).unwrap(), Path::new("own"));
        assert_eq!(fs::read_to_string(made.at("a/own")).unwrap(), "mine");
        assert_eq!(fs::read_to_string(made.at("a/1")).unwrap(), "2");
    }

    #[test]
    fn a_hidden_folder_that_is_a_link_is_not_followed() {
        let made = Made::new();
        let elsewhere = made.0.path().join("elsewhere");
        fs::create_dir(&elsewhere).unwrap();
        fs::create_dir(made.out()).unwrap();
        symlink(&elsewhere, made.at(HIDDEN)).unwrap();
        assert!(made.place(&OLD).is_err());
        assert_eq!(fs::read_dir(&elsewhere).unwrap().count(), 0);
    }
}
