//! Jobs by themselves, to hold beside the same work done otherwise: `cargo bench --bench beside -- JOB ARGS`. Each prints
//! one object of JSON. `tests/bench/beside.py` runs them all and prints the table.
//!
//! | job | what is measured |
//! | --- | --- |
//! | `kernel FILE` | slots cut into the boards of FILE, outlines and openings offset |
//! | `render KIND PROJECT TIMES [OUT]` | files of one kind, so often; then written into OUT |
//! | `plain PROJECT` | texts to patterns, pages, DXF and lists; nothing open, the plan's search one step |
//! | `copies PROJECT COUNT OUT` | nothing: makes a project of so many holders, no two alike |
//! | `whole PROJECT OUT` | texts to all files in OUT, of more holders than the command line takes |
//! | `book PROJECT` | all pictures; the shop book |
//! | `change PROJECT` | a reading changed to the holder's picture and patterns, for each style |

// A benchmark that can't go on is to stop there; it is there to print.
#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs, unreachable_pub)]

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;
use std::time::Instant;

use cleatwright::kernel::{Contour, Region, open_slot, rectangle};
use cleatwright::length::{Dimension, MM_PER_INCH, read};
use cleatwright::{
    FileKind, Inputs, Options, Sink, Worked, render, render_only, work_out, work_out_again,
};
use kurbo::Point;
use serde_json::{Value as Json, json};
use toml::{Table, Value};

/// Lists, patterns, pages and outlines: what a plain script makes too.
const PLAIN: [FileKind; 4] =
    [FileKind::Patterns, FileKind::Pages, FileKind::Outlines, FileKind::Lists];

/// How far outlines are moved out and openings in, in mm: half a bit of 1/4 in.
const HALF_BIT: f64 = 3.175;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).filter(|arg| !arg.starts_with('-')).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let told = match args.as_slice() {
        ["kernel", file] => kernel(file),
        ["render", kind, project, times] => rendered(kind, project, times, None),
        ["render", kind, project, times, out] => rendered(kind, project, times, Some(out)),
        ["plain", project] => plain(project),
        ["copies", project, count, out] => copies(project, count.parse().unwrap(), Path::new(out)),
        ["whole", project, out] => whole(project, Path::new(out)),
        ["book", project] => book(project),
        ["change", project] => change(project),
        _ => return println!("no such job: {args:?}"),
    };
    println!("{told}");
}

/// Seconds of CPU of this process so far, all threads together, as Linux counts them.
fn cpu() -> f64 {
    let tasks = fs::read_dir("/proc/self/task").unwrap();
    let nanoseconds = tasks.map(|task| {
        let told = fs::read_to_string(task.unwrap().path().join("schedstat")).unwrap();
        told.split_whitespace().next().unwrap().parse::<f64>().unwrap()
    });
    nanoseconds.sum::<f64>() / 1e9
}

/// What `work` comes to, and the seconds of CPU that it takes.
fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let begin = cpu();
    let done = work();
    (done, cpu() - begin)
}

/// The texts of a project's shop and holders.
fn texts(project: &str) -> BTreeMap<String, String> {
    let holders = fs::read_dir(Path::new(project).join("holders")).unwrap();
    let names = holders.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let paths = names.map(|name| format!("holders/{name}")).chain(["shop.toml".to_owned()]);
    paths
        .map(|path| (path.clone(), fs::read_to_string(Path::new(project).join(path)).unwrap()))
        .collect()
}

/// With the plan's search one step long.
fn inputs(texts: &BTreeMap<String, String>) -> Inputs {
    searched(texts).with_cutting_steps(1)
}

fn searched(texts: &BTreeMap<String, String>) -> Inputs {
    let with = |inputs: Inputs, (path, text): (&String, &String)| inputs.with(path, text);
    texts.iter().fold(Inputs::new(), with)
}

fn only(worked: &Worked, kind: FileKind, sink: &mut dyn Sink) {
    render_only(worked, kind, &Options::default(), sink).unwrap();
}

fn kernel(file: &str) -> Json {
    let boards: Vec<Json> = serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap();
    let (area, cpu) = timed(|| boards.iter().map(cut_and_offset).sum::<f64>());
    json!({ "cpu": cpu, "area": area })
}

/// The area within the way of a bit round a board with all its slots and holes, less the openings' ways.
fn cut_and_offset(board: &Json) -> f64 {
    let figure = |json: &Json| json.as_f64().unwrap();
    let list = |name: &str| board[name].as_array().unwrap().iter();
    let radius = figure(&board["radius"]);
    let (length, width) = (figure(&board["length"]), figure(&board["width"]));
    let blank = rectangle(Point::ORIGIN, length, width, [radius; 4]).unwrap();
    let slots = list("slots").map(|slot| {
        let [x, depth, wide] = [0, 1, 2].map(|at| figure(&slot[at]));
        open_slot(Point::new(x, depth), Point::new(x, -1.0), wide, wide).unwrap()
    });
    let holes = list("holes").map(|hole| {
        let [x, y, radius] = [0, 1, 2].map(|at| figure(&hole[at]));
        Contour::circle(Point::new(x, y), radius)
    });
    let region = Region::new(blank, Vec::new());
    let cut = slots.chain(holes).fold(region, |region, cutter| region.cut(&cutter).unwrap());
    let openings = cut.openings().iter().map(|opening| opening.grown(-HALF_BIT).unwrap().area());
    cut.outline().grown(HALF_BIT).unwrap().area() + openings.sum::<f64>()
}

fn rendered(kind: &str, project: &str, times: &str, out: Option<&str>) -> Json {
    let kind = match kind {
        "patterns" => FileKind::Patterns,
        "pages" => FileKind::Pages,
        "outlines" => FileKind::Outlines,
        "lists" => FileKind::Lists,
        _ => FileKind::Pictures,
    };
    let worked = work_out(&inputs(&texts(project))).unwrap();
    let mut files = BTreeMap::new();
    let times: usize = times.parse().unwrap();
    let ((), cpu) = timed(|| (0..times).for_each(|_| only(&worked, kind, &mut files)));
    let told = json!({ "cpu": cpu, "files": files.len() * times });
    if let Some(out) = out {
        written(files, Path::new(out));
    }
    told
}

fn written(files: BTreeMap<String, Vec<u8>>, out: &Path) {
    files.into_iter().for_each(|(path, bytes)| Folder(out).take(&path, bytes).unwrap());
}

fn plain(project: &str) -> Json {
    let texts = nothing_open(texts(project));
    let (files, cpu) = timed(|| {
        let worked = work_out(&inputs(&texts)).unwrap();
        let mut files = BTreeMap::new();
        PLAIN.into_iter().for_each(|kind| only(&worked, kind, &mut files));
        files
    });
    json!({ "cpu": cpu, "files": files.len() })
}

/// The same project with every choice stated as it was settled, so that nothing is left to settle.
fn nothing_open(mut texts: BTreeMap<String, String>) -> BTreeMap<String, String> {
    let mut made = BTreeMap::new();
    let worked = work_out(&inputs(&texts)).unwrap();
    render(&worked, &Options::default(), &mut made).unwrap();
    for (path, text) in &mut texts {
        let Some(name) = path.strip_prefix("holders/") else { continue };
        let record = &made[&format!("{}/made.toml", name.trim_end_matches(".toml"))];
        let record: Table = std::str::from_utf8(record).unwrap().parse().unwrap();
        let mut holder: Table = text.parse().unwrap();
        holder.insert("choices".to_owned(), record["choices"].clone());
        *text = holder.to_string();
    }
    let shop = texts.get_mut("shop.toml").unwrap();
    *shop = format!("agree = false\n{shop}");
    texts
}

/// A project of `count` holders by the files of another one, the wall cleats left out and stock enough.
fn copies(project: &str, count: usize, out: &Path) -> Json {
    let mut texts = texts(project);
    let shop = stocked(texts.remove("shop.toml").unwrap().parse().unwrap()).to_string();
    let holders: Vec<(String, Table)> =
        texts.into_iter().map(|(path, text)| (path, text.parse().unwrap())).collect();
    let measured: Vec<_> =
        holders.iter().filter(|(_, holder)| holder.contains_key("measures")).collect();
    let copy = |at: usize| {
        let ((path, holder), round) = (measured[at % measured.len()], at / measured.len());
        let path = path.replace(".toml", &format!("-{round}.toml"));
        (path, changed(holder.clone(), 1.0 + 0.001 * round as f64).to_string().into_bytes())
    };
    let shop = ("shop.toml".to_owned(), shop.into_bytes());
    written((0..count).map(copy).chain([shop]).collect(), out);
    json!({ "holders": count })
}

fn stocked(mut shop: Table) -> Table {
    for kind in ["sheet", "board", "dowel"] {
        for row in shop[kind].as_array_mut().unwrap() {
            row.as_table_mut().unwrap().insert("quantity".to_owned(), Value::Integer(900));
        }
    }
    shop
}

/// A folder that files are written into as they are made.
struct Folder<'f>(&'f Path);

impl Sink for Folder<'_> {
    fn take(&mut self, path: &str, bytes: Vec<u8>) -> io::Result<()> {
        let path = self.0.join(path);
        path.parent().map_or(Ok(()), fs::create_dir_all)?;
        fs::write(path, bytes)
    }
}

fn whole(project: &str, out: &Path) -> Json {
    let texts = texts(project);
    let ((), cpu) = timed(|| {
        let worked = work_out(&searched(&texts)).unwrap();
        render(&worked, &Options::default(), &mut Folder(out)).unwrap();
    });
    json!({ "cpu": cpu })
}

/// Takes files, and notes when each came.
#[derive(Default)]
struct Stopwatch(BTreeMap<String, f64>);

impl Sink for Stopwatch {
    fn take(&mut self, path: &str, _: Vec<u8>) -> io::Result<()> {
        self.0.insert(path.to_owned(), cpu());
        Ok(())
    }
}

/// The summary is written beside the book, which comes right after the lists.
fn book(project: &str) -> Json {
    let worked = work_out(&inputs(&texts(project))).unwrap();
    let ((), pictures) = timed(|| only(&worked, FileKind::Pictures, &mut BTreeMap::new()));
    let mut watch = Stopwatch::default();
    render(&worked, &Options::default(), &mut watch).unwrap();
    let book = watch.0["book.html"] - watch.0["hardware.csv"];
    json!({ "pictures": pictures, "book": book })
}

/// How often a reading is changed for each style, and through how many values, back and forth.
const CHANGES: usize = 220;
const VALUES: usize = 12;

fn change(project: &str) -> Json {
    let texts = texts(project);
    let mut styles = BTreeMap::new();
    for (path, text) in texts.iter().filter(|(path, _)| path.starts_with("holders/")) {
        let holder: Table = text.parse().unwrap();
        let style = holder["style"].as_str().unwrap().to_owned();
        styles.entry(style).or_insert_with(|| changes(path, &holder, &texts["shop.toml"]));
    }
    json!(styles)
}

/// Milliseconds from a changed reading to what a page would show of it.
fn changes(path: &str, holder: &Table, shop: &str) -> Json {
    let versions: Vec<Inputs> = (0..VALUES)
        .map(|step| {
            inputs(&BTreeMap::from([
                ("shop.toml".to_owned(), shop.to_owned()),
                (path.to_owned(), changed(holder.clone(), 1.0 + 0.004 * step as f64).to_string()),
            ]))
        })
        .collect();
    let back_and_forth = (1..VALUES).chain((0..VALUES - 1).rev()).cycle().take(CHANGES);
    let mut worked = work_out(&versions[0]).unwrap();
    let mut waited = Vec::new();
    let ((), cpu) = timed(|| {
        for at in back_and_forth {
            let begun = Instant::now();
            worked = work_out_again(&versions[at], Some(&worked), &|_| {}).unwrap();
            let mut shown = BTreeMap::new();
            only(&worked, FileKind::Whole, &mut shown);
            only(&worked, FileKind::Patterns, &mut shown);
            waited.push(begun.elapsed().as_secs_f64() * 1e3);
        }
    });
    let [p50, p99] = [0.5, 0.99].map(|share| quantile(&mut waited, share));
    // One change by itself is too short for the clock of the CPU.
    json!({ "p50": p50, "p99": p99, "cpu": cpu * 1e3 / CHANGES as f64 })
}

fn quantile(times: &mut [f64], share: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    times[((times.len() - 1) as f64 * share).round() as usize]
}

/// The holder with its first reading, or its first choice where it has none, times `factor`.
fn changed(mut holder: Table, factor: f64) -> Table {
    let inches = holder["units"].as_str() == Some("in");
    let table = if holder.contains_key("measures") { "measures" } else { "choices" };
    let figures = holder[table].as_table_mut().unwrap();
    let figure = figures.iter_mut().next().unwrap().1;
    let figure = match figure {
        Value::Array(list) => &mut list[0],
        one => one,
    };
    let mm = in_mm(figure, inches) * factor;
    *figure = Value::String(format!("{mm:.3} mm"));
    holder
}

fn in_mm(figure: &Value, inches: bool) -> f64 {
    let text = figure.as_str().map_or_else(|| figure.to_string(), str::to_owned);
    let read = read(&text).unwrap();
    let unit = if read.dimension == Dimension::NUMBER && inches { MM_PER_INCH } else { 1.0 };
    read.value * unit
}
