#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| cleatwright::doors::formula(text));
