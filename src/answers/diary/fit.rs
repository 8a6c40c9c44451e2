//! From notes to what is known of one appliance.

use std::sync::Arc;

use serde::Serialize;

use crate::answers::dough::{Dough, DoughNote, DoughQuestion, OvenTold};
use crate::answers::evening::{Evening, prediction};
use crate::answers::ice::{FreezerTold, IceNote, IceQuestion};
use crate::answers::{AskError, dough, ice};
use crate::tables::{self, Unknown};
use crate::uncertainty::{Axis, Band, Effort, Evidence, Posterior, Update, update};

/// After so many days a note counts half: seals age, frost grows and is
/// scraped off, flour and tins change (common practice, no source).
pub const HALF_LIFE_DAYS: f64 = 180.0;

/// One unknown before and after the notes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Belief {
    /// Which.
    pub name: Unknown,
    /// What it is.
    pub about: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// From the tables.
    pub before: Band,
    /// From the notes.
    pub after: Band,
}

impl Belief {
    /// By how much its range has become narrower: 0 not at all, 1 to a point; negative if wider.
    pub fn narrower(&self) -> f64 {
        1.0 - (self.after.p95 - self.after.p05) / (self.before.p95 - self.before.p05)
    }
}

/// What became of one note.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Noted {
    /// Hours to solid, or to hard, by the tables alone.
    pub before_h: Option<Band>,
    /// The same by the notes.
    pub after_h: Option<Band>,
    /// How much it still counts, by its age; 0 when it belongs to an earlier
    /// setting or appliance, or can teach nothing.
    pub weight: f64,
    /// The chance that it is wrong, by all the others; none when it does not count.
    pub doubt: Option<f64>,
    /// Whether it disagrees with the rest: more likely wrong than right.
    pub odd: bool,
}

/// What the notes on one appliance teach.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fit {
    /// For questions: `IceQuestion::posterior`, `DoughQuestion::posterior`.
    #[serde(skip)]
    pub posterior: Posterior,
    /// Each learnt unknown, before and after.
    pub unknowns: Vec<Belief>,
    /// Each note, in the order given.
    #[serde(skip)]
    pub notes: Vec<Noted>,
    /// What they say together.
    #[serde(flatten)]
    pub says: Says,
    /// What it took.
    #[serde(flatten)]
    pub effort: Effort,
}

/// What takes the time that a diary tells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Taker {
    /// A freezer.
    Freezer,
    /// An oven with a dough.
    Oven,
    /// An oven with a dough of which some dried in its room.
    #[serde(rename = "oven")]
    OvenAndRoom,
    /// A room in which dough dries.
    Room,
}

impl Taker {
    /// Of both by one name.
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Oven, Self::Room) | (Self::Room, Self::Oven) => Self::OvenAndRoom,
            (Self::OvenAndRoom, _) | (_, Self::OvenAndRoom) => Self::OvenAndRoom,
            _ => self,
        }
    }
}

/// What the notes on one appliance say together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "says", rename_all = "lowercase")]
pub enum Says {
    /// Which of the kitchens that there are it is like.
    Usual,
    /// It is like none of them: trouble.
    Trouble {
        /// How many times as long it takes as is usual; below 1, it is so much sooner.
        times: f64,
    },
    /// Half of them or more are contradicted by the others.
    Divided {
        /// How many.
        odd: usize,
    },
}

impl Says {
    fn of(posterior: &Posterior, notes: &[Noted]) -> Self {
        let counted = notes.iter().filter(|note| note.weight > 0.0).count();
        let odd = notes.iter().filter(|note| note.odd).count();
        match posterior.trouble() {
            _ if 2 * odd >= counted && odd > 0 => Self::Divided { odd },
            Some(times) => Self::Trouble { times },
            None => Self::Usual,
        }
    }
}

impl Fit {
    /// How many notes count.
    pub fn counted(&self) -> usize {
        self.notes.iter().filter(|note| note.weight > 0.0).count()
    }
}

/// What a note of this age still counts.
fn faded(age_days: f64) -> f64 {
    0.5_f64.powf(age_days.max(0.0) / HALF_LIFE_DAYS)
}

/// How far back the notes hold, and what is known of the setting from all of
/// them: from the question back to the first contradiction.
fn epoch<T: Copy>(notes: &[(T, bool)], asked: T, with: impl Fn(&T, &T) -> Option<T>) -> (usize, T) {
    let mut known = asked;
    for (n, (told, anew)) in notes.iter().enumerate().rev() {
        match with(&known, told) {
            Some(both) => known = both,
            None => return (n + 1, known),
        }
        if *anew {
            return (n, known);
        }
    }
    (0, known)
}

/// A note of a kind with its age in days and whether the appliance was changed
/// or set anew before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Dated<N> {
    /// The note.
    pub note: N,
    /// Days before now.
    pub age_days: f64,
    /// The appliance was changed or set anew before it: earlier notes do not count.
    pub anew: bool,
}

/// The runs of evenings met before: most notes of a diary are alike.
#[derive(Clone, Default)]
pub struct EveningCache(Vec<(IceQuestion, Arc<ice::Evenings>)>);

impl EveningCache {
    fn evenings(&mut self, question: &IceQuestion) -> Result<Arc<ice::Evenings>, AskError> {
        if let Some((_, runs)) = self.0.iter().find(|(known, _)| known == question) {
            return Ok(Arc::clone(runs));
        }
        let runs = Arc::new(ice::Evenings::of(question)?);
        self.0.push((question.clone(), Arc::clone(&runs)));
        Ok(runs)
    }
}

/// Fits one freezer's notes, the oldest first, for a question that says `asked`
/// of the freezer.
///
/// Returns what is known of the freezer's setting too. None when no note counts.
///
/// # Errors
/// [`AskError`] for a note whose block or numbers cannot be.
pub fn fit_ice(
    notes: &[Dated<IceNote>],
    asked: FreezerTold,
    cache: &mut EveningCache,
) -> Result<Option<(Fit, FreezerTold)>, AskError> {
    let told: Vec<_> = notes.iter().map(|dated| (dated.note.told, dated.anew)).collect();
    let (from, setting) = epoch(&told, asked, FreezerTold::with);
    let mut evenings = vec![None; from];
    for dated in &notes[from..] {
        let runs = cache.evenings(&setting.set(&dated.note.question))?;
        evenings.push(Some((runs.seen(&dated.note.observations), faded(dated.age_days))));
    }
    Ok(fit(&evenings, &ice::LEARNT).map(|fit| (fit, setting)))
}

/// Fits one oven's notes, the oldest first, for a question on `dough` that says
/// `asked` of the oven. Notes on another dough do not count.
///
/// # Errors
/// [`AskError`] for a note whose piece or numbers cannot be.
pub fn fit_dough(
    notes: &[Dated<DoughNote>],
    dough: &Dough,
    asked: OvenTold,
) -> Result<Option<(Fit, OvenTold)>, AskError> {
    let told: Vec<_> = notes.iter().map(|dated| (dated.note.told, dated.anew)).collect();
    let (from, setting) = epoch(&told, asked, OvenTold::with);
    let questions: Vec<Option<DoughQuestion>> = notes[from..]
        .iter()
        .map(|dated| &dated.note.question)
        .map(|question| (question.dough == *dough).then(|| setting.set(question)))
        .collect();
    let mut known: Vec<(&DoughQuestion, dough::Batches)> = Vec::new();
    let mut evenings = vec![None; from];
    for (dated, question) in notes[from..].iter().zip(&questions) {
        let Some(question) = question else {
            evenings.push(None);
            continue;
        };
        let at = match known.iter().position(|(same, _)| *same == question) {
            Some(at) => at,
            None => {
                known.push((question, dough::Batches::of(question)?));
                known.len() - 1
            }
        };
        evenings.push(Some((known[at].1.seen(&dated.note.observations), faded(dated.age_days))));
    }
    Ok(fit(&evenings, &dough::LEARNT).map(|fit| (fit, setting)))
}

/// The common part: evenings with their weights, none for notes that do not count.
fn fit(evenings: &[Option<(Evening, f64)>], learnt: &[Unknown]) -> Option<Fit> {
    let axes = axes(evenings, learnt);
    let evidence: Vec<Option<Evidence>> = evenings
        .iter()
        .map(|one| one.as_ref().and_then(|(evening, weight)| evening.evidence(&axes, *weight)))
        .collect();
    let counted: Vec<Evidence> = evidence.iter().flatten().cloned().collect();
    if counted.is_empty() {
        return None;
    }
    let update = update(&axes, &counted);
    let mut doubts = update.doubts.iter();
    let noted = |(evening, evidence): (&Option<(Evening, f64)>, &Option<Evidence>)| {
        let doubt = evidence.as_ref().and_then(|_| doubts.next().copied());
        Noted {
            before_h: evening.as_ref().and_then(|(evening, _)| evening.before()),
            after_h: evidence.as_ref().and_then(|it| prediction(it, &axes, &update.posterior)),
            weight: evidence.as_ref().map_or(0.0, Evidence::weight),
            doubt,
            odd: doubt.is_some_and(|doubt| doubt > 0.5),
        }
    };
    let notes = evenings.iter().zip(&evidence).map(noted).collect();
    Some(report(&axes, &update, notes))
}

/// The learnt unknowns of all evenings, each once.
fn axes(evenings: &[Option<(Evening, f64)>], learnt: &[Unknown]) -> Vec<Axis> {
    let mut axes: Vec<Axis> = Vec::new();
    for axis in evenings.iter().flatten().flat_map(|(evening, _)| evening.learnt(learnt)) {
        if axes.iter().all(|known| known.unknown != axis.unknown) {
            axes.push(*axis);
        }
    }
    axes
}

fn report(axes: &[Axis], update: &Update, notes: Vec<Noted>) -> Fit {
    let posterior = update.posterior.clone();
    let belief = |axis: &Axis| {
        let row = tables::prior(axis.unknown).ok()?;
        let before = |p: f64| row.quantile(p);
        let after = |p: f64| posterior.quantile(axis.unknown, p).unwrap_or(f64::NAN);
        let band = |of: &dyn Fn(f64) -> f64| Band { p05: of(0.05), p50: of(0.5), p95: of(0.95) };
        let (name, about, unit) = (row.unknown(), row.about(), row.unit());
        Some(Belief { name, about, unit, before: band(&before), after: band(&after) })
    };
    Fit {
        unknowns: axes.iter().filter_map(belief).collect(),
        says: Says::of(&posterior, &notes),
        notes,
        effort: update.effort,
        posterior,
    }
}
