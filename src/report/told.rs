//! A plan as it is told in short, to be set as lines or on paper: what is done on each day,
//! what goes on by itself from then on, and each word of care once, with a number.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::phrase;
use crate::{
    planfile::HOME,
    prep::{
        durations::SURE,
        schedule::{Attention, Caution, Schedule, Step},
    },
    tables::Step as Kind,
    units::Locale,
};

/// A plan told in short.
pub struct Told<'s> {
    /// Its steps, but for those that are told with the step before.
    pub steps: Vec<ToldStep<'s>>,
    /// The cautions in the order in which they come; each is called by its place, from 1.
    pub minded: Vec<&'s Caution>,
    /// What is looked at and what can go wrong beside the oven, as far as it was said.
    said: BTreeSet<&'s str>,
}

/// A step told in short.
pub struct ToldStep<'s> {
    /// The step.
    pub step: &'s Step,
    /// Its day.
    pub day: NaiveDate,
    /// What is done.
    pub done: String,
    /// Where, where that is not home, and its short name, which says for what.
    pub about: String,
    /// What is looked at before it is done.
    pub look: Option<Look<'s>>,
    /// Amounts, what goes on by itself, how sure it is.
    pub below: Vec<String>,
    /// Cautions that come first here, with their numbers.
    pub new: Vec<(usize, &'s Caution)>,
    /// The numbers of those that came before.
    pub again: BTreeSet<usize>,
}

/// A look at what should be ready: what ready looks like, where that was not said before.
#[derive(Debug, Clone, Copy)]
pub struct Look<'s>(pub Option<&'s str>);

impl Look<'_> {
    /// `look: tilt it: nothing runs`, or `look` where that was said before.
    pub fn in_full(self) -> String {
        self.0.map_or("look".to_owned(), |see| format!("look: {see}"))
    }
}

impl<'s> Told<'s> {
    /// Of a plan.
    pub fn of(schedule: &'s Schedule) -> Self {
        let mut told = Self { steps: Vec::new(), minded: Vec::new(), said: BTreeSet::new() };
        let shown = schedule.shown();
        for (step, after) in shown.iter().zip(led(&shown)) {
            if let Some(after) = after {
                told.add(step, &after, schedule.locale);
            }
        }
        told
    }

    fn add(&mut self, step: &'s Step, after: &[&'s Step], locale: Locale) {
        let cautions = std::iter::once(step).chain(after.iter().copied());
        let (new, again) = self.numbered(cautions.flat_map(|step| &step.cautions));
        let mut below = below(step, after, locale);
        below.extend(self.at_the_oven(step));
        let look = match step.is_look() {
            // It says that it is one, and is read as one looks.
            true => {
                below.extend(step.looks_there().map(|look| look.see.clone()));
                None
            }
            false => self.look(step),
        };
        let risks = step.follow.risks.iter().filter(|risk| self.said.insert(&risk.short));
        below.extend(risks.map(|risk| risk.short.clone()));
        self.steps.push(ToldStep {
            step,
            day: step.start.date_naive(),
            done: done(step, locale),
            about: about(step),
            look,
            below,
            new,
            again,
        });
    }

    /// What decides on a further part in the oven at each, of all else once how it is weighed.
    fn at_the_oven(&mut self, step: &'s Step) -> Vec<String> {
        let looks = step.follow.looks.iter().filter(|_| step.kind == Kind::Bake);
        let said = looks.filter(|look| self.said.insert(&look.short) || look.ready_g.is_some());
        said.map(|look| look.short.clone()).collect()
    }

    /// What is looked at before it is done, in full where it is said for the first time.
    fn look(&mut self, step: &'s Step) -> Option<Look<'s>> {
        let look = step.looks_there().next().filter(|_| step.attention != Attention::Watch)?;
        Some(Look(self.said.insert(&look.short).then_some(&*look.short)))
    }

    /// Cautions that come first, with their numbers, and the numbers of those that came before.
    fn numbered(
        &mut self,
        cautions: impl Iterator<Item = &'s Caution>,
    ) -> (Vec<(usize, &'s Caution)>, BTreeSet<usize>) {
        let (mut new, mut again) = (Vec::new(), BTreeSet::new());
        let before = self.minded.len();
        for caution in cautions {
            match self.minded.iter().position(|known| known.id == caution.id) {
                Some(place) if place < before => drop(again.insert(place + 1)),
                Some(_) => {}
                None => {
                    self.minded.push(caution);
                    new.push((self.minded.len(), caution));
                }
            }
        }
        (new, again)
    }
}

/// Numbers of cautions as they stand behind a step, each after a space: ` !4–6 !12`.
pub fn marks(numbers: &BTreeSet<usize>) -> String {
    let numbers: Vec<usize> = numbers.iter().copied().collect();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [first, _, .., last] => format!(" !{first}–{last}"),
        few => few.iter().map(|number| format!(" !{number}")).collect(),
    });
    runs.collect()
}

/// For each step what begins by itself as it ends; none for what is told at such a step.
fn led<'s>(steps: &[&'s Step]) -> Vec<Option<Vec<&'s Step>>> {
    let ends = |(n, step): (usize, &&Step)| {
        (step.attention != Attention::None && !step.is_look())
            .then(|| ((step.end, step.goal.clone()), n))
    };
    let leaders: BTreeMap<_, usize> = steps.iter().enumerate().filter_map(ends).collect();
    let mut led: Vec<Option<Vec<&'s Step>>> = vec![Some(Vec::new()); steps.len()];
    for (n, step) in steps.iter().enumerate() {
        let leader = leaders.get(&(step.start, step.goal.clone()));
        let Some(leader) = leader.filter(|_| step.attention == Attention::None) else { continue };
        if let Some(Some(after)) = led.get_mut(*leader) {
            after.push(step);
            led[n] = None;
        }
    }
    led
}

fn done(step: &Step, locale: Locale) -> String {
    let needed = step.follow.needed.map(phrase::percent);
    let only = needed.map_or(String::new(), |needed| format!("only if needed ({needed}): "));
    let done = match step.attention {
        Attention::None => {
            format!("{} until {}", step.what, locale.from_day(&step.start, &step.end))
        }
        Attention::Watch => format!("{} (stay near)", step.what),
        Attention::Hands => step.what.clone(),
    };
    only + &done
}

/// That it is at home goes without saying.
fn about(step: &Step) -> String {
    let place = Some(&step.place).filter(|place| *place != HOME);
    let place = place.map_or(String::new(), |place| format!(" · {place}"));
    format!("{place} [{}]", step.follow.short)
}

fn below(step: &Step, after: &[&Step], locale: Locale) -> Vec<String> {
    // Of what is sure nothing is said: the last line says how sure all of it is.
    let sure = |chance: Option<f64>| chance.filter(|chance| *chance < SURE).map(phrase::percent);
    let dries: Vec<&Step> =
        after.iter().copied().filter(|after| after.kind == Kind::AirDry).collect();
    let amounts = step.amounts.iter().map(|amount| format!("{} {}", amount.what, amount.text));
    let goes_on = after.iter().map(|after| {
        let until = locale.from_day(&step.end, &after.end);
        let sure = sure(after.chance).map_or(String::new(), |sure| format!(" ({sure})"));
        format!("{} by {until}{sure}", ended(after, &dries))
    });
    let own = sure(step.chance).map(|sure| format!("done in time: {sure}"));
    amounts.chain(goes_on).chain(own).collect()
}

/// What something is once what goes on by itself has ended; of two waits of drying pieces
/// the first ends as they are firm.
fn ended<'s>(step: &'s Step, dries: &[&Step]) -> &'s str {
    match step.kind {
        Kind::Freeze => "frozen",
        // They go on drying on the rack: painting waits for both.
        Kind::Cool => "firm and cool",
        Kind::AirDry if dries.iter().any(|other| other.end > step.end) => "firm",
        Kind::AirDry => "dry through",
        Kind::Dry => "dry",
        Kind::Temper => "wet",
        _ => &step.what,
    }
}
