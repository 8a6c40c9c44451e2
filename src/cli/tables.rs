//! `solidby tables`: what the built-in tables hold, each value with its source.

use serde_json::json;

use super::{
    args::TablesArgs,
    context::Context,
    failure::Failure,
    reply::{Reply, width},
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
    match &args.topic {
        None => Ok(Reply::answered(topics(context.common.json))),
        Some(topic) => {
            let entries = tables::entries(topic)?;
            Ok(Reply::answered(if context.common.json {
                as_json(&entries)
            } else {
                as_text(&entries)
            }))
        }
    }
}

fn topics(json: bool) -> String {
    if json {
        let names: Vec<&str> = tables::TOPICS.iter().map(|topic| topic.name).collect();
        return format!("{:#}\n", json!({ "schema": 1, "topics": names }));
    }
    let mut lines = Lines::new(width());
    lines.line("Tables (solidby tables TOPIC prints one):", styles::ANSWER);
    for topic in tables::TOPICS {
        lines.hang(
            &format!("  {:<13}", topic.name),
            "               ",
            topic.about,
            anstyle::Style::new(),
        );
    }
    lines.finish()
}

fn as_json(entries: &[Entry]) -> String {
    let rows: Vec<_> = entries
        .iter()
        .map(|entry| {
            json!({
                "row": entry.row,
                "key": entry.value,
                "value": entry.text,
                "unit": entry.unit,
                "source": entry.source,
            })
        })
        .collect();
    format!("{:#}\n", json!({ "schema": 1, "values": rows }))
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
            lines.hang(&format!("  {:<24}", entry.value), "      ", &words, anstyle::Style::new());
        }
    }
    lines.finish()
}
