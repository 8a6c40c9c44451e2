//! `solidby tables`: what the built-in tables hold, each value with its source.

use anstyle::Style;
use serde_json::{Value, json};

use super::{
    args::TablesArgs,
    context::Context,
    failure::Failure,
    reply::{Reply, reply_of, width},
};
use crate::{
    report::lines::{Lines, styles},
    tables::{self, Entry},
};

/// Answers `solidby tables`.
///
/// # Errors
/// When there is no such topic.
pub fn run(args: &TablesArgs, context: Context) -> Result<Reply, Failure> {
    let (document, words) = match &args.topic {
        None => topics(),
        Some(topic) => {
            let entries = tables::entries(topic)?;
            (as_json(&entries), as_text(&entries))
        }
    };
    reply_of(&document, words, context)
}

fn topics() -> (Value, String) {
    let names: Vec<&str> = tables::TOPICS.iter().map(|topic| topic.name).collect();
    let mut lines = Lines::new(width());
    lines.line("Tables (solidby tables TOPIC prints one):", styles::ANSWER);
    for topic in tables::TOPICS {
        lines.row(&format!("  {}", topic.name), 15, topic.about, Style::new());
    }
    (json!({ "schema": 1, "topics": names }), lines.finish())
}

fn as_json(entries: &[Entry]) -> Value {
    let row = |entry: &Entry| {
        json!({
            "row": entry.row, "key": entry.value, "value": entry.text, "unit": entry.unit,
            "source": entry.source,
        })
    };
    json!({ "schema": 1, "values": entries.iter().map(row).collect::<Vec<_>>() })
}

fn as_text(entries: &[Entry]) -> String {
    let mut lines = Lines::new(width());
    for row in entries.chunk_by(|a, b| a.row == b.row) {
        if let Some(first) = row.first() {
            lines.line(&first.row, styles::HEADING);
        }
        for entry in row {
            let gap = if entry.unit.is_empty() { "" } else { " " };
            let words = format!("{}{gap}{}  [{}]", entry.text, entry.unit, entry.source);
            lines.hang(&format!("  {:<24}", entry.value), "      ", &words, Style::new());
        }
    }
    lines.finish()
}
