//! Changes the bytes of a list or a table and no others.

use std::ops::Range;

use toml::{
    Spanned, Value,
    de::{DeArray, DeValue},
};

use crate::planfile::key::schema_name;

use super::written::{Form, Place, line_end, line_start, own_end, sorted};

/// The text with other bytes in one place.
pub fn splice(text: &str, range: Range<usize>, new: &str) -> String {
    let (before, after) = (text.get(..range.start), text.get(range.end..));
    [before.unwrap_or_default(), new, after.unwrap_or_default()].concat()
}

/// How the file ends its lines.
pub fn newline(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if at > 0 && text.as_bytes().get(at - 1) == Some(&b'\r') => "\r\n",
        _ => "\n",
    }
}

/// The text with whole lines put in at the start of a line; `lines` end with `\n` each.
pub fn insert_lines(text: &str, at: usize, lines: &str) -> String {
    let end = newline(text);
    let mut new = lines.replace('\n', end);
    // The last line of the file may have no end.
    if at > 0 && text.as_bytes().get(at - 1) != Some(&b'\n') {
        new.insert_str(0, end);
        if at == text.len() {
            new.truncate(new.len() - end.len());
        }
    }
    splice(text, at..at, &new)
}

/// The text with one more `key = value` in a table.
pub fn insert_key(text: &str, place: &Place<'_>, line: &str) -> String {
    match (&place.form, own_end(place.table, text)) {
        (Form::Braces(span), None) => splice(text, span.clone(), &format!("{{ {line} }}")),
        (Form::Braces(_), Some(end)) => splice(text, end..end, &format!(", {line}")),
        (Form::Header(span), end) => {
            let at = line_end(text, end.unwrap_or(0).max(span.end));
            insert_lines(text, at, &format!("{line}\n"))
        }
        (Form::Root, Some(end)) => insert_lines(text, line_end(text, end), &format!("{line}\n")),
        (Form::Root, None) => {
            // Keys of the file itself stand before the first header.
            let headers = place.table.values().map(|value| line_start(text, value.span().start));
            insert_lines(text, headers.min().unwrap_or(text.len()), &format!("{line}\n"))
        }
        (Form::Dotted, end) => {
            let last = sorted(place.table).last().map_or(0..0, |(key, _)| key.span());
            let prefix = text.get(line_start(text, last.start)..last.start).unwrap_or_default();
            let at = line_end(text, end.unwrap_or(last.end));
            insert_lines(text, at, &format!("{prefix}{line}\n"))
        }
    }
}

/// The text without a key.
pub fn remove_key(text: &str, place: &Place<'_>, name: &str) -> String {
    let keys = sorted(place.table);
    let Some(n) = keys.iter().position(|(key, _)| schema_name(key.get_ref()) == name) else {
        return text.to_owned();
    };
    let bytes = |n: usize| keys.get(n).map(|(key, value)| key.span().start..value.span().end);
    let Some(own) = bytes(n) else { return text.to_owned() };
    if !matches!(place.form, Form::Braces(_)) {
        return splice(text, line_start(text, own.start)..line_end(text, own.end), "");
    }
    let before = n.checked_sub(1).and_then(bytes);
    let cut = match (before, bytes(n + 1)) {
        (Some(before), _) => before.end..own.end,
        (None, Some(after)) => own.start..after.start,
        (None, None) => own,
    };
    splice(text, cut, "")
}

/// The text with one more entry in a list in square brackets, before entry `n`.
pub fn insert_entry(text: &str, list: &Spanned<DeValue<'_>>, n: usize, entry: &str) -> String {
    let Some(entries) = list.get_ref().as_array() else { return text.to_owned() };
    let first = entries.iter().next().map(Spanned::span);
    let Some(first) = first else {
        let at = list.span().end.saturating_sub(1);
        return splice(text, at..at, entry);
    };
    if let Some(next) = entries.get(n) {
        let at = next.span().start;
        return if begins_line(text, at) {
            let start = line_start(text, at);
            let indent = text.get(start..at).unwrap_or_default();
            insert_lines(text, start, &format!("{indent}{entry},\n"))
        } else {
            splice(text, at..at, &format!("{entry}, "))
        };
    }
    let Some(last) = entries.iter().last().map(Spanned::span) else { return text.to_owned() };
    let comma = comma_after(text, last.end, list.span().end);
    if !begins_line(text, first.start) {
        return splice(text, last.end..last.end, &format!(", {entry}"));
    }
    let indent = text.get(line_start(text, first.start)..first.start).unwrap_or_default();
    let at = line_end(text, comma.unwrap_or(last.end));
    if at > list.span().end {
        // The list is closed on the line of its last entry.
        let new = format!(",{}{indent}{entry}", newline(text));
        return splice(text, last.end..last.end, &new);
    }
    let longer = insert_lines(text, at, &format!("{indent}{entry},\n"));
    match comma {
        Some(_) => longer,
        None => splice(&longer, last.end..last.end, ","),
    }
}

/// The text without entry `n` of a list in square brackets.
pub fn remove_entry(text: &str, list: &Spanned<DeValue<'_>>, n: usize) -> String {
    let span = |entries: &DeArray<'_>, n: usize| entries.get(n).map(Spanned::span);
    let Some((entries, own)) =
        list.get_ref().as_array().and_then(|entries| Some((entries, span(entries, n)?)))
    else {
        return text.to_owned();
    };
    let comma = comma_after(text, own.end, list.span().end);
    let after = comma.map_or(own.end, |comma| comma + 1);
    let line = line_end(text, after);
    let rest = text.get(after..line).unwrap_or_default().trim();
    if begins_line(text, own.start) && (rest.is_empty() || rest.starts_with('#')) {
        return splice(text, line_start(text, own.start)..line, "");
    }
    let before = n.checked_sub(1).and_then(|n| span(entries, n));
    let cut = match (span(entries, n + 1), before) {
        (Some(next), _) => own.start..next.start,
        (None, Some(before)) if !has_comment(text, before.end..own.start) => before.end..own.end,
        (None, Some(_)) => own,
        (None, None) => own.start..after,
    };
    splice(text, cut, "")
}

/// The text without some whole lines, nor the empty line that is then one too many.
pub fn remove_lines(text: &str, lines: Range<usize>) -> String {
    let blank_before = lines.start.checked_sub(1).and_then(|newline| {
        let start = line_start(text, newline);
        text.get(start..newline).is_some_and(|line| line.trim().is_empty()).then_some(start)
    });
    let after = text.get(lines.end..).unwrap_or_default();
    let blank_after = after.lines().next().is_none_or(|line| line.trim().is_empty());
    let start = blank_before.filter(|_| blank_after).unwrap_or(lines.start);
    splice(text, start..lines.end, "")
}

fn begins_line(text: &str, at: usize) -> bool {
    text.get(line_start(text, at)..at).is_some_and(|before| before.trim().is_empty())
}

fn has_comment(text: &str, range: Range<usize>) -> bool {
    text.get(range).is_some_and(|gap| gap.contains('#'))
}

/// Where the comma behind a value stands, if there is one before `end`.
fn comma_after(text: &str, from: usize, end: usize) -> Option<usize> {
    let mut comment = false;
    for (n, byte) in text.get(from..end)?.bytes().enumerate() {
        match byte {
            b'\n' => comment = false,
            b'#' => comment = true,
            b',' if !comment => return Some(from + n),
            byte if !comment && !byte.is_ascii_whitespace() => return None,
            _ => {}
        }
    }
    None
}

/// `key = value`.
pub fn line(key: &str, value: &Value) -> String {
    format!("{} = {}", quoted_where_needed(key), value)
}

/// `{ key = value, … }`.
pub fn braces(keys: &[(String, Value)]) -> String {
    if keys.is_empty() {
        return "{}".to_owned();
    }
    let keys: Vec<String> = keys.iter().map(|(key, value)| line(key, value)).collect();
    format!("{{ {} }}", keys.join(", "))
}

fn quoted_where_needed(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !key.is_empty() && key.chars().all(bare) {
        key.to_owned()
    } else {
        // A key in quotes is a text of one line.
        let escaped: String = key
            .chars()
            .map(|c| match c {
                '"' | '\\' => format!("\\{c}"),
                c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
                c => c.to_string(),
            })
            .collect();
        format!("\"{escaped}\"")
    }
}
