//! What to do today and tomorrow, what to look at, what was not told yet.

use anstyle::Style;
use chrono::{DateTime, Days, NaiveDate, NaiveTime, TimeDelta};
use chrono_tz::Tz;
use serde::Serialize;

use super::{
    carry::{all_together, carry_words},
    in_the_way::heading,
    lines::{Lines, styles},
    phrase,
    words::thing,
};
use crate::{
    planfile::{HOME, Kept, KeptStep},
    prep::schedule::{Attention, Carry, Schedule, Step, iso_date},
    tables::Step as Kind,
    units::{Locale, Spelling, zone},
};

/// Lines, at most.
const MOST: usize = 25;

/// A look that was planned this long ago is still worth telling.
const TELL: TimeDelta = TimeDelta::hours(24);

/// A step that was to be over this long ago may still be under way (common practice, no source).
const LATE: TimeDelta = TimeDelta::hours(1);

/// The screen of a day.
#[derive(Debug, Clone, Serialize)]
pub struct Today {
    /// The plan.
    pub title: String,
    /// How words are spelled for its people.
    #[serde(skip)]
    pub spelling: Spelling,
    /// The day.
    #[serde(serialize_with = "iso_date")]
    pub day: NaiveDate,
    /// What is said of the plan that is kept.
    pub kept: Option<String>,
    /// Looks whose time has passed and of which nothing was told.
    pub not_told: Vec<Item>,
    /// What is to do today.
    pub today: Vec<Item>,
    /// What is to do tomorrow.
    pub tomorrow: Vec<Item>,
    /// What she leaves home with and brings home on these days, each time once.
    pub carry: Vec<Load>,
    /// What comes after that.
    pub next: Option<Item>,
    /// Whether every session and gift is served.
    pub feasible: bool,
    /// What stands in the way of the plan.
    pub problems: Vec<String>,
    /// How its reader says days and times.
    #[serde(skip)]
    pub locale: Locale,
}

/// A step, as far as a day's screen shows it.
#[derive(Debug, Clone, Serialize)]
pub struct Item {
    /// Its name.
    pub short: String,
    /// When it begins.
    pub start: String,
    /// When it is done.
    pub end: String,
    /// What to do.
    pub what: String,
    /// Where.
    #[serde(rename = "where")]
    pub place: String,
    /// What ready looks like, where it waits for something.
    pub look: Option<String>,
    /// Whether it is but a look before another step, elsewhere.
    #[serde(skip)]
    pub before: bool,
    /// How likely it is needed, where it is a reserve.
    pub needed: Option<f64>,
    /// Whether its time has come and nothing was told of it: it counts as done as planned.
    pub begun: bool,
    /// Whether its time has come and is not over.
    #[serde(skip)]
    pub under_way: bool,
    /// Whether it is about pieces of dough, where it is a look.
    #[serde(skip)]
    pub of_dough: bool,
    /// The instant that it begins, for people.
    #[serde(skip)]
    pub at: DateTime<Tz>,
    /// The instant that it is done.
    #[serde(skip)]
    pub until: DateTime<Tz>,
}

/// What goes with her at one time.
#[derive(Debug, Clone, Serialize)]
pub struct Load {
    /// When.
    pub start: String,
    /// Whether it comes back as class ends; else it leaves with her.
    pub home: bool,
    /// Where it leaves, or where it goes back.
    pub place: String,
    /// The things.
    pub items: Vec<String>,
    /// The instant, for people.
    #[serde(skip)]
    pub at: DateTime<Tz>,
}

impl Today {
    /// Of a plan at a moment.
    pub fn of(
        schedule: &Schedule,
        kept: Option<&Kept>,
        now: DateTime<Tz>,
        line: Option<String>,
    ) -> Self {
        let day = now.date_naive();
        let tomorrow = day + Days::new(1);
        let shown = schedule.shown();
        let hands = || shown.iter().copied().filter(|step| step.attention != Attention::None);
        // Until tomorrow's class; all of tomorrow where there is none.
        let class = hands().filter(|step| step.group.is_some() && step.place != HOME);
        let class = class.filter(|step| step.start.date_naive() == tomorrow);
        let end_of_day = |date: NaiveDate| {
            zone::resolve(now.timezone(), (date + Days::new(1)).and_time(NaiveTime::MIN))
        };
        let until = class.map(|step| step.start).max().unwrap_or_else(|| end_of_day(tomorrow));
        let on = |date: NaiveDate| {
            let own = hands().filter(move |step| step.start.date_naive() == date);
            own.map(item).collect::<Vec<Item>>()
        };
        let [out, back] = [(&schedule.carry, false), (&schedule.back, true)].map(loads);
        let mut carry: Vec<Load> = out.chain(back).collect();
        carry.retain(|load| (now..=until).contains(&load.at));
        carry.sort_by_key(|load| load.at);
        let problems = schedule.problems.iter().map(heading);
        Self {
            title: schedule.title.clone(),
            locale: schedule.locale,
            spelling: schedule.spelling.clone(),
            day,
            kept: line,
            not_told: kept.map_or_else(Vec::new, |kept| not_told(kept, now)),
            today: kept
                .map_or_else(Vec::new, |kept| begun(kept, now))
                .into_iter()
                .chain(on(day))
                .collect(),
            carry,
            next: after(hands(), &until),
            tomorrow: on(tomorrow).into_iter().filter(|item| item.at <= until).collect(),
            feasible: schedule.feasible,
            problems: problems.chain(schedule.without.iter().cloned()).collect(),
        }
    }

    /// What goes with her on a day, in time order.
    pub fn carried(&self, day: NaiveDate) -> Vec<&Load> {
        self.carry.iter().filter(|load| load.at.date_naive() == day).collect()
    }
}

/// What goes with her, once for each time and place.
fn loads((lists, home): (&Vec<Carry>, bool)) -> impl Iterator<Item = Load> {
    let same = |a: &Carry, b: &Carry| (a.leave, &a.place) == (b.leave, &b.place);
    lists.chunk_by(same).map(move |lists| {
        let things = all_together(lists.iter().flat_map(|list| list.things.iter().copied()));
        Load {
            start: lists[0].leave.to_rfc3339(),
            home,
            place: lists[0].place.clone(),
            items: things.into_iter().map(thing).collect(),
            at: lists[0].leave,
        }
    })
}

impl Load {
    /// What it says, but for the time.
    pub fn words(&self) -> String {
        format!("{}: {}", carry_words(&self.place, self.home), self.items.join("; "))
    }
}

/// The first step after a moment.
fn after<'a>(mut steps: impl Iterator<Item = &'a Step>, until: &DateTime<Tz>) -> Option<Item> {
    steps.find(|step| step.start > *until && !step.follow.reserve).map(item)
}

fn item(step: &Step) -> Item {
    Item {
        short: step.follow.short.clone(),
        start: step.start.to_rfc3339(),
        end: step.end.to_rfc3339(),
        what: step.what.clone(),
        place: step.place.clone(),
        look: step.looks_there().next().map(|look| look.see.clone()),
        before: step.is_look(),
        needed: step.follow.needed,
        begun: false,
        under_way: false,
        of_dough: step.follow.weigh_g.is_some(),
        at: step.start,
        until: step.end,
    }
}

/// Looks of the last day that count as done as planned though nobody said what was seen.
fn not_told(kept: &Kept, now: DateTime<Tz>) -> Vec<Item> {
    let moment = now.fixed_offset();
    let looks = kept.steps.iter().filter(|step| is_looked_at(step, now));
    let recent = looks.filter(|step| step.end.0 > moment - TELL);
    let open = recent.filter(|step| kept.told(step).next().is_none());
    open.map(|step| of_kept(step, now)).collect()
}

/// Whether the time has come to look: in the oven, when that is over.
fn is_looked_at(step: &KeptStep, now: DateTime<Tz>) -> bool {
    let from = if step.kind == Kind::Bake { step.end } else { step.start };
    step.look && from.0 <= now.fixed_offset()
}

/// Steps of hands whose time has come and of which nobody has said that they are done; those whose
/// look was not told are asked for apart.
fn begun(kept: &Kept, now: DateTime<Tz>) -> Vec<Item> {
    let moment = now.fixed_offset();
    let asked = |step: &KeptStep| is_looked_at(step, now) && kept.told(step).next().is_none();
    let hands = kept.steps.iter().filter(|step| !step.by_itself && !asked(step));
    let begun = hands.filter(|step| step.start.0 < moment && moment < step.end.0 + LATE);
    let open = begun.filter(|step| kept.told(step).all(|told| step.is_ready_for(told)));
    open.map(|step| {
        let look = step.see.clone().filter(|_| step.look);
        Item { begun: true, under_way: moment < step.end.0, look, ..of_kept(step, now) }
    })
    .collect()
}

fn of_kept(step: &KeptStep, now: DateTime<Tz>) -> Item {
    let [at, until] = [step.start, step.end].map(|it| it.0.with_timezone(&now.timezone()));
    Item {
        short: step.short.clone(),
        start: at.to_rfc3339(),
        end: until.to_rfc3339(),
        what: step.what.clone(),
        place: String::new(),
        look: None,
        before: false,
        needed: None,
        begun: false,
        under_way: false,
        of_dough: !step.of_blocks(),
        at,
        until,
    }
}

/// The screen in at most 25 lines; `file` is the plan as she would type it.
pub fn today_words(today: &Today, file: &str, width: usize) -> String {
    let (mut lines, locale) = (Lines::new(width), today.locale);
    lines.line(&format!("{}, {}", locale.heading(&today.day), today.title), styles::ANSWER);
    for problem in &today.problems {
        lines.line(&format!("{problem}."), styles::CAUTION);
    }
    for item in &today.not_told {
        let words = format!(
            "Not told yet: {}, {}. What was it like?",
            item.what,
            locale.day_and_time(&item.at)
        );
        lines.line(&words, styles::CAUTION);
        let how = if item.of_dough { "[--soft]" } else { "[--wet N]" };
        lines.line(&format!("  solidby did {file} {} {how}", item.short), Style::new());
    }
    let [now, later] = [today.carried(today.day), today.carried(today.day + Days::new(1))];
    match today.today.is_empty() && now.is_empty() {
        true => lines.line("Today: nothing more to do.", Style::new()),
        false => day(&mut lines, ("Today", true), (&today.today, &now), locale),
    }
    if !today.tomorrow.is_empty() {
        day(&mut lines, ("Tomorrow", false), (&today.tomorrow, &later), locale);
    }
    if let Some(next) = &today.next {
        lines.hang(
            "Then ",
            "     ",
            &format!("{}: {}", locale.day_and_time(&next.at), next.what),
            styles::QUIET,
        );
    }
    let text = today.spelling.clone().in_file(file).words(&lines.finish());
    let count = text.lines().count();
    if count <= MOST {
        return text;
    }
    let kept: Vec<&str> = text.lines().take(MOST - 1).collect();
    format!("{}\nand {} lines more: solidby plan {file}\n", kept.join("\n"), count - (MOST - 1))
}

/// A day's steps with what goes with her, in time order; looks where they are asked for.
fn day(
    lines: &mut Lines,
    (heading, looks): (&str, bool),
    (items, loads): (&[Item], &[&Load]),
    locale: Locale,
) {
    let mut loads = loads.iter().peekable();
    let column = if locale.twelve_hours { 20 } else { 15 };
    lines.line(heading, styles::HEADING);
    let carried = |lines: &mut Lines, load: &Load| {
        let head = format!("  {}", locale.time(&load.at));
        lines.row(&head, column, &load.words(), Style::new());
    };
    let (mut shown, mut said): (Option<&str>, Option<&str>) = (None, None);
    for item in items {
        // One looks before one leaves.
        let earlier = |load: &&&Load| load.at < item.at || load.at == item.at && !item.before;
        while let Some(load) = loads.next_if(earlier) {
            carried(lines, load);
        }
        let only = match item.needed {
            Some(needed) => format!("Only if needed ({}): ", phrase::percent(needed)),
            None => String::new(),
        };
        let head = match item.before {
            true => format!("  {}", locale.time(&item.at)),
            false => format!("  {}", locale.times(&item.at, &item.until)),
        };
        lines.row(&head, column, &format!("{only}{}  [{}]", item.what, item.short), Style::new());
        if let Some(look) = item.look.as_deref().filter(|look| looks && shown != Some(look)) {
            lines.row("", column, &format!("Look: {look}"), styles::QUIET);
            shown = Some(look);
        }
        let counts = match (item.begun, item.under_way) {
            (false, _) => continue,
            (true, false) => "counts as done as planned; else say so with: did",
            (true, true) => "under way; then it counts as done as planned; else say so with: did",
        };
        if said.replace(counts) != Some(counts) {
            lines.row("", column, counts, styles::QUIET);
        }
    }
    loads.for_each(|load| carried(lines, load));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile::Moment;

    #[test]
    fn looks_of_the_last_day_are_asked_for() {
        let zone = Tz::America__Denver;
        let now = "2026-12-08T18:20:00-07:00".parse::<DateTime<chrono::FixedOffset>>().unwrap();
        let look = |short: &str, began: i64| {
            let start = now - TimeDelta::minutes(began);
            KeptStep {
                id: short.to_owned(),
                short: short.to_owned(),
                kind: Kind::TurnOut,
                what: "Turn out and bag 4 blocks".to_owned(),
                goal: "Ice for Otters".to_owned(),
                start: Moment(start),
                end: Moment(start + TimeDelta::minutes(10)),
                count: 4,
                after: Vec::new(),
                by_itself: false,
                look: true,
                see: None,
                ready_g: None,
                most_g: None,
            }
        };
        let day = 24 * 60;
        let no_look = KeptStep { look: false, ..look("fill", 60) };
        let steps = vec![
            look("long-ago", day + 10),
            look("yesterday", day + 5),
            look("an-hour-ago", 60),
            no_look,
            look("now", 0),
            look("to-come", -5),
        ];
        let kept = Kept { planned: None, happened: Vec::new(), steps };
        let open = not_told(&kept, now.with_timezone(&zone));
        let names: Vec<&str> = open.iter().map(|item| &*item.short).collect();
        assert_eq!(names, ["yesterday", "an-hour-ago", "now"]);
    }
}
