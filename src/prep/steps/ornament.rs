//! An ornament batch up to the dry piece: ask for photos, mix, roll and cut,
//! bake or air-dry, cool.

use super::{
    batch::{Batch, Made, Raw},
    finish::finish,
    shared::Shared,
};
use crate::{
    planfile::{Group, Ornament, OvenAt, Plan, Spare},
    prep::{
        draft::{ComesOut, Draft, Ends, Note, Serves, Task},
        durations::{Drying, DurationError, Durations, FirmDry, Heat, Outcomes, Process, REST_H},
        fact::{Always, Fact, Wait},
        schedule::Attention,
        stretches::{Followed, followed},
        ways::Way,
        what::{Load, Part, Thing, What},
    },
    scheduler::ActivityId,
    tables::{Step, Work},
    units::in_fraction,
};

/// No class rolls more, spares included.
const MOST_PIECES: u32 = 2_000;

/// Longest from rolling until the last load is in the oven, in hours, where nothing is made yet:
/// till then it dries on the rack (common practice, no source).
const LAST_LOAD_H: f64 = 48.0;

/// Longest from one stretch in the oven to the next, in hours, where nothing is made yet (common
/// practice, no source).
const NEXT_DAY_H: f64 = 36.0;

/// Adds the batch of ornaments at a position of the plan's list, dried in one of its ways.
///
/// # Errors
/// [`DurationError`] when the physics has no answer for its piece.
pub fn add_ornament(
    draft: &mut Draft,
    plan: &Plan,
    shared: &Shared,
    (position, way): (usize, Way),
    durations: &dyn Durations,
) -> Result<(), DurationError> {
    let ornament = &plan.ornaments[position];
    let groups: Vec<&Group> = ornament.groups.iter().map(|n| &plan.groups[*n]).collect();
    let goal = draft.goal(Serves::Gift { ornament: position });
    let home = way.made_at(plan);
    let count = ornament.pieces(plan);
    if count > MOST_PIECES {
        let ornament = ornament.name.clone();
        return Err(DurationError::TooManyPieces { ornament, pieces: count, most: MOST_PIECES });
    }
    let batch =
        Batch { plan, shared, ornament, position, durations, goal, groups, count, way, home };
    let raw = batch.make(draft)?;
    finish(&batch, draft, raw)
}

/// How an oven is used for a batch.
struct Baking {
    /// The oven and its setting.
    oven: OvenAt,
    lasts_h: f64,
    times: u32,
    /// Pieces that go in at once.
    fit: u32,
    /// What comes of it in every kitchen.
    followed: Followed,
}

impl Batch<'_> {
    fn make(&self, draft: &mut Draft) -> Result<Raw, DurationError> {
        let mix = self.task("mix", What::Mix, self.home, Step::Mix);
        let hours = Work::mix().usual_h(self.durations.batches(self.ornament, self.count));
        let mix = draft.task(mix, self.shared.in_hours(self.home, self.goal, hours));
        let roll = |pieces, part| What::Roll(self.ornament.thickness, pieces, part);
        let (first, rolled) =
            self.handwork(draft, ("roll", &roll, self.count), Step::Roll, Work::roll());
        let fact = draft.fact(Fact::Always(Always::RolledSoon));
        draft.then_within(mix, first, 2.0, fact);
        same_day(draft, mix, rolled);
        match self.way {
            Way::Air => self.air_dry(rolled),
            Way::Oven { oven, lasts_h, times } => {
                let fit = self.durations.pieces_at_once(self.ornament, &self.plan.ovens[oven.0]);
                if fit == 0 {
                    let ornament = self.ornament.name.clone();
                    return Err(DurationError::LargerThanTray { ornament });
                }
                let followed = self.followed(self.way.heat(self.plan), self.count.min(fit))?;
                let baking = Baking { oven, lasts_h, times, fit, followed };
                self.bake(draft, (mix, rolled), &baking)
            }
        }
    }

    fn process(&self, heat: Heat, pieces: u32, part: Option<(f64, f64)>) -> Process {
        Process::Drying { ornament: Box::new(self.ornament.clone()), pieces, heat, part }
    }

    fn followed(&self, heat: Heat, pieces: u32) -> Result<Followed, DurationError> {
        let drying = Drying { ornament: self.ornament, pieces, room: self.plan.room, heat };
        followed(self.plan, self.durations, &drying)
    }

    /// Loads of the oven, each in as many stretches as the way says; the first on the day
    /// of rolling, the others from the rack.
    fn bake(
        &self,
        draft: &mut Draft,
        (mix, rolled): (ActivityId, ActivityId),
        baking: &Baking,
    ) -> Result<Raw, DurationError> {
        let loads = self.count.div_ceil(baking.fit);
        self.more_trays(draft, baking, loads);
        // What is made already lies on its rack and dries there, whatever is planned for it.
        let now = draft.clock.instant(0).fixed_offset();
        let kept = self.plan.kept.as_ref();
        let lies = kept.is_some_and(|kept| kept.has_begun(&self.ornament.name, Step::Roll, now));
        let (mut lasts, mut before) = (Vec::new(), rolled);
        for number in 0..loads {
            let pieces = self.count / loads + u32::from(number < self.count % loads);
            let load = Part { number, of: loads };
            for stretch in 0..baking.times {
                let part = Part { number: stretch, of: baking.times };
                let (first, out) =
                    self.stretch(draft, baking, Load { pieces, load, stretch: part });
                if stretch > 0 {
                    let fact = draft.fact(Fact::Always(Always::NextDay));
                    draft.then_after(before, first, REST_H, fact);
                } else {
                    draft.then(before, first);
                }
                match (stretch, number) {
                    // Where not even the first went in, nothing was laid on racks, and dough
                    // does not keep.
                    (0, 0) => same_day(draft, mix, first),
                    _ if lies => {}
                    (1.., _) => {
                        let fact = draft.fact(Fact::Always(Always::NextDay));
                        draft.then_within(before, first, NEXT_DAY_H, fact);
                    }
                    _ => {
                        let fact = draft.fact(Fact::Always(Always::LastLoad));
                        draft.then_within(rolled, first, LAST_LOAD_H, fact);
                    }
                }
                before = out;
            }
            lasts.push(before);
        }
        self.baked(lasts, baking)
    }

    /// What one tray more in the oven would save of the hours beside it.
    fn more_trays(&self, draft: &mut Draft, baking: &Baking, loads: u32) {
        let Some(stove) = self.plan.ovens[baking.oven.0].with_a_tray_more() else { return };
        let then = self.count.div_ceil(self.durations.pieces_at_once(self.ornament, &stove));
        let loads = [loads, then];
        if then < loads[0] {
            let watched = |loads: u32| f64::from(loads * baking.times) * baking.lasts_h;
            let (ornament, oven) = (self.position, baking.oven.0);
            let watched_h = loads.map(watched);
            draft.notes.push(Note::TrayMore { ornament, oven, loads, watched_h });
        }
    }

    /// In, beside the oven, out again.
    fn stretch(&self, draft: &mut Draft, baking: &Baking, load: Load) -> (ActivityId, ActivityId) {
        let stove = &self.plan.ovens[baking.oven.0];
        let (suffix, stretch) = (load.suffix(), load.stretch.number);
        let per_tray = (baking.fit / stove.trays.max(1)).max(1);
        let needed = (stretch > 0).then(|| baking.followed.more_than(stretch));
        let hands = |name: &str, what, step, hours| {
            let task = self.task(&format!("{name}{suffix}"), what, self.home, step);
            (Task { needed, ..task }, self.shared.in_hours(self.home, self.goal, hours))
        };
        let hours = Work::load().usual_h(load.pieces.div_ceil(per_tray));
        let (mut task, booking) = hands("put-in", What::PutIn(load), Step::Load, hours);
        task.bring = vec![Thing::Rack, Thing::OvenThermometer, Thing::OvenGloves];
        let loaded = draft.task(task, booking);
        let what = What::Bake(load, baking.oven);
        let (mut task, booking) = hands("bake", what, Step::Bake, baking.lasts_h);
        task.attention = Attention::Watch;
        task.comes_out = Some(ComesOut {
            until: baking.followed.until,
            ready: baking.followed.ready_after(stretch + 1),
            again: stretch + 1 < baking.times,
        });
        let from = f64::from(stretch) * (baking.lasts_h + REST_H);
        let part = Some((from, baking.lasts_h));
        task.process = Some(self.process(self.way.heat(self.plan), load.pieces, part));
        let bake = draft.task(task, booking);
        draft.hold(self.shared.ovens[baking.oven.0], 1, bake, bake);
        let hours = Work::take_out().usual_h(load.pieces);
        let (mut task, booking) = hands("take-out", What::TakeOut(load), Step::TakeOut, hours);
        task.bring = vec![Thing::OvenGloves, Thing::CoolingRack];
        let out = draft.task(task, booking);
        for (before, after) in [(loaded, bake), (bake, out)] {
            draft.then_at_once(before, after);
        }
        (loaded, out)
    }

    /// On racks once they are out of the oven: firm, then dry through.
    fn baked(&self, lasts: Vec<ActivityId>, baking: &Baking) -> Result<Raw, DurationError> {
        let heat = self.way.heat(self.plan);
        let FirmDry { firm, dry } = baking.followed.outcomes();
        let cool = self.durations.cool(self.ornament, baking.oven.1, self.plan.room)?;
        let in_all = heat.until_out_h();
        let (firm, dry) = (firm.left_after(in_all, cool), dry.left_after(in_all, cool));
        let sure = firm.sure();
        let mut made = self.on_racks(lasts, (firm, dry), (heat, baking.fit, in_all));
        if sure <= cool {
            made.firm.reason = Fact::Wait(Wait::Cools, cool);
        }
        made.firm.span = ("cool".to_owned(), What::Cool, Step::Cool);
        Ok(made)
    }

    /// On a rack in the room, both faces open.
    fn air_dry(&self, rolled: ActivityId) -> Result<Raw, DurationError> {
        let FirmDry { firm, dry } = self.followed(Heat::Air, self.count)?.outcomes();
        Ok(self.on_racks(vec![rolled], (firm, dry), (Heat::Air, self.count, 0.0)))
    }

    /// What waits for firm pieces on the rack, and what for dry ones; dried so before,
    /// so many at once, for so many hours.
    fn on_racks(
        &self,
        lasts: Vec<ActivityId>,
        (firm, dry): (Outcomes, Outcomes),
        (heat, at_once, before_h): (Heat, u32, f64),
    ) -> Raw {
        let reason = |outcomes: &Outcomes, wait| match outcomes.sure() {
            sure if sure.is_finite() => Fact::Wait(wait, sure),
            _ => Fact::NeverDry,
        };
        let process = |outcomes: &Outcomes| {
            let pieces = self.count.min(at_once);
            Some(self.process(heat, pieces, Some((before_h, outcomes.sure()))))
        };
        let span = |name: &str, what| (name.to_owned(), what, Step::AirDry);
        Raw {
            firm: Made {
                reason: reason(&firm, Wait::Firm),
                span: span("dry", What::BecomeFirm),
                process: process(&firm),
                ends: Ends::Firm { before_h },
                lasts: lasts.clone(),
                wait: firm,
            },
            dry: Made {
                reason: reason(&dry, Wait::Dry),
                span: span("dry-through", What::DryThrough),
                process: process(&dry),
                ends: Ends::Dry { before_h },
                lasts,
                wait: dry,
            },
        }
    }
}

impl Load {
    /// What a load and a stretch add to names where there are several.
    fn suffix(&self) -> String {
        let load = (self.load.of > 1).then(|| format!("-load-{}", self.load.number + 1));
        // The first keeps its name where another one is added.
        let again = self.stretch.number > 0;
        let stretch = again.then(|| format!("-{}", self.stretch.number + 1));
        [load, stretch].into_iter().flatten().collect()
    }
}

/// Cut dough goes into the oven or onto the rack on the day it is mixed.
fn same_day(draft: &mut Draft, mix: ActivityId, other: ActivityId) {
    let fact = draft.fact(Fact::Always(Always::SameDay));
    draft.same_day(mix, other, fact);
}

impl Ornament {
    /// Pieces that are given by its groups: a spare one is neither painted nor given.
    pub fn given(&self, plan: &Plan) -> u32 {
        self.groups.iter().map(|group| self.given_to(plan, *group)).sum()
    }

    /// Pieces that are given by one of its groups.
    pub fn given_to(&self, plan: &Plan, group: usize) -> u32 {
        let known = self.pieces.as_ref().and_then(|pieces| pieces.given.get(&group));
        known.copied().unwrap_or(plan.groups[group].children * self.each)
    }

    /// Children of one of its groups who have pieces of it.
    pub fn children_of(&self, plan: &Plan, group: usize) -> u32 {
        self.given_to(plan, group).div_ceil(self.each.max(1))
    }

    /// Pieces that there are once they are cut: for its groups, spares included.
    pub fn pieces(&self, plan: &Plan) -> u32 {
        if let Some(pieces) = &self.pieces {
            return pieces.cut;
        }
        self.with_spares(self.given(plan))
    }

    /// So many pieces, and the spare ones beside them.
    pub fn with_spares(&self, needed: u32) -> u32 {
        let spare = match self.spare {
            Spare::Number(number) => number,
            Spare::Share(share) => (f64::from(needed) * in_fraction(share) - 1e-9).ceil() as u32,
        };
        needed + spare
    }
}

#[cfg(test)]
mod tests {
    use super::{Load, Part};

    #[test]
    fn loads_and_stretches_are_named_where_there_are_several() {
        let named = |load: [u32; 2], stretch: [u32; 2]| {
            let [load, stretch] = [load, stretch].map(|[number, of]| Part { number, of });
            Load { pieces: 9, load, stretch }.suffix()
        };
        assert_eq!(named([0, 1], [0, 1]), "");
        assert_eq!(named([0, 1], [1, 3]), "-2");
        assert_eq!(named([1, 2], [0, 1]), "-load-2");
        assert_eq!(named([1, 2], [0, 2]), "-load-2");
    }
}
