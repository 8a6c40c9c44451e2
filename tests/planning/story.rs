//! One plan that is followed in one kitchen: she looks when she is told to, says what was not
//! ready, and goes on with the plan that comes of it.

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

/// A plan, when it is made, and what is otherwise in it.
pub type Variant = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

/// Kitchens of the sequence after those in which a plan is tried.
pub const UNSEEN: Range<usize> = RUNS..RUNS + 128;

/// More often than this nobody tells the same plan what is not ready.
pub const MOST_TOLD: usize = 5;

pub type At = DateTime<FixedOffset>;

pub type Dried = Rc<Vec<(f64, f64)>>;

/// A plan that is followed in kitchens.
pub struct Story {
    pub plan: Plan,
    pub begins: DateTime<Utc>,
    pub kitchens: Range<usize>,
    /// In each kitchen, in order.
    pub physics: Physics,
    /// By question: hours until pieces are firm, and dry.
    pub dried: RefCell<HashMap<String, Dried>>,
}

/// When things are really ready in each kitchen.
pub struct Ready {
    /// By turning out: blocks are firm.
    pub blocks: BTreeMap<String, Vec<At>>,
    /// By ornament: pieces are firm, and dry.
    pub pieces: BTreeMap<String, Vec<[At; 2]>>,
}

/// What came of following a plan in one kitchen.
#[derive(Clone)]
pub struct Went {
    pub lost: Vec<String>,
    pub watch_h: f64,
    pub told: Vec<String>,
    pub moved: Vec<usize>,
}

/// Something that is looked at, or found not to be ready.
pub struct Check<'a> {
    pub step: &'a Step,
    pub at: At,
}

/// The plan that she holds in her hands.
#[derive(Clone)]
pub struct Held {
    pub kept: Kept,
    pub schedule: Schedule,
    pub now: At,
    pub told: Vec<String>,
    pub moved: Vec<usize>,
}

impl Story {
    pub fn of(own: &Variant) -> Self {
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

    pub fn first(&self) -> Held {
        let now = self.begins.with_timezone(&self.plan.zone);
        let schedule = lay_out(&self.plan, self.begins, &Physics::default()).unwrap();
        let (told, moved) = (Vec::new(), Vec::new());
        Held { kept: schedule.kept(None), schedule, now: now.fixed_offset(), told, moved }
    }

    /// The chance of the plan in the kitchens in which it was not tried, where nothing is
    /// told and the times that are kept are used.
    pub fn untold(&self, held: &Held) -> f64 {
        let now = held.now.with_timezone(&Utc);
        let schedule = lay_out(&self.plan, now, &self.physics).unwrap();
        schedule.promise.chance.map_or(0.0, |chance| chance.all)
    }

    /// What is told at a look, and the plan that comes of it, as `solidby did` makes it.
    pub fn told(&self, held: &Held, step: &Step, at: At) -> Held {
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
    pub fn follow(&self, held: &Held, kitchens: &[usize]) -> Vec<Went> {
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

    pub fn is_ready(&self, ready: &Ready, check: &Check<'_>, kitchen: usize) -> bool {
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
    pub fn went(&self, held: &Held, ready: &Ready, kitchen: usize) -> Went {
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

    pub fn pieces_ready(
        &self,
        ready: &Ready,
        (ornament, kind): (&Ornament, Kind),
        at: usize,
    ) -> At {
        let states = ready.pieces.get(&ornament.name).map(|all| all[at - self.kitchens.start]);
        states.map_or(DateTime::<Utc>::MAX_UTC.fixed_offset(), |it| it[state_for(ornament, kind)])
    }

    /// The sessions that do not have their blocks as she leaves, where the oldest blocks go to
    /// the session that leaves first.
    pub fn sessions(&self, outs: &[&KeptStep]) -> Vec<String> {
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
    pub fn thing_of(&self, step: &KeptStep) -> Option<(usize, usize)> {
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
    pub fn ready(&self, kept: &Kept) -> Ready {
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
    pub fn dries(&self, kept: &Kept, ornament: &Ornament) -> Option<Vec<[At; 2]>> {
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
    pub fn dry(
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
pub fn minutes(hours: f64) -> Duration {
    Duration::seconds((hours.min(9e4) * 3600.0).round() as i64)
}

/// Of `stars-bake-load-2-3`, `stars-bake-load-2`: the load, whatever the stretch.
pub fn load_of(id: &str) -> String {
    let (_, end) = id.rsplit_once("-bake").unwrap();
    match end.strip_prefix("-load-") {
        Some(load) => load.split('-').next().unwrap().to_owned(),
        None => String::new(),
    }
}

pub fn kind_of(finish: Finish) -> Kind {
    match finish {
        Finish::Paint => Kind::Paint,
        Finish::Photo => Kind::Photo,
        Finish::Seal => Kind::Seal,
        Finish::Wrap => Kind::Wrap,
    }
}

/// What pieces must be for a step: firm (0) or dry (1).
pub fn state_for(ornament: &Ornament, kind: Kind) -> usize {
    let early = |it: Option<&Finish>| matches!(it, Some(Finish::Paint | Finish::Photo));
    let on_firm = matches!(kind, Kind::Paint | Kind::Photo) && early(ornament.finish.first());
    usize::from(!on_firm)
}

/// All that is looked at after a moment, in time order: where the plan says when, then;
/// else as she begins.
pub fn checks(schedule: &Schedule, now: At) -> Vec<Check<'_>> {
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
pub fn light_enough(step: &Step) -> Option<f64> {
    step.follow.looks.iter().find_map(|look| look.ready_g)
}

/// What she says of what is not ready, or stays out of the oven.
pub fn seen(step: &Step, at: At) -> Happened {
    let of_blocks = step.kind == Kind::TurnOut;
    Happened {
        wet: of_blocks.then_some(step.count),
        soft: !of_blocks && step.kind != Kind::Bake,
        ..Happened::done(&step.follow.short, Moment(at))
    }
}

pub fn text_of((text, _, changes): &Variant) -> String {
    changes.iter().fold((*text).to_owned(), |text, (from, to)| {
        let changed = text.replacen(from, to, 1);
        assert_ne!(text, changed, "{from}");
        changed
    })
}
