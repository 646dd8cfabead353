//! A new style in `templates` is built in without a change to the code: `include_dir` watches known files only.

fn main() {
    println!("cargo::rerun-if-changed=templates");
}
