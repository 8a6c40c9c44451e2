//! The plan that is followed, as the search is told it: which of its rounds were begun, how
//! its batches are dried, and where all its steps stand.

use std::{collections::BTreeMap, ops::Range};

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::{
    chosen::{Chosen, Dried},
    clock::{Clock, TICK_S, Tick},
    draft::{LEVELS, RARE},
    round::{Begun, Round, Stage},
    schedule::{Attention, Schedule, Step, stands_in},
    steps::session_id,
    trips::{SessionAt, way_ticks},
    ways::Way,
};
use crate::{
    planfile::{Happened, Kept, KeptStep, Moment, Ornament, Over, Plan},
    tables::Step as Kind,
    units::hours_between,
};

/// Reads what is kept of a plan.
pub struct KeptPlan<'a> {
    plan: &'a Plan,
    kept: &'a Kept,
    clock: Clock,
    now: DateTime<FixedOffset>,
    over: Over<'a>,
}

impl<'a> KeptPlan<'a> {
    /// Of a plan and its time line; none where no plan is kept.
    pub fn of(plan: &'a Plan, clock: Clock) -> Option<Self> {
        let kept = plan.kept.as_ref()?;
        let now = clock.instant(0).fixed_offset();
        Some(Self { plan, kept, clock, now, over: kept.over_by(now) })
    }

    /// The steps that are over, each with when it was: entries as `done` has them.
    pub fn done(&self) -> Vec<(String, Tick)> {
        let hands = self.kept.steps.iter().filter(|step| !step.by_itself);
        let over = |step: &KeptStep| Some((step.id.clone(), self.tick(self.over.end(step)?)));
        hands.filter_map(over).collect()
    }

    /// What was begun.
    pub fn begun(&self) -> Begun {
        let kept = self.rounds();
        let mut rounds = kept.clone();
        for own in rounds.values_mut() {
            own.retain(|round| round.stage != Stage::ToCome);
        }
        rounds.retain(|_, own| !own.is_empty());
        let begun =
            |ornament: &usize| self.kept.is_mixed(&self.plan.ornaments[*ornament].name, self.now);
        let ornaments = (0..self.plan.ornaments.len()).filter(begun);
        let ways = ornaments.filter_map(|ornament| {
            Some((ornament, batch_way(self.kept, &self.plan.ornaments[ornament])?))
        });
        let to_come = self.sessions().into_iter().filter(|at| !self.is_past(*at));
        let missed = to_come.filter(|at| self.is_missed(*at)).collect();
        Begun { ways: ways.collect(), kept, rounds, missed }
    }

    /// The plan as it was given, the sessions and gifts that it serves served at a level.
    pub fn stay(&self, level: usize) -> Chosen {
        let mut chosen = Chosen { rounds: self.rounds(), ..Chosen::default() };
        let to_come = self.sessions().into_iter().filter(|at| !self.is_past(*at));
        for at in to_come.filter(|at| self.serves(*at)) {
            if self.is_missed(at) {
                chosen.unserved.insert(at, true);
            } else {
                chosen.served.insert(at, level);
            }
        }
        for ornament in 0..self.plan.ornaments.len() {
            if let Some(way) = batch_way(self.kept, &self.plan.ornaments[ornament]) {
                let dried = Dried { way, level: level.min(LEVELS.len() - 1), starts: Vec::new() };
                chosen.batches.insert(ornament, dried);
            }
        }
        chosen
    }

    /// Whether the plan that is followed has a session at all: it may have left it out.
    pub fn serves(&self, at: SessionAt) -> bool {
        let own = session_id(self.plan, at);
        self.step(&format!("{own}-use")).is_some()
    }

    /// Whether what is still to be done before a session, from packing on, takes until after it
    /// begins.
    fn is_missed(&self, at: SessionAt) -> bool {
        let begins = self.plan.ice[at.0].sessions[at.1].at;
        let used = self.step(&format!("{}-use", session_id(self.plan, at)));
        let lacking = used.map_or_else(Vec::new, |used| self.kept.lacking(used, self.now));
        let leaving = [Kind::Pack, Kind::Carry, Kind::Temper];
        let open = lacking.iter().filter(|step| leaving.contains(&step.kind));
        self.now + open.map(|step| step.end.0 - step.start.0).sum::<TimeDelta>() > begins
    }

    /// All sessions of the plan, by their time.
    fn sessions(&self) -> Vec<SessionAt> {
        let mut all: Vec<SessionAt> = self.plan.sessions().collect();
        all.sort_by_key(|(ice, session)| self.plan.ice[*ice].sessions[*session].at);
        all
    }

    fn is_past(&self, (ice, session): SessionAt) -> bool {
        self.clock.floor(self.plan.ice[ice].sessions[session].at) <= 0
    }

    /// When a step that is still to come begins, as it was given.
    pub fn start(&self, id: &str) -> Option<Tick> {
        Some(self.tick(self.step(id)?.start.0))
    }

    fn step(&self, id: &str) -> Option<&'a KeptStep> {
        self.kept.steps.iter().find(|step| step.id == id)
    }

    fn tick(&self, at: DateTime<FixedOffset>) -> Tick {
        self.clock.floor(at.with_timezone(&self.clock.zone()))
    }

    /// How many blocks of a session are solid or to come, and how many of it were seen to be wet
    /// and are in their moulds.
    pub fn solid_and_wet(&self, at: SessionAt) -> (u32, u32) {
        let takes =
            |round: &Round| round.takers.iter().filter(|taker| **taker == at).count() as u32;
        self.rounds().values().flatten().fold((0, 0), |(solid, wet), round| match round.is_wet() {
            true => (solid, wet + takes(round)),
            false => (solid + takes(round), wet),
        })
    }

    /// Whether nobody is at home again to look at what is wet before a session to come leaves.
    pub fn is_last_look(&self, at: SessionAt) -> bool {
        let ice = &self.plan.ice[at.0];
        let leaves = self.clock.floor(ice.sessions[at.1].at) - way_ticks(ice);
        let home = self.clock.hours(self.plan, self.plan.freezers[ice.freezer].place);
        !self.is_past(at) && !home.iter().any(|open| (1..leaves).contains(&open.start))
    }

    /// Whether the blocks of a session to come have left the freezer.
    pub fn is_packed(&self, at: SessionAt) -> bool {
        let set_out = self.step(&format!("{}-set-out", session_id(self.plan, at)));
        let carry = set_out.and_then(|step| self.before(step, Kind::Carry));
        let pack = carry.and_then(|step| self.before(step, Kind::Pack));
        !self.is_past(at) && pack.is_some_and(|pack| self.over.end(pack).is_some())
    }

    /// The step of a kind right before another one.
    fn before(&self, step: &KeptStep, kind: Kind) -> Option<&'a KeptStep> {
        self.kept.steps.iter().find(|own| own.kind == kind && step.after.contains(&own.id))
    }

    /// What was filled for a session, seen to be wet, and is taken by none.
    pub fn left_behind(&self, at: SessionAt) -> Vec<Round> {
        let mut own = self.handed_out().remove(&at).unwrap_or_default();
        own.retain(Round::is_left_behind);
        own
    }

    /// All rounds, begun or not, each with the sessions that take its blocks; what is wet and
    /// taken by none, or by none that is to come, is of no more use.
    fn rounds(&self) -> BTreeMap<SessionAt, Vec<Round>> {
        let mut rounds = self.handed_out();
        let is_used = |round: &Round| round.takers.iter().any(|taker| !self.is_past(*taker));
        for own in rounds.values_mut() {
            own.retain(|round| !round.is_wet() || is_used(round));
        }
        rounds.retain(|_, own| !own.is_empty());
        rounds
    }

    fn handed_out(&self) -> BTreeMap<SessionAt, Vec<Round>> {
        let of_each = self.sessions().into_iter().map(|at| (at, self.rounds_of(at)));
        let mut rounds = of_each.filter(|(_, own)| !own.is_empty()).collect();
        self.beside(&mut rounds);
        self.hand_out(&mut rounds);
        rounds
    }

    fn rounds_of(&self, at: SessionAt) -> Vec<Round> {
        let of_session = RoundSteps::of(self.kept, session_id(self.plan, at));
        let mut rounds: Vec<Round> = of_session.flat_map(|steps| self.round(&steps)).collect();
        rounds.sort_by_key(|round| (round.fill, round.number));
        rounds
    }

    /// A round; where some of its blocks were seen to be wet, those are a round of their own.
    fn round(&self, steps: &RoundSteps<'_>) -> Vec<Round> {
        let Some(out) = steps.step("turn-out", "") else { return Vec::new() };
        let whole = self.seen(self.planned(steps, out), out, steps.step("freeze", ""));
        let Some(wet) = self.left_wet(out).filter(|_| whole.stage == Stage::Out) else {
            return vec![whole];
        };
        let at = self.kept.told(out).next_back().map(|told| self.tick(told.at.0));
        let left = Round { count: wet, rest: true, ..self.planned(steps, out) };
        let left = match steps.step("turn-out", "-rest") {
            Some(out) => {
                let times = (self.tick(out.start.0), self.tick(out.end.0));
                self.seen(Round { out: times, ..left }, out, steps.step("freeze", "-rest"))
            }
            None => left,
        };
        let left = match left.stage {
            Stage::Out => left,
            _ => Round { stage: Stage::Filled, wet_at: left.wet_at.or(at), ..left },
        };
        vec![Round { count: steps.fill.count - wet, ..whole }, left]
    }

    /// A round as it was planned, filled or not.
    fn planned(&self, steps: &RoundSteps<'_>, out: &KeptStep) -> Round {
        let (fill, wash) = (steps.fill, steps.step("wash", ""));
        let over = self.over.end(fill).map(|end| (self.tick(end) - lasts(fill), self.tick(end)));
        Round {
            count: fill.count,
            beside: fill.count,
            wash: wash.map(|wash| (self.tick(wash.start.0), wash.count.min(fill.count))),
            fill: over.unwrap_or_else(|| (self.tick(fill.start.0), self.tick(fill.end.0))),
            out: (self.tick(out.start.0), self.tick(out.end.0)),
            takers: Vec::new(),
            stage: if over.is_some() { Stage::Filled } else { Stage::ToCome },
            number: steps.number,
            rest: false,
            wet_at: None,
        }
    }

    /// Blocks that were left in their moulds as the others were turned out.
    fn left_wet(&self, out: &KeptStep) -> Option<u32> {
        let last = self.kept.told(out).rfind(|told| told.at.0 <= self.now)?;
        last.wet.filter(|wet| (1..out.count).contains(wet))
    }

    /// How far a round is, by what was seen of it.
    fn seen(&self, round: Round, out: &KeptStep, freeze: Option<&KeptStep>) -> Round {
        if round.stage == Stage::ToCome {
            return round;
        }
        if let Some(end) = self.over.end(out) {
            let end = self.tick(end);
            return Round { stage: Stage::Out, out: (end - lasts(out), end), ..round };
        }
        let looks = freeze.into_iter().chain([out]).flat_map(|step| self.kept.told(step));
        let last = looks.filter(|told| told.at.0 <= self.now).max_by_key(|told| told.at);
        match last {
            Some(last) if last.wet.is_some_and(|wet| wet > 0) => {
                Round { wet_at: Some(self.tick(last.at.0)), ..round }
            }
            Some(last) if !last.skipped => Round { stage: Stage::Firm, ..round },
            _ => round,
        }
    }

    /// What freezes beside each round: all the water in its freezer that stood in it before
    /// it was out, as so many of its own moulds.
    fn beside(&self, rounds: &mut BTreeMap<SessionAt, Vec<Round>>) {
        let ice = |at: &SessionAt| &self.plan.ice[at.0];
        let mould = |at: &SessionAt| &self.plan.moulds[ice(at).mould];
        let inside = |it: &Round| it.fill.1..it.out.0;
        let all: Vec<(usize, Range<Tick>, u64)> = rounds
            .iter()
            .flat_map(|(at, own)| {
                let water = |it: &Round| u64::from(it.count) * mould(at).milligrams();
                own.iter().map(move |it| (ice(at).freezer, inside(it), water(it)))
            })
            .collect();
        for (at, own) in rounds {
            for round in own {
                let own = inside(round);
                let beside = all.iter().filter(|(freezer, inside, _)| {
                    *freezer == ice(at).freezer && inside.start < own.end && own.start < inside.end
                });
                let load: u64 = beside.map(|(.., water)| water).sum();
                round.beside = mould(at).holding(load).max(round.count);
            }
        }
    }

    /// The most moulds of each kind that are still to be filled at once.
    fn most_to_fill(&self, rounds: &BTreeMap<SessionAt, Vec<Round>>) -> BTreeMap<usize, u32> {
        let mut most = BTreeMap::new();
        for (at, own) in rounds {
            let to_come = own.iter().filter(|round| round.stage == Stage::ToCome);
            if let Some(count) = to_come.map(|round| round.count).max() {
                let known = most.entry(self.plan.ice[at.0].mould).or_insert(count);
                *known = count.max(*known);
            }
        }
        most
    }

    /// Gives the blocks to the sessions, the oldest to the first; a session of the past took
    /// what was out by then, and what was still wet of its own as she packed, unless the plan had
    /// left it out.
    fn hand_out(&self, rounds: &mut BTreeMap<SessionAt, Vec<Round>>) {
        let (served, left_out): (Vec<_>, Vec<_>) =
            self.sessions().into_iter().partition(|at| self.serves(*at));
        let left_out = left_out.into_iter().filter(|at| !self.is_past(*at));
        let alike = |at: &SessionAt| {
            let ice = &self.plan.ice[at.0];
            (ice.mould, ice.freezer)
        };
        let to_fill = self.most_to_fill(rounds);
        for at in served.into_iter().chain(left_out) {
            let ice = &self.plan.ice[at.0];
            let session = &ice.sessions[at.1];
            let leaves = self.clock.floor(session.at) - way_ticks(ice);
            let past = self.is_past(at);
            let mut wanted = ice.wanted(session, &self.plan.groups[session.group]) as usize;
            // What is turned out once she has left is for another session.
            let there = |own: SessionAt, it: &Round| match past {
                true => it.out.1 <= leaves && (it.stage == Stage::Out || own == at && it.is_wet()),
                false => own == at || it.out.1 <= leaves,
            };
            let mut pool: Vec<&mut Round> = rounds
                .iter_mut()
                .filter(|(own, _)| alike(own) == alike(&at))
                .flat_map(|(own, all)| all.iter_mut().map(|it| (*own, it)))
                .filter(|(own, it)| there(*own, it))
                .map(|(_, it)| it)
                .collect();
            let wet_last = past || session.without > 0;
            // What is filled later is used before what is wet, unless it lacks the moulds of that.
            let own = self.plan.moulds[ice.mould].own;
            let lacks =
                |it: &Round| to_fill.get(&ice.mould).is_some_and(|fill| fill + it.count > own);
            let last = |it: &Round| it.is_wet() && (wet_last || it.rest && !lacks(it));
            pool.sort_by_key(|round| (last(round), round.fill));
            for round in pool {
                let some = wanted.min(round.count as usize - round.takers.len());
                round.takers.extend(std::iter::repeat_n(at, some));
                wanted -= some;
            }
        }
    }
}

/// Fillings of the day on which blocks were seen to be wet, planned after these were to be turned
/// out and told by nobody, for which too few moulds are left: they cannot have been done.
pub fn without_moulds(
    plan: &Plan,
    kept: &Kept,
    (seen, told): (&KeptStep, &Happened),
    now: DateTime<FixedOffset>,
) -> Vec<String> {
    let Some((mould, wet)) = mould_of(plan, seen).zip(told.wet) else { return Vec::new() };
    let turned_out = seen.kind == Kind::TurnOut;
    let from = if turned_out { told.at.min(seen.start) } else { told.at };
    let full = |fill: &&KeptStep| {
        (from..).contains(&fill.start)
            && fill.start.0.date_naive() == told.at.0.date_naive()
            && mould_of(plan, fill) == Some(mould)
            && fill.count + wet > plan.moulds[mould].own
    };
    let untold = |fill: &&KeptStep| kept.told(fill).next().is_none();
    let fills = kept.steps.iter().filter(|step| step.kind == Kind::Fill && step.start.0 < now);
    fills.filter(full).filter(untold).map(|fill| fill.id.clone()).collect()
}

/// The mould of a step with ice.
fn mould_of(plan: &Plan, step: &KeptStep) -> Option<usize> {
    let mut all = plan.sessions().map(|at| (plan.ice[at.0].mould, session_id(plan, at)));
    let is_of =
        |session: &str| step.id.strip_prefix(session).is_some_and(|end| end.starts_with('-'));
    all.find(|(_, session)| is_of(session)).map(|(mould, _)| mould)
}

/// How a batch is dried: as its steps beside the oven say, but for those that were skipped
/// or fell away since its pieces were ready.
pub fn batch_way(kept: &Kept, ornament: &Ornament) -> Option<Way> {
    way_of(kept, ornament, |_| true)
}

/// How a batch was dried by some time: in the stretches in the oven that had begun.
pub fn way_by(kept: &Kept, ornament: &Ornament, by: DateTime<FixedOffset>) -> Option<Way> {
    way_of(kept, ornament, |bake| bake.start.0 < by)
}

fn way_of(kept: &Kept, ornament: &Ornament, counts: impl Fn(&KeptStep) -> bool) -> Option<Way> {
    kept.of(&ornament.name, Kind::Mix).next()?;
    let bakes: Vec<&KeptStep> = kept.of(&ornament.name, Kind::Bake).collect();
    let Some(first) = bakes.first() else { return Some(Way::Air) };
    let skipped = |step: &KeptStep| {
        let load = kept.of(&ornament.name, Kind::Load).filter(|load| load.start <= step.start);
        load.last().into_iter().chain([step]).any(|step| kept.told(step).any(|told| told.skipped))
    };
    let mut times = 1;
    let mut last = first;
    for again in bakes.iter().skip(1).filter(|step| counts(step) && is_of_load(step, first)) {
        if kept.told(last).any(|told| last.stays_out(told)) || skipped(again) {
            break;
        }
        (times, last) = (times + 1, again);
    }
    let lasts_h = hours_between(first.start.0, first.end.0);
    Some(Way::Oven { oven: ornament.method.oven()?, lasts_h, times })
}

/// Whether a stretch in the oven is that one or a later one of the same load.
pub fn is_of_load(bake: &KeptStep, first: &KeptStep) -> bool {
    bake.id.strip_prefix(&first.id).is_some_and(|end| end.is_empty() || end.starts_with('-'))
}

/// How long a step takes, as it was given.
fn lasts(step: &KeptStep) -> Tick {
    let seconds = (step.end.0 - step.start.0).num_seconds();
    (seconds / TICK_S) as Tick
}

/// The steps of a round, as they are kept.
pub struct RoundSteps<'a> {
    /// Its filling.
    pub fill: &'a KeptStep,
    /// Which it is of its session, from one.
    number: u32,
    kept: &'a Kept,
    session: String,
}

impl<'a> RoundSteps<'a> {
    /// Those of a session, by what the ids of its steps begin with.
    pub fn of(kept: &'a Kept, session: String) -> impl Iterator<Item = Self> {
        let fills = kept.steps.iter().filter(|step| step.kind == Kind::Fill);
        fills.filter_map(move |fill| {
            let number = match fill.id.strip_prefix(&session)?.strip_prefix("-fill")? {
                "" => 1,
                number => number.strip_prefix('-')?.parse().ok()?,
            };
            Some(Self { fill, number, kept, session: session.clone() })
        })
    }

    /// Another step of it: `turn-out`, or with `-rest` that of what was still wet.
    pub fn step(&self, name: &str, rest: &str) -> Option<&'a KeptStep> {
        let number = if self.number == 1 { String::new() } else { format!("-{}", self.number) };
        let id = format!("{}-{name}{number}{rest}", self.session);
        self.kept.steps.iter().find(|step| step.id == id)
    }
}

impl Schedule {
    /// The plan to keep: its steps, after those of the plan that was kept whose time has come.
    pub fn kept(&self, before: Option<&Kept>) -> Kept {
        let now = self.computed.fixed_offset();
        let own = self.steps.iter().filter(|step| !stands_in(&step.id)).map(kept_step);
        let own: Vec<KeptStep> = own.collect();
        let earlier = before.map_or(&[][..], |kept| &kept.steps);
        let over = before.map(|kept| kept.over_by(now));
        let is_past = |step: &&KeptStep| {
            let over = over.as_ref().is_some_and(|over| over.end(step).is_some());
            // What was told of a step is known by it, also where it is planned no more.
            let told = before.is_some_and(|kept| kept.told(step).next().is_some());
            let is_own = own.iter().any(|it| it.id == step.id);
            (over || told || step.by_itself && step.start.0 < now) && !is_own
        };
        let mut steps: Vec<KeptStep> = earlier.iter().filter(is_past).cloned().collect();
        steps.extend(own);
        steps.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
        Kept {
            planned: Some(Moment(self.computed.with_timezone(&self.timezone).fixed_offset())),
            happened: before.map_or_else(Vec::new, |kept| kept.happened.clone()),
            steps,
        }
    }
}

fn kept_step(step: &Step) -> KeptStep {
    KeptStep {
        id: step.id.clone(),
        short: step.follow.short.clone(),
        kind: step.kind,
        what: step.what.clone(),
        goal: step.goal.clone(),
        start: Moment(step.start.fixed_offset()),
        end: Moment(step.end.fixed_offset()),
        count: step.count,
        after: step.after.clone(),
        by_itself: step.attention == Attention::None,
        // What stays behind as she packs is of no more use: nothing is asked of it.
        look: step.kind != Kind::Pack && step.follow.looks.iter().any(|look| look.chance >= RARE),
        see: step.looks_there().next().map(|look| look.see.clone()),
        ready_g: step.follow.looks.iter().find_map(|look| look.ready_g),
        most_g: step.follow.looks.iter().find_map(|look| look.most_g),
    }
}
