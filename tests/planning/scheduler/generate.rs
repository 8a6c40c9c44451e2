//! Random problems from a fixed seed.

use std::ops::Range;

use solidby::scheduler::{Activity, ActivityId, FactId, GoalId, Hold, Link, Problem, ResourceId};

/// SplitMix64 (Steele, Lea, Flood 2014, doi:10.1145/2660193.2660195).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number from `range`.
    pub fn roll(&mut self, range: Range<i32>) -> i32 {
        range.start + (self.next() % (range.end - range.start) as u64) as i32
    }

    pub fn one_in(&mut self, n: i32) -> bool {
        self.roll(0..n) == 0
    }
}

/// A problem of 1 to `most` activities on some thirty ticks.
pub fn problem(dice: &mut Dice, most: i32) -> Problem {
    let mut problem = Problem { levels: dice.roll(1..4) as usize, ..Problem::default() };
    problem.sittings =
        [2..6, 9..13, 13..15, 19..24].into_iter().filter(|_| !dice.one_in(4)).collect();
    for _ in 0..dice.roll(1..4) {
        let weight = dice.roll(1..4) as u32;
        problem.add_goal(weight);
    }
    let n = dice.roll(1..most + 1);
    let starts = if n > 7 {
        3
    } else if n > 5 {
        5
    } else {
        8
    };
    for i in 0..n {
        let duration = dice.roll(1..4);
        let windows = windows(dice, duration, starts, 2 * i);
        problem.add_activity(Activity {
            duration,
            windows,
            goal: GoalId(dice.roll(0..problem.goals.len() as i32) as usize),
            hands: !dice.one_in(3),
            fact: FactId(i as usize),
        });
    }
    add_links(dice, &mut problem);
    add_holds(dice, &mut problem);
    problem
}

/// One or two windows with about so many starts in all, around `since`.
fn windows(dice: &mut Dice, duration: i32, starts: i32, since: i32) -> Vec<Range<i32>> {
    let first = since + dice.roll(0..9);
    let length = dice.roll(1..starts + 1);
    let end = first + duration + length - 1;
    let mut windows: Vec<Range<i32>> = std::iter::once(first..end).collect();
    if length < starts && !dice.one_in(3) {
        let second = end + dice.roll(0..5);
        windows.push(second..second + duration + starts - length - 1);
    }
    windows
}

fn add_links(dice: &mut Dice, problem: &mut Problem) {
    let n = problem.activities.len() as i32;
    for k in 0..dice.roll(0..n + 1) {
        let (a, b) = (dice.roll(0..n), dice.roll(0..n));
        if a == b && !dice.one_in(20) {
            continue;
        }
        let surest = dice.roll(-1..7);
        let mut min = vec![surest];
        while min.len() < problem.levels && !dice.one_in(5) {
            min.push(min[min.len() - 1] - dice.roll(0..7));
        }
        let max = dice.one_in(3).then(|| surest + dice.roll(2..9));
        problem.links.push(Link {
            before: ActivityId(a.min(b) as usize),
            after: ActivityId(a.max(b) as usize),
            min,
            max,
            fact: FactId(100 + k as usize),
        });
    }
}

fn add_holds(dice: &mut Dice, problem: &mut Problem) {
    let n = problem.activities.len() as i32;
    for r in 0..dice.roll(1..4) {
        problem.add_resource(dice.roll(2..5) as u32, FactId(200 + r as usize));
    }
    for _ in 0..dice.roll(0..n + 1) {
        let (a, b) = (dice.roll(0..n) as usize, dice.roll(0..n) as usize);
        let spans = problem.activities[a].goal == problem.activities[b].goal;
        problem.holds.push(Hold {
            resource: ResourceId(dice.roll(0..problem.resources.len() as i32) as usize),
            amount: dice.roll(1..3) as u32,
            from: ActivityId(a.min(b)),
            to: ActivityId(if spans { a.max(b) } else { a.min(b) }),
        });
    }
}
