//! A class written down for the search by sittings, with the fixed durations of the study in
//! [`super::planner_prices`].

use std::ops::Range;

use chrono::{Datelike, Days, NaiveDate, NaiveDateTime};
use solidby::scheduler::{
    Tick,
    sittings::{
        Act, Chain, Cost, Demand, Effort, Kind, MINUTE, Place, Plan, Problem, Ripening, Same, Step,
        Stop, Store, Stretch, Wait, Way, search, shown_impossible,
    },
};

pub const HOUR: Tick = 12;
pub const ALL: &[u32] = &[0, 1, 2, 3, 4, 5, 6];
pub const WORKDAYS: &[u32] = &[0, 1, 2, 3, 4];
pub const WEEKEND: &[u32] = &[5, 6];

/// Minutes in ticks of five, rounded up.
pub fn ticks(minutes: f64) -> Tick {
    (minutes / 5.0 - 1e-9).ceil() as Tick
}

/// Hours until firm by what is in the freezer, straight between the points.
pub struct Table(pub Vec<Vec<(f64, f64)>>);

impl Ripening for Table {
    fn ticks(&self, kind: usize, load: u64, _: usize) -> Option<Tick> {
        let points = &self.0[kind];
        let load = load as f64;
        if points.is_empty() || load <= points[0].0 || points.len() == 1 {
            return points.first().map(|point| ticks(60.0 * point.1));
        }
        let pair = points.windows(2).find(|pair| load <= pair[1].0);
        let pair = pair.unwrap_or(&points[points.len() - 2..]);
        let (a, b) = (pair[0], pair[1]);
        Some(ticks(60.0 * (a.1 + (b.1 - a.1) * (load - a.0) / (b.0 - a.0))))
    }
}

/// A class under way of being written down.
pub struct Class {
    pub first: NaiveDate,
    pub now: Tick,
    pub last: NaiveDate,
    /// Dates that ice may be filled before its session.
    pub ahead: i32,
    /// Whether what leaves may be packed before a refill.
    pub packs_first: bool,
    pub away: Vec<Range<i32>>,
    pub closed: Vec<Range<i32>>,
    pub problem: Problem,
    pub table: Table,
}

impl Class {
    pub fn new(now: &str, last: &str) -> Self {
        let now: NaiveDateTime = now.parse().unwrap();
        let mut class = Self {
            first: now.date(),
            now: 0,
            last: last.parse().unwrap(),
            ahead: 3,
            packs_first: false,
            away: Vec::new(),
            closed: Vec::new(),
            problem: Problem::default(),
            table: Table(Vec::new()),
        };
        class.now = ((now - now.date().and_hms_opt(0, 0, 0).unwrap()).num_minutes() / 5) as Tick;
        class
    }

    pub fn day(&self, date: &str) -> i32 {
        (date.parse::<NaiveDate>().unwrap() - self.first).num_days() as i32
    }

    /// A place, with its hours as weekdays, from and until in hours.
    pub fn place(&mut self, begin: f64, hours: &[(&[u32], f64, f64)]) -> usize {
        let number = self.problem.places.len();
        let price = begin > 0.0;
        self.problem.places.push(Place {
            begin: (begin * MINUTE as f64) as Cost,
            tick: if price { 5 * MINUTE } else { 0 },
            shared_hands: true,
        });
        for day in self.first.iter_days().take_while(|day| *day <= self.last) {
            let n = (day - self.first).num_days() as i32;
            let off = |days: &[Range<i32>]| days.iter().any(|range| range.contains(&n));
            if off(&self.away) || (!price && off(&self.closed)) {
                continue;
            }
            let open =
                hours.iter().filter(|open| open.0.contains(&day.weekday().num_days_from_monday()));
            let tick = |hour: f64| n * 24 * HOUR + (hour * 12.0).round() as Tick;
            let mut spans: Vec<_> = open.map(|open| tick(open.1)..tick(open.2)).collect();
            spans.sort_by_key(|span| span.start);
            let mut joined: Vec<Range<Tick>> = Vec::new();
            for span in spans {
                match joined.last_mut() {
                    Some(last) if span.start <= last.end => last.end = last.end.max(span.end),
                    _ => joined.push(span),
                }
            }
            for span in joined {
                let span = span.start.max(self.now)..span.end;
                if span.is_empty() {
                    continue;
                }
                let dear = [tick(0.0)..tick(7.0), tick(21.0)..tick(24.0)];
                self.problem.stretches.push(Stretch {
                    place: number,
                    late: span.end <= tick(12.0),
                    packs: 0,
                    leave: span.start,
                    span,
                    day: n,
                    dear: if price { dear.to_vec() } else { Vec::new() },
                    dear_tick: 5 * MINUTE / 2,
                    shunned: Vec::new(),
                });
            }
        }
        self.problem.stretches.sort_by_key(|stretch| stretch.span.start);
        number
    }

    pub fn store(&mut self, holds: u32) -> usize {
        self.problem.stores.push(Store { capacity: 3 * holds });
        self.problem.stores.len() - 1
    }

    /// Moulds of one cup each, with hours by how many freeze together.
    pub fn mould(&mut self, place: usize, store: usize, own: u32, hours: &[(f64, f64)]) -> usize {
        let by = |once: f64, each: f64| -> Vec<Tick> {
            let some = |n: u32| if n == 0 { 0 } else { ticks(once + each * f64::from(n)) };
            (0..=own).map(some).collect()
        };
        self.problem.kinds.push(Kind {
            store,
            place,
            own,
            pool: self.problem.kinds.len(),
            per_vessel: 1,
            cups: 1,
            room: 3,
            kept_room: 1,
            load: 1,
            fill: by(3.0, 1.0),
            empty: by(3.0, 1.5),
            wash: by(3.0, 1.0),
            round: 5 * MINUTE,
            keep: MINUTE / 2,
        });
        self.table.0.push(hours.to_vec());
        self.problem.kinds.len() - 1
    }

    /// A session that needs so many blocks, for which she leaves the house at an hour.
    pub fn session(&mut self, kind: usize, count: u32, date: &str, leaves: f64) {
        let day = self.day(date);
        let leave = day * 24 * HOUR + (leaves * 12.0 + 1e-9).floor() as Tick;
        let pack = ticks(5.0 + 0.25 * f64::from(count));
        let by = leave - pack;
        // Packing first, then refilling is not in the study's prices.
        let pack_from = if self.packs_first { leave - HOUR } else { leave };
        let earliest = (day - self.ahead) * 24 * HOUR;
        self.problem.demands.push(Demand {
            kind,
            count,
            sureness: 0,
            day,
            earliest,
            by,
            leave,
            pack_from,
            pack,
        });
    }

    pub fn plan(&self) -> Option<Plan> {
        self.plan_with(Effort::default())
    }

    pub fn plan_with(&self, effort: Effort) -> Option<Plan> {
        let found = search(&self.problem, &self.table, effort);
        if let Some(plan) = &found.plan {
            let terms = plan.terms(&self.problem);
            println!("{} {} whole {} labels {:?}", plan.price, found.labels, found.whole, terms);
            assert_eq!(terms.sum(), plan.price, "{terms:?}");
        }
        found.plan
    }

    pub fn impossible(&self) -> Option<Stop> {
        shown_impossible(&self.problem, &self.table)
    }

    pub fn print(&self, plan: &Plan) {
        for act in &plan.acts {
            println!("  {}", self.words(act));
        }
    }

    pub fn words(&self, act: &Act) -> String {
        let time = |tick: Tick| {
            let moment = self.first.and_hms_opt(0, 0, 0).unwrap()
                + chrono::Duration::minutes(5 * i64::from(tick));
            moment.format("%a %d %H:%M").to_string()
        };
        match act {
            Act::Turn(turn) => format!(
                "{}-{} kind {} out {} fill {}",
                time(turn.start),
                time(turn.end),
                turn.kind,
                turn.empty,
                turn.fill
            ),
            Act::Step(done) => format!(
                "{}-{} chain {} way {} step {}",
                time(done.start),
                time(done.end),
                done.chain,
                done.way,
                done.step
            ),
        }
    }

    /// Plans and holds the price against the study's.
    pub fn holds(&self, best: f64) -> Plan {
        let plan = self.plan().expect("a plan exists");
        self.print(&plan);
        let price = plan.price as f64 / MINUTE as f64;
        assert!(price <= 1.01 * best, "{price} is more than 1 % above {best}");
        plan
    }
}

/// A batch of ornaments.
pub struct Batch<'a> {
    pub home: usize,
    pub pieces: u32,
    /// Each group's room and children.
    pub groups: &'a [(usize, u32)],
    pub photo: bool,
    pub trays: u32,
    /// Hours between paint, photo, seal, seal and wrap.
    pub coats: [f64; 4],
    /// The first giving and by when the pieces are wrapped, in hours of that day.
    pub give: (&'a str, f64),
}

impl Batch<'_> {
    /// Baked for a while, then on the rack: hours of baking and until firm after it.
    pub fn baked(&self, class: &mut Class) {
        let ways = [(2.0, 100.0), (2.5, 80.0), (3.0, 66.0), (3.5, 56.0), (4.0, 48.0)];
        let ways = ways.map(|(bake, firm)| {
            let mut steps = self.made(class);
            steps.push(self.step(2.0 + 2.0 * f64::from(self.trays), vec![wait(1, 0.0, Some(2.0))]));
            steps[2].same = Some(Same::Day(0));
            let mut out =
                self.step(2.0 + 0.2 * f64::from(self.pieces), vec![wait(2, bake, Some(bake))]);
            out.same = Some(Same::Stretch(2));
            out.quiet = true;
            out.price = (15.0 * expected(bake) * MINUTE as f64).round() as Cost;
            steps.push(out);
            self.finished(class, steps, (3, firm), (2, 126.0))
        });
        self.add(class, ways.to_vec());
    }

    /// On a rack in the room: hours until firm and until dry.
    pub fn in_air(&self, class: &mut Class, firm: f64, dry: f64) {
        let steps = self.made(class);
        let way = self.finished(class, steps, (1, firm), (1, dry));
        self.add(class, vec![way]);
    }

    pub fn step(&self, minutes: f64, waits: Vec<Wait>) -> Step {
        Step {
            place: self.home,
            ticks: ticks(minutes),
            waits,
            same: None,
            from: 0,
            kept: None,
            keeps: None,
            quiet: false,
            carried: false,
            price: 0,
            late: Vec::new(),
            end_by: Tick::MAX / 4,
        }
    }

    pub fn made(&self, _: &Class) -> Vec<Step> {
        let mut roll = self.step(5.0 + f64::from(self.pieces), vec![wait(0, 0.0, Some(2.0))]);
        roll.same = Some(Same::Day(0));
        vec![self.step(5.0 + 12.0, Vec::new()), roll]
    }

    pub fn finished(
        &self,
        class: &Class,
        mut steps: Vec<Step>,
        firm: (usize, f64),
        dry: (usize, f64),
    ) -> Way {
        let pieces = f64::from(self.pieces);
        let together: Vec<usize> =
            (0..self.groups.len()).map(|group| steps.len() + group).collect();
        for (room, children) in self.groups {
            let mut paint =
                self.step(10.0 + 5.0 * f64::from(*children), vec![wait(firm.0, firm.1, None)]);
            paint.place = *room;
            steps.push(paint);
        }
        let mut painted: Vec<Wait> =
            together.iter().map(|step| wait(*step, self.coats[0], None)).collect();
        if self.photo {
            steps.push(self.step(5.0 + pieces, painted));
            painted = vec![wait(steps.len() - 1, self.coats[1], None)];
        }
        painted.push(wait(dry.0, dry.1, None));
        steps.push(self.step(5.0 + pieces, painted));
        steps.push(self.step(5.0 + pieces, vec![wait(steps.len() - 1, self.coats[2], None)]));
        let mut wrap =
            self.step(5.0 + 1.5 * pieces, vec![wait(steps.len() - 1, self.coats[3], None)]);
        let given = class.day(self.give.0);
        wrap.end_by = given * 24 * HOUR + (self.give.1 * 12.0) as Tick;
        let before = class_days(class).into_iter().rev().filter(|day| *day < given);
        wrap.late =
            before.zip([30, 10, 5]).map(|(day, price)| (day * 24 * HOUR, price * MINUTE)).collect();
        steps.push(wrap);
        Way { steps, together }
    }

    pub fn add(&self, class: &mut Class, ways: Vec<Way>) {
        let days = class_days(class);
        class.problem.chains.push(Chain { ways, day: MINUTE, apart: 15 * MINUTE, days });
    }
}

/// Days with class: Monday to Friday, but for the closed ones.
pub fn class_days(class: &Class) -> Vec<i32> {
    let all = class.first.iter_days().take_while(|day| *day <= class.last + Days::new(7));
    let weekdays = all.enumerate().filter(|(_, day)| day.weekday().num_days_from_monday() < 5);
    let open = weekdays.map(|(n, _)| n as i32);
    open.filter(|n| !class.closed.iter().any(|range| range.contains(n))).collect()
}

pub fn wait(of: usize, min: f64, max: Option<f64>) -> Wait {
    let ticks = |hours: f64| (hours * 12.0).round() as Tick;
    Wait { of, min: ticks(min), max: max.map(ticks) }
}

/// Hours beside the oven expected over the kitchens, of a stretch that ends
/// when the pieces are firm: lognormal, median 3.0 h, 95 % by 5.8 h.
pub fn expected(bake: f64) -> f64 {
    let (mu, sigma) = (3.0_f64.ln(), (5.8_f64 / 3.0).ln() / 1.644_853_6);
    let steps = 10_000;
    let width = bake / f64::from(steps);
    let later = |hours: f64| 0.5 * erfc((hours.ln() - mu) / (sigma * std::f64::consts::SQRT_2));
    (0..steps).map(|n| later((f64::from(n) + 0.5) * width) * width).sum()
}

/// Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26.
pub fn erfc(x: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.327_591_1 * x.abs());
    let series = [1.061_405_429, -1.453_152_027, 1.421_413_741, -0.284_496_736, 0.254_829_592];
    let tail = series.iter().fold(0.0, |sum, c| (sum + c) * t) * (-x * x).exp();
    if x < 0.0 { 2.0 - tail } else { tail }
}
