//! The program as it puts files into a folder that a person works in too: killed, stopped, on a
//! full disk, in a checkout. What is not its own must keep every byte, mode, time and link.
#![cfg(target_os = "linux")]
// A test that can't go on is to stop there.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, Permissions};
use std::io::Write;
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::os::unix::process::{CommandExt, ExitStatusExt};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use rustix::process::{Pid, Signal, geteuid, kill_process};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_cleatwright");

const SPRING: &str = r#"style = "peg"
title = "Spring clamps"
units = "mm"

[measures]
tool_thickness = 24
tool_mass = "0.18 kg"

[choices]
count = 6
back_height = "200 mm"
"#;

const SCREWS: &str = r#"style = "tongue"
title = "Hand screws"
units = "in"

[measures]
inside_gap = "3 5/8"
tool_thickness = "1 3/4"
tool_mass = "2.6 lb"

[choices]
count = 4
spare = 1
back_height = "9"
"#;

/// Heads that collide: a finding that stops the run.
const STOPPED: &str = r#"style = "slotted-shelf"
title = "Sash clamps"
units = "in"

[measures]
bar_thickness = "3/8"
head_width = "1 1/4"
tool_length = "30"
tool_mass = "2 kg"

[choices]
count = 6
pitch = "1"
"#;

/// Two projects of two holders each, one that stops, and a folder to make them into.
struct Bench {
    folder: TempDir,
    sets: &'static [BTreeMap<PathBuf, Vec<u8>>; 2],
}

/// What each of the two projects makes in an empty folder, by name.
static SETS: OnceLock<[BTreeMap<PathBuf, Vec<u8>>; 2]> = OnceLock::new();

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        // The folder is open to any user, for some runs are another's.
        fs::set_permissions(folder.path(), Permissions::from_mode(0o755)).unwrap();
        for (name, text) in projects() {
            write(&folder.path().join(name), &text);
        }
        let sets = SETS.get_or_init(|| ["0", "1"].map(|which| set(folder.path(), which)));
        Self { folder, sets }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        write(&self.at(name), text);
    }

    /// The command that makes one of the two projects into `out`.
    fn make(&self, which: usize, out: &Path) -> Command {
        make(&self.at(&which.to_string()), out)
    }

    /// All names that a run may write.
    fn ours(&self) -> BTreeSet<PathBuf> {
        self.sets.iter().flat_map(BTreeMap::keys).cloned().collect()
    }

    /// Which of the two sets stands in `out`, whole and alone, but for what is a person's own.
    #[track_caller]
    fn stands(&self, out: &Path) -> usize {
        let ours = self.ours();
        let mut found = bytes(out);
        found.retain(|name, _| ours.contains(name) || name.starts_with(".cleatwright"));
        let which = self.sets.iter().position(|set| *set == found);
        which.unwrap_or_else(|| panic!("neither set stands: {:?}", found.keys()))
    }

    /// All that is a person's own in `out`.
    fn own(&self, out: &Path) -> BTreeMap<PathBuf, Own> {
        let ours = self.ours();
        let mut own = BTreeMap::new();
        let is_ours = |name: &Path| {
            name.starts_with(".cleatwright") || ours.iter().any(|our| our.starts_with(name))
        };
        walk(out, Path::new(""), &mut |name| {
            if !is_ours(name) {
                own.insert(name.to_path_buf(), Own::of(&out.join(name)));
            }
        });
        // Files come and go in the folder itself: its mode must stay, its time can't.
        let root = fs::metadata(out).unwrap();
        own.insert(PathBuf::new(), Own { mode: root.mode(), time: (0, 0), bytes: Vec::new() });
        own
    }

    /// A folder in which one of the sets stands among a person's own things.
    fn in_use(&self, name: &str) -> PathBuf {
        let out = self.at(name);
        own_things(&out);
        for (name, bytes) in &self.sets[0] {
            fs::create_dir_all(out.join(name).parent().unwrap()).unwrap();
            fs::write(out.join(name), bytes).unwrap();
        }
        write(&out.join("spring/my notes.txt"), "oak, not pine");
        out
    }
}

/// The files of all projects.
fn projects() -> [(&'static str, String); 5] {
    [
        ("0/holders/spring.toml", SPRING.to_owned()),
        ("0/holders/screws.toml", SCREWS.to_owned()),
        ("1/holders/spring.toml", SPRING.replace("count = 6", "count = 7")),
        ("1/holders/fairing.toml", SCREWS.replace("Hand", "Fairing")),
        ("stopped/holders/sash.toml", STOPPED.to_owned()),
    ]
}

/// What a project makes in an empty folder.
fn set(folder: &Path, which: &str) -> BTreeMap<PathBuf, Vec<u8>> {
    let out = folder.join("empty");
    status(&run(make(&folder.join(which), &out)), 0);
    let made = bytes(&out);
    fs::remove_dir_all(out).unwrap();
    made
}

/// What must stay as it is of a file, folder or link.
#[derive(Debug, PartialEq)]
struct Own {
    mode: u32,
    time: (i64, i64),
    /// Of a file its bytes, of a link where it leads.
    bytes: Vec<u8>,
}

impl Own {
    fn of(path: &Path) -> Self {
        let there = fs::symlink_metadata(path).unwrap();
        let bytes = match there.file_type() {
            kind if kind.is_symlink() => {
                fs::read_link(path).unwrap().into_os_string().into_encoded_bytes()
            }
            // A large one is told by its time.
            kind if kind.is_file() && there.len() < 1 << 20 => fs::read(path).unwrap(),
            _ => Vec::new(),
        };
        Self { mode: there.mode(), time: (there.mtime(), there.mtime_nsec()), bytes }
    }
}

/// Things of all kinds that a person may have in a folder.
fn own_things(out: &Path) {
    write(&out.join("thesis.txt"), "years of work");
    write(&out.join("tools/saw.sh"), "#!/bin/sh\n");
    fs::set_permissions(out.join("tools/saw.sh"), Permissions::from_mode(0o751)).unwrap();
    fs::create_dir_all(out.join("empty/still empty")).unwrap();
    fs::create_dir(out.join("private")).unwrap();
    fs::set_permissions(out.join("private"), Permissions::from_mode(0o700)).unwrap();
    for (name, to) in [("link", "thesis.txt"), ("loop", "loop"), ("dangling", "gone"), ("up", "..")]
    {
        symlink(to, out.join(name)).unwrap();
    }
    fs::set_permissions(out, Permissions::from_mode(0o750)).unwrap();
}

fn write(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

fn walk(root: &Path, within: &Path, each: &mut dyn FnMut(&Path)) {
    for entry in fs::read_dir(root.join(within)).unwrap() {
        let entry = entry.unwrap();
        let name = within.join(entry.file_name());
        each(&name);
        if entry.file_type().unwrap().is_dir() {
            walk(root, &name, each);
        }
    }
}

/// The bytes of all plain files under a folder.
fn bytes(out: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    walk(out, Path::new(""), &mut |name| {
        let path = out.join(name);
        let there = fs::symlink_metadata(&path).unwrap();
        if there.is_file() && there.len() < 1 << 24 {
            found.insert(name.to_path_buf(), fs::read(path).unwrap());
        }
    });
    found
}

/// Makes a project without thinking long about how to saw.
fn make(project: &Path, out: &Path) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(["make", "--quiet", "--cutting-steps", "1", "--out"]).arg(out).arg(project);
    command
}

fn run(mut command: Command) -> Output {
    command.output().unwrap()
}

fn said(output: &Output) -> String {
    let told = [&output.stdout, &output.stderr].map(|bytes| String::from_utf8_lossy(bytes));
    // As a terminal folds it, a message is still one sentence.
    told.concat().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn status(output: &Output, wanted: i32) {
    assert_eq!(output.status.code(), Some(wanted), "{}", said(output));
}

/// The run failed, and said all of this.
#[track_caller]
fn told(output: &Output, words: &[&str]) {
    status(output, 2);
    let said = said(output);
    assert!(words.iter().all(|word| said.contains(word)), "{said}");
    assert_eq!(said.matches('×').count(), 1, "{said}");
}

fn is_root() -> bool {
    geteuid().is_root()
}

/// A number from 0 to 1 that looks random (a linear congruential generator with the multiplier of
/// Knuth's MMIX).
fn luck(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 40) as f64 / (1_u64 << 24) as f64
}

fn start(mut command: Command) -> Child {
    command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

/// When a run is killed.
#[derive(Clone, Copy)]
enum When {
    /// This long after its start.
    After(Duration),
    /// This long after it has begun to put files in place.
    Placing(Duration),
}

/// Whether a run is putting files in place, or was when it was killed.
fn is_placing(out: &Path) -> bool {
    ["journal.json", "done.json"].iter().any(|name| out.join(".cleatwright").join(name).exists())
}

fn is_running(child: &mut Child) -> bool {
    child.try_wait().unwrap().is_none()
}

fn send(child: &Child, signal: Signal) {
    kill_process(Pid::from_child(child), signal).unwrap();
}

/// Lets a run go on until it is to be killed, and holds it there; gives whether it is putting files in place.
fn hold(child: &mut Child, out: &Path, when: When) -> bool {
    let (When::After(wait) | When::Placing(wait)) = when;
    while matches!(when, When::Placing(_)) && !is_placing(out) && is_running(child) {}
    let start = Instant::now();
    while start.elapsed() < wait && is_running(child) {
        std::hint::spin_loop();
    }
    if !is_running(child) {
        return false;
    }
    send(child, Signal::STOP);
    while !is_held(child) {}
    is_placing(out)
}

/// Whether it stands still, as Linux tells it (proc(5)): stopped, or ended and not yet waited for.
fn is_held(child: &Child) -> bool {
    let told = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    let state = told.lines().find_map(|line| line.strip_prefix("State:")).unwrap();
    state.trim().starts_with(['T', 'Z'])
}

fn end(mut child: Child, signal: Signal) -> ExitStatus {
    if is_running(&mut child) {
        send(&child, signal);
        send(&child, Signal::CONT);
    }
    child.wait().unwrap()
}

/// The status that the signal is to give, if the run was not done before; a run that has only just
/// begun may not watch for signals yet.
#[track_caller]
fn ended_by(status: ExitStatus, signal: Signal) {
    let raw = signal.as_raw();
    let wanted = [Some(0), (signal != Signal::KILL).then_some(128 + raw)];
    assert!(wanted.contains(&status.code()) || status.signal() == Some(raw), "{status:?}");
}

/// How long a run takes, and how much of that it puts files in place.
fn times(bench: &Bench, out: &Path) -> [Duration; 2] {
    let began = Instant::now();
    let mut child = start(bench.make(1 - bench.stands(out), out));
    while !is_placing(out) && is_running(&mut child) {}
    let placing = Instant::now();
    while is_placing(out) && is_running(&mut child) {}
    let placed = placing.elapsed();
    assert!(child.wait().unwrap().success());
    [began.elapsed(), placed]
}

/// Kills a run that goes from one set to the other, and gives whether it was putting files in place.
fn kill(bench: &Bench, out: &Path, when: When, signal: Signal) -> bool {
    let own = bench.own(out);
    let mut child = start(bench.make(1 - bench.stands(out), out));
    let placing = hold(&mut child, out, when);
    ended_by(end(child, signal), signal);
    assert_eq!(bench.own(out), own);
    if signal == Signal::KILL {
        // The next command mends, even one that makes nothing.
        status(&run(make(&bench.at("stopped"), out)), 1);
        assert_eq!(bench.own(out), own);
    }
    // A run that is asked to end has mended by itself.
    bench.stands(out);
    placing
}

const SIGNALS: [Signal; 3] = [Signal::KILL, Signal::INT, Signal::TERM];

fn random_kills(count: usize) {
    let bench = Bench::new();
    let out = bench.in_use("made");
    let [all, _] = times(&bench, &out);
    let (mut state, mut placing) = (8, 0);
    for turn in 0..count {
        let when = When::After(all.mul_f64(luck(&mut state)));
        placing += usize::from(kill(&bench, &out, when, SIGNALS[turn % 3]));
    }
    println!("{count} kills within {all:?}, {placing} of them while files were put in place");
}

/// Kills until that many have met a run that was putting files in place.
fn aimed_kills(count: usize) {
    let bench = Bench::new();
    let out = bench.in_use("made");
    let [_, mut placing] = times(&bench, &out);
    let (mut state, mut met, mut tries) = (8, 0, 0);
    while met < count {
        tries += 1;
        assert!(tries < 10 * count, "only {met} of {tries} kills met what they were aimed at");
        let when = When::Placing(placing.mul_f64(luck(&mut state)));
        let hit = kill(&bench, &out, when, SIGNALS[met % 3]);
        met += usize::from(hit);
        // A busy machine takes longer than it did at first, an idle one less.
        placing = placing.mul_f64(if hit { 1.05 } else { 0.8 });
    }
    println!("{met} of {tries} kills met a run that was putting files in place");
}

#[test]
fn a_killed_run_leaves_one_set_or_the_other() {
    random_kills(3);
}

#[test]
fn a_run_killed_while_it_puts_files_in_place_leaves_one_set_or_the_other() {
    aimed_kills(6);
}

#[test]
#[ignore = "minutes: 200 runs, killed at random moments"]
fn two_hundred_kills_at_random_moments() {
    random_kills(200);
}

#[test]
#[ignore = "minutes: 50 runs, killed while they put files in place"]
fn fifty_kills_while_files_are_put_in_place() {
    aimed_kills(50);
}

#[test]
fn runs_at_once_do_not_hurt_each_other() {
    let bench = Bench::new();
    let out = bench.in_use("made");
    let own = bench.own(&out);
    for count in [2, 4] {
        let runs: Vec<Child> = (0..count).map(|n| start(bench.make(n % 2, &out))).collect();
        for mut run in runs {
            assert_eq!(run.wait().unwrap().code(), Some(0));
        }
        bench.stands(&out);
        assert_eq!(bench.own(&out), own);
    }
}

#[test]
fn a_checkout_stays_as_it_is() {
    let bench = Bench::new();
    let out = bench.at("checkout");
    own_things(&out);
    let git = |args: &[&str]| {
        let mut command = Command::new("git");
        command.current_dir(&out).args(["--no-optional-locks", "-c", "user.name=Ada"]);
        let output = command.args(["-c", "user.email=ada@shed.test"]).args(args).output().unwrap();
        assert!(output.status.success(), "git {args:?}: {}", said(&output));
        String::from_utf8(output.stdout).unwrap()
    };
    for args in [&["init", "-q"][..], &["add", "."], &["commit", "-qm", "Tools"], &["gc", "-q"]] {
        git(args);
    }
    assert_eq!(git(&["status", "--porcelain"]), "");
    let own = bench.own(&out);
    for which in [0, 1] {
        status(&run(bench.make(which, &out)), 0);
        assert_eq!(bench.own(&out), own);
        assert_eq!(bench.stands(&out), which);
        let lines = git(&["status", "--porcelain", "--untracked-files=all"]);
        let found: BTreeSet<PathBuf> =
            lines.lines().map(|line| line.strip_prefix("?? ").unwrap().into()).collect();
        assert_eq!(found, bench.sets[which].keys().cloned().collect());
        git(&["fsck", "--strict"]);
    }
}

#[test]
fn a_linked_folder_is_followed_and_stays_a_link() {
    let bench = Bench::new();
    let real = bench.in_use("real");
    let own = bench.own(&real);
    let out = bench.at("made");
    symlink("real", &out).unwrap();
    status(&run(bench.make(1, &out)), 0);
    assert_eq!(fs::read_link(&out).unwrap(), Path::new("real"));
    assert_eq!(bench.stands(&real), 1);
    assert_eq!(bench.own(&real), own);
}

#[test]
fn a_target_that_is_no_folder_is_told() {
    let bench = Bench::new();
    bench.write("file", "mine");
    symlink("nowhere", bench.at("dangling")).unwrap();
    symlink("loop", bench.at("loop")).unwrap();
    let before = fs::read_dir(bench.folder.path()).unwrap().count();
    for (name, words) in [
        ("file", "is a file, not a folder to write into"),
        ("file/made", "it is a file, not a folder"),
        ("dangling", "is a link to nowhere, which is not there"),
        ("loop", "can't write in"),
    ] {
        told(&run(bench.make(0, &bench.at(name))), &[words, "name another folder with --out"]);
    }
    assert_eq!(fs::read_to_string(bench.at("file")).unwrap(), "mine");
    assert_eq!(fs::read_dir(bench.folder.path()).unwrap().count(), before);
}

#[test]
fn the_folder_one_stands_in_and_the_one_above_will_do() {
    let bench = Bench::new();
    for (stand, to) in [("made", "."), ("made/deep", "..")] {
        let out = bench.in_use("made");
        fs::create_dir_all(bench.at(stand)).unwrap();
        let own = bench.own(&out);
        let mut command = bench.make(1, Path::new(to));
        command.current_dir(bench.at(stand));
        status(&run(command), 0);
        assert_eq!(bench.stands(&out), 1);
        assert_eq!(bench.own(&out), own);
        fs::remove_dir_all(&out).unwrap();
    }
}

#[test]
fn a_summary_from_elsewhere_is_believed_for_nothing() {
    let bench = Bench::new();
    let out = bench.at("made");
    own_things(&out);
    write(&out.join("summary.json"), r#"{"version": 1, "files": ["thesis.txt", "summary.json"]}"#);
    let before = bytes(&out);
    let own = bench.own(&out);
    told(&run(bench.make(0, &out)), &["made/summary.json was not written by an earlier run"]);
    assert_eq!(bytes(&out), before);
    assert_eq!(bench.own(&out), own);
}

#[test]
fn a_file_that_a_person_changed_is_kept_and_named() {
    let bench = Bench::new();
    let out = bench.in_use("made");
    write(&out.join("spring/steps.md"), "my own steps");
    let output = run(bench.make(1, &out));
    status(&output, 0);
    assert!(said(&output).contains("spring/steps (changed by you).md"), "{}", said(&output));
    let kept = fs::read_to_string(out.join("spring/steps (changed by you).md")).unwrap();
    assert_eq!(kept, "my own steps");
    assert_eq!(bench.stands(&out), 1);
}

/// The command as a user who owns nothing here, where the test is the administrator's.
fn as_nobody(bench: &Bench, command: &Command) -> Command {
    let program = bench.at("program");
    if !program.exists() {
        fs::copy(PROGRAM, &program).unwrap();
    }
    let mut nobody = Command::new(program);
    nobody.args(command.get_args());
    if is_root() {
        nobody.uid(65_534).gid(65_534);
    }
    nobody
}

#[test]
fn without_permission_nothing_is_changed() {
    let bench = Bench::new();
    let out = bench.in_use("made");
    fs::set_permissions(&out, Permissions::from_mode(0o555)).unwrap();
    let (before, own) = (bytes(&out), bench.own(&out));
    if is_root() {
        let command = as_nobody(&bench, &bench.make(1, &out));
        told(&run(command), &["permission is denied", "name another folder with --out"]);
    }
    let fresh = out.join("deep/er");
    let command = as_nobody(&bench, &bench.make(1, &fresh));
    told(&run(command), &["can't make", "permission is denied", "name another folder"]);
    assert_eq!(bytes(&out), before);
    assert_eq!(bench.own(&out), own);
    fs::set_permissions(&out, Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn what_may_not_be_read_is_not_read() {
    let bench = Bench::new();
    let out = bench.at("made");
    write(&out.join("secret/letter"), "mine");
    write(&out.join("diary"), "mine");
    for name in ["secret", "diary"] {
        fs::set_permissions(out.join(name), Permissions::from_mode(0o000)).unwrap();
    }
    fs::set_permissions(&out, Permissions::from_mode(0o777)).unwrap();
    for which in [0, 1] {
        status(&run(as_nobody(&bench, &bench.make(which, &out))), 0);
    }
    for name in ["secret", "diary"] {
        assert_eq!(fs::symlink_metadata(out.join(name)).unwrap().mode() & 0o777, 0);
    }
    fs::set_permissions(out.join("secret"), Permissions::from_mode(0o700)).unwrap();
}

#[test]
fn a_failed_write_to_standard_output_is_an_error() {
    let bench = Bench::new();
    let project = bench.at("0");
    let project = project.to_str().unwrap();
    let made = bench.at("made");
    let made = made.to_str().unwrap();
    for args in [
        &["start", "peg"][..],
        &["start", "shop"],
        &["styles"],
        &["styles", "peg"],
        &["check", project],
        &["make", project, "--out", made, "--cutting-steps", "1"],
        &["--help"],
        &["--version"],
    ] {
        let mut command = Command::new(PROGRAM);
        let full = File::options().write(true).open("/dev/full").unwrap();
        let output = command.args(args).stdout(full).output().unwrap();
        told(&output, &["can't write standard output: the disk is full"]);
    }
}

#[test]
fn a_reader_that_wants_no_more_is_no_error() {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let mut command = Command::new(PROGRAM);
    status(&command.args(["start", "shop"]).stdout(writer).output().unwrap(), 0);
}

/// A small disk of its own at a place; gone when dropped.
struct Disk(PathBuf);

impl Disk {
    /// `None`, with the reason printed, for whoever may not do that.
    fn new(at: &Path, size: &str) -> Option<Self> {
        if !is_root() {
            println!("skipped: only root may mount a disk");
            return None;
        }
        fs::create_dir_all(at).unwrap();
        mount(&["-t", "tmpfs", "-o", &format!("size={size}"), "tmpfs"], at);
        Some(Self(at.to_path_buf()))
    }

    fn allow(&self, what: &str) {
        mount(&["-o", &format!("remount,{what}")], &self.0);
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        // What is not unmounted here the system unmounts in the end.
        let _ = Command::new("umount").arg("--lazy").arg(&self.0).status();
    }
}

fn mount(how: &[&str], at: &Path) {
    assert!(Command::new("mount").args(how).arg(at).status().unwrap().success());
}

/// Fills the disk at `out` until `left` bytes are free.
fn fill(out: &Path, left: u64) {
    let space = rustix::fs::statvfs(out).unwrap();
    let mut size = (space.f_bavail * space.f_frsize).saturating_sub(left);
    let mut file = File::create(out.join("films")).unwrap();
    while size > 0 {
        let part = size.min(4096);
        file.write_all(&vec![1; usize::try_from(part).unwrap()]).unwrap();
        size -= part;
    }
}

#[test]
#[ignore = "needs root to mount a disk"]
fn a_full_disk_leaves_the_old_set() {
    let bench = Bench::new();
    let Some(disk) = Disk::new(&bench.at("made"), "4m") else { return };
    let out = bench.in_use("made");
    for left in [0, 4, 8, 16, 32, 64, 128, 256] {
        fill(&out, left * 1024);
        let own = bench.own(&out);
        told(&run(bench.make(1, &out)), &["the disk is full", "free some space"]);
        assert_eq!(bench.stands(&out), 0, "{left} KiB");
        assert_eq!(bench.own(&out), own, "{left} KiB");
        let fresh = out.join("deep/er");
        told(&run(bench.make(1, &fresh)), &["the disk is full", "free some space"]);
        assert!(!out.join("deep").exists(), "{left} KiB");
        fs::remove_file(out.join("films")).unwrap();
    }
    status(&run(bench.make(1, &out)), 0);
    drop(disk);
}

#[test]
#[ignore = "needs root to mount a disk"]
fn a_disk_that_can_only_be_read_is_told() {
    let bench = Bench::new();
    let Some(disk) = Disk::new(&bench.at("made"), "16m") else { return };
    let out = bench.in_use("made");
    let (before, own) = (bytes(&out), bench.own(&out));
    disk.allow("ro");
    for out in [out.clone(), out.join("deep/er")] {
        let words = ["the disk can only be read", "name another folder with --out"];
        told(&run(bench.make(1, &out)), &words);
    }
    assert_eq!(bytes(&out), before);
    assert_eq!(bench.own(&out), own);
}

#[test]
#[ignore = "needs root to mount a disk"]
fn a_disk_of_its_own_will_do_and_one_within_is_told() {
    let bench = Bench::new();
    let Some(_disk) = Disk::new(&bench.at("made"), "16m") else { return };
    let out = bench.in_use("made");
    let own = bench.own(&out);
    status(&run(bench.make(1, &out)), 0);
    assert_eq!(bench.stands(&out), 1);
    let within = Disk::new(&out.join("spring"), "4m");
    assert!(within.is_some());
    told(&run(bench.make(0, &out)), &["it lies on another disk", "name another folder"]);
    assert_eq!(fs::read_dir(out.join("spring")).unwrap().count(), 0);
    drop(within);
    assert_eq!(bench.stands(&out), 1);
    assert_eq!(bench.own(&out), own);
}

/// How long a run takes and the most memory it has at once, in kB, as Linux tells it (proc(5)).
fn cost(bench: &Bench, which: usize, out: &Path) -> (Duration, u64) {
    let start_at = Instant::now();
    let mut child = start(bench.make(which, out));
    let of_it = format!("/proc/{}/status", child.id());
    let mut most = 0;
    while child.try_wait().unwrap().is_none() {
        let told = fs::read_to_string(&of_it).unwrap_or_default();
        let line = told.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let now = line.and_then(|line| line.trim().strip_suffix(" kB")?.parse().ok());
        most = most.max(now.unwrap_or(0));
        std::thread::sleep(Duration::from_millis(1));
    }
    (start_at.elapsed(), most)
}

#[test]
#[ignore = "a gigabyte of disk, and times that a busy machine would spoil"]
fn a_gigabyte_of_own_files_costs_nothing() {
    let bench = Bench::new();
    let outs = ["without", "with"].map(|name| bench.in_use(name));
    for number in 0..64 {
        fs::write(outs[1].join(format!("film {number}")), vec![number; 1 << 24]).unwrap();
    }
    rustix::fs::sync();
    let own = bench.own(&outs[1]);
    let mut least = [(Duration::MAX, u64::MAX); 2];
    for which in [1, 0, 1, 0, 1] {
        for (least, out) in least.iter_mut().zip(&outs) {
            let (time, memory) = cost(&bench, which, out);
            *least = (least.0.min(time), least.1.min(memory));
        }
    }
    println!("without: {:?} kB, with: {:?} kB", least[0], least[1]);
    assert!(least[1].0 < least[0].0.mul_f64(1.25) + Duration::from_millis(100), "{least:?}");
    assert!(least[1].1 < least[0].1 + 20_000, "{least:?}");
    assert_eq!(bench.own(&outs[1]), own);
}
