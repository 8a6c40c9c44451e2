//! What is to be scheduled, and whether it is well formed.

use std::ops::Range;

use thiserror::Error;

/// Whole steps of time since the plan's start; the caller chooses their length.
pub type Tick = i32;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}
id!(/** Index into [`Problem::activities`]. */ ActivityId);
id!(/** Index into [`Problem::goals`]. */ GoalId);
id!(/** Index into [`Problem::resources`]. */ ResourceId);
id!(
    /// A fact of the caller's world that one or several rules come from. In a
    /// conflict, facts with small ids are the first to be tried as superfluous.
    FactId
);

/// What never comes must not overflow a tick.
const FARTHEST: i64 = 1 << 25;

/// Something that is done without a pause.
#[derive(Clone, Debug)]
pub struct Activity {
    /// How long it takes, at least one tick.
    pub duration: Tick,
    /// Sorted, disjoint; the whole activity lies inside one of them.
    pub windows: Vec<Range<Tick>>,
    /// What it serves.
    pub goal: GoalId,
    /// Whether it counts as hands-on work of a sitting.
    pub hands: bool,
    /// The fact behind the windows.
    pub fact: FactId,
}

/// A wish that is served wholly or not at all.
#[derive(Clone, Debug)]
pub struct Goal {
    /// How much it counts beside others, at least 1.
    pub weight: u32,
}

/// A wait: `end(before) + min <= start(after) <= end(before) + max`.
/// It binds only where both goals are served, at the level of the goal of
/// `after`.
#[derive(Clone, Debug)]
pub struct Link {
    /// What comes first.
    pub before: ActivityId,
    /// What comes after.
    pub after: ActivityId,
    /// The shortest wait for each level of sureness, surest (longest) first;
    /// the last one stands for all further levels.
    pub min: Vec<Tick>,
    /// The longest wait, if there is one.
    pub max: Option<Tick>,
    /// The fact behind the wait.
    pub fact: FactId,
}

/// Something shared, of which there is only so much at any one time.
#[derive(Clone, Debug)]
pub struct Resource {
    /// How much there is.
    pub capacity: u32,
    /// The fact behind the capacity.
    pub fact: FactId,
}

/// Part of a resource, taken from the start of one activity to the end of
/// the same or a later one of the same goal.
#[derive(Clone, Debug)]
pub struct Hold {
    /// What is taken.
    pub resource: ResourceId,
    /// How much of it.
    pub amount: u32,
    /// Taken when this starts.
    pub from: ActivityId,
    /// Given back when this ends; it cannot start before `from` has ended.
    pub to: ActivityId,
}

/// Everything the back-scheduler is told.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// What is done.
    pub activities: Vec<Activity>,
    /// What it is done for; listed first = kept first among equals.
    pub goals: Vec<Goal>,
    /// The waits.
    pub links: Vec<Link>,
    /// What is shared.
    pub resources: Vec<Resource>,
    /// Who takes what from when to when.
    pub holds: Vec<Hold>,
    /// The sittings, sorted and disjoint: hands-on work that starts inside one
    /// makes that sitting count as used.
    pub sittings: Vec<Range<Tick>>,
    /// How many levels of sureness there are, at least 1.
    pub levels: usize,
}

impl Problem {
    /// Adds an activity.
    pub fn add_activity(&mut self, activity: Activity) -> ActivityId {
        self.activities.push(activity);
        ActivityId(self.activities.len() - 1)
    }

    /// Adds a goal.
    pub fn add_goal(&mut self, weight: u32) -> GoalId {
        self.goals.push(Goal { weight });
        GoalId(self.goals.len() - 1)
    }

    /// Adds a resource.
    pub fn add_resource(&mut self, capacity: u32, fact: FactId) -> ResourceId {
        self.resources.push(Resource { capacity, fact });
        ResourceId(self.resources.len() - 1)
    }

    /// From the first moment there is, tick 0 or an earlier window, to after
    /// everything that any rule speaks of. What has no windows may be in it all.
    pub(super) fn any_time(&self) -> Range<Tick> {
        let windows = || self.activities.iter().flat_map(|activity| &activity.windows);
        let durations = self.activities.iter().map(|activity| i64::from(activity.duration));
        let waits = self.links.iter().map(|link| i64::from(link.min[0].max(0)));
        let reach = durations.chain(waits).sum::<i64>().min(FARTHEST) as Tick;
        let first = windows().map(|window| window.start).min().unwrap_or(0).min(0);
        first..windows().map(|window| window.end).max().unwrap_or(0).max(0) + reach
    }

    /// The same with the rules of those facts alone that `holds` picks: the links
    /// of others go, their resources have room for everything, and their windows
    /// are open all the time.
    #[must_use]
    pub fn where_only(&self, holds: impl Fn(FactId) -> bool) -> Self {
        let always = self.any_time();
        let mut open = self.clone();
        open.links.retain(|link| holds(link.fact));
        for resource in open.resources.iter_mut().filter(|resource| !holds(resource.fact)) {
            resource.capacity = u32::MAX;
        }
        for activity in open.activities.iter_mut().filter(|activity| !holds(activity.fact)) {
            activity.windows = vec![always.clone()];
        }
        open
    }

    /// The same with its facts numbered anew.
    #[must_use]
    pub fn renumbered(&self, number: impl Fn(FactId) -> FactId) -> Self {
        let mut other = self.clone();
        other.links.iter_mut().for_each(|link| link.fact = number(link.fact));
        other.resources.iter_mut().for_each(|resource| resource.fact = number(resource.fact));
        other.activities.iter_mut().for_each(|activity| activity.fact = number(activity.fact));
        other
    }

    /// Whether every index, order and size is as the field's docstring asks.
    pub(super) fn check(&self) -> Result<(), ProblemError> {
        let sorted = |ranges: &[Range<Tick>]| {
            ranges.iter().all(|r| r.start < r.end)
                && ranges.windows(2).all(|pair| pair[0].end <= pair[1].start)
        };
        if self.levels == 0 {
            return Err(ProblemError::NoLevels);
        }
        if !sorted(&self.sittings) {
            return Err(ProblemError::SittingsUnsorted);
        }
        if let Some(i) = self.goals.iter().position(|goal| goal.weight == 0) {
            return Err(ProblemError::NoWeight(GoalId(i)));
        }
        for (i, activity) in self.activities.iter().enumerate() {
            if activity.goal.0 >= self.goals.len() {
                return Err(ProblemError::UnknownGoal(ActivityId(i)));
            }
            if activity.duration < 1 {
                return Err(ProblemError::NoDuration(ActivityId(i)));
            }
            if !sorted(&activity.windows) {
                return Err(ProblemError::WindowsUnsorted(ActivityId(i)));
            }
        }
        for (i, link) in self.links.iter().enumerate() {
            if link.before.0.max(link.after.0) >= self.activities.len() || link.min.is_empty() {
                return Err(ProblemError::BadLink(i));
            }
            if link.min.windows(2).any(|pair| pair[0] < pair[1]) {
                return Err(ProblemError::LevelsUnsorted(i));
            }
        }
        for (i, hold) in self.holds.iter().enumerate() {
            let known = hold.from.0.max(hold.to.0) < self.activities.len()
                && hold.resource.0 < self.resources.len();
            if !known || self.activities[hold.from.0].goal != self.activities[hold.to.0].goal {
                return Err(ProblemError::BadHold(i));
            }
        }
        Ok(())
    }
}

/// A problem that is not well formed: a mistake of the caller.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum ProblemError {
    /// There must be a level to plan at.
    #[error("a problem needs at least one level")]
    NoLevels,
    /// Sittings overlap or are out of order.
    #[error("the sittings are not sorted and disjoint")]
    SittingsUnsorted,
    /// A goal that weighs nothing would be dropped at will.
    #[error("goal {} weighs nothing", .0.0)]
    NoWeight(GoalId),
    /// An activity serves a goal that is not there.
    #[error("activity {} serves an unknown goal", .0.0)]
    UnknownGoal(ActivityId),
    /// An activity takes no time.
    #[error("activity {} takes no time", .0.0)]
    NoDuration(ActivityId),
    /// Windows overlap or are out of order.
    #[error("the windows of activity {} are not sorted and disjoint", .0.0)]
    WindowsUnsorted(ActivityId),
    /// A link without a minimum or to an activity that is not there.
    #[error("link {0} has no shortest wait or an unknown end")]
    BadLink(usize),
    /// The shortest waits must not grow with the level.
    #[error("the shortest waits of link {0} are not surest first")]
    LevelsUnsorted(usize),
    /// A hold over an unknown resource or activity, or across goals.
    #[error("hold {0} is across goals, or of an unknown resource or activity")]
    BadHold(usize),
}
