//! DEVELOPERS.md is true: the walk names what exists, the crates are those of
//! Cargo.toml, and what Cargo brings in is licensed, sourced and counted as said.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use serde_json::Value;

const PAGE: &str = include_str!("../../DEVELOPERS.md");

/// From a heading of this page to the next one.
fn section(heading: &str) -> &'static str {
    let (_, after) = PAGE.split_once(&format!("## {heading}\n")).expect(heading);
    after.split("\n## ").next().unwrap()
}

/// Every source file with its text.
fn sources(folder: &Path, into: &mut Vec<(PathBuf, String)>) {
    for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if entry.is_dir() {
            sources(&entry, into);
        } else if entry.extension().is_some_and(|it| it == "rs") {
            into.push((entry.clone(), fs::read_to_string(&entry).unwrap()));
        }
    }
}

/// Whether a path of names such as `answers::ice::answer` or `Scenario::run` leads
/// somewhere: rooms and modules are folders or files, the rest is defined there.
fn leads(name: &str, all: &[(PathBuf, String)]) -> bool {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut here = root.clone();
    let mut type_name = None;
    let parts: Vec<&str> = name.split("::").collect();
    for (n, part) in parts.iter().enumerate() {
        let (folder, file) = (here.join(part), here.join(part).with_extension("rs"));
        if part.starts_with(char::is_uppercase) && n + 1 < parts.len() {
            type_name = Some(*part);
        } else if folder.is_dir() && type_name.is_none() {
            here = folder;
        } else if file.is_file() && type_name.is_none() {
            here = file;
        } else {
            return n + 1 == parts.len() && defined(part, type_name, &here, all);
        }
    }
    true
}

fn defined(name: &str, of: Option<&str>, under: &Path, all: &[(PathBuf, String)]) -> bool {
    let kinds = ["fn", "struct", "enum", "trait", "type", "const", "mod"];
    // The table getters are made by a macro: `…, mould: Mould in`.
    let by_macro = format!(", {name}: ");
    all.iter()
        .filter(|(path, _)| path.starts_with(under) || path.starts_with(under.with_extension("")))
        .any(|(_, text)| {
            let here = kinds.iter().any(|kind| {
                [" ", "(", "<", "{", ";", ":"]
                    .iter()
                    .any(|after| text.contains(&format!("{kind} {name}{after}")))
            });
            let here = here || text.contains(&by_macro);
            here && of.is_none_or(|of| {
                [" {", "<", " for"].iter().any(|it| text.contains(&format!("{of}{it}")))
            })
        })
}

#[test]
fn the_walk_names_what_exists() {
    let mut all = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut all);
    let walk = section("One question, from the command line to the answer");
    let named: Vec<&str> =
        walk.split('`').skip(1).step_by(2).filter(|it| it.contains("::")).collect();
    assert!(named.len() >= 20, "{named:?}");
    let lost: Vec<_> = named.iter().filter(|it| !leads(it, &all)).collect();
    assert!(lost.is_empty(), "not in src: {lost:?}");
    assert!(!leads("answers::ice::nothing", &all) && !leads("Scenario::nothing", &all));
}

#[test]
fn each_crate_is_justified() {
    let manifest: toml::Table = toml::from_str(include_str!("../../Cargo.toml")).unwrap();
    let named = |table: &str| -> BTreeSet<String> {
        manifest
            .get(table)
            .and_then(|it| it.as_table())
            .into_iter()
            .flat_map(|it| it.keys().cloned())
            .collect()
    };
    let rows = section("Crates")
        .lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| crate"));
    let (mut ours, mut tests) = (BTreeSet::new(), BTreeSet::new());
    for row in rows {
        let mut cells = row.trim_matches('|').split(" | ").map(str::trim);
        let (crates, why) = (cells.next().unwrap(), cells.next().unwrap_or_default());
        let (into, crates) = match crates.strip_prefix("*tests:* ") {
            Some(crates) => (&mut tests, crates),
            None => (&mut ours, crates),
        };
        assert!(why.len() > 10, "no reason: {row}");
        into.extend(crates.split(", ").map(str::to_owned));
    }
    let targets = manifest["target"].as_table().unwrap().values();
    let of_targets = targets.flat_map(|target| target["dependencies"].as_table().unwrap().keys());
    let named_ours: BTreeSet<String> =
        named("dependencies").into_iter().chain(of_targets.cloned()).collect();
    assert_eq!(ours, named_ours, "DEVELOPERS.md and Cargo.toml");
    assert_eq!(tests, named("dev-dependencies"), "DEVELOPERS.md and Cargo.toml");
}

/// What Cargo resolves for Linux, without a network.
fn metadata() -> Value {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--offline", "--locked", "--format-version", "1"])
        .args(["--filter-platform", "x86_64-unknown-linux-gnu"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_default()
}

/// The licences that `.ci/deny.toml` allows too, and 0BSD, which only a crate of the
/// tests is under.
const ALLOWED: [&str; 6] =
    ["0BSD", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-3-Clause", "MIT", "Unicode-3.0"];

/// An SPDX expression of OR, AND and brackets, read as its readers may choose.
fn permissive(expression: &str) -> bool {
    let expression = expression.replace('/', " OR ");
    let whole = expression.split_whitespace().collect::<Vec<_>>().join(" ");
    let apart = |word: &str| -> Vec<String> {
        let (mut depth, mut parts, mut last) = (0, Vec::new(), String::new());
        for token in whole.split(' ') {
            if depth == 0 && token == word {
                parts.push(std::mem::take(&mut last));
                continue;
            }
            depth += token.matches('(').count() as i32 - token.matches(')').count() as i32;
            last += &format!("{}{token}", if last.is_empty() { "" } else { " " });
        }
        parts.push(last);
        parts
    };
    match (apart("OR"), apart("AND")) {
        (any, _) if any.len() > 1 => any.iter().any(|part| permissive(part)),
        (_, each) if each.len() > 1 => each.iter().all(|part| permissive(part)),
        _ => match whole.strip_prefix('(').and_then(|it| it.strip_suffix(')')) {
            Some(inner) => permissive(inner),
            None => ALLOWED.contains(&whole.as_str()),
        },
    }
}

#[test]
fn licences_are_read_right() {
    for (expression, right) in [
        ("MIT", true),
        ("MIT/Apache-2.0", true),
        ("GPL-3.0-only OR MIT", true),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("(MIT OR Apache-2.0) AND GPL-3.0-only", false),
        ("MIT AND (GPL-3.0-only OR BSD-3-Clause)", true),
        ("Apache-2.0 WITH LLVM-exception OR Apache-2.0 OR MIT", true),
        ("MPL-2.0", false),
        ("", false),
    ] {
        assert_eq!(permissive(expression), right, "{expression}");
    }
}

#[test]
fn every_crate_is_permissive_and_from_the_registry() {
    let metadata = metadata();
    for package in list(&metadata, "packages") {
        let (name, licence) = (text(package, "name"), text(package, "license"));
        assert!(permissive(licence), "{name} is under “{licence}”");
        let source = text(package, "source");
        let ours = package["source"].is_null() && ["solidby", "solidby-pocket"].contains(&name);
        assert!(
            ours || source == "registry+https://github.com/rust-lang/crates.io-index",
            "{name}: {source}"
        );
    }
}

/// Names and versions of what is built on Linux along some edges of the tree of crates,
/// but for the program itself.
fn built(edges: &str) -> BTreeSet<(String, String)> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["tree", "--offline", "--locked", "--package", "solidby", "--prefix", "none"])
        .args(["--target", "x86_64-unknown-linux-gnu", "--edges", edges])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let tree = String::from_utf8(output.stdout).unwrap();
    let rows = tree.lines().map(|row| row.split(' ').map(str::to_owned));
    let crates = rows.filter_map(|mut row| Some((row.next()?, row.next()?)));
    crates.filter(|(name, _)| name != "solidby").collect()
}

#[test]
fn crates_are_counted_and_none_is_there_twice() {
    let (program, all) = (built("normal,build"), built("normal,build,dev"));
    let words =
        format!("{} crates are built for the program, {} with its tests", program.len(), all.len());
    assert!(section("Crates").contains(&words), "DEVELOPERS.md must say: {words}");
    let mut names = BTreeSet::new();
    let twice: Vec<&String> =
        program.iter().map(|(name, _)| name).filter(|name| !names.insert(*name)).collect();
    assert!(twice.is_empty(), "built in two versions: {twice:?}");
}
