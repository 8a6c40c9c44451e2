//! When hands are free, as the search by sittings is told it: in the hours of each place,
//! but for the sessions and for what is kept for them in class.

use std::{collections::BTreeMap, ops::Range};

use chrono::{Datelike, Days, NaiveDate, NaiveTime, Timelike};

use super::{
    carry::leaving,
    clock::{Clock, Tick, without},
    cost::{cost, minutes},
};
use crate::{
    planfile::{self, Group, Plan},
    scheduler::sittings::{Place, Stretch},
    tables::Term,
};

/// Hours between which work costs nothing more: what `odd-hour` of `tables/prices.toml` is
/// paid for lies before and after.
const MILD: Range<u32> = 7..21;

/// When hands are free.
pub struct Hours<'a> {
    plan: &'a Plan,
    clock: Clock,
    /// Where they work.
    pub places: Vec<Place>,
    /// When a group is in its room, and the place that stands for it.
    rooms: Vec<(Vec<Range<Tick>>, usize)>,
    /// When sessions keep her busy.
    pub busy: Vec<Range<Tick>>,
    /// When is packed what leaves at the end of it.
    pub packing: Vec<Range<Tick>>,
    /// Time in class that is kept, by the id of the step.
    pub reserved: BTreeMap<String, Range<Tick>>,
}

impl<'a> Hours<'a> {
    /// Those of a plan, before anything keeps her busy.
    pub fn of(plan: &'a Plan, clock: Clock) -> Self {
        let places = plan.places.iter().map(workplace).collect();
        let (rooms, busy, packing) = (Vec::new(), Vec::new(), Vec::new());
        Self { plan, clock, places, rooms, busy, packing, reserved: BTreeMap::new() }
    }

    /// The place that stands for a group's room at the times when it may be used.
    pub fn room(&mut self, windows: &[Range<Tick>]) -> usize {
        if let Some((_, place)) = self.rooms.iter().find(|(open, _)| open == windows) {
            return *place;
        }
        let place = self.places.len();
        self.places.push(Place { begin: 0, tick: 0, shared_hands: true });
        self.rooms.push((windows.to_vec(), place));
        place
    }

    /// The first time within a span at which neither sessions nor what is reserved keep
    /// her busy for so long.
    pub fn free(&self, span: Range<Tick>, lasts: Tick) -> Option<Range<Tick>> {
        let parts = free_of(span, &self.taken());
        let part = parts.into_iter().find(|part| part.end - part.start >= lasts)?;
        Some(part.start..part.start + lasts)
    }

    fn taken(&self) -> Vec<Range<Tick>> {
        self.busy.iter().chain(self.reserved.values()).cloned().collect()
    }

    /// The stretches in which hands are free, a date at a time: within the hours that she
    /// likes, or in all.
    pub fn stretches(&self, liked: bool) -> Vec<Stretch> {
        let class: Vec<Tick> =
            self.plan.groups.iter().flat_map(|group| self.bounds(group)).collect();
        let taken = self.taken();
        let mut stretches = Vec::new();
        for (number, place) in self.plan.places.iter().enumerate() {
            let room = self.plan.is_room(number);
            if room && !self.works_at(number) {
                continue;
            }
            let parts = self.clock.hours(self.plan, number).into_iter();
            let parts = parts.flat_map(|window| self.dates(window, &class));
            let within = |span| if liked && !room { self.liked(span) } else { span };
            let taken = if place.hands.is_some() { &[][..] } else { &taken[..] };
            let free = parts.map(within).flat_map(|open| {
                let until = open.end;
                free_of(open, taken).into_iter().map(move |span| (span, until))
            });
            stretches.extend(free.map(|(span, until)| {
                let packs = self.packs(span.end, until);
                let whole = span.start..span.end + packs;
                let shunned = if room { Vec::new() } else { self.disliked(&whole) };
                Stretch { shunned, packs, ..self.stretch(number, span) }
            }));
        }
        for (windows, place) in &self.rooms {
            let free = windows.iter().flat_map(|span| free_of(span.clone(), &taken));
            // In class she is there anyway, and no hour costs more.
            let free = free.map(|span| Stretch {
                leave: self.leaving(span.start),
                dear: Vec::new(),
                dear_tick: 0,
                late: false,
                ..self.stretch(*place, span)
            });
            stretches.extend(free);
        }
        stretches.sort_by_key(|stretch| (stretch.span.start, stretch.place));
        stretches
    }

    /// For how long something is packed from a moment on, within hours that are open until another.
    fn packs(&self, from: Tick, until: Tick) -> Tick {
        let packing = self.packing.iter().find(|packing| packing.start == from);
        packing.map_or(0, |packing| packing.end.min(until) - from)
    }

    /// When she leaves home for what begins in class then.
    pub fn leaving(&self, start: Tick) -> Tick {
        self.clock.floor(leaving(self.plan, self.clock.instant(start)))
    }

    /// Whether a freezer or an oven stands there.
    fn works_at(&self, place: usize) -> bool {
        self.plan.freezers.iter().any(|freezer| freezer.place == place)
            || self.plan.ovens.iter().any(|oven| oven.place == place)
    }

    /// When a group's class begins and ends: hands may go from home to class then.
    fn bounds(&self, group: &Group) -> Vec<Tick> {
        let class = self.clock.class(self.plan, group, |_| true);
        class.into_iter().flat_map(|window| [window.start, window.end]).collect()
    }

    /// What of a date's hours she likes.
    fn liked(&self, span: Range<Tick>) -> Range<Tick> {
        let day = self.date(span.start);
        let liked = self.clock.liked(&self.plan.wishes, day);
        span.start.max(liked.start)..span.end.min(liked.end)
    }

    /// What of a date's hours she does not like.
    fn disliked(&self, span: &Range<Tick>) -> Vec<Range<Tick>> {
        let liked = self.liked(span.clone());
        match liked.is_empty() {
            true => vec![span.clone()],
            false => without(vec![span.clone()], &liked),
        }
    }

    /// A window cut at midnight and at some other moments.
    fn dates(&self, window: Range<Tick>, cuts: &[Tick]) -> Vec<Range<Tick>> {
        let mut parts = Vec::new();
        let mut from = window.start;
        while from < window.end {
            let next = self.date(from) + Days::new(1);
            let midnight = self.clock.at(next, NaiveTime::MIN);
            let cut = cuts.iter().filter(|cut| **cut > from).min();
            let next = cut.map_or(midnight, |cut| midnight.min(*cut));
            let until = next.min(window.end).max(from + 1);
            parts.push(from..until);
            from = until;
        }
        parts
    }

    fn date(&self, tick: Tick) -> NaiveDate {
        self.clock.instant(tick).date_naive()
    }

    fn stretch(&self, place: usize, span: Range<Tick>) -> Stretch {
        let day = self.date(span.start);
        let hour = |hour: u32| {
            self.clock.at(day, NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or(NaiveTime::MIN))
        };
        let midnight = self.clock.at(day + Days::new(1), NaiveTime::MIN);
        Stretch {
            place,
            late: self.clock.instant(span.end).hour() <= 12 && span.end < midnight,
            day: day.num_days_from_ce(),
            dear: vec![
                span.start.min(hour(MILD.start))..hour(MILD.start),
                hour(MILD.end)..midnight,
            ],
            dear_tick: cost(Term::OddHour) * minutes(1),
            shunned: Vec::new(),
            leave: span.start,
            packs: 0,
            span,
        }
    }
}

/// A place where sittings are begun.
fn workplace(place: &planfile::Place) -> Place {
    let tick = cost(Term::Hands) * minutes(1);
    Place { begin: cost(Term::Sitting), tick, shared_hands: place.hands.is_none() }
}

/// What is left of a span.
fn free_of(span: Range<Tick>, taken: &[Range<Tick>]) -> Vec<Range<Tick>> {
    let whole = std::iter::once(span).filter(|span| !span.is_empty()).collect();
    taken.iter().fold(whole, without)
}
