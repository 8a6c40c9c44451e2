//! The search by sittings on random problems: every plan passes a check of the
//! rules written apart from the search, its price adds up, nothing that is
//! shown impossible has a plan, and one thing more never costs more.

use std::ops::Range;

use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed},
};
use solidby::scheduler::{
    Tick,
    sittings::{
        Act, Demand, Effort, Kind, MINUTE, Place, Plan, Problem, Ripening, Store, Stretch, Turn,
        search, shown_impossible,
    },
};

/// How long what leaves is packed.
const PACK: Tick = 2;

const DAY: Tick = 288;

/// Ticks that grow with the load in a straight line.
struct Line(Vec<(Tick, Tick)>);

impl Ripening for Line {
    fn ticks(&self, kind: usize, load: u64, sureness: usize) -> Option<Tick> {
        let (start, each) = self.0[kind];
        Some(start / (1 + sureness as Tick) + each * load as Tick)
    }
}

fn kind(own: u32, store: usize, load: u64) -> Kind {
    let by = |once: f64, each: f64| -> Vec<Tick> {
        let minutes = |n: u32| once + each * f64::from(n);
        (0..=own).map(|n| if n == 0 { 0 } else { (minutes(n) / 5.0).ceil() as Tick }).collect()
    };
    Kind {
        store,
        place: 0,
        own,
        pool: load as usize,
        per_vessel: 1,
        cups: 1,
        room: 3,
        kept_room: 1,
        load,
        fill: by(3.0, 1.0),
        empty: by(3.0, 1.5),
        wash: by(3.0, 1.0),
        round: 5 * MINUTE,
        keep: MINUTE / 2,
    }
}

/// Mornings and evenings of so many days, the evening that much longer.
fn stretches(days: i32, longer: Tick) -> Vec<Stretch> {
    let spans = |day: i32| {
        let span = |from: Tick, until: Tick| day * DAY + from..day * DAY + until;
        [span(75, 87), span(222, 240 + longer)]
    };
    let stretch = |day: i32, span: Range<Tick>| Stretch {
        place: 0,
        late: span.end - day * DAY < DAY / 2,
        dear: vec![day * DAY..day * DAY + 84, day * DAY + 252..(day + 1) * DAY],
        dear_tick: 5 * MINUTE / 2,
        shunned: Vec::new(),
        packs: if span.end % DAY == 87 { PACK } else { 0 },
        leave: span.start,
        day,
        span,
    };
    (0..days).flat_map(|day| spans(day).map(|span| stretch(day, span))).collect()
}

#[derive(Debug, Clone)]
struct Seeds {
    own: Vec<u32>,
    holds: u32,
    one_store: bool,
    sessions: Vec<(usize, i32, u32)>,
    ripening: Vec<(Tick, Tick)>,
    longer: Tick,
}

fn seeds() -> impl Strategy<Value = Seeds> {
    let session = (0..2_usize, 3..9_i32, 1..9_u32);
    (
        prop::collection::vec(1..6_u32, 2),
        2..10_u32,
        any::<bool>(),
        prop::collection::vec(session, 1..4),
        prop::collection::vec((80..140_i32, 0..4_i32), 2),
        0..6_i32,
    )
        .prop_map(|(own, holds, one_store, sessions, ripening, longer)| Seeds {
            own,
            holds,
            one_store,
            sessions,
            ripening,
            longer,
        })
}

fn problem(seeds: &Seeds) -> (Problem, Line) {
    let store = |kind: usize| if seeds.one_store { 0 } else { kind };
    let kinds = seeds.own.iter().enumerate();
    let demands = seeds.sessions.iter().map(|(kind, day, count)| {
        let (leave, pack) = (day * DAY + 87 + PACK, PACK);
        let earliest = (day - 3) * DAY;
        let (kind, count, day) = (*kind, *count, *day);
        let (by, pack_from) = (leave - pack, leave - 12);
        // One session in three need not be as sure.
        let sureness = usize::from(day % 3 == 0);
        Demand { kind, count, sureness, day, earliest, by, leave, pack_from, pack }
    });
    let problem = Problem {
        places: vec![Place { begin: 15 * MINUTE, tick: 5 * MINUTE, shared_hands: true }],
        stretches: stretches(9, seeds.longer),
        stores: vec![Store { capacity: 3 * seeds.holds }; 2],
        kinds: kinds.map(|(n, own)| kind(*own, store(n), 1 + n as u64)).collect(),
        begun: Vec::new(),
        demands: demands.collect(),
        chains: Vec::new(),
        kept: None,
    };
    (problem, Line(seeds.ripening.clone()))
}

/// Every rule that the plan breaks.
fn faults(problem: &Problem, ripening: &Line, plan: &Plan) -> Vec<String> {
    let turns: Vec<&Turn> = plan
        .acts
        .iter()
        .filter_map(|act| match act {
            Act::Turn(turn) => Some(turn),
            Act::Step(_) => None,
        })
        .collect();
    let mut faults = Vec::new();
    for pair in turns.windows(2) {
        if pair[0].end > pair[1].start {
            faults.push(format!("hands twice at {}", pair[1].start));
        }
    }
    for turn in &turns {
        let span = &problem.stretches[turn.stretch].span;
        if turn.start < span.start || turn.end > span.end + freed(problem, turn) {
            faults.push(format!("outside the hours at {}", turn.start));
        }
        let kind = &problem.kinds[turn.kind];
        let wash = if turn.empty == 0 { kind.wash[turn.fill as usize] } else { 0 };
        let hands = kind.empty[turn.empty as usize] + kind.fill[turn.fill as usize] + wash;
        if turn.end - turn.start != hands + packing(turn) {
            faults.push(format!("hands of {} ticks", turn.end - turn.start));
        }
    }
    for kind in 0..problem.kinds.len() {
        faults.extend(stairs(problem, &turns, kind));
    }
    faults.extend(ripe(problem, ripening, &turns));
    faults.extend(room(problem, &turns));
    faults.extend(packed(problem, &turns));
    faults
}

fn packing(turn: &Turn) -> Tick {
    turn.pack.as_ref().map_or(0, |pack| pack.end - pack.start)
}

/// Hands are free until she leaves where what leaves then was packed before.
fn freed(problem: &Problem, turn: &Turn) -> Tick {
    let Some(pack) = &turn.pack else { return 0 };
    let end = problem.stretches[turn.stretch].span.end;
    let store = |kind: usize| problem.kinds[kind].store;
    let then: Vec<&Demand> = problem.demands.iter().filter(|demand| demand.by == end).collect();
    let packed =
        |demand: &&Demand| store(demand.kind) == store(turn.kind) && demand.pack_from <= pack.start;
    if !then.is_empty() && then.iter().all(packed) { PACK } else { 0 }
}

/// What is packed is out by then.
fn packed(problem: &Problem, turns: &[&Turn]) -> Vec<String> {
    let mut faults = Vec::new();
    for turn in turns {
        let Some(pack) = &turn.pack else { continue };
        let store = problem.kinds[turn.kind].store;
        for kind in (0..problem.kinds.len()).filter(|kind| problem.kinds[*kind].store == store) {
            let own = problem.demands.iter().filter(|demand| demand.kind == kind);
            let gone: u32 = own
                .filter(|demand| demand.pack_from <= pack.start)
                .map(|demand| demand.count)
                .sum();
            let out = turns.iter().filter(|other| other.kind == kind && other.out <= pack.start);
            let out: u32 = out.map(|other| other.empty).sum();
            if out < gone {
                faults.push(format!("{gone} packed at {}, {out} out", pack.start));
            }
        }
    }
    faults
}

/// Moulds, deadlines and how old things are.
fn stairs(problem: &Problem, turns: &[&Turn], kind: usize) -> Vec<String> {
    let mut faults = Vec::new();
    let own: Vec<&&Turn> = turns.iter().filter(|turn| turn.kind == kind).collect();
    let mut inside = 0;
    for turn in &own {
        inside = inside + turn.fill - turn.empty;
        if inside > problem.kinds[kind].own {
            faults.push(format!("{inside} moulds in use at {}", turn.end));
        }
    }
    let mut demands: Vec<&Demand> =
        problem.demands.iter().filter(|demand| demand.kind == kind).collect();
    demands.sort_by_key(|demand| demand.leave);
    let mut need = 0;
    for demand in &demands {
        let before = need;
        need += demand.count;
        let out: u32 = own.iter().filter(|t| t.out <= demand.by).map(|t| t.empty).sum();
        if out < need {
            faults.push(format!("{out} of {need} out by {}", demand.by));
        }
        let early = own.iter().filter(|t| t.start < demand.earliest).map(|t| t.fill).sum::<u32>();
        if early > before {
            faults.push(format!("{early} filled before {}", demand.earliest));
        }
    }
    let filled: u32 = own.iter().map(|turn| turn.fill).sum();
    if filled != need || inside != 0 {
        faults.push(format!("{filled} filled for {need}"));
    }
    faults
}

/// A filling is as sure as the first session that takes a piece of it.
fn sureness(problem: &Problem, fills: &[&&Turn], of: &Turn) -> usize {
    let own = fills.iter().filter(|turn| turn.kind == of.kind);
    let before: u32 = own.take_while(|turn| turn.start < of.start).map(|turn| turn.fill).sum();
    let mut demands: Vec<&Demand> =
        problem.demands.iter().filter(|demand| demand.kind == of.kind).collect();
    demands.sort_by_key(|demand| demand.leave);
    let mut taken = 0;
    let first = demands.into_iter().find(|demand| {
        taken += demand.count;
        before < taken
    });
    first.unwrap().sureness
}

/// Nothing is turned out before it is ripe beside all that it ripens with. The
/// ends are found by going over them until none moves.
fn ripe(problem: &Problem, ripening: &Line, turns: &[&Turn]) -> Vec<String> {
    let fills: Vec<&&Turn> = turns.iter().filter(|turn| turn.fill > 0).collect();
    let load = |turn: &Turn| problem.kinds[turn.kind].load * u64::from(turn.fill);
    let sure: Vec<usize> = fills.iter().map(|turn| sureness(problem, &fills, turn)).collect();
    let end =
        |a: usize, load: u64| fills[a].end + ripening.ticks(fills[a].kind, load, sure[a]).unwrap();
    let mut ends: Vec<Tick> = (0..fills.len()).map(|a| end(a, load(fills[a]))).collect();
    loop {
        let beside = |a: usize| -> u64 {
            let store = |turn: &Turn| problem.kinds[turn.kind].store;
            let others = (0..fills.len()).filter(|b| store(fills[*b]) == store(fills[a]));
            let with = others.filter(|b| fills[a].end < ends[*b] && fills[*b].end < ends[a]);
            with.map(|b| load(fills[b])).sum()
        };
        let next: Vec<Tick> = (0..fills.len()).map(|a| end(a, beside(a))).collect();
        if next == ends {
            break;
        }
        ends = next;
    }
    let mut faults = Vec::new();
    for kind in 0..problem.kinds.len() {
        let mut pieces = fills.iter().zip(&ends).filter(|(fill, _)| fill.kind == kind);
        let mut left = 0;
        let mut end = 0;
        for turn in turns.iter().filter(|turn| turn.kind == kind) {
            for _ in 0..turn.empty {
                if left == 0 {
                    let (fill, ripe) = pieces.next().unwrap();
                    (left, end) = (fill.fill, *ripe);
                }
                left -= 1;
                let from = turn.out - problem.kinds[kind].empty[turn.empty as usize];
                if end > from {
                    faults.push(format!("turned out at {from}, ripe at {end}"));
                }
            }
        }
    }
    faults
}

/// No store is overfull after a filling; what was packed takes no room.
fn room(problem: &Problem, turns: &[&Turn]) -> Vec<String> {
    let mut faults = Vec::new();
    for (at, turn) in turns.iter().enumerate().filter(|(_, turn)| turn.fill > 0) {
        let store = problem.kinds[turn.kind].store;
        let mut taken = 0;
        for kind in (0..problem.kinds.len()).filter(|kind| problem.kinds[*kind].store == store) {
            let so_far = || turns[..=at].iter().filter(|turn| turn.kind == kind);
            let filled: u32 = so_far().map(|turn| turn.fill).sum();
            let out: u32 = so_far().map(|turn| turn.empty).sum();
            let gone = |demand: &&Demand| {
                let packs = |pack: &Range<Tick>| demand.pack_from <= pack.start;
                let packed = turn.pack.as_ref().is_some_and(packs);
                demand.kind == kind && (demand.leave <= turn.out || packed)
            };
            let left: u32 = problem.demands.iter().filter(gone).map(|demand| demand.count).sum();
            taken += 3 * (filled - out) + out.saturating_sub(left);
        }
        if taken > problem.stores[store].capacity {
            faults.push(format!("{taken} places taken at {}", turn.end));
        }
    }
    faults
}

fn price(seeds: &Seeds) -> Option<i64> {
    let (problem, ripening) = problem(seeds);
    search(&problem, &ripening, Effort::default()).plan.map(|plan| plan.price)
}

proptest! {
    #![proptest_config(Config { cases: 25, rng_seed: RngSeed::Fixed(15), failure_persistence: None, ..Config::default() })]

    #[test]
    fn every_plan_keeps_the_rules(seeds in seeds()) {
        let (problem, ripening) = problem(&seeds);
        let found = search(&problem, &ripening, Effort::default());
        let shown = shown_impossible(&problem, &ripening);
        match &found.plan {
            Some(plan) => {
                prop_assert_eq!(faults(&problem, &ripening, plan), Vec::<String>::new());
                prop_assert_eq!(plan.terms(&problem).sum(), plan.price);
                prop_assert!(shown.is_none(), "{:?} is not impossible", shown);
            }
            None => prop_assert!(found.stopped.is_some()),
        }
    }

    /// The first half hour of each morning is shunned: as long as a plan without it exists,
    /// none has work in it, and what shunning weighs is no part of a price.
    #[test]
    fn shunned_hours_are_used_only_where_nothing_else_does(seeds in seeds()) {
        let (all, ripening) = problem(&seeds);
        let (mut shunning, mut liked) = (all.clone(), all.clone());
        for stretch in (0..all.stretches.len()).filter(|stretch| all.stretches[*stretch].late) {
            let start = all.stretches[stretch].span.start;
            shunning.stretches[stretch].shunned.push(start..start + 6);
            liked.stretches[stretch].span.start = start + 6;
        }
        let found = |problem: &Problem| search(problem, &ripening, Effort::default().late()).plan;
        let shunned = |plan: &Plan| plan.shunned(&shunning.stretches);
        match (found(&shunning), found(&all)) {
            (Some(plan), Some(any)) => {
                prop_assert_eq!(faults(&shunning, &ripening, &plan), Vec::<String>::new());
                prop_assert_eq!(plan.terms(&shunning).sum(), plan.price);
                prop_assert!(shunned(&plan) <= shunned(&any));
                prop_assert_eq!(shunned(&plan) == 0, found(&liked).is_some());
            }
            (found, any) => prop_assert_eq!(found.is_some(), any.is_some()),
        }
    }

    #[test]
    fn one_thing_more_never_costs_more(seeds in seeds(), what in 0..3) {
        let Some(before) = price(&seeds) else { return Ok(()) };
        let mut more = seeds.clone();
        match what {
            0 => more.own[0] += 1,
            1 => more.holds += 1,
            _ => more.longer += 1,
        }
        let after = price(&more);
        prop_assert!(after.is_some_and(|after| after <= before), "{before} {after:?}");
    }
}
