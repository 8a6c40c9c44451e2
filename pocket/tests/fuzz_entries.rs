//! The entries that `cargo fuzz` calls with what reaches the program in a page, on their corpus.

// The corpus is read as any test reads its files.
#![allow(clippy::disallowed_methods)]

use std::{fs, panic::catch_unwind, path::Path};

#[path = "../../tests/fuzz/pocket_entries.rs"]
mod entries;

fn hold(target: &str, entry: fn(&str)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/corpus").join(target);
    let mut files: Vec<_> = fs::read_dir(&folder).unwrap().map(|it| it.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "{}", folder.display());
    for file in files {
        let text = String::from_utf8_lossy(&fs::read(&file).unwrap()).into_owned();
        assert!(catch_unwind(|| entry(&text)).is_ok(), "{} fails", file.display());
    }
}

#[test]
fn any_form_that_is_sent() {
    hold("form", entries::form);
}

#[test]
fn any_words_of_what_was_done() {
    hold("did", entries::did);
}

#[test]
fn any_file_of_what_happened() {
    hold("happened", entries::happened);
}

#[test]
fn anything_that_a_browser_has_kept() {
    hold("store", entries::store);
}
