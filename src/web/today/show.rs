//! The day as a page.

use std::collections::BTreeSet;

use chrono::{DateTime, Days, FixedOffset, NaiveDate};
use chrono_tz::Tz;
use minijinja::{Value, context};

use crate::{
    explanation::changes::{Changes, changed},
    planfile::{HOME, Happened, Kept, KeptStep},
    prep::schedule::{Attention, Schedule},
    report::{
        did::{News, seen},
        listing::moved_words,
        phrase,
        today::{Item, Load, Today},
    },
    units::Locale,
    web::{
        Buffer, Laid,
        asked::{Asked, PageError},
        fields::Fields,
        laid::{problems, verdict, ways},
        look,
        reply::Reply,
        workspace::Told,
    },
};

/// What a page says at its head.
#[derive(Debug, Clone, Default)]
pub struct Said {
    /// What was told just now, and what moved for it.
    pub told: Told,
    /// What was wrong.
    pub fault: String,
    /// What was typed where it was wrong.
    pub typed: Fields,
}

/// The page of a day, with what has just happened.
pub fn show(asked: &Asked, open: &Buffer, laid: &Laid, said: Said) -> Result<Reply, PageError> {
    let Laid { schedule, kept } = laid;
    let now = schedule.computed.with_timezone(&schedule.timezone);
    let today = Today::of(schedule, kept.as_ref(), now, None);
    let day = Day { schedule, kept: kept.as_ref(), locale: schedule.locale };
    let earlier = day.earlier(&today, now.date_naive());
    let last = kept.as_ref().and_then(|kept| kept.happened.last());
    let typed = |name: &str| said.typed.get(name).unwrap_or_default();
    let [step, at, wet, weight, until] = ["step", "at", "wet", "weight", "until"].map(typed);
    let values = context! {
        heading => schedule.locale.long_day(&today.day),
        title => &schedule.title,
        verdict => verdict(schedule),
        problems => problems(schedule),
        one_change => ways(schedule, &schedule.one_change),
        followed => kept.is_some(),
        begun => asked.query.get("said") == Some("followed"),
        any => schedule.steps.iter().any(|step| step.attention != Attention::None),
        can_follow => asked.site.in_pocket() || open.is_saved() && open.path.is_some(),
        revision => open.revision,
        count => kept.as_ref().map_or(0, |kept| kept.happened.len()),
        last => last.map(|last| day.told(&last.step, last)),
        not_told => day.rows(&today.not_told),
        earlier,
        today => day.rows(&today.today),
        tomorrow => day.rows(&today.tomorrow),
        carry => day.loads(today.carried(today.day)),
        carry_tomorrow => day.loads(today.carried(today.day + Days::new(1))),
        next => today.next.as_ref().map(|next| day.row(next)),
        changed => day.changed(),
        noted => said.told.noted,
        moved => said.told.moved,
        back => said.told.back,
        fault => said.fault,
        typed => context! { step, at, wet, weight, until },
    };
    look::page(asked, "Today", include_str!("today.html"), values)
}

/// What moved, as its reader spells it.
pub fn moves(changes: &Changes, schedule: &Schedule) -> Vec<(String, String)> {
    let all = moved_words(changes, schedule.locale).into_iter();
    let spelled = |words: &str| schedule.spelling.words(words);
    all.map(|(head, words)| (head.trim().to_owned(), spelled(&words))).collect()
}

/// A plan as its day is shown.
struct Day<'a> {
    schedule: &'a Schedule,
    kept: Option<&'a Kept>,
    locale: Locale,
}

impl Day<'_> {
    /// Steps still to come; what was said of one is not said again of the next.
    fn rows(&self, items: &[Item]) -> Vec<Value> {
        let mut said: BTreeSet<String> = BTreeSet::new();
        let rows = items.iter().map(|item| {
            let mut new = |words: &str| {
                Some(self.schedule.spelling.words(words)).filter(|w| said.insert(w.clone()))
            };
            let look = item.look.as_deref().and_then(&mut new);
            let planned = self
                .schedule
                .shown()
                .into_iter()
                .find(|step| step.follow.short == item.short && step.is_look() == item.before);
            let cautions = planned.iter().flat_map(|step| &step.cautions);
            let cautions: Vec<String> = cautions.filter_map(|one| new(&one.short)).collect();
            let amounts = planned.iter().flat_map(|step| &step.amounts);
            let amounts: Vec<String> =
                amounts.map(|amount| format!("{} {}", amount.what, amount.text)).collect();
            context! { look, cautions, amounts, ..self.row(item) }
        });
        rows.collect()
    }

    /// What goes with her: when, and what.
    fn loads(&self, loads: Vec<&Load>) -> Vec<(String, String)> {
        let told = loads.into_iter();
        told.map(|load| (self.locale.time(&load.at), self.schedule.spelling.words(&load.words())))
            .collect()
    }

    fn row(&self, item: &Item) -> Value {
        context! {
            times => match item.before {
                true => self.locale.time(&item.at),
                false => self.locale.times(&item.at, &item.until),
            },
            at => self.locale.day_and_time(&item.at),
            what => self.schedule.spelling.words(&item.what),
            place => Some(&item.place).filter(|place| *place != HOME),
            only => item.needed.map(phrase::percent),
            before => item.before,
            begun => item.begun,
            under_way => item.under_way,
            told => (),
            ..telling(&item.short, self.step(&item.short))
        }
    }

    /// What is kept of a step.
    fn step(&self, short: &str) -> Option<&KeptStep> {
        self.kept?.steps.iter().find(|step| step.short == short)
    }

    /// What is over of a day, told or not, in the order in which it was planned.
    fn earlier(&self, today: &Today, day: NaiveDate) -> Vec<Value> {
        let Some(kept) = self.kept else { return Vec::new() };
        let listed =
            |short: &str| today.today.iter().chain(&today.not_told).any(|item| item.short == short);
        let own = kept.steps.iter().filter(|step| {
            let on = step.start.0.with_timezone(&self.schedule.timezone).date_naive();
            on == day && !step.by_itself && !listed(&step.short)
        });
        let rows = own.map(|step| {
            let told = kept.told(step).next_back();
            let [from, until] = [step.start, step.end].map(|it| self.here(it.0));
            context! {
                times => self.locale.times(&from, &until),
                what => self.schedule.spelling.words(&step.what),
                told => told.map(|told| self.told(&step.short, told)),
                place => (),
                only => (),
                before => false,
                begun => false,
                under_way => false,
                look => (),
                cautions => (),
                amounts => (),
                ..telling(&step.short, Some(step))
            }
        });
        rows.collect()
    }

    fn here(&self, at: DateTime<FixedOffset>) -> DateTime<Tz> {
        at.with_timezone(&self.schedule.timezone)
    }

    /// What was told of a step, in words.
    fn told(&self, short: &str, happened: &Happened) -> String {
        let step = self.step(short);
        let what = step.map_or(short, |step| step.what.as_str()).to_owned();
        let ready = step.is_some_and(|step| step.is_ready_for(happened));
        let happened = happened.clone();
        let news = News { what, happened, ready, back: false, mixing: None, planned: None };
        self.schedule.spelling.words(&seen(&news, self.schedule))
    }

    /// What is otherwise than in the plan that is kept, since its file was changed.
    fn changed(&self) -> Vec<(String, String)> {
        let changes = self.kept.map(|kept| changed(kept, self.schedule, kept));
        changes.map_or_else(Vec::new, |changes| moves(&changes, self.schedule))
    }
}

/// What can be told of a step besides that it is done; nothing of one that is not kept.
fn telling(short: &str, step: Option<&KeptStep>) -> Value {
    let blocks = step.is_some_and(KeptStep::of_blocks);
    let pieces = step.is_some_and(|step| step.look) && !blocks;
    let number = step.map_or(0, |step| step.count);
    let ready = step.and_then(|step| step.ready_g).map(|ready| format!("{ready:.0} g"));
    context! { short, tick => step.is_some(), blocks, pieces, number, ready }
}
