//! Random small plan files: whatever is planned keeps every promise, read from
//! the schedule alone.

use crate::support;

use std::collections::BTreeMap;

use chrono::{DateTime, Datelike, Days, Duration, NaiveDate, NaiveTime, Utc, Weekday};
use chrono_tz::Tz;
use solidby::prep::{
    self,
    schedule::{Attention, Schedule, Step},
};
use support::Fixed;

const PLANS: usize = 10_000;
const NOW: &str = "2026-11-30T12:00:00Z";
const MONDAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 11, 30).unwrap();

/// SplitMix64 (Steele, Lea, Flood 2014), seeded by the plan's number.
struct Random(u64);

impl Random {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % limit
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len() as u64) as usize]
    }
}

type Hours = (&'static str, Vec<(NaiveTime, NaiveTime)>);

/// A plan as the test knows it, beside its text.
struct Case {
    text: String,
    home: Vec<(NaiveTime, NaiveTime)>,
    class: (NaiveTime, NaiveTime),
    closed: Option<NaiveDate>,
    /// Name, days, children.
    groups: Vec<(&'static str, Vec<Weekday>, u32)>,
    own: u32,
    holds: u32,
    freeze_h: f64,
    dry_h: f64,
    class_hands: Option<usize>,
    /// Group, day, blocks.
    sessions: Vec<(usize, NaiveDate, u32)>,
    finish: Option<Vec<&'static str>>,
}

fn time(text: &str) -> NaiveTime {
    text.parse().unwrap()
}

fn hours(text: &'static str) -> Hours {
    let spans = text.split(' ').map(|span| {
        let (from, until) = span.split_once('-').unwrap();
        (time(&format!("{from}:00")), time(&format!("{until}:00")))
    });
    (text, spans.collect())
}

fn case(number: u64) -> Case {
    let random = &mut Random(number);
    let home = hours(random.pick(&[
        "06:00-07:00 18:00-21:00",
        "06:15-06:55 19:00-20:00",
        "17:00-22:00",
        "06:00-22:00",
    ]));
    let days = [
        ("Mon Wed Fri", vec![Weekday::Mon, Weekday::Wed, Weekday::Fri]),
        ("Tue Thu", vec![Weekday::Tue, Weekday::Thu]),
        ("Wed", vec![Weekday::Wed]),
    ];
    let mut groups = Vec::new();
    let mut text = String::from("title = \"Random\"\ntimezone = \"America/Denver\"\n[hours]\n");
    let entries: Vec<String> = home.0.split(' ').map(|span| format!("\"daily {span}\"")).collect();
    text += &format!("home = [{}]\nclass = [\"Mon-Fri 08:00-12:30\"]\n", entries.join(", "));
    // The week up to a gift must have a class day of each group.
    let ornament = random.below(3) == 0;
    let closed =
        (!ornament && random.below(3) == 0).then(|| MONDAY + Days::new(1 + random.below(8)));
    if let Some(day) = closed {
        text += &format!("closed = [\"{day}\"]\n");
    }
    let class_hands = (random.below(3) == 0).then_some(2);
    if class_hands.is_some() {
        text += "[hands]\nclass = 2\n";
    }
    for name in ["Otters", "Wrens"].into_iter().take(1 + random.below(2) as usize) {
        let (words, on) = days[random.below(3) as usize].clone();
        let children = 1 + random.below(4) as u32;
        groups.push((name, on, children));
        text +=
            &format!("[[group]]\nname = \"{name}\"\ndays = \"{words}\"\nchildren = {children}\n");
    }
    let (own, holds) = (1 + random.below(4) as u32, 2 + random.below(4) as u32);
    let mut sessions = Vec::new();
    if !ornament || random.below(2) == 0 {
        let spare = random.below(2) as u32;
        for _ in 0..2 + random.below(3) {
            let group = random.below(groups.len() as u64) as usize;
            let day = MONDAY + Days::new(1 + random.below(11));
            if groups[group].1.contains(&day.weekday()) && closed != Some(day) {
                sessions.push((group, day, groups[group].2 + spare));
            }
        }
        sessions.sort_by_key(|session| (session.1, session.0));
        sessions.dedup_by_key(|session| (session.1, session.0));
        if !sessions.is_empty() {
            text += &format!(
                "[[freezer]]\nname = \"chest\"\nkind = \"chest\"\nholds = {holds}\n[[mould]]\nname = \
                 \"fox\"\nvolume = \"200 mL\"\ndepth = \"30 mm\"\nown = {own}\n[[ice]]\nname = \
                 \"Ice\"\nmould = \"fox\"\nfreezer = \"chest\"\nspare = {spare}\ntravel = \"20 \
                 min\"\nsession = ["
            );
            for (group, day, _) in &sessions {
                text += &format!("{{ group = \"{}\", at = {day}T09:30:00 }},", groups[*group].0);
            }
            text += "]\n";
        }
    }
    let bare = sessions.is_empty() && closed.is_none();
    let finish = (ornament || bare).then(|| add_ornament(random, &mut text, &groups));
    Case {
        text,
        home: home.1,
        class: (time("08:00:00"), time("12:30:00")),
        closed,
        groups,
        own,
        holds,
        freeze_h: random.pick(&[3.0, 6.0, 9.0, 11.0]),
        dry_h: random.pick(&[1.0, 2.5]),
        class_hands,
        sessions,
        finish,
    }
}

fn add_ornament(
    random: &mut Random,
    text: &mut String,
    groups: &[(&'static str, Vec<Weekday>, u32)],
) -> Vec<&'static str> {
    let finish: Vec<&str> =
        ["paint", "photo", "seal", "wrap"].into_iter().filter(|_| random.below(2) == 0).collect();
    let quoted: Vec<String> = finish.iter().map(|step| format!("\"{step}\"")).collect();
    let names: Vec<String> = groups.iter().map(|group| format!("\"{}\"", group.0)).collect();
    let give = MONDAY + Days::new(7 + random.below(10));
    let method = match random.below(2) {
        0 => "method = \"air\"",
        _ => "method = \"oven\"\noven = \"kitchen\"\nat = \"93 C\"",
    };
    *text += &format!(
        "[[oven]]\nname = \"kitchen\"\ntray = \"30 x 40 cm\"\n[[ornament]]\nname = \"Star\"\nshape = \
         \"round 60 mm\"\nthickness = \"4 mm\"\nrecipe = \"two-one-one\"\ngroups = [{}]\n{method}\nfinish = \
         [{}]\ngive = {give}\n",
        names.join(", "),
        quoted.join(", ")
    );
    finish
}

fn laid(case: &Case) -> Schedule {
    let (plan, now) = (support::plan(&case.text), NOW.parse::<DateTime<Utc>>().unwrap());
    let fixed = Fixed { freeze_h: case.freeze_h, dry_h: case.dry_h, ..Fixed::default() };
    prep::solve(&plan, now, &fixed).unwrap().schedule(&plan, now, &fixed).unwrap()
}

fn inside(step: &Step, spans: &[(NaiveTime, NaiveTime)]) -> bool {
    let (from, until) = (step.start.time(), step.end.time());
    step.start.date_naive() == step.end.date_naive()
        && spans.iter().any(|span| span.0 <= from && until <= span.1)
}

/// The most that is taken at any moment.
fn most(spans: impl Iterator<Item = (DateTime<Tz>, DateTime<Tz>, u32)>) -> u32 {
    let mut changes: Vec<(DateTime<Tz>, i64)> = spans
        .flat_map(|(from, until, amount)| [(from, i64::from(amount)), (until, -i64::from(amount))])
        .collect();
    changes.sort();
    let mut taken = 0;
    changes
        .iter()
        .map(|(_, change)| {
            taken += change;
            taken
        })
        .max()
        .unwrap_or(0) as u32
}

/// Everybody's hours and hands.
fn check_people(case: &Case, schedule: &Schedule) {
    let now: DateTime<Utc> = NOW.parse().unwrap();
    for step in schedule.steps.iter().filter(|step| step.attention != Attention::None) {
        assert!(step.start >= now && step.start < step.end, "{} is over", step.id);
        if step.place == "home" && !step.id.ends_with("-pack") {
            assert!(inside(step, &case.home), "{} {} {}", step.id, step.start, step.end);
        } else if step.place != "home" && !step.id.ends_with("-carry") {
            let group = case.groups.iter().find(|g| step.group.as_deref() == Some(g.0)).unwrap();
            assert!(group.1.contains(&step.start.weekday()), "{} {}", step.id, step.start);
            assert!(inside(step, &[case.class]), "{} {} {}", step.id, step.start, step.end);
            assert_ne!(case.closed, Some(step.start.date_naive()), "{}", step.id);
        }
    }
    let hands = |place: Option<&str>| {
        let own = |step: &&Step| place.is_none_or(|place| step.place == place);
        let busy = schedule.steps.iter().filter(|step| step.attention == Attention::Hands);
        most(busy.filter(own).map(|step| (step.start, step.end, 1)))
    };
    match case.class_hands {
        None => assert!(hands(None) <= 1, "hands are doubled"),
        Some(pairs) => assert!(hands(Some("home")) <= 1 && hands(Some("class")) <= pairs as u32),
    }
    let ovens = schedule.steps.iter().filter(|step| step.attention == Attention::Watch);
    assert!(most(ovens.map(|step| (step.start, step.end, 1))) <= 1, "the oven is doubled");
}

fn find<'a>(schedule: &'a Schedule, id: &str) -> &'a Step {
    schedule.steps.iter().find(|step| step.id == id).unwrap_or_else(|| panic!("no step {id}"))
}

fn hours_long(hours: f64) -> Duration {
    Duration::seconds((hours * 3600.0) as i64)
}

/// Blocks are alike and the oldest are packed first: all are packed, none before it
/// is out or more than three dates after it was filled. What room each takes.
fn room_of_blocks(rounds: &mut [Span], packs: &mut [Span]) -> Vec<Span> {
    rounds.sort();
    packs.sort();
    let each = |spans: &[Span]| -> Vec<Span> {
        spans.iter().flat_map(|span| (0..span.2).map(|_| *span)).collect()
    };
    let (blocks, places) = (each(rounds), each(packs));
    assert_eq!(blocks.len(), places.len(), "blocks made and packed");
    let mut room = Vec::new();
    for (block, place) in blocks.iter().zip(&places) {
        assert!(place.0 >= block.1, "packed at {} and out at {}", place.0, block.1);
        let days = place.0.date_naive() - block.0.date_naive();
        assert!(days <= Duration::days(3), "filled {} for {}", block.0, place.0);
        room.extend([(block.0, block.1, 2), (block.0, place.1, 1)]);
    }
    room
}

/// From when to when how much is taken.
type Span = (DateTime<Tz>, DateTime<Tz>, u32);

/// Moulds, freezer, waits and counts of the ice; how many sessions are served.
fn check_ice(case: &Case, schedule: &Schedule) -> usize {
    let (mut moulds, mut packs, mut served) = (Vec::new(), Vec::new(), 0);
    let mut number: BTreeMap<usize, usize> = BTreeMap::new();
    for (group, day, blocks) in &case.sessions {
        let nth = number.entry(*group).or_default();
        *nth += 1;
        let id = format!("ice-{}-{nth}", case.groups[*group].0.to_lowercase());
        let of = |what: &str| {
            let prefix = format!("{id}-{what}");
            schedule.steps.iter().filter(move |step| step.id.starts_with(&prefix))
        };
        let Some(used) = of("use").next() else {
            assert_eq!(of("").count(), 0, "{id} is served in part");
            continue;
        };
        served += 1;
        assert_eq!(used.start.naive_local(), day.and_time(time("09:30:00")), "{id}");
        // What leaves on one morning is packed and carried once.
        let once = |what: &str| {
            let of = |step: &&Step| step.id.ends_with(what) && step.start.date_naive() == *day;
            schedule.steps.iter().find(of).unwrap_or_else(|| panic!("no {what} for {id}"))
        };
        let (pack, carry) = (once("-pack"), once("-carry"));
        let drain = find(schedule, &format!("{id}-drain"));
        assert!(pack.end <= carry.start, "{id}");
        assert!(used.start - carry.end >= hours_long(0.25), "{id} tempers");
        assert!(used.start - pack.end <= hours_long(6.0), "{id} melts");
        assert!(used.end == drain.start, "{id}");
        assert!(pack.start >= carry.start - Duration::hours(1), "{id} is packed early");
        packs.push((pack.start, pack.end, *blocks));
        for fill in of("fill") {
            let out = find(schedule, &fill.id.replace("-fill", "-turn-out"));
            let count = fill.amounts[0].count.unwrap();
            assert!(out.start - fill.end >= hours_long(case.freeze_h), "{}", fill.id);
            moulds.push((fill.start, out.end, count));
        }
    }
    let room = room_of_blocks(&mut moulds, &mut packs);
    assert!(most(moulds.into_iter()) <= case.own, "moulds in two places");
    assert!(most(room.into_iter()) <= 3 * case.holds, "the freezer is too full");
    served
}

/// Order and waits of the ornaments; whether they are given.
fn check_gift(case: &Case, schedule: &Schedule) -> bool {
    let Some(finish) = &case.finish else { return false };
    let of = |what: &str| -> Vec<&Step> {
        let exact = format!("star-{what}");
        let part = format!("star-{what}-");
        let named = |step: &&Step| step.id == exact || step.id.starts_with(&part);
        let hands = |step: &&Step| step.attention != Attention::None;
        schedule.steps.iter().filter(named).filter(hands).collect()
    };
    let give = of("give");
    if give.is_empty() {
        assert_eq!(schedule.steps.iter().filter(|step| step.id.starts_with("star-")).count(), 0);
        return false;
    }
    assert_eq!(give.len(), case.groups.len(), "each group is given its own");
    let after = |before: &[&Step], wait: f64, next: &[&Step]| {
        let ready = before.iter().map(|step| step.end).max().unwrap() + hours_long(wait);
        for step in next {
            assert!(step.start >= ready, "{} before {ready}", step.id);
        }
    };
    let (mix, roll, bake) = (of("mix"), of("roll"), of("bake"));
    after(&mix, 0.0, &roll);
    assert!(roll[0].start - mix[0].end <= Duration::hours(2), "the dough dries out");
    after(&roll, 0.0, &bake);
    let (mut before, mut wait) = if bake.is_empty() { (roll, case.dry_h) } else { (bake, 0.5) };
    for step in finish {
        let next = of(step);
        assert!(!next.is_empty(), "{step}");
        after(&before, wait, &next);
        if *step == "photo" {
            after(&of("gather-photos"), 0.0, &next);
        }
        if *step == "paint" {
            assert_eq!(next.len(), case.groups.len(), "each group paints");
        }
        (before, wait) = (next, if *step == "wrap" { 0.0 } else { 24.0 });
    }
    after(&before, wait, &give);
    for ask in of("ask-photos") {
        let gather = find(schedule, &ask.id.replace("ask", "gather"));
        assert!(gather.start - ask.end >= Duration::hours(156), "{}", ask.id);
    }
    true
}

#[test]
fn random_plans_keep_every_promise() {
    let (mut sessions, mut served, mut gifts, mut given) = (0, 0, 0, 0);
    let cases = (0..).map(case).filter(|case| !case.sessions.is_empty() || case.finish.is_some());
    for (number, case) in cases.take(PLANS).enumerate() {
        let schedule = laid(&case);
        check_people(&case, &schedule);
        let ice = check_ice(&case, &schedule);
        let gift = check_gift(&case, &schedule);
        let all = ice == case.sessions.len() && gift == case.finish.is_some();
        assert_eq!(schedule.feasible, all, "plan {number}\n{}", case.text);
        sessions += case.sessions.len();
        served += ice;
        gifts += usize::from(case.finish.is_some());
        given += usize::from(gift);
    }
    println!("{served} of {sessions} sessions, {given} of {gifts} gifts");
    assert!(served > 4_000 && sessions - served > 400, "{served} of {sessions}: a mix of both");
    assert!(given > 1_000 && gifts - given > 400, "{given} of {gifts}: a mix of both");
}
