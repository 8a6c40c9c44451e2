//! A byte-level lint of calendar files, with its own unfolder: shares no code with the writer.
//!
//! The rules are RFC 5545's, narrowed to the one form that every client reads
//! alike (UTC instants, no parameter, no METHOD, at most one alarm).

use std::collections::{BTreeMap, BTreeSet};

/// Every fault of a file, in words; none for a sound one.
pub fn lint(file: &[u8]) -> Vec<String> {
    let mut faults = Vec::new();
    let Some(lines) = physical_lines(file, &mut faults) else { return faults };
    let logical = unfolded(&lines, &mut faults);
    Calendar::default().read(&logical, &mut faults);
    faults
}

fn physical_lines<'a>(file: &'a [u8], faults: &mut Vec<String>) -> Option<Vec<&'a str>> {
    if file.starts_with(b"\xef\xbb\xbf") {
        faults.push("byte order mark".into());
    }
    for (n, byte) in file.iter().enumerate() {
        let bare_cr = *byte == b'\r' && file.get(n + 1) != Some(&b'\n');
        let bare_lf = *byte == b'\n' && (n == 0 || file[n - 1] != b'\r');
        if bare_cr || bare_lf {
            faults.push(format!("bare line end at byte {n}"));
            return None;
        }
    }
    if !file.ends_with(b"END:VCALENDAR\r\n") {
        faults.push("does not end with END:VCALENDAR".into());
    }
    let mut lines = Vec::new();
    for (n, line) in file.split(|b| *b == b'\n').enumerate() {
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        if line.len() > 75 {
            faults.push(format!("line {} has {} octets", n + 1, line.len()));
        }
        match std::str::from_utf8(line) {
            Ok(line) => lines.push(line),
            Err(_) => {
                faults.push(format!("line {} is not UTF-8 by itself", n + 1));
                return None;
            }
        }
    }
    // After the last line end comes an empty rest.
    lines.pop();
    Some(lines)
}

fn unfolded(lines: &[&str], faults: &mut Vec<String>) -> Vec<String> {
    let mut logical: Vec<String> = Vec::new();
    for line in lines {
        if line.is_empty() {
            faults.push("empty line".into());
        } else if let Some(rest) = line.strip_prefix(' ').or_else(|| line.strip_prefix('\t')) {
            match logical.last_mut() {
                Some(open) => open.push_str(rest),
                None => faults.push("begins with a folded line".into()),
            }
        } else {
            logical.push((*line).to_owned());
        }
    }
    for line in &logical {
        if line.chars().any(|c| c.is_control()) {
            faults.push("control character".into());
        }
        if line.chars().any(|c| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')) {
            faults.push("direction override".into());
        }
    }
    logical
}

type Properties = BTreeMap<String, Vec<String>>;

#[derive(Default)]
struct Calendar {
    stack: Vec<String>,
    head: Properties,
    entry: Properties,
    alarm: Properties,
    alarms: usize,
    entries: usize,
    kinds: BTreeSet<String>,
    uids: BTreeSet<String>,
}

impl Calendar {
    fn read(mut self, lines: &[String], faults: &mut Vec<String>) {
        for (n, wanted) in ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:"].into_iter().enumerate() {
            if !lines.get(n).is_some_and(|line| line.starts_with(wanted)) {
                faults.push(format!("line {} is not {wanted}", n + 1));
            }
        }
        for line in lines {
            let Some((name, value)) = line.split_once(':') else {
                faults.push(format!("no colon: {line}"));
                continue;
            };
            if name.contains([';', '"']) {
                faults.push(format!("parameter: {name}"));
            }
            match name {
                "BEGIN" => self.begin(value, faults),
                "END" => self.end(value, faults),
                _ => self.property(name, value, faults),
            }
        }
        if let Some(open) = self.stack.last() {
            faults.push(format!("{open} never ends"));
        }
        if self.entries == 0 {
            faults.push("no entry".into());
        }
        if self.kinds.len() > 1 {
            faults.push("events and tasks in one file".into());
        }
        allowed("VCALENDAR", &self.head, &["VERSION", "PRODID", "CALSCALE"], &CALENDAR_MAY, faults);
        if self.head.get("CALSCALE").is_some_and(|v| v[0] != "GREGORIAN") {
            faults.push("CALSCALE".into());
        }
        if self.head.get("NAME") != self.head.get("X-WR-CALNAME") {
            faults.push("two names".into());
        }
    }

    fn begin(&mut self, name: &str, faults: &mut Vec<String>) {
        match (self.stack.last().map(String::as_str), name) {
            (None, "VCALENDAR") => {}
            (Some("VCALENDAR"), "VEVENT" | "VTODO") => {
                self.entries += 1;
                self.kinds.insert(name.to_owned());
                self.entry.clear();
                self.alarms = 0;
            }
            (Some("VEVENT" | "VTODO"), "VALARM") => {
                self.alarms += 1;
                self.alarm.clear();
            }
            (within, _) => faults.push(format!("{name} within {within:?}")),
        }
        self.stack.push(name.to_owned());
    }

    fn end(&mut self, name: &str, faults: &mut Vec<String>) {
        if self.stack.pop().as_deref() != Some(name) {
            faults.push(format!("END:{name} closes nothing"));
        }
        match name {
            "VEVENT" | "VTODO" => self.check_entry(name, faults),
            "VALARM" => check_alarm(&self.alarm, faults),
            _ => {}
        }
    }

    fn property(&mut self, name: &str, value: &str, faults: &mut Vec<String>) {
        let place = match self.stack.last().map(String::as_str) {
            Some("VCALENDAR") if self.entries > 0 => {
                faults.push(format!("{name} after a component"));
                &mut self.head
            }
            Some("VCALENDAR") => &mut self.head,
            Some("VEVENT" | "VTODO") if self.alarms > 0 => {
                faults.push(format!("{name} after an alarm"));
                &mut self.entry
            }
            Some("VEVENT" | "VTODO") => &mut self.entry,
            Some("VALARM") => &mut self.alarm,
            _ => {
                faults.push(format!("{name} in no component"));
                return;
            }
        };
        place.entry(name.to_owned()).or_default().push(value.to_owned());
        if ["SUMMARY", "DESCRIPTION", "NAME", "X-WR-CALNAME", "CATEGORIES"].contains(&name) {
            check_text(name, value, faults);
        }
    }

    fn check_entry(&mut self, kind: &str, faults: &mut Vec<String>) {
        let end = if kind == "VEVENT" { "DTEND" } else { "DUE" };
        let must = ["UID", "DTSTAMP", "SEQUENCE", "DTSTART", end, "SUMMARY"];
        let may = ["DESCRIPTION", "CATEGORIES", "STATUS", "TRANSP"];
        allowed(kind, &self.entry, &must, &may, faults);
        let value = |name: &str| self.entry.get(name).map_or("", |v| v[0].as_str());

        let uid = value("UID");
        if uid.is_empty() || uid.len() > 255 || !uid.bytes().all(|b| b.is_ascii_graphic()) {
            faults.push("UID".into());
        }
        for name in ["DTSTAMP", "DTSTART", end] {
            if !is_utc(value(name)) {
                faults.push(format!("{name} is no UTC instant: {}", value(name)));
            }
        }
        if value(end) <= value("DTSTART") {
            faults.push(format!("{end} not after DTSTART"));
        }
        if value("SEQUENCE").is_empty() || !value("SEQUENCE").bytes().all(|b| b.is_ascii_digit()) {
            faults.push("SEQUENCE".into());
        }
        if value("SUMMARY").replace("\\\\", "").contains("\\n") || value("SUMMARY").contains("\\N")
        {
            faults.push("SUMMARY has lines".into());
        }
        if value("SUMMARY").chars().count() > 60 + value("SUMMARY").matches('\\').count() {
            faults.push("SUMMARY too long".into());
        }
        let statuses: &[_] =
            if kind == "VEVENT" { &["", "CANCELLED"] } else { &["NEEDS-ACTION", "CANCELLED"] };
        if !statuses.contains(&value("STATUS")) {
            faults.push("STATUS".into());
        }
        if !["", "OPAQUE", "TRANSPARENT"].contains(&value("TRANSP")) {
            faults.push("TRANSP".into());
        }
        if self.alarms > 1 || (self.alarms > 0 && value("STATUS") == "CANCELLED") {
            faults.push("too many alarms".into());
        }
        let uid = uid.to_owned();
        if !self.uids.insert(uid) {
            faults.push("UID used before".into());
        }
    }
}

const CALENDAR_MAY: [&str; 3] = ["NAME", "X-WR-CALNAME", "X-WR-TIMEZONE"];

fn allowed(place: &str, found: &Properties, must: &[&str], may: &[&str], faults: &mut Vec<String>) {
    for name in must.iter().filter(|name| !found.contains_key(**name)) {
        faults.push(format!("{place} without {name}"));
    }
    for (name, values) in found {
        if !must.contains(&name.as_str()) && !may.contains(&name.as_str()) {
            faults.push(format!("{place} with {name}"));
        }
        if values.len() > 1 {
            faults.push(format!("{place} with {name} twice"));
        }
    }
}

fn check_alarm(alarm: &Properties, faults: &mut Vec<String>) {
    allowed("VALARM", alarm, &["ACTION", "DESCRIPTION", "TRIGGER"], &[], faults);
    let value = |name: &str| alarm.get(name).map_or("", |v| v[0].as_str());
    if value("ACTION") != "DISPLAY" {
        faults.push("ACTION".into());
    }
    let minutes = value("TRIGGER").strip_prefix("-PT").and_then(|t| t.strip_suffix('M'));
    let whole = minutes.is_some_and(|m| !m.is_empty() && m.bytes().all(|b| b.is_ascii_digit()));
    if !whole && value("TRIGGER") != "PT0M" {
        faults.push(format!("TRIGGER {}", value("TRIGGER")));
    }
}

fn check_text(name: &str, value: &str, faults: &mut Vec<String>) {
    let mut rest = value.chars();
    while let Some(c) = rest.next() {
        let sound = match c {
            '\\' => matches!(rest.next(), Some('\\' | ';' | ',' | 'n' | 'N')),
            ',' => name == "CATEGORIES",
            ';' => false,
            _ => true,
        };
        if !sound {
            faults.push(format!("{name} is not escaped"));
            return;
        }
    }
}

/// `YYYYMMDDTHHMMSSZ`, of a day that exists.
fn is_utc(value: &str) -> bool {
    let bytes = value.as_bytes();
    if bytes.len() != 16 || bytes[8] != b'T' || bytes[15] != b'Z' {
        return false;
    }
    let number = |range: std::ops::Range<usize>| {
        let digits = &value[range];
        digits.bytes().all(|b| b.is_ascii_digit()).then(|| digits.parse::<u32>().unwrap())
    };
    let parts =
        [number(0..4), number(4..6), number(6..8), number(9..11), number(11..13), number(13..15)];
    let [Some(year), Some(month), Some(day), Some(hour), Some(minute), Some(second)] = parts else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day) && hour < 24 && minute < 60 && second < 60
}
