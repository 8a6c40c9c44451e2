//! Plans that are followed, step by step, in kitchens that they were not tried in: she looks
//! when she is told to, says what was not ready, and goes on with the plan that comes of it.

use std::{
    cell::RefCell,
    collections::{BTreeMap, HashMap},
    ops::Range,
    rc::Rc,
};

use chrono::{DateTime, Duration, FixedOffset, NaiveDateTime, TimeZone, Utc};
use solidby::{
    answers::dough::firm_and_dry_hours,
    explanation::changes::changed,
    planfile::{Finish, Happened, Kept, KeptStep, Moment, Ornament, Plan},
    prep::{
        Durations, Physics,
        durations::{Drying, Heat, Loaded},
        learn::learn,
        physics::question_of,
        schedule::{Attention, Schedule, Step},
        steps::session_id,
    },
    report::plan::lay_out,
    tables::Step as Kind,
    uncertainty::{RUNS, walk},
    units::{hours, hours_between, in_hours},
};

use crate::support;

/// Kitchens of the sequence after those in which a plan is tried.
const UNSEEN: Range<usize> = RUNS..RUNS + 128;

/// More often than this nobody tells the same plan what is not ready.
const MOST_TOLD: usize = 5;

type At = DateTime<FixedOffset>;

type Dried = Rc<Vec<(f64, f64)>>;

/// A plan that is followed in kitchens.
struct Story {
    plan: Plan,
    begins: DateTime<Utc>,
    kitchens: Range<usize>,
    /// In each kitchen, in order.
    physics: Physics,
    /// By question: hours until pieces are firm, and dry.
    dried: RefCell<HashMap<String, Dried>>,
}

/// When things are really ready in each kitchen.
struct Ready {
    /// By turning out: blocks are firm.
    blocks: BTreeMap<String, Vec<At>>,
    /// By ornament: pieces are firm, and dry.
    pieces: BTreeMap<String, Vec<[At; 2]>>,
}

/// What came of following a plan in one kitchen.
#[derive(Clone)]
struct Went {
    lost: Vec<String>,
    watch_h: f64,
    told: Vec<String>,
    moved: Vec<usize>,
}

/// Something that is looked at, or found not to be ready.
struct Check<'a> {
    step: &'a Step,
    at: At,
}

/// The plan that she holds in her hands.
#[derive(Clone)]
struct Held {
    kept: Kept,
    schedule: Schedule,
    now: At,
    told: Vec<String>,
    moved: Vec<usize>,
}

impl Story {
    fn of(own: &Variant) -> Self {
        let plan = support::plan(&text_of(own));
        let local: NaiveDateTime = own.1.parse().unwrap();
        Self {
            begins: plan.zone.from_local_datetime(&local).unwrap().to_utc(),
            plan,
            physics: Physics::default().in_kitchens(UNSEEN),
            kitchens: UNSEEN,
            dried: RefCell::default(),
        }
    }

    fn first(&self) -> Held {
        let now = self.begins.with_timezone(&self.plan.zone);
        let schedule = lay_out(&self.plan, self.begins, &Physics::default()).unwrap();
        let (told, moved) = (Vec::new(), Vec::new());
        Held { kept: schedule.kept(None), schedule, now: now.fixed_offset(), told, moved }
    }

    /// The chance of the plan in the kitchens in which it was not tried, where nothing is
    /// told and the times that are kept are used.
    fn untold(&self, held: &Held) -> f64 {
        let now = held.now.with_timezone(&Utc);
        let schedule = lay_out(&self.plan, now, &self.physics).unwrap();
        schedule.promise.chance.map_or(0.0, |chance| chance.all)
    }

    /// What is told at a look, and the plan that comes of it, as `solidby did` makes it.
    fn told(&self, held: &Held, step: &Step, at: At) -> Held {
        let mut kept = held.kept.clone();
        kept.happened.push(seen(step, at));
        let mut plan = self.plan.clone();
        plan.kept = Some(kept.clone());
        let now = at.with_timezone(&Utc);
        let (taught, _) = learn(&plan, None, now).unwrap();
        let schedule = lay_out(&plan, now, &Physics::taught(taught)).unwrap();
        let changes = changed(&held.kept, &schedule, &kept);
        let mut kept = schedule.kept(Some(&kept));
        kept.remember(&held.kept);
        let mut next = Held { kept, schedule, now: at, ..held.clone() };
        let first = next.schedule.problems.first();
        let fails = first.filter(|_| !next.schedule.feasible).map(|one| one.what.clone());
        let fails = fails.map_or(String::new(), |what| format!(" (cannot: {what})"));
        let chance = next.schedule.promise.chance.as_ref().map_or(0.0, |chance| chance.all);
        let fails = format!(" {:.0}%{fails}", 100.0 * chance);
        next.told.push(format!("{} {}{fails}", step.follow.short, at.format("%d %H:%M")));
        next.moved.push(changes.moved.len() + changes.new.len() + changes.gone.len());
        next
    }

    /// Follows a plan in some kitchens.
    fn follow(&self, held: &Held, kitchens: &[usize]) -> Vec<Went> {
        let ready = self.ready(&held.kept);
        let mut went = Vec::new();
        let mut found: BTreeMap<(At, String), Vec<usize>> = BTreeMap::new();
        for kitchen in kitchens {
            let checks = checks(&held.schedule, held.now);
            // What is ready as it comes out of the oven is told, of all else what is not.
            let news = |check: &Check<'_>| {
                self.is_ready(&ready, check, *kitchen) == (check.step.kind == Kind::Bake)
            };
            match checks.into_iter().find(news).filter(|_| held.told.len() < MOST_TOLD) {
                Some(Check { step, at }) => {
                    found.entry((at, step.id.clone())).or_default().push(*kitchen);
                }
                None => went.push(self.went(held, &ready, *kitchen)),
            }
        }
        for ((at, id), kitchens) in found {
            let step = held.schedule.steps.iter().find(|step| step.id == id).unwrap();
            went.extend(self.follow(&self.told(held, step, at), &kitchens));
        }
        went
    }

    fn is_ready(&self, ready: &Ready, check: &Check<'_>, kitchen: usize) -> bool {
        let Check { step, at } = check;
        let place = kitchen - self.kitchens.start;
        if step.kind == Kind::TurnOut {
            return ready.blocks[&step.id][place] <= *at;
        }
        let ornament = self.plan.ornaments.iter().find(|it| it.name == step.goal).unwrap();
        let state = match light_enough(step) {
            Some(ready) => usize::from(step.follow.weigh_g.as_ref().unwrap().dry == Some(ready)),
            None => state_for(ornament, step.kind),
        };
        ready.pieces[&step.goal][place][state] <= *at
    }

    /// What came of a plan that is followed to its end.
    fn went(&self, held: &Held, ready: &Ready, kitchen: usize) -> Went {
        let outs = held.kept.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let is_out = |out: &&KeptStep| {
            ready
                .blocks
                .get(&out.id)
                .is_some_and(|at| at[kitchen - self.kitchens.start] <= out.start.0)
        };
        let mut lost = self.sessions(&outs.filter(is_out).collect::<Vec<_>>());
        lost.extend(self.plan.ornaments.iter().filter_map(|ornament| {
            let fits = |step: &&KeptStep, kind| {
                let early = self.pieces_ready(ready, (ornament, kind), kitchen) <= step.start.0;
                step.kind == kind && early
            };
            let there = |kind| held.kept.of(&ornament.name, kind).any(|step| fits(&step, kind));
            let gives = held.kept.of(&ornament.name, Kind::Give);
            let given = gives.filter(|step| fits(step, Kind::Give)).count();
            let done = ornament.finish.iter().all(|finish| there(kind_of(*finish)));
            (!done || given < ornament.groups.len()).then(|| ornament.name.clone())
        }));
        let bakes = held.kept.steps.iter().filter(|step| step.kind == Kind::Bake);
        let watch_h = bakes.fold(0.0, |sum, bake| sum + hours_between(bake.start.0, bake.end.0));
        let (told, moved) = (held.told.clone(), held.moved.clone());
        Went { lost, watch_h, told, moved }
    }

    fn pieces_ready(&self, ready: &Ready, (ornament, kind): (&Ornament, Kind), at: usize) -> At {
        let states = ready.pieces.get(&ornament.name).map(|all| all[at - self.kitchens.start]);
        states.map_or(DateTime::<Utc>::MAX_UTC.fixed_offset(), |it| it[state_for(ornament, kind)])
    }

    /// The sessions that do not have their blocks as she leaves, where the oldest blocks go to
    /// the session that leaves first.
    fn sessions(&self, outs: &[&KeptStep]) -> Vec<String> {
        let plan = &self.plan;
        let mut lost = Vec::new();
        let mut sessions: Vec<(usize, usize)> = (0..plan.ice.len())
            .flat_map(|ice| (0..plan.ice[ice].sessions.len()).map(move |own| (ice, own)))
            .filter(|(ice, own)| plan.ice[*ice].sessions[*own].at > self.begins)
            .collect();
        sessions.sort_by_key(|(ice, own)| plan.ice[*ice].sessions[*own].at);
        let mut taken: HashMap<(usize, usize), u32> = HashMap::new();
        for (ice, own) in sessions {
            let (row, session) = (&plan.ice[ice], &plan.ice[ice].sessions[own]);
            let alike = (row.mould, row.freezer);
            let leaves = session.at.fixed_offset() - minutes(in_hours(row.travel));
            let there = outs.iter().filter(|out| out.end.0 <= leaves);
            let there = there.filter(|out| self.thing_of(out) == Some(alike));
            let there: u32 = there.map(|out| out.count).sum();
            let taken = taken.entry(alike).or_default();
            let group = &plan.groups[session.group];
            let left = there.saturating_sub(*taken);
            // What is not enough for one is left for the next.
            if left >= row.needed(group) {
                *taken += left.min(row.wanted(session, group));
            } else {
                lost.push(format!("{} {}", group.name, session.at.format("%d %b")));
            }
        }
        lost
    }

    /// The mould and the freezer of a round, by one of its steps.
    fn thing_of(&self, step: &KeptStep) -> Option<(usize, usize)> {
        let mut ices = self.plan.ice.iter().enumerate();
        ices.find_map(|(ice, row)| {
            let own = (0..row.sessions.len()).any(|session| {
                let rest = step.id.strip_prefix(&session_id(&self.plan, (ice, session)));
                rest.is_some_and(|rest| rest.starts_with("-fill") || rest.starts_with("-turn-out"))
            });
            own.then_some((row.mould, row.freezer))
        })
    }

    /// When everything is really ready in all kitchens, where it goes in when the plan says.
    fn ready(&self, kept: &Kept) -> Ready {
        let mut blocks = BTreeMap::new();
        for (number, freezer) in self.plan.freezers.iter().enumerate() {
            let of = |step: &&KeptStep| self.thing_of(step).is_some_and(|own| own.1 == number);
            let fills = kept.steps.iter().filter(|step| step.kind == Kind::Fill).filter(of);
            let mut fills: Vec<&KeptStep> = fills.collect();
            fills.sort_by_key(|fill| fill.end);
            let Some(first) = fills.first() else { continue };
            let load = |fill: &&KeptStep| Loaded {
                mould: &self.plan.moulds[self.thing_of(fill).unwrap().0],
                count: fill.count,
                at_h: hours_between(first.end.0, fill.end.0),
            };
            let loads: Vec<Loaded<'_>> = fills.iter().map(load).collect();
            let firm = self.physics.freeze_together(freezer, &loads).unwrap();
            for (fill, firm) in fills.iter().zip(firm) {
                let at = firm.into_iter().map(|hours| fill.end.0 + minutes(hours));
                blocks.insert(fill.id.replace("-fill", "-turn-out"), at.collect());
            }
        }
        let pieces = self.plan.ornaments.iter();
        let pieces = pieces.filter_map(|it| Some((it.name.clone(), self.dries(kept, it)?)));
        Ready { blocks, pieces: pieces.collect() }
    }

    /// When all pieces of a batch are firm, and dry.
    fn dries(&self, kept: &Kept, ornament: &Ornament) -> Option<Vec<[At; 2]>> {
        let rolled = kept.of(&ornament.name, Kind::Roll).map(|step| step.end.0).max()?;
        let pieces = ornament.pieces(&self.plan);
        let mut loads: BTreeMap<String, Vec<&KeptStep>> = BTreeMap::new();
        for bake in kept.of(&ornament.name, Kind::Bake) {
            loads.entry(load_of(&bake.id)).or_default().push(bake);
        }
        if loads.is_empty() {
            return Some(self.dry(ornament, (pieces, Heat::Air, 0.0), rolled));
        }
        let (oven, at) = ornament.method.oven()?;
        let stove = &self.plan.ovens[oven];
        let fit = self.physics.pieces_at_once(ornament, stove).min(pieces);
        let each = loads.values_mut().map(|bakes| {
            bakes.sort_by_key(|bake| bake.start);
            let (first, last) = (bakes[0], bakes[bakes.len() - 1]);
            let lasts = hours_between(first.start.0, first.end.0);
            let rests = bakes.len() as f64 - 1.0;
            let rest =
                (hours_between(first.start.0, last.end.0) - lasts * (rests + 1.0)) / rests.max(1.0);
            let times = bakes.len() as u32;
            let heat = Heat::Oven { kind: stove.kind, at, lasts: hours(lasts), times };
            self.dry(ornament, (fit, heat, rest), first.start.0)
        });
        each.reduce(|a, b| {
            let later = |(a, b): (&[At; 2], &[At; 2])| [a[0].max(b[0]), a[1].max(b[1])];
            a.iter().zip(&b).map(later).collect()
        })
    }

    /// When pieces are firm and dry that begin to dry at a moment, so many hours on the rack
    /// between two stretches in the oven.
    fn dry(
        &self,
        ornament: &Ornament,
        (pieces, heat, rest): (u32, Heat, f64),
        from: At,
    ) -> Vec<[At; 2]> {
        let mut question = question_of(&Drying { ornament, pieces, room: self.plan.room, heat });
        if let Some(stretches) = &mut question.stretches {
            stretches.rest = hours((rest * 12.0).round() / 12.0);
        }
        let asked = format!("{question:?}");
        let known = self.dried.borrow().get(&asked).cloned();
        let runs = known.unwrap_or_else(|| {
            let all = self.kitchens.end.next_multiple_of(RUNS);
            Rc::new(firm_and_dry_hours(&question, all).unwrap())
        });
        self.dried.borrow_mut().insert(asked, Rc::clone(&runs));
        let at = |hours: f64| from + minutes(hours);
        let own = self.kitchens.clone().map(|kitchen| runs[walk(kitchen, 101, 37)]);
        own.map(|(firm, dry)| [at(firm), at(dry)]).collect()
    }
}

/// Hours, up to ten years.
fn minutes(hours: f64) -> Duration {
    Duration::seconds((hours.min(9e4) * 3600.0).round() as i64)
}

/// Of `stars-bake-load-2-3`, `stars-bake-load-2`: the load, whatever the stretch.
fn load_of(id: &str) -> String {
    let (_, end) = id.rsplit_once("-bake").unwrap();
    match end.strip_prefix("-load-") {
        Some(load) => load.split('-').next().unwrap().to_owned(),
        None => String::new(),
    }
}

fn kind_of(finish: Finish) -> Kind {
    match finish {
        Finish::Paint => Kind::Paint,
        Finish::Photo => Kind::Photo,
        Finish::Seal => Kind::Seal,
        Finish::Wrap => Kind::Wrap,
    }
}

/// What pieces must be for a step: firm (0) or dry (1).
fn state_for(ornament: &Ornament, kind: Kind) -> usize {
    let early = |it: Option<&Finish>| matches!(it, Some(Finish::Paint | Finish::Photo));
    let on_firm = matches!(kind, Kind::Paint | Kind::Photo) && early(ornament.finish.first());
    usize::from(!on_firm)
}

/// All that is looked at after a moment, in time order: where the plan says when, then;
/// else as she begins.
fn checks(schedule: &Schedule, now: At) -> Vec<Check<'_>> {
    let kinds = [Kind::TurnOut, Kind::Paint, Kind::Photo, Kind::Seal, Kind::Wrap, Kind::Give];
    let steps = schedule.steps.iter().filter(|step| {
        let waits = kinds.contains(&step.kind) && !step.follow.reserve;
        waits && step.attention != Attention::None || light_enough(step).is_some()
    });
    let mut checks: Vec<Check<'_>> = steps
        .map(|step| {
            let look = step.follow.looks.iter().map(|look| look.at.fixed_offset()).max();
            let at = look.filter(|at| *at > now).unwrap_or_else(|| step.start.fixed_offset());
            Check { step, at }
        })
        .collect();
    checks.sort_by_key(|check| check.at);
    checks
}

/// What one piece weighs that does not go into the oven again.
fn light_enough(step: &Step) -> Option<f64> {
    step.follow.looks.iter().find_map(|look| look.ready_g)
}

/// What she says of what is not ready, or stays out of the oven.
fn seen(step: &Step, at: At) -> Happened {
    let of_blocks = step.kind == Kind::TurnOut;
    Happened {
        step: step.follow.short.clone(),
        at: Moment(at),
        wet: of_blocks.then_some(step.count),
        soft: !of_blocks && step.kind != Kind::Bake,
        weight_g: None,
        until: None,
        skipped: false,
        not_filled: Vec::new(),
        before: Vec::new(),
        came: Vec::new(),
    }
}

const FOREST: &str = include_str!("../../demo/forest-fortnight.toml");
const DECEMBER: &str = include_str!("../../demo/whole-december.toml");
const MONSOON: &str = include_str!("../../demo/monsoon-stars.toml");
const AWAY: &str = include_str!("../data/classes/away-midweek.toml");
const DAMP: &str = include_str!("../data/damp-room.toml");
const EVENINGS: &str = include_str!("../data/classes/evenings-only.toml");
const EVERY_OTHER: &str = include_str!("../data/classes/every-other-day.toml");
const MIXED: &str = include_str!("../data/classes/mixed-load.toml");
const SHELLS: &str = include_str!("../data/classes/seven-shells.toml");
const OVEN: &str = include_str!("../data/classes/slow-oven.toml");
const TINS: &str = include_str!("../data/classes/two-tins.toml");
const WARM: &str = include_str!("../data/classes/warm-freezer.toml");

/// A plan, when it is made, and what is otherwise in it.
type Variant = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

/// The plans that are followed.
const VARIANTS: &[Variant] = &[
    (FOREST, "2026-11-26T12:00:00", &[]),
    (DECEMBER, "2026-11-26T12:00:00", &[]),
    (MONSOON, "2026-11-26T12:00:00", &[]),
    (AWAY, "2026-12-01T08:00:00", &[]),
    (EVENINGS, "2026-12-01T12:00:00", &[]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[]),
    (MIXED, "2026-12-03T08:00:00", &[]),
    (SHELLS, "2027-02-05T08:00:00", &[]),
    (OVEN, "2026-11-28T08:00:00", &[]),
    (TINS, "2026-11-30T08:00:00", &[]),
    (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"", "air = \"8 F\"")]),
    (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"\n", "")]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[("air = \"0 F\"\n", "")]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[("air = \"0 F\"", "air = \"8 F\"")]),
    (SHELLS, "2027-02-14T08:00:00", &[("air = \"0 F\"\n", "")]),
    (SHELLS, "2027-02-15T08:00:00", &[("air = \"0 F\"", "air = \"6 F\"")]),
    (MONSOON, "2026-11-26T12:00:00", &[("66 %", "68 %")]),
    (MONSOON, "2026-12-05T12:00:00", &[]),
    (OVEN, "2026-12-05T08:00:00", &[]),
    (OVEN, "2026-12-08T08:00:00", &[]),
    (AWAY, "2026-12-05T08:00:00", &[("air = \"0 F\"\n", "")]),
    (WARM, "2026-12-01T08:00:00", &[("25 F", "16 F")]),
    (WARM, "2026-12-02T08:00:00", &[("25 F", "14 F")]),
    (WARM, "2026-12-02T18:00:00", &[("air = \"25 F\"\n", "")]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS, ("70 %", "66 %")]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS, ("7 mm", "10 mm"), ("70 %", "55 %")]),
];

/// All pieces go in at once.
const TWO_TRAYS: (&str, &str) = ("kind = \"fan\"", "kind = \"fan\"\ntrays = 2");

fn text_of((text, _, changes): &Variant) -> String {
    changes.iter().fold((*text).to_owned(), |text, (from, to)| {
        let changed = text.replacen(from, to, 1);
        assert_ne!(text, changed, "{from}");
        changed
    })
}

/// What came of a plan in all kitchens in which it is followed.
struct Found {
    promised: f64,
    /// The chance in the same kitchens where nothing is told.
    untold: f64,
    went: Vec<Went>,
    /// What comes of it without looks and without the times that are kept.
    blind: Vec<Went>,
}

impl Found {
    /// None of a plan that does not serve all.
    fn of(own: &Variant) -> Option<Self> {
        let story = Story::of(own);
        let held = story.first();
        let promised = held.schedule.promise.chance.as_ref()?.all;
        let kitchens: Vec<usize> = story.kitchens.clone().collect();
        let ready = story.ready(&held.kept);
        let blind = kitchens.iter().map(|kitchen| story.went(&held, &ready, *kitchen)).collect();
        let went = story.follow(&held, &kitchens);
        let found = Self { promised, untold: story.untold(&held), went, blind };
        println!(
            "{} from {}{}: {:.1} % promised, {:.1} % untold, {:.1} % followed, {:.1} % blind; \
             told in {}; {:.2} h beside the oven, {:.2} h in the end",
            story.plan.title,
            own.1,
            own.2
                .iter()
                .map(|(from, to)| format!(" ({} is {to:?})", from.trim()))
                .collect::<String>(),
            100.0 * promised,
            100.0 * found.untold,
            100.0 * share(&found.went),
            100.0 * share(&found.blind),
            found.went.iter().filter(|one| !one.told.is_empty()).count(),
            mean(found.blind.iter().map(|one| one.watch_h)),
            mean(found.went.iter().map(|one| one.watch_h)),
        );
        found.tell();
        Some(found)
    }

    /// Each tale in which something was told, and how often it was.
    fn tell(&self) {
        let mut tales: BTreeMap<String, usize> = BTreeMap::new();
        for Went { told, lost, moved, .. } in self.went.iter().filter(|it| !it.told.is_empty()) {
            let tale = format!("{}; moved {moved:?}; lost {lost:?}", told.join(", "));
            *tales.entry(tale).or_default() += 1;
        }
        for (tale, times) in tales {
            println!("    {times} x {tale}");
        }
    }
}

/// The share of kitchens in which nothing was lost.
fn share(went: &[Went]) -> f64 {
    mean(went.iter().map(|one| if one.lost.is_empty() { 1.0 } else { 0.0 }))
}

fn mean(numbers: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = numbers.fold((0.0, 0.0), |(sum, count), one| (sum + one, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

/// Plans of like promise together: promised, found, both their standard errors, and found where
/// nothing is told and where nobody looks.
struct Bin {
    plans: usize,
    kitchens: usize,
    promised: f64,
    found: f64,
    errors: f64,
    untold: f64,
    blind: f64,
}

impl Bin {
    fn of(all: &[&Found]) -> Self {
        let kitchens = all.iter().map(|one| one.went.len()).sum();
        let promised = mean(all.iter().map(|one| one.promised));
        let found = mean(all.iter().map(|one| share(&one.went)));
        let tried = (RUNS * all.len()) as f64;
        let error = |p: f64, n: f64| (p * (1.0 - p) / n).max(1.0 / (n * n)).sqrt();
        let errors = error(promised, tried).hypot(error(found, kitchens as f64));
        let untold = mean(all.iter().map(|one| one.untold));
        let blind = mean(all.iter().map(|one| share(&one.blind)));
        Self { plans: all.len(), kitchens, promised, found, errors, untold, blind }
    }

    fn print(&self, words: &str) {
        println!(
            "{words:>12} | {:5} | {:8} | {:7.2} % | {:6.2} % | {:+5.1} errors of {:.2} % | \
             {:6.2} % | {:6.2} %",
            self.plans,
            self.kitchens,
            100.0 * self.promised,
            100.0 * self.found,
            (self.found - self.promised) / self.errors,
            100.0 * self.errors,
            100.0 * self.untold,
            100.0 * self.blind
        );
    }
}

/// Plans that are followed hold in as many kitchens as was promised, and those that are printed
/// as 95 % sure in 93 of 100 or more.
#[test]
#[ignore = "takes three minutes: cargo test --test planning as_promised -- --ignored --nocapture"]
fn plans_that_are_followed_hold_as_promised() {
    let all: Vec<Found> = VARIANTS.iter().filter_map(Found::of).collect();
    println!("{} plans of {} serve all", all.len(), VARIANTS.len());
    let bins =
        [(0.99, 1.01, "99 % or more"), (0.95, 0.99, "95 to 99 %"), (0.0, 0.95, "below 95 %")];
    println!("    promised | plans | kitchens |  promised | followed | apart | untold | blind");
    for (from, until, words) in bins {
        let own = all.iter().filter(|one| (from..until).contains(&one.promised));
        let bin = Bin::of(&own.collect::<Vec<_>>());
        bin.print(words);
        assert!(bin.found >= bin.promised - 2.0 * bin.errors, "{words}: promised too much");
    }
    let sure: Vec<&Found> = all.iter().filter(|one| one.promised >= 0.95).collect();
    let sure = Bin::of(&sure);
    sure.print("95 % or more");
    let moved: Vec<usize> =
        all.iter().flat_map(|one| &one.went).flat_map(|one| one.moved.clone()).collect();
    println!(
        "{} re-plans, each moves {:.1} steps, {} at most",
        moved.len(),
        mean(moved.iter().map(|steps| *steps as f64)),
        moved.iter().max().unwrap_or(&0)
    );
    assert!(sure.found >= 0.93, "{:.3}", sure.found);
    assert!(sure.kitchens >= 500 && sure.found >= sure.blind, "{:.3}", sure.blind);
}

/// Blocks that others take are turned out for them though their own session is lost, and
/// whatever is told, the program answers.
#[test]
fn blocks_of_a_lost_session_are_turned_out_for_the_next() {
    let warm: Variant = (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"", "air = \"10 F\"")]);
    let story = Story::of(&warm);
    let mut held = story.first();
    let mut lost = false;
    // The first blocks are wet whenever she looks, those for the second session as she packs.
    for id in ["otters-1-turn-out", "otters-1-turn-out", "otters-1-turn-out", "wrens-1-turn-out-2"]
    {
        let outs = held.schedule.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let Some(step) = outs.clone().find(|step| step.id.ends_with(id)).cloned() else { continue };
        held = story.told(&held, &step, step.start.fixed_offset());
        let packs = held.schedule.steps.iter().filter(|step| step.kind == Kind::Pack);
        let packed: u32 = packs.map(|pack| pack.count).sum();
        let outs = held.schedule.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let over = held.kept.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let over = over.filter(|step| held.kept.over(step, held.now).is_some());
        let out: u32 = outs.map(|step| step.count).chain(over.map(|step| step.count)).sum();
        assert!(out >= packed, "{out} of {packed} blocks are turned out: {:?}", held.told);
        lost |= !held.schedule.feasible;
    }
    assert!(lost, "{:?}", held.told);
}
