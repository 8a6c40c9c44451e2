//! The JSON Schema of each answer: generated from the types, in the repository, and kept by every answer.

use crate::run::Run;
use schemars::{JsonSchema, generate::SchemaSettings};
use serde_json::{Value, json};
use solidby::answers::{
    Document, cool::CoolAnswer, dough::DoughAndWays, ice::IceAnswer, thaw::ThawAnswer,
};
use solidby::prep::schedule::Schedule;

use crate::report::random;
use crate::report::scenario::class;
use crate::report::sheet::class_in_trouble;

fn schema_of<Answer: JsonSchema>() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    generator.into_root_schema_for::<Answer>().to_value()
}

/// The schema of a plan.
fn generated() -> Value {
    schema_of::<Schedule>()
}

#[test]
fn the_files_are_what_the_types_say() {
    for (name, schema) in [
        ("plan", generated()),
        ("ice", schema_of::<Document<IceAnswer>>()),
        ("dough", schema_of::<Document<DoughAndWays>>()),
        ("thaw", schema_of::<Document<ThawAnswer>>()),
        ("cool", schema_of::<Document<CoolAnswer>>()),
    ] {
        let file = format!("{}/tests/schemas/{name}.schema.json", env!("CARGO_MANIFEST_DIR"));
        let now = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if std::env::var_os("UPDATE_SCHEMAS").is_some() {
            std::fs::write(&file, &now).unwrap();
        }
        let then = std::fs::read_to_string(&file).unwrap_or_default();
        assert!(
            now == then,
            "{file} is not current: UPDATE_SCHEMAS=1 cargo test --test program schema"
        );
    }
}

#[test]
fn plans_keep_to_the_schema() {
    let schema = generated();
    for schedule in (0..100).map(random::schedule).chain([class(), class_in_trouble()]) {
        let answer = serde_json::to_value(&schedule).unwrap();
        assert_eq!(faults(&schema, &schema, &answer, "plan"), Vec::<String>::new());
    }
}

/// What the program itself prints for a few questions of each kind, some of
/// them with points that are never reached.
#[test]
fn answers_keep_to_their_schemas() {
    let questions: [(&str, &[&str]); 8] = [
        ("ice", &["ice", "--mould", "fox", "--by", "tomorrow 07:00"]),
        ("ice", &["ice", "--volume", "2 L", "--air", "-4 C", "--count", "6"]),
        ("ice", &["ice", "--ball", "60 mm", "--film", "10", "--air", "-18 C"]),
        ("dough", &["dough", "--thickness", "6 mm", "--oven", "95 C", "--by", "tomorrow 07:00"]),
        ("dough", &["dough", "--thickness", "6 mm", "--air-dry", "--humidity", "80 %"]),
        ("thaw", &["thaw", "--round", "80x40 mm"]),
        ("thaw", &["thaw", "--mould", "fox", "--in", "cool-box", "--count", "8"]),
        ("cool", &["cool", "--thickness", "6 mm", "--from", "95 C"]),
    ];
    for (name, arguments) in questions {
        let file = format!("{}/tests/schemas/{name}.schema.json", env!("CARGO_MANIFEST_DIR"));
        let schema: Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
        let answer = Run::of(arguments).with(&["--json"]).ends().json();
        assert_eq!(answer["schema"], 1);
        assert_eq!(faults(&schema, &schema, &answer, name), Vec::<String>::new(), "{arguments:?}");
    }
}

/// The check itself sees what is wrong.
#[test]
fn wrong_answers_are_seen() {
    let schema = generated();
    let wrong: [(&str, Value); 9] = [
        ("/schema", json!(2)),
        ("/title", json!(7)),
        ("/feasible", json!("yes")),
        ("/computed", json!("yesterday")),
        ("/steps", json!({})),
        ("/steps/0/attention", json!("sometimes")),
        ("/steps/0/chance", json!(1.5)),
        ("/steps/0/cautions", json!([{"id": "x"}])),
        ("/shopping/0/needed", json!("9 December")),
    ];
    for (place, value) in wrong {
        let mut answer = serde_json::to_value(class()).unwrap();
        *answer.pointer_mut(place).unwrap() = value;
        assert_ne!(faults(&schema, &schema, &answer, "plan"), Vec::<String>::new(), "{place}");
    }
    let mut answer = serde_json::to_value(class()).unwrap();
    answer.as_object_mut().unwrap().remove("carry");
    assert_eq!(faults(&schema, &schema, &answer, "plan"), ["plan: carry is missing"]);
}

/// Faults against the part of JSON Schema that our types use; a keyword that is
/// not known here is a fault too, so that nothing goes unchecked.
fn faults(root: &Value, schema: &Value, value: &Value, place: &str) -> Vec<String> {
    let mut found = Vec::new();
    let Some(keywords) = schema.as_object() else {
        return if schema == &json!(true) { found } else { vec![format!("{place}: no schema")] };
    };
    for (keyword, says) in keywords {
        match keyword.as_str() {
            "$schema" | "$defs" | "title" | "description" => {}
            "$ref" => {
                let part = says.as_str().and_then(|r| root.pointer(r.trim_start_matches('#')));
                found.extend(faults(root, part.unwrap(), value, place));
            }
            "anyOf" | "oneOf" => {
                let ways = says.as_array().unwrap();
                if !ways.iter().any(|way| faults(root, way, value, place).is_empty()) {
                    found.push(format!("{place}: {value} fits none of its kinds"));
                }
            }
            "required" => {
                for name in says.as_array().unwrap().iter().filter_map(Value::as_str) {
                    if value.is_object() && value.get(name).is_none() {
                        found.push(format!("{place}: {name} is missing"));
                    }
                }
            }
            "properties" => {
                for (name, part) in says.as_object().unwrap() {
                    if let Some(value) = value.get(name) {
                        found.extend(faults(root, part, value, &format!("{place}.{name}")));
                    }
                }
            }
            "items" => {
                for (n, item) in value.as_array().into_iter().flatten().enumerate() {
                    found.extend(faults(root, says, item, &format!("{place}[{n}]")));
                }
            }
            _ if !keeps(keyword, says, value) => {
                found.push(format!("{place}: {value} against {keyword} {says}"));
            }
            _ => {}
        }
    }
    found
}

fn keeps(keyword: &str, says: &Value, value: &Value) -> bool {
    let number = value.as_f64();
    match keyword {
        "type" if says.is_array() => {
            says.as_array().unwrap().iter().any(|one| keeps("type", one, value))
        }
        "type" => match says.as_str().unwrap() {
            "object" => value.is_object(),
            "array" => value.is_array(),
            "string" => value.is_string(),
            "boolean" => value.is_boolean(),
            "integer" => value.is_i64() || value.is_u64(),
            "number" => value.is_number(),
            "null" => value.is_null(),
            _ => false,
        },
        "const" => value == says,
        "enum" => says.as_array().unwrap().contains(value),
        "minimum" => number.is_none_or(|n| n >= says.as_f64().unwrap()),
        "maximum" => number.is_none_or(|n| n <= says.as_f64().unwrap()),
        "format" => match (says.as_str().unwrap(), value.as_str()) {
            ("date-time", Some(text)) => chrono::DateTime::parse_from_rfc3339(text).is_ok(),
            ("date", Some(text)) => text.parse::<chrono::NaiveDate>().is_ok(),
            // Number formats name a width, not a rule.
            ("double" | "uint32", _) => true,
            _ => false,
        },
        _ => false,
    }
}
