//! `cargo fuzz run quantity`; see `tests/fuzz/run`.

#![no_main]

#[path = "../entries.rs"]
#[allow(dead_code)]
mod entries;

libfuzzer_sys::fuzz_target!(|text: &str| entries::quantity(text));
