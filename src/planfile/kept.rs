//! The plan that is followed: the steps as they were last given, and what has happened since.
//! It stands in a plain file beside the plan file, which people may read and write.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, SecondsFormat};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use thiserror::Error;
use toml::value::Datetime;

use crate::tables::{Step, nearest};

/// The first line of the file, by which it is known again.
const HEAD: &str = "# The plan that is followed, kept by solidby";

/// What people find above the rest.
const INTRO: &str = "\
# The steps as they were last given. A step whose time has passed counts as done as planned,
# unless a [[happened]] says otherwise; `solidby did` writes those, and you may too:
#   step = \"turn-out-otters-9-dec\"      its short name
#   at = 2026-12-08T06:40:00-07:00      when it was seen or done
#   wet = 1                             so many blocks still wet; or one of
#   soft = true, weight_g = 33.0, until = 2026-12-08T21:00:00-07:00, skipped = true
# Delete the file to follow nothing.
";

/// A plan that is followed.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kept {
    /// When it was last planned.
    pub planned: Option<Moment>,
    /// What has happened, as it was told.
    #[serde(default)]
    pub happened: Vec<Happened>,
    /// Its steps, those of the past as they were given then.
    #[serde(default, rename = "step")]
    pub steps: Vec<KeptStep>,
}

/// A step of the plan that is followed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptStep {
    /// The same in every plan made from the same file.
    pub id: String,
    /// Its name for people.
    pub short: String,
    /// The kind of step.
    pub kind: Step,
    /// What is done.
    pub what: String,
    /// What it serves.
    #[serde(rename = "for")]
    pub goal: String,
    /// When it begins.
    pub start: Moment,
    /// When it is done.
    pub end: Moment,
    /// How many blocks or pieces it is done with.
    pub count: u32,
    /// The ids of the steps that must be done before it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub after: Vec<String>,
    /// Whether it happens by itself.
    #[serde(default, skip_serializing_if = "is_false")]
    pub by_itself: bool,
    /// Whether something is looked at in it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub look: bool,
    /// What ready looks like then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub see: Option<String>,
    /// What one piece weighs, in grams, that does not go into the oven again after it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ready_g: Option<f64>,
    /// What one piece weighs at the most that is ready as it is looked at, in grams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_g: Option<f64>,
}

/// Something that happened, as it was told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Happened {
    /// The step, by its id or its short name.
    pub step: String,
    /// When it was seen or done.
    pub at: Moment,
    /// Blocks that were still wet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wet: Option<u32>,
    /// Whether pieces were still soft.
    #[serde(default, skip_serializing_if = "is_false")]
    pub soft: bool,
    /// How humid the room was in which they were soft, as a share.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub humidity: Option<f64>,
    /// What one piece weighed, in grams.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight_g: Option<f64>,
    /// Until when it takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Moment>,
    /// Whether it was not done.
    #[serde(default, skip_serializing_if = "is_false")]
    pub skipped: bool,
    /// Fillings whose time had come, by their ids, and for which it left too few moulds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_filled: Vec<String>,
    /// The steps that changed for it, as they were before: what taking it back restores.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub before: Vec<KeptStep>,
    /// The ids of steps that came with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub came: Vec<String>,
}

/// An instant with its offset, as it stands in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub DateTime<FixedOffset>);

/// Why a file is not that of a plan that is followed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum KeptError {
    /// It is none at all.
    #[error("it is not the file of a plan that is followed; move it away")]
    Other,
    /// Something in it is wrong.
    #[error("{0}")]
    Wrong(String),
}

/// Why words do not say which step is meant.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NotOne {
    /// They fit none.
    #[error("no step of the plan is called so{}", near.as_ref().map_or(String::new(), |near| format!("; did you mean “{near}”?")))]
    None {
        /// The name most like them.
        near: Option<String>,
    },
    /// They fit several, with these names.
    #[error("it may be any of {}", .0.join(", "))]
    Several(Vec<String>),
}

/// How people may call a step.
#[derive(Debug, Clone)]
pub struct Names<'a> {
    /// Its short name, as every listing has it.
    pub short: &'a str,
    /// Its id.
    pub id: &'a str,
    /// What is done in it, and for what.
    pub words: String,
}

/// The step that is meant: by its short name, its id, or words that fit it alone.
///
/// # Errors
/// [`NotOne`] where none fits, or several do.
pub fn one_called<T: Copy>(called: &str, steps: &[(Names<'_>, T)]) -> Result<T, NotOne> {
    let plain = called.trim().to_lowercase();
    if let Some((_, it)) = steps.iter().find(|(it, _)| it.short == plain || it.id == plain) {
        return Ok(*it);
    }
    let fits = |(names, _): &&(Names<'_>, T)| {
        let words = format!("{} {}", names.words, names.short).to_lowercase();
        !plain.is_empty() && plain.split_whitespace().all(|word| words.contains(word))
    };
    let fit: Vec<&(Names<'_>, T)> = steps.iter().filter(fits).collect();
    match &fit[..] {
        [(_, one)] => Ok(*one),
        [] => {
            let names = steps.iter().flat_map(|(it, _)| [it.short, it.id]);
            let near = nearest(&plain, names).map(str::to_owned);
            Err(NotOne::None { near })
        }
        several => {
            Err(NotOne::Several(several.iter().map(|(it, _)| it.short.to_owned()).collect()))
        }
    }
}

impl Happened {
    /// That all of a step was done by then, and nothing else.
    pub fn done(step: &str, at: Moment) -> Self {
        Self {
            step: step.to_owned(),
            at,
            wet: None,
            soft: false,
            humidity: None,
            weight_g: None,
            until: None,
            skipped: false,
            not_filled: Vec::new(),
            before: Vec::new(),
            came: Vec::new(),
        }
    }

    /// Whether all of it was done by then.
    pub fn is_done(&self) -> bool {
        !self.is_not_ready() && self.until.is_none()
    }

    /// Whether something was not ready, or not done.
    pub fn is_not_ready(&self) -> bool {
        self.skipped || self.soft || self.wet.is_some_and(|wet| wet > 0)
    }
}

impl KeptStep {
    /// Whether it is about blocks, which are wet or solid, and not about pieces.
    pub fn of_blocks(&self) -> bool {
        matches!(self.kind, Step::Freeze | Step::TurnOut)
    }

    /// Whether it is done with pieces that are looked at before it.
    pub fn waits_for_pieces(&self) -> bool {
        matches!(self.kind, Step::Paint | Step::Photo | Step::Seal | Step::Wrap)
    }

    /// Whether something that was told of it says only that its pieces are ready for it.
    pub fn is_ready_for(&self, told: &Happened) -> bool {
        self.waits_for_pieces() && told.weight_g.is_some() && told.is_done() && !told.is_not_ready()
    }

    /// Whether its pieces stay out of the oven, by something that was told of it: they were
    /// seen to be ready, on a scale where one was used.
    pub fn stays_out(&self, told: &Happened) -> bool {
        // A kitchen scale shows whole grams.
        let light = |ready: f64| told.weight_g.is_none_or(|weight| weight < ready + 0.5);
        self.ready_g.is_some_and(light) && !told.is_not_ready() && told.until.is_none()
    }
}

/// The file of the plan that is followed, beside its plan file: `demo/forest-fortnight.toml` is kept
/// in `demo/forest-fortnight.kept.toml`.
pub fn kept_beside(plan: &Path) -> PathBuf {
    plan.with_extension("kept.toml")
}

impl Kept {
    /// Reads the file.
    ///
    /// # Errors
    /// [`KeptError`] for another file, or a key that cannot be.
    pub fn read(text: &str) -> Result<Self, KeptError> {
        if !Self::is_ours(text) {
            return Err(KeptError::Other);
        }
        let kept: Self =
            toml::from_str(text).map_err(|error| KeptError::Wrong(error.message().to_owned()))?;
        for happened in &kept.happened {
            if happened.weight_g.is_some_and(|grams| !(grams > 0.0 && grams < 1e5)) {
                return Err(KeptError::Wrong(format!(
                    "a piece of “{}” has no such weight",
                    happened.step
                )));
            }
        }
        Ok(kept)
    }

    /// Takes what was told last back, with what the plan became for it.
    pub fn take_back(&mut self) -> Option<Happened> {
        let last = self.happened.pop()?;
        self.steps.retain(|step| {
            !last.came.contains(&step.id) && !last.before.iter().any(|own| own.id == step.id)
        });
        self.steps.extend(last.before.iter().cloned());
        self.steps.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
        Some(last)
    }

    /// Adds to what was told last how the plan changed for it.
    pub fn remember(&mut self, earlier: &Self) {
        let Self { happened, steps, .. } = self;
        let Some(last) = happened.last_mut() else { return };
        let now = |old: &&KeptStep| steps.iter().find(|step| step.id == old.id);
        let changed = earlier.steps.iter().filter(|old| now(old) != Some(old));
        last.before = changed.cloned().collect();
        let new = steps.iter().filter(|step| !earlier.steps.iter().any(|old| old.id == step.id));
        last.came = new.map(|step| step.id.clone()).collect();
    }

    /// The step that is meant: by its short name, its id, or words that fit it alone.
    ///
    /// # Errors
    /// [`NotOne`] where none fits, or several do.
    pub fn step(&self, called: &str) -> Result<&KeptStep, NotOne> {
        let named = self.steps.iter().map(|step| {
            let words = format!("{} {}", step.what, step.goal);
            (Names { short: &step.short, id: &step.id, words }, step)
        });
        one_called(called, &named.collect::<Vec<_>>())
    }

    /// The steps of a kind for a goal, in the order in which they begin.
    pub fn of<'a>(&'a self, goal: &'a str, kind: Step) -> impl Iterator<Item = &'a KeptStep> {
        self.steps.iter().filter(move |step| step.goal == goal && step.kind == kind)
    }

    /// Whether a text is such a file.
    pub fn is_ours(text: &str) -> bool {
        text.starts_with(HEAD)
    }

    /// The file.
    ///
    /// # Errors
    /// A moment that TOML cannot write, as in the year 10 000.
    pub fn written(&self) -> Result<String, toml::ser::Error> {
        Ok(format!("{HEAD}\n{INTRO}\n{}", toml::to_string(self)?))
    }

    /// What was told of a step.
    pub fn told<'a>(&'a self, step: &'a KeptStep) -> impl DoubleEndedIterator<Item = &'a Happened> {
        let of = |happened: &&Happened| [&step.id, &step.short].contains(&&happened.step);
        self.happened.iter().filter(of)
    }

    /// Whether the dough of a batch is mixed by a moment.
    pub fn is_mixed(&self, ornament: &str, now: DateTime<FixedOffset>) -> bool {
        self.has_begun(ornament, Step::Mix, now)
    }

    /// Whether a kind of step of a batch, or a part of it, is over by a moment.
    pub fn has_begun(&self, ornament: &str, kind: Step, now: DateTime<FixedOffset>) -> bool {
        let over = self.over_by(now);
        self.of(ornament, kind).any(|step| over.end(step).is_some())
    }
}

fn is_false(it: &bool) -> bool {
    !it
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let text = self.0.to_rfc3339_opts(SecondsFormat::Secs, true);
        let moment: Datetime = text.parse().map_err(serde::ser::Error::custom)?;
        moment.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
        let text = Datetime::deserialize(source)?.to_string();
        let moment = DateTime::parse_from_rfc3339(&text);
        moment.map(Self).map_err(|_| {
            serde::de::Error::custom(format!(
                "“{text}” is not a date and time with its offset, as in 2026-12-08T06:40:00-07:00"
            ))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        Moment(DateTime::parse_from_rfc3339(text).unwrap())
    }

    fn kept() -> Kept {
        let step = KeptStep {
            id: "ice-otters-1-turn-out".to_owned(),
            short: "turn-out-otters-9-dec".to_owned(),
            kind: Step::TurnOut,
            what: "Turn out and bag 4 blocks".to_owned(),
            goal: "Ice for Otters".to_owned(),
            start: at("2026-12-08T06:40:00-07:00"),
            end: at("2026-12-08T06:50:00-07:00"),
            count: 4,
            after: Vec::new(),
            by_itself: false,
            look: true,
            see: None,
            ready_g: None,
            most_g: None,
        };
        Kept {
            planned: Some(at("2026-12-01T08:00:00-07:00")),
            happened: Vec::new(),
            steps: vec![step],
        }
    }

    #[test]
    fn what_is_light_enough_stays_out_of_the_oven() {
        let bake = KeptStep { kind: Step::Bake, ready_g: Some(30.2), ..kept().steps.remove(0) };
        let done = Happened { wet: None, ..happened() };
        let weighed = |grams| Happened { weight_g: Some(grams), ..done.clone() };
        assert!(bake.stays_out(&done) && bake.stays_out(&weighed(30.0)));
        assert!(!bake.stays_out(&weighed(31.0)));
        assert!(!bake.stays_out(&Happened { soft: true, ..done.clone() }));
        assert!(!KeptStep { ready_g: None, ..bake.clone() }.stays_out(&done));
    }

    #[test]
    fn one_wet_block_is_bad_news_and_none_is_good() {
        let wet = |count| Happened { wet: Some(count), ..happened() };
        assert!(wet(1).is_not_ready() && !wet(0).is_not_ready());
    }

    fn happened() -> Happened {
        let done = Happened::done("turn-out-otters-9-dec", at("2026-12-08T06:45:00-07:00"));
        Happened { wet: Some(1), ..done }
    }

    #[test]
    fn what_is_written_reads_back() {
        let mut kept = kept();
        kept.happened.push(happened());
        assert_eq!(Kept::read(&kept.written().unwrap()), Ok(kept));
        assert_eq!(Kept::read("title = 1"), Err(KeptError::Other));
        let wrong = format!("{HEAD}\n[[happened]]\nstep = \"x\"\nat = 2026-12-08T06:40:00\n");
        assert!(matches!(Kept::read(&wrong), Err(KeptError::Wrong(why)) if why.contains("offset")));
    }

    #[test]
    fn a_step_is_over_as_planned_unless_it_is_told() {
        let mut kept = kept();
        let step = kept.steps[0].clone();
        let [before, after] = ["2026-12-08T06:30:00-07:00", "2026-12-08T07:00:00-07:00"].map(at);
        assert_eq!(kept.over(&step, before.0), None);
        assert_eq!(kept.over(&step, after.0), Some(step.end.0));
        kept.happened.push(Happened { skipped: true, ..happened() });
        assert_eq!(kept.over(&step, after.0), None);
        let until = at("2026-12-08T09:00:00-07:00");
        kept.happened.push(Happened { until: Some(until), ..happened() });
        assert_eq!(kept.over(&step, after.0), Some(until.0));
    }

    #[test]
    fn a_filling_without_moulds_is_over_when_it_was_planned_again() {
        let mut kept = kept();
        let step = kept.steps[0].clone();
        let after = at("2026-12-08T07:00:00-07:00").0;
        // Two steps told at once: what changed for both stands with the last of them.
        kept.happened.push(Happened { not_filled: vec![step.id.clone()], ..elsewhere() });
        kept.happened.push(elsewhere());
        assert_eq!(kept.over(&step, after), None);
        kept.happened[1].before.push(step.clone());
        assert_eq!(kept.over(&step, after), Some(step.end.0));
    }

    fn elsewhere() -> Happened {
        Happened { step: "turn-out-wrens-10-dec".to_owned(), ..happened() }
    }
}
