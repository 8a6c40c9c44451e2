//! Prep of the real kind: ice sessions of eleven blocks from four moulds, two
//! groups, one pair of hands, one freezer; and an ornament batch a month.
//! Ticks are five minutes.

use std::ops::Range;

use solidby::scheduler::{Activity, ActivityId, FactId, GoalId, Hold, Link, Problem, ResourceId};

const DAY: i32 = 288;
const MORNING: Range<i32> = 75..87;
const EVENING: Range<i32> = 222..258;
const CLASS: Range<i32> = 96..150;

/// The facts, in the order in which a conflict tries to do without them.
const HOURS: FactId = FactId(0);
const WAITS: FactId = FactId(1);
const MOULDS: FactId = FactId(2);
const FREEZER: FactId = FactId(3);
const HANDS: FactId = FactId(4);
const OVEN: FactId = FactId(5);

/// Every sitting at home before day `until`.
fn sittings(since: i32, until: i32) -> Vec<Range<i32>> {
    let shift = |day: i32, hours: Range<i32>| day * DAY + hours.start..day * DAY + hours.end;
    (since.max(0)..=until).flat_map(|day| [shift(day, MORNING), shift(day, EVENING)]).collect()
}

/// A single window.
fn one(start: i32, length: i32) -> Vec<Range<i32>> {
    std::iter::once(start..start + length).collect()
}

struct Builder {
    problem: Problem,
    hands: ResourceId,
    moulds: ResourceId,
    freezer: ResourceId,
    oven: ResourceId,
}

impl Builder {
    fn home(&mut self, goal: GoalId, duration: i32, since: i32, until: i32) -> ActivityId {
        let id = self.act(goal, duration, sittings(since, until), true);
        let (resource, amount) = (self.hands, 1);
        self.problem.holds.push(Hold { resource, amount, from: id, to: id });
        id
    }

    fn act(
        &mut self,
        goal: GoalId,
        duration: i32,
        windows: Vec<Range<i32>>,
        hands: bool,
    ) -> ActivityId {
        self.problem.add_activity(Activity { duration, windows, goal, hands, fact: HOURS })
    }

    fn link(&mut self, before: ActivityId, after: ActivityId, min: &[i32], max: Option<i32>) {
        self.problem.links.push(Link { before, after, min: min.to_vec(), max, fact: WAITS });
    }

    fn hold(&mut self, resource: ResourceId, amount: u32, from: ActivityId, to: ActivityId) {
        self.problem.holds.push(Hold { resource, amount, from, to });
    }

    /// Eleven blocks from four moulds: three fills, used at 9:30 of `day`.
    fn session(&mut self, day: i32) {
        let goal = self.problem.add_goal(1);
        let since = day - 14;
        let mut filled = Vec::new();
        for _ in 0..3 {
            let fill = self.home(goal, 3, since, day - 1);
            let turned = self.home(goal, 2, since, day);
            self.link(fill, turned, &[116, 100, 84], Some(3 * DAY));
            self.hold(self.moulds, 4, fill, turned);
            self.hold(self.freezer, 4, fill, turned);
            if let Some(&(_, last)) = filled.last() {
                self.link(last, fill, &[0], None);
            }
            filled.push((fill, turned));
        }
        let pack = self.act(goal, 2, one(day * DAY + MORNING.start, 12), true);
        self.hold(self.hands, 1, pack, pack);
        for (_, turned) in filled {
            self.link(turned, pack, &[0], Some(14 * DAY));
            self.hold(self.freezer, 1, turned, pack);
        }
        let start = day * DAY + 114;
        let carry = self.act(goal, 5, one(start - 39, 39), false);
        let temper = self.act(goal, 2, one(start - 12, 12), false);
        let make = self.act(goal, 6, one(start, 6), false);
        self.link(pack, carry, &[0], Some(6));
        self.link(carry, temper, &[0], None);
        self.link(temper, make, &[0], Some(2));
    }

    /// A keepsake for every child, given on `day`.
    fn ornaments(&mut self, day: i32) {
        let goal = self.problem.add_goal(2);
        let class = |since: i32, until: i32| {
            (since.max(0)..=until)
                .filter(|day| day % 7 < 5)
                .map(|day| day * DAY + CLASS.start..day * DAY + CLASS.end)
                .collect::<Vec<_>>()
        };
        let mix = self.home(goal, 4, day - 14, day - 3);
        let roll = self.home(goal, 6, day - 14, day - 3);
        let bake = self.home(goal, 1, day - 14, day - 3);
        let out = self.home(goal, 1, day - 14, day - 3);
        let paint = self.act(goal, 12, class(day - 12, day - 2), false);
        let again = self.act(goal, 12, class(day - 12, day - 2), false);
        let seal = self.home(goal, 4, day - 10, day - 1);
        let wrap = self.home(goal, 8, day - 10, day - 1);
        let give = self.act(goal, 2, class(day, day), false);
        self.link(mix, roll, &[0], Some(12));
        self.link(roll, bake, &[0], Some(24));
        self.link(bake, out, &[24, 22, 20], Some(28));
        self.hold(self.oven, 1, bake, out);
        self.link(out, paint, &[12], None);
        self.link(out, again, &[12], None);
        self.link(paint, seal, &[48], None);
        self.link(again, seal, &[48], None);
        self.link(seal, wrap, &[144, 96, 72], None);
        self.link(wrap, give, &[0], None);
    }
}

/// So many ice sessions, five in two weeks for each of two groups, and an
/// ornament batch for every eleven of them.
pub fn months(sessions: i32) -> Problem {
    let mut problem = Problem { levels: 3, ..Problem::default() };
    let moulds = problem.add_resource(4, MOULDS);
    let freezer = problem.add_resource(8, FREEZER);
    let hands = problem.add_resource(1, HANDS);
    let oven = problem.add_resource(1, OVEN);
    let days = [2, 4, 8, 10, 11];
    let last = 14 + sessions / 5 * 14 + 14;
    problem.sittings = sittings(0, last);
    let mut builder = Builder { problem, hands, moulds, freezer, oven };
    for s in 0..sessions {
        builder.session(14 + s / 5 * 14 + days[s as usize % 5]);
        if s % 11 == 10 {
            builder.ornaments(14 + s / 5 * 14 + 10);
        }
    }
    builder.problem
}
