//! One event or task, and its content lines.

use chrono::{DateTime, TimeDelta, Utc};
use uuid::Uuid;

use super::text::escape;

/// The name space of this program's identifiers, drawn once at random.
const NAMESPACE: Uuid = Uuid::from_u128(0x8d3f_5a0e_47c1_4b7e_9a52_61f0_c3de_2b94);

/// What a file is made of; never both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Component {
    /// VEVENT.
    Event,
    /// VTODO.
    Task,
}

impl Component {
    /// The component's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Event => "VEVENT",
            Self::Task => "VTODO",
        }
    }

    /// The property that ends it; exclusive in an event (RFC 5545, 3.8.2.2, 3.8.2.3).
    fn end(self) -> &'static str {
        match self {
            Self::Event => "DTEND",
            Self::Task => "DUE",
        }
    }
}

/// What stands in the calendar at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub uid: Uuid,
    pub start: DateTime<Utc>,
    /// After `start`.
    pub end: DateTime<Utc>,
    pub summary: String,
    pub description: String,
    pub categories: Vec<String>,
    /// Whether somebody is needed for it.
    pub busy: bool,
    /// Whether it is only kept for what may be needed.
    pub tentative: bool,
    /// Minutes before `start`.
    pub alarm_min: Option<u32>,
}

/// An identifier that is the same whenever the same thing of the same plan is
/// written: UUIDv5 (RFC 9562, 5.5) over the title, its length first so that no
/// two pairs run together, and the thing's own key.
pub fn uid(title: &str, key: &str) -> Uuid {
    Uuid::new_v5(&NAMESPACE, format!("{}:{title}{key}", title.len()).as_bytes())
}

/// A UTC date-time value (RFC 5545, 3.3.5, form 2).
pub fn utc(at: DateTime<Utc>) -> String {
    at.format("%Y%m%dT%H%M%SZ").to_string()
}

impl Entry {
    /// Its content lines without BEGIN and END: every property, then the alarm
    /// (RFC 5545, 3.6.1 allows no other order).
    pub fn lines(&self, kind: Component, sequence: u32, stamp: &str) -> Vec<String> {
        let categories: Vec<_> = self.categories.iter().map(|c| escape(c)).collect();
        let mut lines = vec![
            format!("UID:{}", self.uid),
            format!("DTSTAMP:{stamp}"),
            format!("SEQUENCE:{sequence}"),
            format!("DTSTART:{}", utc(self.start)),
            format!("{}:{}", kind.end(), utc(self.end)),
            format!("SUMMARY:{}", escape(&self.summary)),
            format!("DESCRIPTION:{}", escape(&self.description)),
            format!("CATEGORIES:{}", categories.join(",")),
        ];
        lines.extend(self.tentative.then(|| "STATUS:TENTATIVE".to_owned()));
        lines.push(match kind {
            Component::Event if self.busy => "TRANSP:OPAQUE".to_owned(),
            Component::Event => "TRANSP:TRANSPARENT".to_owned(),
            Component::Task => "STATUS:NEEDS-ACTION".to_owned(),
        });
        if let Some(minutes) = self.alarm_min {
            lines.extend([
                "BEGIN:VALARM".to_owned(),
                "ACTION:DISPLAY".to_owned(),
                format!("DESCRIPTION:{}", escape(&self.summary)),
                format!("TRIGGER:{}", trigger(minutes)),
                "END:VALARM".to_owned(),
            ]);
        }
        lines
    }
}

/// Whole minutes before the start, never after: one client drops the sign.
fn trigger(minutes: u32) -> String {
    if minutes == 0 { "PT0M".to_owned() } else { format!("-PT{minutes}M") }
}

/// `start` and an end that is later by at least a second, as the file can hold it.
pub fn span(
    start: DateTime<Utc>,
    end: DateTime<Utc>,
    moment: TimeDelta,
) -> (DateTime<Utc>, DateTime<Utc>) {
    let longer = end.timestamp() > start.timestamp();
    (start, if longer { end } else { start.checked_add_signed(moment).unwrap_or(start) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identifiers_do_not_run_together() {
        assert_eq!(uid("a", "b"), uid("a", "b"));
        assert_ne!(uid("a", "bc"), uid("ab", "c"));
        assert_eq!(uid("a", "b").get_version_num(), 5);
    }

    #[test]
    fn a_reminder_is_never_after_the_start() {
        assert_eq!((trigger(0), trigger(30)), ("PT0M".into(), "-PT30M".into()));
    }
}
