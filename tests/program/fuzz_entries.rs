//! The entries that `cargo fuzz` calls, on the corpus of finds and on a fixed
//! number of changed texts: the same cases on each run, so that a failure stays.

use std::{
    fs,
    panic::catch_unwind,
    path::{Path, PathBuf},
};

use proptest::{
    prelude::*,
    sample::{Index, select},
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};

use crate::run::computed_s;

#[path = "../fuzz/entries.rs"]
mod entries;

/// The slow finds of one entry, whose changes would be as slow, and the other texts.
fn corpus(target: &str) -> [Vec<String>; 2] {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus").join(target);
    let mut files: Vec<_> = fs::read_dir(&folder).unwrap().map(|it| it.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "{}", folder.display());
    let text = |it: &PathBuf| String::from_utf8_lossy(&fs::read(it).unwrap()).into_owned();
    let slow = |it: &&PathBuf| it.file_name().unwrap().to_string_lossy().starts_with("slow-");
    let (slow, others): (Vec<_>, Vec<_>) = files.iter().partition(slow);
    [slow, others].map(|files| files.into_iter().map(text).collect())
}

/// The fuzzer's dictionary: `"` … `"` with `\xNN`, `\"` and `\\`.
fn words() -> Vec<String> {
    let lines = include_str!("../fuzz/words.dict").lines().filter(|line| line.starts_with('"'));
    lines.map(|line| String::from_utf8(bytes(&line[1..line.len() - 1])).unwrap()).collect()
}

fn bytes(written: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut rest = written.as_bytes();
    while let Some((first, tail)) = rest.split_first() {
        rest = tail;
        match (first, tail) {
            (b'\\', [b'x', high, low, after @ ..]) => {
                let hex = [*high, *low].map(|digit| (digit as char).to_digit(16).unwrap() as u8);
                bytes.push(hex[0] * 16 + hex[1]);
                rest = after;
            }
            (b'\\', [escaped, after @ ..]) => {
                bytes.push(*escaped);
                rest = after;
            }
            _ => bytes.push(*first),
        }
    }
    bytes
}

/// One change of a text.
#[derive(Debug, Clone)]
enum Change {
    Insert(Index, String),
    Cut(Index, usize),
    Repeat(Index, usize),
    Swap(Index, Index),
}

fn change() -> impl Strategy<Value = Change> {
    let piece = prop_oneof![3 => select(words()), 1 => any::<String>(), 1 => "[0-9]{1,20}"];
    let at = any::<Index>;
    prop_oneof![
        3 => (at(), piece).prop_map(|(at, text)| Change::Insert(at, text)),
        2 => (at(), 1..40_usize).prop_map(|(at, length)| Change::Cut(at, length)),
        1 => (at(), 1..200_usize).prop_map(|(at, length)| Change::Repeat(at, length)),
        1 => (at(), at()).prop_map(|(a, b)| Change::Swap(a, b)),
    ]
}

fn changed(text: &str, changes: &[Change]) -> String {
    let mut text: Vec<char> = text.chars().collect();
    for change in changes {
        let size = text.len();
        let place = |at: &Index| at.index(size + 1);
        match change {
            Change::Insert(at, piece) => {
                let at = place(at);
                text.splice(at..at, piece.chars());
            }
            Change::Cut(at, length) => {
                let at = place(at);
                text.drain(at..(at + length).min(size));
            }
            Change::Repeat(at, length) => {
                let at = place(at);
                let piece = text[at..(at + length).min(size)].to_vec();
                text.splice(at..at, piece);
            }
            Change::Swap(a, b) if size > 0 => text.swap(a.index(size), b.index(size)),
            Change::Swap(..) => {}
        }
    }
    text.into_iter().collect()
}

/// Runs an entry on its corpus, on `more` texts, and on `cases` changes of what is quick.
fn hold(target: &str, more: &[&str], cases: u32, entry: fn(&str)) {
    let [slow, mut texts] = corpus(target);
    texts.extend(more.iter().map(|text| (*text).to_owned()));
    for text in slow.iter().chain(&texts) {
        let began = computed_s();
        assert!(catch_unwind(|| entry(text)).is_ok(), "{target} fails on {text:?}");
        // The limit of the fuzzer, too; what was slow is in the corpus.
        let took = computed_s() - began;
        assert!(took < 10.0, "{target} computes for {took} s on {text:?}");
    }
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let random = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let strategy = (select(texts), prop::collection::vec(change(), 1..6));
    TestRunner::new_with_rng(config, random)
        .run(&strategy, |(text, changes)| {
            entry(&changed(&text, &changes));
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{target}: {error}"));
}

#[test]
fn any_quantity() {
    hold("quantity", &[], 20_000, entries::quantity);
}

#[test]
fn any_plan_file() {
    let plans = [
        include_str!("../../demo/forest-fortnight.toml"),
        include_str!("../../demo/monsoon-stars.toml"),
        include_str!("../data/starter.toml"),
    ];
    hold("plan", &plans, 1_500, entries::plan);
}

#[test]
fn any_diary_file() {
    hold("diary", &[], 4_000, entries::diary);
}

#[test]
fn any_outline_file() {
    hold("outline", &[], 3_000, entries::outline);
}

#[test]
fn any_calendar_text() {
    hold("calendar", &[], 1_000, entries::calendar);
}
