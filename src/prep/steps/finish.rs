//! From the dry piece to the gift: paint by group, dry, photo in, seal, wrap, give.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, TimeDelta};
use chrono_tz::Tz;

use super::batch::{Batch, Made, Raw};
use crate::{
    planfile::{Finish, Group, slug},
    prep::{
        carry::leaving,
        clock::{Tick, ticks_up},
        draft::{Anchor, Booking, Draft, Ends, Passive, Task},
        durations::{DurationError, Outcomes},
        fact::{Always, Fact, Wait},
        schedule::Attention,
        what::{Coat, Part, Thing, What},
    },
    scheduler::ActivityId,
    tables::{Step, Work},
};

/// Parents are asked a week before the photos are wanted, at whatever hour of the day (common
/// practice, no source).
const ASK_AHEAD_H: f64 = 6.5 * 24.0;

/// A coat that takes longer than a month does not dry.
const NEVER_H: f64 = 30.0 * 24.0;

/// A glued-in photo is sealed within a week (common practice, no source).
const SEAL_PHOTO_H: f64 = 7.0 * 24.0;

/// Painted pieces are sealed within two weeks (common practice, no source).
const SEAL_PAINT_H: f64 = 14.0 * 24.0;

/// Children who paint at one table at a time (common practice, no source).
const PAINT_AT_ONCE: u32 = 4;

/// Adds every finishing step of a batch and the giving.
///
/// # Errors
/// [`DurationError`] when a group has no class day before the gift is due.
pub fn finish(batch: &Batch<'_>, draft: &mut Draft, raw: Raw) -> Result<(), DurationError> {
    let photos = if batch.ornament.finish.contains(&Finish::Photo) {
        photos(batch, draft)
    } else {
        Vec::new()
    };
    let Raw { firm, dry } = raw;
    // A damp core is closed in by sealer or paper: only paint and photo go on before.
    let goes_on_firm = |step: &Finish| matches!(step, Finish::Paint | Finish::Photo);
    let finish = &batch.ornament.finish;
    let early = finish.first().is_some_and(goes_on_firm);
    let (mut made, mut dry) = if early { (firm, Some(dry)) } else { (dry, None) };
    let mut before = None;
    let mut pieces = batch.count;
    for step in finish {
        let through = if goes_on_firm(step) { None } else { dry.take() };
        made = match step {
            Finish::Paint => paint(batch, draft, &made),
            Finish::Photo => {
                let (first, next) = photo(batch, draft, &made);
                for gathered in &photos {
                    draft.then(*gathered, first);
                }
                next
            }
            Finish::Seal => {
                let (first, next) = seal(batch, draft, &made, pieces);
                seal_soon(draft, before, &made, first);
                dry_through(batch, draft, through, first);
                next
            }
            Finish::Wrap => {
                let (first, next) = wrap(batch, draft, &made);
                dry_through(batch, draft, through, first);
                next
            }
        };
        before = Some(*step);
        if goes_on_firm(step) {
            pieces = batch.given();
        }
    }
    give(batch, draft, &made, dry)
}

/// Makes a task wait until the pieces are dry through, where nothing did yet.
fn dry_through(batch: &Batch<'_>, draft: &mut Draft, dry: Option<Made>, task: ActivityId) {
    if let Some(dry) = dry {
        wait_for(batch, draft, &dry, task, "");
    }
}

/// Photos curl and paint takes up damp until they are under a coat.
fn seal_soon(draft: &mut Draft, before: Option<Finish>, made: &Made, seal: ActivityId) {
    let (hours, always) = match before {
        Some(Finish::Photo) => (SEAL_PHOTO_H, Always::PhotoSealed),
        Some(Finish::Paint) => (SEAL_PAINT_H, Always::PaintSealed),
        _ => return,
    };
    let fact = draft.fact(Fact::Always(always));
    for last in &made.lasts {
        draft.then_within(*last, seal, hours, fact);
    }
}

/// Ask each group's parents, and have the photos by the time they are glued in.
fn photos(batch: &Batch<'_>, draft: &mut Draft) -> Vec<ActivityId> {
    let week = draft.fact(Fact::Always(Always::PhotosAsked));
    let mut gathered = Vec::new();
    for &n in &batch.ornament.groups {
        let group = &batch.plan.groups[n];
        let mut ask = in_class(batch, n, "ask-photos", What::AskForPhotos, Step::Gather);
        ask.bring = vec![Thing::NoteForFamilies];
        let booking = class_booking(batch, draft, (n, &ask), Work::gather().usual_h(0), |_| true);
        let ask = draft.task(ask, booking);
        let photos = batch.ornament.given_to(batch.plan, n);
        let what = What::GatherPhotos(photos);
        let mut gather = in_class(batch, n, "gather-photos", what, Step::Gather);
        gather.take_back = batch.take_back(group, vec![Thing::Photos(photos)]);
        let hours = Work::gather().usual_h(batch.ornament.children_of(batch.plan, n));
        let booking = class_booking(batch, draft, (n, &gather), hours, |_| true);
        let gather = draft.task(gather, booking);
        draft.then_after(ask, gather, ASK_AHEAD_H, week);
        gathered.push(gather);
    }
    gathered
}

/// Each group paints in its own class, on one of its own days.
fn paint(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> Made {
    let mut lasts = Vec::new();
    for &n in &batch.ornament.groups {
        let group = &batch.plan.groups[n];
        let pieces = batch.ornament.given_to(batch.plan, n);
        let what = What::Paint(n, pieces);
        let mut task = in_class(batch, n, "paint", what, Step::Paint);
        task.count = pieces;
        task.bring = vec![Thing::ToPaint(pieces), Thing::PaintSet];
        let painted = (!stays_in_class(batch)).then_some(Thing::Painted(pieces));
        let things = painted.into_iter().chain([Thing::PaintSet]).collect();
        task.take_back = batch.take_back(group, things);
        let turns = batch.ornament.children_of(batch.plan, n).div_ceil(PAINT_AT_ONCE);
        let hours = Work::paint().usual_h(turns);
        let booking = class_booking(batch, draft, (n, &task), hours, |_| true);
        let task = draft.task(task, booking);
        wait_for(batch, draft, made, task, &slug(&group.name));
        lasts.push(task);
    }
    coated(batch, Finish::Paint, lasts, "paint-dry")
}

/// Whether nothing is done with the pieces any more after their children have painted them.
fn stays_in_class(batch: &Batch<'_>) -> bool {
    batch.ornament.finish.last() == Some(&Finish::Paint)
}

/// The photos glued in at home, and the glue that dries; also the first of the tasks. A spare
/// piece has no photo.
fn photo(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> (ActivityId, Made) {
    let (first, last) =
        batch.handwork(draft, ("photo", &What::Photo, batch.given()), Step::Photo, Work::photo());
    wait_for(batch, draft, made, first, "");
    (first, coated(batch, Finish::Photo, vec![last], "photo-dry"))
}

/// Every coat of sealer on so many pieces at home, and its drying; also the first of the tasks. A
/// spare piece is sealed only where no piece was made some child's own before.
fn seal(batch: &Batch<'_>, draft: &mut Draft, made: &Made, pieces: u32) -> (ActivityId, Made) {
    let coats = batch.durations.coats(Finish::Seal, batch.plan.room);
    let mut coat = |number: u32, made: &Made| {
        let (name, what): (_, &dyn Fn(u32, Part) -> What) = match number {
            1 => ("seal".to_owned(), &What::Seal),
            _ => (format!("coat-{number}"), &What::SealAgain),
        };
        let (first, last) = batch.handwork(draft, (&name, what, pieces), Step::Seal, Work::seal());
        wait_for(batch, draft, made, first, "");
        let made = if number < coats.count {
            let coat = Coat { finish: Finish::Seal, last: false };
            dries(coat, coats.again_h, vec![last], format!("coat-{number}-dry"))
        } else {
            coated(batch, Finish::Seal, vec![last], "seal-dry")
        };
        (first, made)
    };
    let (first, made) = coat(1, made);
    (first, (2..=coats.count).fold(made, |made, number| coat(number, &made).1))
}

/// Wrapping at home; also the first of the tasks.
fn wrap(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> (ActivityId, Made) {
    let (first, last) =
        batch.handwork(draft, ("wrap", &What::Wrap, batch.given()), Step::Wrap, Work::wrap());
    wait_for(batch, draft, made, first, "");
    (first, coated(batch, Finish::Wrap, vec![last], "wrapped"))
}

/// Pieces under the last coat of a finish, until the next step.
fn coated(batch: &Batch<'_>, finish: Finish, lasts: Vec<ActivityId>, name: &str) -> Made {
    let hours = batch.durations.coats(finish, batch.plan.room).next_h;
    dries(Coat { finish, last: true }, hours, lasts, name.to_owned())
}

/// Pieces under a coat that dries for so many hours.
fn dries(coat: Coat, hours: f64, lasts: Vec<ActivityId>, name: String) -> Made {
    let hours = if hours < NEVER_H { hours } else { f64::INFINITY };
    Made {
        lasts,
        wait: Outcomes::exactly(hours),
        reason: Fact::Wait(Wait::Coat(coat), hours),
        ends: Ends::Time,
        span: (name, What::CoatDries(coat), Step::Dry),
        process: None,
    }
}

/// Makes a task wait for what was made, and shows the waiting as a span.
fn wait_for(batch: &Batch<'_>, draft: &mut Draft, made: &Made, task: ActivityId, suffix: &str) {
    let wait = made.wait.sure();
    for (n, last) in made.lasts.iter().enumerate() {
        if wait <= 0.0 {
            draft.then(*last, task);
            continue;
        }
        let fact = draft.fact(made.reason);
        draft.then_when(*last, task, &made.wait, fact);
        let (name, what, step) = &made.span;
        let shown = |span: &Passive| span.after == *last && span.task.what == *what;
        if draft.spans.iter().any(shown) {
            continue;
        }
        let number = if made.lasts.len() > 1 { format!("-{}", n + 1) } else { String::new() };
        let suffix = if number.is_empty() || suffix.is_empty() {
            number
        } else {
            format!("-{suffix}{number}")
        };
        let mut waiting = batch.task(&format!("{name}{suffix}"), *what, batch.home, *step);
        waiting.attention = Attention::None;
        waiting.process.clone_from(&made.process);
        draft.spans.push(Passive {
            task: waiting,
            after: *last,
            before: task,
            anchor: Anchor::Start,
            outcomes: made.wait.clone(),
            ends: made.ends,
            not_after_h: None,
            over: false,
        });
    }
}

/// Each group is given its pieces on its last day of class up to the given day.
fn give(
    batch: &Batch<'_>,
    draft: &mut Draft,
    made: &Made,
    dry: Option<Made>,
) -> Result<(), DurationError> {
    let due = batch.ornament.give;
    for &n in &batch.ornament.groups {
        let group = &batch.plan.groups[n];
        let none = || DurationError::NoClassBefore { group: group.name.clone(), due };
        let day = last_day(batch, group, due).ok_or_else(none)?;
        let pieces = batch.ornament.given_to(batch.plan, n);
        let mut task = in_class(batch, n, "give", What::Give(pieces), Step::Give);
        if !stays_in_class(batch) {
            task.bring = vec![Thing::Finished(pieces)];
        }
        let hours = Work::give().usual_h(batch.ornament.children_of(batch.plan, n));
        let mut booking = class_booking(batch, draft, (n, &task), hours, |d| d == day);
        booking.fact = draft.fact(Fact::MeetsLast(n, day));
        let task = draft.task(task, booking);
        wait_for(batch, draft, made, task, &slug(&group.name));
        dry_through(batch, draft, dry.clone(), task);
    }
    Ok(())
}

fn last_day(batch: &Batch<'_>, group: &Group, due: NaiveDate) -> Option<NaiveDate> {
    (0..7)
        .filter_map(|back| NaiveDate::from_num_days_from_ce_opt(due.num_days_from_ce() - back))
        .find(|day| batch.plan.meets(group, *day))
}

fn in_class(batch: &Batch<'_>, group: usize, name: &str, what: What, step: Step) -> Task {
    let group = &batch.plan.groups[group];
    let mut task = batch.task(&format!("{name}-{}", slug(&group.name)), what, group.place, step);
    task.group = Some(group.name.clone());
    task
}

/// The class hours of a group, but for a day on which she has left home by now and does not
/// know of the task: she has not brought along what it takes.
fn class_booking(
    batch: &Batch<'_>,
    draft: &mut Draft,
    (group, task): (usize, &Task),
    hours: f64,
    keep: impl Fn(NaiveDate) -> bool,
) -> Booking {
    let fact = draft.fact(Fact::Meets(group));
    let group = &batch.plan.groups[group];
    let now = draft.clock.instant(0);
    let known = is_known(batch, task, now);
    let left = |start: Tick| leaving(batch.plan, draft.clock.instant(start));
    let windows = draft.clock.class(batch.plan, group, keep).into_iter().filter_map(|open| {
        let early = (now - left(open.start)).max(TimeDelta::zero());
        let start = open.start + ticks_up(early.num_minutes() as f64 / 60.0);
        match known {
            true => Some(open),
            false => (left(start) >= now && start < open.end).then_some(start..open.end),
        }
    });
    Booking { hours, windows: windows.collect(), fact, goal: batch.goal }
}

/// Whether the plan that is kept has a task on the day of a moment.
fn is_known(batch: &Batch<'_>, task: &Task, now: DateTime<Tz>) -> bool {
    let kept = batch.plan.kept.iter().flat_map(|kept| &kept.steps);
    let today = |at: DateTime<FixedOffset>| {
        at.with_timezone(&now.timezone()).date_naive() == now.date_naive()
    };
    kept.filter(|step| step.id == task.id).any(|step| today(step.start.0))
}
