#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| cleatwright::doors::outline(text));
