//! Replaces an earlier file of ours: SEQUENCE rises where something changed, what vanished is cancelled.

use std::collections::{HashMap, HashSet};

use chrono::NaiveDateTime;

use super::entry::{Component, utc};
use super::previous::{Previous, ReviseError, own, read};
use super::text::{escape, unescape};
use super::{Options, entries, file};
use crate::prep::schedule::Schedule;

/// The calendar file of `schedule` that replaces `previous`.
///
/// An event that is as it was keeps its SEQUENCE and DTSTAMP, so that nothing is
/// news where nothing changed; a changed one counts up by one. An event that is
/// no longer planned is sent once more as `STATUS:CANCELLED`, unless it is
/// already over: what has happened stays as it is. `None` when there is neither
/// an old event nor a new one.
///
/// # Errors
/// [`ReviseError`] when `previous` is not a sound file of this program.
pub fn revise(
    previous: &str,
    schedule: &Schedule,
    options: &Options,
) -> Result<Option<String>, ReviseError> {
    let (kind, stamp) = (options.kind, utc(schedule.computed));
    let now = entries::entries(schedule, options);
    let old = read(previous, kind)?;
    let old_by_uid: HashMap<&str, &Previous> = old.iter().map(|p| (p.uid.as_str(), p)).collect();
    let planned: HashSet<String> = now.iter().map(|entry| entry.uid.to_string()).collect();

    let kept = now.iter().map(|entry| match old_by_uid.get(entry.uid.to_string().as_str()) {
        None => entry.lines(kind, 0, &stamp),
        Some(old) => {
            let same = entry.lines(kind, old.sequence, &old.stamp);
            if same == old.lines { same } else { entry.lines(kind, raised(old), &stamp) }
        }
    });
    let gone = old.iter().filter(|old| !planned.contains(&old.uid));
    let gone = gone.map(|old| {
        if is_cancelled(old) || is_over(old, schedule) {
            old.lines.clone()
        } else {
            cancelled(old, kind, &stamp)
        }
    });
    Ok(file(schedule, kind, &kept.chain(gone).collect::<Vec<_>>()))
}

fn raised(old: &Previous) -> u32 {
    old.sequence.saturating_add(1)
}

fn is_cancelled(old: &Previous) -> bool {
    old.value("STATUS") == Some("CANCELLED")
}

fn is_over(old: &Previous, schedule: &Schedule) -> bool {
    let end = old.value("DTEND").or_else(|| old.value("DUE")).unwrap_or_default();
    NaiveDateTime::parse_from_str(end, "%Y%m%dT%H%M%SZ")
        .is_ok_and(|end| end <= schedule.computed.naive_utc())
}

/// The old lines without alarm, marked as cancelled; also in the summary, for
/// calendar programs that show a cancelled event like any other.
fn cancelled(old: &Previous, kind: Component, stamp: &str) -> Vec<String> {
    let mut lines: Vec<String> = own(&old.lines)
        .filter(|line| !line.starts_with("STATUS:") && !line.starts_with("TRANSP:"))
        .map(|line| match line.split_once(':') {
            Some(("SEQUENCE", _)) => format!("SEQUENCE:{}", raised(old)),
            Some(("DTSTAMP", _)) => format!("DTSTAMP:{stamp}"),
            Some(("SUMMARY", summary)) => {
                let summary = entries::brief(&format!("Cancelled: {}", unescape(summary)));
                format!("SUMMARY:{}", escape(&summary))
            }
            _ => line.clone(),
        })
        .collect();
    lines.push("STATUS:CANCELLED".to_owned());
    if kind == Component::Event {
        lines.push("TRANSP:TRANSPARENT".to_owned());
    }
    lines
}
