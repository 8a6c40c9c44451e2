//! Whatever is changed, the file holds what was asked, by a model that knows no text.

use proptest::prelude::*;
use toml::Table as Model;

use super::{
    tests::{BRACES, STARTER, set_to, texts, things},
    *,
};

/// The plan without its text.
fn model(text: &str) -> Model {
    text.parse().unwrap()
}

fn list_of(plan: &mut Model, list: List) -> Option<&mut Vec<Value>> {
    match list {
        List::Things(kind) => plan.get_mut(kind.word())?.as_array_mut(),
        List::Sessions(ice) => {
            plan.get_mut("ice")?.as_array_mut()?.get_mut(ice)?.get_mut("session")?.as_array_mut()
        }
    }
}

fn table_of(plan: &mut Model, entry: Entry) -> Option<&mut Model> {
    match entry {
        Entry::One(Table::Plan) => Some(plan),
        Entry::One(section) => plan.get_mut(section.word())?.as_table_mut(),
        Entry::Of(list, n) => list_of(plan, list)?.get_mut(n)?.as_table_mut(),
    }
}

/// What a change means, where it means something.
fn apply(plan: &mut Model, change: &Change) -> Option<()> {
    match change {
        Change::Set { entry: Entry::One(section), key, to } if *section != Table::Plan => {
            let table = plan.entry(section.word()).or_insert(Value::Table(Model::new()));
            table.as_table_mut()?.insert(key.clone(), to.clone());
        }
        Change::Set { entry, key, to } => {
            table_of(plan, *entry)?.insert(key.clone(), to.clone());
        }
        Change::Append { entry, key, to } => {
            let mut list = match table_of(plan, *entry).and_then(|table| table.get(key)) {
                Some(Value::Array(list)) => list.clone(),
                one => one.into_iter().cloned().collect(),
            };
            list.push(to.clone());
            let (entry, key) = (*entry, key.clone());
            return apply(plan, &Change::Set { entry, key, to: Value::Array(list) });
        }
        Change::Unset { entry, key } => {
            table_of(plan, *entry)?.remove(key);
        }
        Change::Add { list, keys } => {
            let new = Value::Table(keys.iter().cloned().collect());
            match (list_of(plan, *list), list) {
                (Some(list), _) => list.push(new),
                (None, List::Things(kind)) => {
                    plan.insert(kind.word().to_owned(), Value::Array(vec![new]));
                }
                (None, List::Sessions(ice)) => {
                    let ice = table_of(plan, things(Table::Ice, *ice))?;
                    ice.insert("session".to_owned(), Value::Array(vec![new]));
                }
            }
        }
        Change::Remove { list, index } => {
            let list = list_of(plan, *list)?;
            (*index < list.len()).then(|| list.remove(*index))?;
        }
        Change::Rename { .. } => return None,
    }
    Some(())
}

/// Without lists and tables that are empty: the last `[[oven]]` removed leaves no list at all.
fn whole(plan: Model) -> Model {
    plan.into_iter()
        .filter(|(_, value)| match value {
            Value::Array(entries) => !entries.is_empty(),
            Value::Table(table) => !table.is_empty(),
            _ => true,
        })
        .map(|(key, value)| match value {
            Value::Table(table) => (key, Value::Table(whole(table))),
            Value::Array(entries) => {
                let entry = |entry| match entry {
                    Value::Table(table) => Value::Table(whole(table)),
                    other => other,
                };
                (key, Value::Array(entries.into_iter().map(entry).collect()))
            }
            other => (key, other),
        })
        .collect()
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof!["[a-z #\\[\\]{},=\"'\\\\]{0,9}", "\\PC{0,6}", Just("daily 07:00-08:00".to_owned())]
}

fn settings() -> impl Strategy<Value = Value> {
    prop_oneof![
        words().prop_map(Value::String),
        any::<i64>().prop_map(Value::Integer),
        Just(Value::Datetime("2026-12-11T10:00:00".parse().unwrap())),
        prop::collection::vec(words(), 0..4).prop_map(texts),
    ]
}

fn lists() -> impl Strategy<Value = List> {
    let kinds = prop::sample::select(Table::LISTS.to_vec());
    prop_oneof![4 => kinds.prop_map(List::Things), 1 => (0..2_usize).prop_map(List::Sessions)]
}

fn entries() -> impl Strategy<Value = Entry> {
    let sections = prop::sample::select(Table::SECTIONS.to_vec());
    prop_oneof![
        1 => Just(Entry::One(Table::Plan)),
        2 => sections.prop_map(Entry::One),
        4 => (lists(), 0..3_usize).prop_map(|(list, n)| Entry::Of(list, n)),
    ]
}

fn keys() -> impl Strategy<Value = String> {
    let known = [
        "title", "units", "home", "class", "closed", "name", "days", "children", "humidity", "own",
        "depth", "groups", "group", "at", "finish", "spare", "a b", "ü.\"x",
    ];
    prop::sample::select(known.to_vec()).prop_map(str::to_owned)
}

fn changes() -> impl Strategy<Value = Change> {
    let pairs = prop::collection::btree_map(keys(), settings(), 0..4);
    prop_oneof![
        4 => (entries(), keys(), settings()).prop_map(|(entry, key, to)| Change::Set { entry, key, to }),
        1 => (entries(), keys()).prop_map(|(entry, key)| Change::Unset { entry, key }),
        1 => (lists(), pairs).prop_map(|(list, keys)| Change::Add { list, keys: keys.into_iter().collect() }),
        1 => (lists(), 0..3_usize).prop_map(|(list, index)| Change::Remove { list, index }),
    ]
}

fn files() -> impl Strategy<Value = String> {
    let all = [STARTER, BRACES, include_str!("../../../demo/monsoon-stars.toml"), "title = \"x\""];
    (prop::sample::select(all.to_vec()), any::<bool>())
        .prop_map(|(text, crlf)| if crlf { text.replace('\n', "\r\n") } else { text.to_owned() })
}

/// Remarks of a file, as they are.
fn remarks(text: &str) -> Vec<&str> {
    let known = [STARTER, BRACES];
    let all = known.iter().flat_map(|text| text.lines().filter_map(|line| line.split_once(" # ")));
    all.map(|(_, remark)| remark).filter(|remark| text.contains(remark)).collect()
}

proptest! {
    #[test]
    fn nothing_changed_is_the_same_bytes(text in files()) {
        let all = written(&text).unwrap();
        let same: Vec<Change> = all.iter().flat_map(|table| {
            table.keys.iter().map(|key| set_to(table.entry, &key.name, key.value.clone()))
        }).collect();
        prop_assert_eq!(edit(&text, &same).unwrap(), text);
    }

    #[test]
    fn the_file_holds_what_was_asked(text in files(), changes in prop::collection::vec(changes(), 1..8)) {
        let (mut text, mut model) = (text.clone(), model(&text));
        for change in changes {
            let before = model.clone();
            if apply(&mut model, &change).is_none() {
                model = before;
                continue;
            }
            let kept = remarks(&text).into_iter().map(str::to_owned).collect::<Vec<_>>();
            let edited = edit(&text, std::slice::from_ref(&change));
            let edited = match edited {
                Ok(edited) => edited,
                // A list that is no list of tables cannot get one.
                Err(error) => { prop_assert!(error != EditError::NotToml, "{error}"); model = before; continue }
            };
            let found = edited.parse::<Model>();
            prop_assert!(found.is_ok(), "{change:?}\n{text}\n→\n{edited}\n{found:?}");
            prop_assert_eq!(whole(found.unwrap()), whole(model.clone()), "{:?}\n{}\n→\n{}", change, text, edited);
            if let Change::Add { .. } = change {
                for remark in kept {
                    prop_assert!(edited.contains(&remark), "{change:?} lost {remark}");
                }
            }
            text = edited;
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,80}", change in changes()) {
        let _ = edit(&text, &[change]);
        let _ = written(&text);
    }
}
