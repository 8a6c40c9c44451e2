//! How far a search looks, how it is done and what came of it.

use super::plan::Plan;
use super::problem::{Cost, Stop};

/// Labels kept at the end of a stretch when a first plan is looked for.
pub(super) const NARROW: usize = 60;

/// How much what is left of a plan counts beside what was spent, in quarters.
pub(super) const EVEN: Cost = 4;

/// The same where a search that puts things off found no plan: of 5 to 12 on invented classes the
/// least that found them all.
pub(super) const EAGER: Cost = 8;

/// The same where hours are so few that much must be done as soon as it can be: of 8 and 16, on
/// invented classes, the one that found a plan in more of them.
pub(super) const FORWARD: Cost = 16;

/// The same where a better plan is looked for than an eager search found.
pub(super) const HALF_EAGER: Cost = 6;

/// Labels kept when the effort is spent.
pub(super) const FEW: usize = 20;

/// How far to look, in labels and not in time.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// Labels kept at the end of a stretch.
    pub width: usize,
    /// Labels kept that are equally far.
    pub alike: usize,
    /// Labels made for each stretch on average, after which few are kept.
    pub labels: u64,
    /// Whether work is also tried as late as an evening allows.
    pub late: bool,
    /// How much what is left of a plan counts beside what was spent when labels are kept, in quarters.
    pub left: Cost,
    /// Whether the labels are spread over the stretches, so that each has its share.
    pub spread: bool,
}

impl Effort {
    /// For showing that there is no plan.
    pub(super) const PROOF: Self = Self { width: 5_000, alike: 100, labels: 15_000, ..Self::USUAL };

    /// For a good plan.
    pub const USUAL: Self =
        Self { width: 400, alike: 24, labels: 10_000, late: false, left: EVEN, spread: false };

    /// For a plan where the usual effort is soon spent: about a second.
    pub const WIDE: Self = Self { width: 1_200, labels: 40_000, spread: true, ..Self::USUAL };

    /// For whether there is a plan at all.
    pub const QUICK: Self = Self { width: NARROW, labels: 2_500, ..Self::USUAL };

    /// For what is left where much was searched already.
    pub const HASTY: Self = Self { width: FEW, alike: 8, labels: 600, ..Self::USUAL };
}

impl Effort {
    /// The same with work tried as late as an evening allows.
    pub const fn late(self) -> Self {
        Self { late: true, ..self }
    }

    /// The same that rather keeps labels with little left to do: it finds dearer plans, and more
    /// of them where everything is put off until there is no room.
    pub(super) const fn eager(self) -> Self {
        Self { left: EAGER, ..self }
    }

    /// The same with as little put off as can be.
    pub(super) const fn forward(self) -> Self {
        Self { left: FORWARD, spread: true, ..self }
    }
}

impl Default for Effort {
    fn default() -> Self {
        Self::USUAL
    }
}

/// How a search is done, the first of these ways that finds a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// As it should be.
    Usual,
    /// With things put off less.
    Eager,
    /// With some of what is ripe left in its vessels.
    InParts,
}

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The best plan found.
    pub plan: Option<Plan>,
    /// What the search could not get past, where it found no plan.
    pub stopped: Option<Stop>,
    /// Whether no label was dropped but for a better one.
    pub whole: bool,
    /// Whether it made as many labels as its effort allows, and then kept few.
    pub spent: bool,
    /// How it searched when it found a plan.
    pub how: How,
    /// Labels made.
    pub labels: u64,
}
