//! What changed since an earlier `plan --json`: steps that moved, are new, are gone.

use chrono::{DateTime, FixedOffset, SecondsFormat, Utc};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use thiserror::Error;

use crate::{
    planfile::Kept,
    prep::schedule::{Attention, Schedule, Step, stands_in},
};

/// The earlier plan cannot be read.
#[derive(Debug, Error)]
#[error("it is not an answer of `solidby plan --json`: {0}")]
pub struct ChangesError(#[from] serde_json::Error);

/// What changed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Changes {
    /// Steps that are at another time now.
    pub moved: Vec<Moved>,
    /// Steps that were not there.
    pub new: Vec<Listed>,
    /// Steps that were still to come and are no longer in the plan.
    pub gone: Vec<Listed>,
}

/// A step at another time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// The step.
    pub id: String,
    /// What is done in it.
    pub what: String,
    /// When it was to begin.
    #[serde(serialize_with = "moment")]
    pub from: DateTime<FixedOffset>,
    /// When it begins now.
    #[serde(serialize_with = "moment")]
    pub to: DateTime<FixedOffset>,
}

/// A step that is new or gone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Listed {
    /// The step.
    pub id: String,
    /// What is done in it.
    pub what: String,
    /// When it begins or was to begin.
    #[serde(serialize_with = "moment")]
    pub start: DateTime<FixedOffset>,
}

/// The parts of an earlier answer that are compared.
#[derive(Deserialize)]
struct Earlier {
    steps: Vec<EarlierStep>,
}

#[derive(Deserialize)]
struct EarlierStep {
    id: String,
    what: String,
    #[serde(deserialize_with = "read_moment")]
    start: DateTime<FixedOffset>,
    attention: String,
}

/// A step of the earlier plan.
struct Old<'a> {
    id: &'a str,
    what: &'a str,
    start: DateTime<FixedOffset>,
    /// Whether it was still to come.
    to_come: bool,
}

/// Compares a schedule with an earlier one, given as its JSON. What happens by
/// itself, what has begun since and what is `done` is left out.
///
/// # Errors
/// [`ChangesError`] when `earlier` is not such a JSON document.
pub fn changes(
    earlier: &str,
    schedule: &Schedule,
    done: &[String],
) -> Result<Changes, ChangesError> {
    let earlier: Earlier = serde_json::from_str(earlier)?;
    let old = earlier.steps.iter().map(|old| {
        let is_done = done.iter().any(|entry| entry.split('@').next() == Some(&*old.id));
        let hands = old.attention != "none" && !stands_in(&old.id);
        let to_come = hands && old.start.with_timezone(&Utc) >= schedule.computed && !is_done;
        Old { id: &old.id, what: &old.what, start: old.start, to_come }
    });
    Ok(compared(&old.collect::<Vec<_>>(), schedule))
}

/// Compares a schedule with the plan that was kept, and with what is over by now.
pub fn changed(earlier: &Kept, schedule: &Schedule, kept: &Kept) -> Changes {
    let now = schedule.computed.fixed_offset();
    let over = kept.over_by(now);
    let old = earlier.steps.iter().map(|old| {
        let is_over = over.end(old).is_some();
        let to_come = !old.by_itself && old.start.0 >= now && !is_over;
        Old { id: &old.id, what: &old.what, start: old.start.0, to_come }
    });
    let mut changes = compared(&old.collect::<Vec<_>>(), schedule);
    // What was taken back may bring a step back to a time that is past by now: it counts as
    // done, and is not gone.
    let begun = |id: &str| {
        let own = kept.steps.iter().find(|step| step.id == id);
        own.map(|step| step.start.0).filter(|start| *start < now)
    };
    changes.gone.retain(|gone| begun(&gone.id).is_none());
    let to_come = earlier.steps.iter().filter(|old| !old.by_itself && old.start.0 >= now);
    let back = to_come.filter_map(|old| {
        let to = begun(&old.id)?;
        Some(Moved { id: old.id.clone(), what: old.what.clone(), from: old.start.0, to })
    });
    let told = |moved: &Moved| changes.moved.iter().any(|it| it.id == moved.id);
    let back: Vec<Moved> = back.filter(|moved| !told(moved)).collect();
    changes.moved.extend(back);
    changes
}

fn compared(earlier: &[Old<'_>], schedule: &Schedule) -> Changes {
    let mut changes = Changes::default();
    // What only stands in for what might not be ready moves without a word.
    let hands = |step: &&Step| step.attention != Attention::None && !stands_in(&step.id);
    for step in schedule.steps.iter().filter(hands) {
        let (id, what, start) = (step.id.clone(), step.what.clone(), step.start.fixed_offset());
        match earlier.iter().find(|old| old.id == step.id) {
            None => changes.new.push(Listed { id, what, start }),
            Some(old) if old.start != start => {
                changes.moved.push(Moved { id, what, from: old.start, to: start });
            }
            Some(_) => {}
        }
    }
    let gone = earlier.iter().filter(|old| old.to_come);
    let gone = gone.filter(|old| !schedule.steps.iter().any(|step| step.id == old.id));
    changes.gone = gone
        .map(|old| Listed { id: old.id.to_owned(), what: old.what.to_owned(), start: old.start })
        .collect();
    changes
}

impl Changes {
    /// Whether the plan is as it was.
    pub fn is_empty(&self) -> bool {
        self.moved.is_empty() && self.new.is_empty() && self.gone.is_empty()
    }
}

fn moment<S: Serializer>(at: &DateTime<FixedOffset>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&at.to_rfc3339_opts(SecondsFormat::Secs, true))
}

fn read_moment<'de, D: Deserializer<'de>>(source: D) -> Result<DateTime<FixedOffset>, D::Error> {
    let text = String::deserialize(source)?;
    DateTime::parse_from_rfc3339(&text).map_err(D::Error::custom)
}
