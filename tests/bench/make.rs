//! How long the whole sample takes, and each of its stages: `cargo bench`.

// A benchmark that can't go on is to stop there.
#![allow(clippy::unwrap_used, missing_docs)]

use std::hint::black_box;
use std::path::Path;

use cleatwright::cli::{Plans, Wishes, files};
use cleatwright::cutting::{self, Budget};
use cleatwright::drawing::{Drawing, pattern};
use cleatwright::export::{dxf, svg};
use cleatwright::holder::{Holder, Part, build};
use cleatwright::page::{lay_out, pdf};
use cleatwright::project::{Project, open};
use cleatwright::reading::Source;
use cleatwright::router::plan;
use cleatwright::style::{HolderFile, Library};
use criterion::{Criterion, criterion_group, criterion_main};

const SHED: &str = "samples/boat-shed";

fn shed() -> Project {
    open(Path::new(SHED), &[]).unwrap()
}

fn wishes(project: &Project) -> Wishes {
    Wishes { dxf: dxf::Options::default(), offset_by_bit: false, printer: project.shop.printer }
}

fn parts(project: &Project) -> impl Iterator<Item = (&Holder, &Part)> {
    project.holders.iter().flat_map(|holder| holder.parts.iter().map(move |part| (holder, part)))
}

fn drawings(project: &Project) -> Vec<Vec<Drawing>> {
    let of = |holder: &Holder| {
        let each = holder.parts.iter().map(|part| pattern(part, holder.units, &holder.title));
        each.collect()
    };
    project.holders.iter().map(of).collect()
}

/// Everything `make` does but for writing to the disk.
fn whole(c: &mut Criterion) {
    c.bench_function("whole sample", |b| {
        b.iter(|| {
            let project = shed();
            let plan = plan(&project.holders, &project.shop);
            let cutting =
                cutting::plan(&project.holders, &project.shop, &plan, Budget { steps: 1 });
            let plans = Plans { router: &plan, cutting: &cutting };
            files(&project, plans, &wishes(&project), &|_| {}).unwrap()
        });
    });
}

fn stages(c: &mut Criterion) {
    let project = shed();
    let drawings = drawings(&project);
    c.bench_function("reading and building", |b| b.iter(shed));
    c.bench_function("building one holder", |b| {
        let library = Library::built_in();
        let path = Path::new(SHED).join("holders/sash-clamps.toml");
        let file = HolderFile::read(Source::open(&path).unwrap(), "sash", &library).unwrap();
        b.iter(|| build(black_box(&file), &project.shop).unwrap());
    });
    c.bench_function("router sheets", |b| b.iter(|| plan(&project.holders, &project.shop)));
    c.bench_function("drawing", |b| b.iter(|| self::drawings(black_box(&project))));
    c.bench_function("svg", |b| {
        b.iter(|| drawings.iter().flatten().map(|d| svg::write(d).len()).sum::<usize>());
    });
    c.bench_function("dxf", |b| {
        let write = |(_, part): (&Holder, &Part)| {
            dxf::write(part, dxf::Follow::Edges, dxf::Options::default()).len()
        };
        b.iter(|| parts(&project).map(write).sum::<usize>());
    });
    c.bench_function("pages", |b| {
        b.iter(|| {
            for (holder, patterns) in project.holders.iter().zip(&drawings) {
                let pages = lay_out(patterns, &project.shop.printer).unwrap();
                black_box(pdf::write(&holder.title, &pages, patterns).unwrap());
            }
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20).without_plots();
    targets = whole, stages
}
criterion_main!(benches);
