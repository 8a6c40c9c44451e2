//! What is scheduled: activities with windows, waits and shared things, and their starts.

use std::ops::Range;

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
id!(/** What activities serve, counted by the caller. */ GoalId);
id!(/** Index into [`Problem::resources`]. */ ResourceId);
id!(
    /// A fact of the caller's world that one or several rules come from.
    FactId
);

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

impl Link {
    /// The shortest wait at a level of sureness.
    pub fn shortest(&self, level: usize) -> Tick {
        self.min.get(level).or(self.min.last()).copied().unwrap_or(0)
    }

    /// Whether it allows so long a wait at a level of sureness.
    pub fn allows(&self, wait: Tick, level: usize) -> bool {
        wait >= self.shortest(level) && self.max.is_none_or(|max| wait <= max)
    }
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
    /// The waits.
    pub links: Vec<Link>,
    /// What is shared.
    pub resources: Vec<Resource>,
    /// Who takes what from when to when.
    pub holds: Vec<Hold>,
    /// The sittings, sorted and disjoint.
    pub sittings: Vec<Range<Tick>>,
}

impl Problem {
    /// Adds an activity.
    pub fn add_activity(&mut self, activity: Activity) -> ActivityId {
        self.activities.push(activity);
        ActivityId(self.activities.len() - 1)
    }

    /// Adds a resource.
    pub fn add_resource(&mut self, capacity: u32, fact: FactId) -> ResourceId {
        self.resources.push(Resource { capacity, fact });
        ResourceId(self.resources.len() - 1)
    }
}

/// When everything is done.
#[derive(Clone, Debug, Default)]
pub struct Solution {
    /// The start of each activity; `None` where its goal is not served.
    pub starts: Vec<Option<Tick>>,
    /// The level of sureness of each goal; `None` where it is not served.
    pub levels: Vec<Option<usize>>,
}

impl Solution {
    /// When `activity` starts, if its goal is served.
    pub fn start(&self, activity: ActivityId) -> Option<Tick> {
        self.starts.get(activity.0).copied().flatten()
    }

    /// The level of sureness of a goal, if it is served.
    pub fn level(&self, goal: GoalId) -> Option<usize> {
        self.levels.get(goal.0).copied().flatten()
    }

    /// The goals that are not served.
    pub fn unserved(&self) -> Vec<GoalId> {
        let levels = self.levels.iter().enumerate();
        levels.filter(|(_, level)| level.is_none()).map(|(goal, _)| GoalId(goal)).collect()
    }
}
