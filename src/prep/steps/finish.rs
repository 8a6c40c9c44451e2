//! From the dry piece to the gift: paint by group, dry, photo in, seal, wrap, give.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, TimeDelta};
use chrono_tz::Tz;

use super::{
    batch::{Batch, Made, Raw},
    names::{pieces, slug, wait_words},
};
use crate::units::in_fraction;
use crate::{
    planfile::{Finish, Group},
    prep::{
        carry::leaving,
        clock::{Tick, ticks_up},
        draft::{Anchor, Booking, Draft, Ends, Passive, Task},
        durations::{DurationError, Outcomes},
        schedule::Attention,
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
                let (first, next) = seal(batch, draft, &made);
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
    let (hours, words) = match before {
        Some(Finish::Photo) => (SEAL_PHOTO_H, "a photo is sealed within a week, before it curls"),
        Some(Finish::Paint) => (SEAL_PAINT_H, "painted pieces are sealed within two weeks"),
        _ => return,
    };
    let fact = draft.fact(words);
    for last in &made.lasts {
        draft.then_within(*last, seal, hours, fact);
    }
}

/// Ask each group's parents, and have the photos by the time they are glued in.
fn photos(batch: &Batch<'_>, draft: &mut Draft) -> Vec<ActivityId> {
    let week = draft.fact("parents are asked for photos a week ahead");
    let mut gathered = Vec::new();
    for group in &batch.groups {
        let mut ask = in_class(
            batch,
            group,
            "ask-photos",
            "Ask parents for a photo of each child",
            Step::Gather,
        );
        ask.doing = "asking for the photos";
        ask.bring = vec!["a note for each family with the day the photo is needed".to_owned()];
        let booking =
            class_booking(batch, draft, (group, &ask), Work::gather().usual_h(0), |_| true);
        let ask = draft.task(ask, booking);
        let photos = pieces(group.children * batch.ornament.each, "photo");
        let what = format!("Gather {photos}");
        let mut gather = in_class(batch, group, "gather-photos", &what, Step::Gather);
        gather.take_back = batch.take_back(group, vec![photos]);
        let hours = Work::gather().usual_h(group.children);
        let booking = class_booking(batch, draft, (group, &gather), hours, |_| true);
        let gather = draft.task(gather, booking);
        draft.then_after(ask, gather, ASK_AHEAD_H, week);
        gathered.push(gather);
    }
    gathered
}

/// Each group paints in its own class, on one of its own days.
fn paint(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> Made {
    let mut lasts = Vec::new();
    for group in &batch.groups {
        let count = group.children * batch.ornament.each;
        let what = format!("{} paint {}", group.name, pieces(count, "piece"));
        let mut task = in_class(batch, group, "paint", &what, Step::Paint);
        let paint_set = "paint, brushes, trays".to_owned();
        task.bring = vec![format!("{}, firm and cool", pieces(count, "piece")), paint_set.clone()];
        let painted = format!("{}, lying flat", pieces(count, "painted piece"));
        let items = if stays_in_class(batch) { vec![paint_set] } else { vec![painted, paint_set] };
        task.take_back = batch.take_back(group, items);
        let turns = group.children.div_ceil(PAINT_AT_ONCE);
        let hours = Work::paint().usual_h(turns);
        let booking = class_booking(batch, draft, (group, &task), hours, |_| true);
        let task = draft.task(task, booking);
        wait_for(batch, draft, made, task, &slug(&group.name));
        lasts.push(task);
    }
    coated(batch, Finish::Paint, lasts, ("paint-dry".to_owned(), "The paint dries"))
}

/// Whether nothing is done with the pieces any more after their children have painted them.
fn stays_in_class(batch: &Batch<'_>) -> bool {
    batch.ornament.finish.last() == Some(&Finish::Paint)
}

/// The photos glued in at home, and the glue that dries; also the first of the tasks. A spare
/// piece has no photo.
fn photo(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> (ActivityId, Made) {
    let words = ("photo", "Glue the photo into", batch.photos());
    let (first, last) = batch.handwork(draft, words, Step::Photo, Work::photo());
    wait_for(batch, draft, made, first, "");
    (first, coated(batch, Finish::Photo, vec![last], ("photo-dry".to_owned(), "The glue dries")))
}

/// Every coat of sealer at home, and its drying; also the first of the tasks.
fn seal(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> (ActivityId, Made) {
    let coats = batch.durations.coats(Finish::Seal, batch.plan.room);
    let mut coat = |number: u32, made: &Made| {
        let name = if number == 1 { "seal".to_owned() } else { format!("coat-{number}") };
        let what = if number == 1 { "Seal every face of" } else { "Seal again every face of" };
        let (first, last) =
            batch.handwork(draft, (&name, what, batch.count), Step::Seal, Work::seal());
        wait_for(batch, draft, made, first, "");
        let made = if number < coats.count {
            let span = (format!("coat-{number}-dry"), "The coat dries");
            dries(batch, coats.again_h, vec![last], span)
        } else {
            coated(batch, Finish::Seal, vec![last], ("seal-dry".to_owned(), "The sealer dries"))
        };
        (first, made)
    };
    let (first, made) = coat(1, made);
    (first, (2..=coats.count).fold(made, |made, number| coat(number, &made).1))
}

/// Wrapping at home; also the first of the tasks.
fn wrap(batch: &Batch<'_>, draft: &mut Draft, made: &Made) -> (ActivityId, Made) {
    let words = ("wrap", "Wrap", batch.count);
    let (first, last) = batch.handwork(draft, words, Step::Wrap, Work::wrap());
    wait_for(batch, draft, made, first, "");
    (first, coated(batch, Finish::Wrap, vec![last], ("wrapped".to_owned(), "Wrapped")))
}

/// Pieces under the last coat of a finish, until the next step.
fn coated(batch: &Batch<'_>, step: Finish, lasts: Vec<ActivityId>, span: (String, &str)) -> Made {
    dries(batch, batch.durations.coats(step, batch.plan.room).next_h, lasts, span)
}

/// Pieces under a coat that dries for so many hours.
fn dries(
    batch: &Batch<'_>,
    hours: f64,
    lasts: Vec<ActivityId>,
    (name, words): (String, &str),
) -> Made {
    let humidity = 100.0 * in_fraction(batch.plan.room.humidity);
    let thing = words.to_lowercase();
    let (hours, reason) = if hours < NEVER_H {
        (hours, format!("{thing} for {}", wait_words(hours)))
    } else {
        let thing = thing.trim_end_matches(" dries");
        (f64::INFINITY, format!("in a room at {humidity:.0} % humidity {thing} does not dry"))
    };
    let span = (name, words.to_owned(), Step::Dry);
    Made { lasts, wait: Outcomes::exactly(hours), reason, ends: Ends::Time, span, process: None }
}

/// Makes a task wait for what was made, and shows the waiting as a span.
fn wait_for(batch: &Batch<'_>, draft: &mut Draft, made: &Made, task: ActivityId, suffix: &str) {
    let wait = made.wait.sure();
    for (n, last) in made.lasts.iter().enumerate() {
        if wait <= 0.0 {
            draft.then(*last, task);
            continue;
        }
        let fact = draft.fact(made.reason.clone());
        draft.then_when(*last, task, &made.wait, fact);
        let (name, words, step) = &made.span;
        let shown = |span: &Passive| span.after == *last && span.task.what == *words;
        if draft.spans.iter().any(shown) {
            continue;
        }
        let number = if made.lasts.len() > 1 { format!("-{}", n + 1) } else { String::new() };
        let suffix = if number.is_empty() || suffix.is_empty() {
            number
        } else {
            format!("-{suffix}{number}")
        };
        let mut waiting = batch.task(&format!("{name}{suffix}"), words.clone(), batch.home, *step);
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
    for group in &batch.groups {
        let none = || DurationError::NoClassBefore { group: group.name.clone(), due };
        let day = last_day(batch, group, due).ok_or_else(none)?;
        let count = group.children * batch.ornament.each;
        let what = format!("Give {} to the parents", pieces(count, "piece"));
        let mut task = in_class(batch, group, "give", &what, Step::Give);
        if !stays_in_class(batch) {
            task.bring = vec![pieces(count, "finished piece")];
        }
        let hours = Work::give().usual_h(group.children);
        let mut booking = class_booking(batch, draft, (group, &task), hours, |d| d == day);
        booking.fact =
            draft.fact(format!("{} meet last on {}", group.name, batch.plan.locale().day(&day)));
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

fn in_class(
    batch: &Batch<'_>,
    group: &Group,
    name: &str,
    what: &str,
    step: Step,
) -> crate::prep::draft::Task {
    let mut task =
        batch.task(&format!("{name}-{}", slug(&group.name)), what.to_owned(), group.place, step);
    task.group = Some(group.name.clone());
    task
}

/// The class hours of a group, but for a day on which she has left home by now and does not
/// know of the task: she has not brought along what it takes.
fn class_booking(
    batch: &Batch<'_>,
    draft: &mut Draft,
    (group, task): (&Group, &Task),
    hours: f64,
    keep: impl Fn(NaiveDate) -> bool,
) -> Booking {
    let fact = draft.fact(format!("{} meet on {}", group.name, group.day_words()));
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
    Booking {
        hours,
        windows: windows.collect(),
        fact,
        ends: format!("class hours of {} allow", group.name),
        goal: batch.goal,
    }
}

/// Whether the plan that is kept has a task on the day of a moment.
fn is_known(batch: &Batch<'_>, task: &Task, now: DateTime<Tz>) -> bool {
    let kept = batch.plan.kept.iter().flat_map(|kept| &kept.steps);
    let today = |at: DateTime<FixedOffset>| {
        at.with_timezone(&now.timezone()).date_naive() == now.date_naive()
    };
    kept.filter(|step| step.id == task.id).any(|step| today(step.start.0))
}
