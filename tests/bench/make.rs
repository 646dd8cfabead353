//! How long the whole sample takes, and its halves: `cargo bench`.

// A benchmark that can't go on is to stop there.
#![allow(clippy::unwrap_used, missing_docs)]

use std::collections::BTreeMap;
use std::hint::black_box;
use std::path::{Path, PathBuf};

use cleatwright::{
    FileKind, Inputs, Options, Worked, render, render_only, work_out, work_out_again,
};
use criterion::{Criterion, criterion_group, criterion_main};

const SHED: &str = "samples/boat-shed";

/// The sample's texts, its cutting plan not thought over long.
fn shed() -> Inputs {
    let holders = std::fs::read_dir(Path::new(SHED).join("holders")).unwrap();
    let names = holders.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let paths = names.map(|name| format!("holders/{name}")).chain(["shop.toml".to_owned()]);
    let with = |inputs: Inputs, path: String| inputs.with(&path, &text(&path));
    paths.fold(Inputs::new(), with).with_cutting_steps(1)
}

fn text(path: &str) -> String {
    std::fs::read_to_string(PathBuf::from(SHED).join(path)).unwrap()
}

fn files(worked: &Worked) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    render(worked, &Options::default(), &mut files).unwrap();
    files
}

fn sample(c: &mut Criterion) {
    let inputs = shed();
    let worked = work_out(&inputs).unwrap();
    c.bench_function("everything worked out", |b| b.iter(|| work_out(black_box(&inputs)).unwrap()));
    c.bench_function("all files", |b| b.iter(|| files(black_box(&worked))));
    // With pictures, pages and the book; to stay under a second on two cores.
    c.bench_function("the sample from texts to files", |b| {
        b.iter(|| files(&work_out(black_box(&inputs)).unwrap()));
    });
    c.bench_function("pictures and solids alone", |b| {
        b.iter(|| {
            let mut files = BTreeMap::new();
            let options = Options::default();
            render_only(black_box(&worked), FileKind::Pictures, &options, &mut files).unwrap();
            files
        });
    });
    let path = "holders/sash-clamps.toml";
    let [one, other] = ["7", "8"].map(|count| {
        inputs.clone().with(path, &text(path).replace("count = 9", &format!("count = {count}")))
    });
    c.bench_function("one holder worked out anew", |b| {
        let mut worked = work_out(&one).unwrap();
        let mut next = [&other, &one].into_iter().cycle();
        b.iter(|| worked = work_out_again(next.next().unwrap(), Some(&worked), &|_| {}).unwrap());
    });
}

/// Clamps whose rack stops with its style's defaults.
const TO_SETTLE: &str = r#"
style = "twin-arm"
units = "in"
[measures]
bar_thickness = "3/8"
head_width = "2 1/4"
stack_count = 4
stack_depth = "7"
tool_length = "36"
tool_mass = "3 kg"
[choices]
count = 8
"#;

/// What settling takes: sizes of the whole sample that agree, and one holder whose open choices move.
fn settling(c: &mut Criterion) {
    let alone = shed().with("shop.toml", &format!("agree = false\n{}", text("shop.toml")));
    c.bench_function("everything worked out, no size agreed", |b| {
        b.iter(|| work_out(black_box(&alone)).unwrap());
    });
    let open = Inputs::new().with("holders/clamps.toml", TO_SETTLE).with_cutting_steps(1);
    c.bench_function("one holder settled", |b| b.iter(|| work_out(black_box(&open)).unwrap()));
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20).without_plots();
    targets = sample, settling
}
criterion_main!(benches);
