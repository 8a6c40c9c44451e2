//! The calendar file (RFC 5545): one event a step, instants in UTC, same plan, same bytes.
//!
//! No METHOD, no time zone component, at most one alarm an event: what every
//! calendar program reads alike. Tasks (VTODO) go to a file of their own,
//! because some programs give up on a file that mixes them with events.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod entries;
mod entry;
mod previous;
mod revise;
pub mod text;

use crate::prep::schedule::Schedule;
pub use entry::Component;
pub use previous::ReviseError;
pub use revise::revise;

/// The writer's name in every file; a file with another one is not ours.
/// It holds no version, so that a new release leaves unchanged files unchanged.
pub const PRODID: &str = "-//solidby//Prep calendar//EN";

/// Minutes of warning before each step with hands, where nobody says otherwise.
pub const REMIND: u32 = 30;

/// What the reader of the calendar may choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Minutes of warning before a step that needs somebody; `None` for no alarm.
    pub reminder_min: Option<u32>,
    /// Events for all that goes on, or tasks for what somebody must do: a file has one kind.
    pub kind: Component,
}

impl Default for Options {
    /// Events, half an hour before a step.
    fn default() -> Self {
        Self { reminder_min: Some(REMIND), kind: Component::Event }
    }
}

/// The calendar file of a plan, or `None` where there is nothing to put in it:
/// a file without an event is not valid (RFC 5545, 3.6).
///
/// ```
/// use solidby::{planfile, prep::Physics, report::plan::lay_out};
/// use solidby::report::calendar::{Options, revise, write};
///
/// let text = planfile::starter();
/// let plan = planfile::read(&text).expect("a sound plan");
/// let schedule = lay_out(&plan, "2026-11-27T15:00:00Z".parse()?, &Physics::default())?;
/// let options = Options::default();
/// let file = write(&schedule, &options).expect("steps");
/// assert!(file.starts_with("BEGIN:VCALENDAR\r\n"));
/// // Nothing changed, so nothing is news.
/// assert_eq!(revise(&file, &schedule, &options)?.as_deref(), Some(&*file));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write(schedule: &Schedule, options: &Options) -> Option<String> {
    let (kind, stamp) = (options.kind, entry::utc(schedule.computed));
    let entries = entries::entries(schedule, options);
    let components: Vec<_> = entries.iter().map(|e| e.lines(kind, 0, &stamp)).collect();
    file(schedule, kind, &components)
}

/// How many events or tasks a file has. Words in one may say `BEGIN:VEVENT` as well, but
/// never as a whole line: what is folded begins with a space.
pub fn count(file: &str, kind: Component) -> usize {
    let begin = format!("BEGIN:{}", kind.name());
    file.lines().filter(|line| *line == begin).count()
}

/// One file around components, each a list of unfolded lines.
fn file(schedule: &Schedule, kind: Component, components: &[Vec<String>]) -> Option<String> {
    if components.is_empty() {
        return None;
    }
    let mut head = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        format!("PRODID:{PRODID}"),
        "CALSCALE:GREGORIAN".to_owned(),
    ];
    // A name on a file of one event would rename the calendar it is dropped into.
    if components.len() > 1 {
        let name = text::escape(&schedule.title);
        head.extend([format!("NAME:{name}"), format!("X-WR-CALNAME:{name}")]);
    }
    head.push(format!("X-WR-TIMEZONE:{}", schedule.timezone.name()));

    let mut out = String::new();
    head.iter().for_each(|line| text::fold_into(&mut out, line));
    for component in components {
        text::fold_into(&mut out, &format!("BEGIN:{}", kind.name()));
        component.iter().for_each(|line| text::fold_into(&mut out, line));
        text::fold_into(&mut out, &format!("END:{}", kind.name()));
    }
    text::fold_into(&mut out, "END:VCALENDAR");
    Some(out)
}
