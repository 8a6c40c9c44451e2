//! The walk over every value of every table: source named and known, value
//! inside its own range, no source unused. Test code only.

use std::collections::BTreeSet;

use toml::{Table, Value};

use super::{
    loading_errors,
    lookup::plain,
    topics::{TOPICS, leaves, row_name, rows},
};

/// What was found: how many values were walked, and every fault in words.
struct Audit {
    values: usize,
    faults: Vec<String>,
}

/// Walks `tables` (name, key of its rows, text) against the text of the sources.
fn audit(tables: &[(&str, &str, &str)], sources: &str) -> Audit {
    let known = rows(sources, "source");
    let known: Vec<&str> = known.iter().map(row_name).collect();
    let mut used = BTreeSet::new();
    let mut audit = Audit { values: 0, faults: Vec::new() };
    for &(table, key, text) in tables {
        let rows = rows(text, key);
        if rows.is_empty() {
            audit.faults.push(format!("{table}: no rows"));
        }
        let mut names = BTreeSet::new();
        for row in &rows {
            let place = format!("{table}: {}", row_name(row));
            let also = row.get("also").and_then(Value::as_array);
            let also = also.into_iter().flatten().filter_map(Value::as_str);
            for name in also.chain([row_name(row)]) {
                if !names.insert(plain(name)) {
                    audit.faults.push(format!("{place}: “{name}” twice"));
                }
            }
            audit_row(row, &place, &known, &mut used, &mut audit);
        }
    }
    let unused = known.iter().filter(|id| !used.contains(**id));
    audit.faults.extend(unused.map(|id| format!("sources: {id}: unused")));
    audit
}

fn audit_row(
    row: &Table,
    place: &str,
    known: &[&str],
    used: &mut BTreeSet<String>,
    audit: &mut Audit,
) {
    let leaves = leaves(row);
    for leaf in &leaves {
        let place = format!("{place}: {}", leaf.path.join("."));
        audit.values += 1;
        match leaf.source_id(row) {
            "" => audit.faults.push(format!("{place}: no source")),
            id if known.contains(&id) => _ = used.insert(id.to_owned()),
            id => audit.faults.push(format!("{place}: unknown source “{id}”")),
        }
        match leaf.range() {
            Some([low, typical, high]) if !(low <= typical && typical <= high) => {
                audit.faults.push(format!("{place}: {typical} is not within {low} to {high}"));
            }
            None if leaf.is_number() => {
                audit.faults.push(format!("{place}: not a number or range"))
            }
            _ => {}
        }
    }
    let named = row.get("sources").and_then(|sources| sources.as_table());
    for key in named.into_iter().flat_map(Table::keys) {
        if !leaves.iter().any(|leaf| leaf.key() == key) {
            audit.faults.push(format!("{place}: {key}: a source for no value"));
        }
    }
}

#[test]
fn every_value_has_its_source_and_lies_in_its_range() {
    let sources = TOPICS.iter().find(|topic| topic.name == "sources").expect("embedded");
    let tables: Vec<_> = TOPICS
        .iter()
        .filter(|topic| topic.name != "sources")
        .map(|topic| (topic.name, topic.row, topic.text))
        .collect();
    let audit = audit(&tables, sources.text);
    assert!(audit.faults.is_empty(), "{:#?}", audit.faults);
    println!("{} values walked", audit.values);
    assert!(audit.values > 1000, "only {} values walked", audit.values);
}

#[test]
fn every_file_parses_into_its_rows() {
    let errors: Vec<String> = loading_errors().iter().map(ToString::to_string).collect();
    assert!(errors.is_empty(), "{}", errors.join("\n"));
}

#[test]
fn faults_are_named_by_table_row_and_value() {
    let sources = "[[source]]\nid = 'known'\n[[source]]\nid = 'idle'\n";
    for (row, fault) in [
        ("k_w_mk = 1", "walls: wood: k_w_mk: no source"),
        ("k_w_mk = 1\nsource = 'else'", "walls: wood: k_w_mk: unknown source “else”"),
        (
            "k_w_mk = { low = 2, typical = 1, high = 3 }\nsource = 'known'",
            "walls: wood: k_w_mk: 1 is not within 2 to 3",
        ),
        (
            "k_w_mk = { low = 1, typical = nan, high = 3 }\nsource = 'known'",
            "walls: wood: k_w_mk: NaN is not within 1 to 3",
        ),
        (
            "k_w_mk = { low = 1, typical = 2 }\nsource = 'known'",
            "walls: wood: k_w_mk: not a number or range",
        ),
        (
            "k_w_mk = 1\nsource = 'known'\nsources = { e = 'known' }",
            "walls: wood: e: a source for no value",
        ),
        ("deep.k_w_mk = 1\nsources = { e = 'known' }", "walls: wood: deep.k_w_mk: no source"),
        ("also = ['Wood']\nsource = 'known'", "walls: wood: “wood” twice"),
        ("source = 'known'\n[[wall]]\nname = 'wood'", "walls: wood: “wood” twice"),
        ("k_w_mk = 1\nsource = 'known'", "sources: idle: unused"),
    ] {
        let text = format!("[[wall]]\nname = 'wood'\n{row}\n");
        let found = audit(&[("walls", "wall", &text)], sources).faults;
        assert!(found.iter().any(|one| one == fault), "{row}: {found:?}");
    }
}
