//! `cargo fuzz run store`; see `tests/fuzz/run`.

#![no_main]

#[path = "../pocket_entries.rs"]
#[allow(dead_code)]
mod entries;

libfuzzer_sys::fuzz_target!(|text: &str| entries::store(text));
