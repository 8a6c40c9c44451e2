//! An ornament batch up to the dry piece: ask for photos, mix, roll and cut,
//! bake or air-dry, cool.

use super::{
    batch::{Batch, Made, Raw},
    finish::finish,
    names::{named, pieces, wait_words},
    shared::Shared,
};
use crate::{
    planfile::{Group, Ornament, Plan, Spare},
    prep::{
        draft::{ComesOut, Draft, Ends, Serves, Task},
        durations::{Drying, DurationError, Durations, FirmDry, Heat, Outcomes, Process, REST_H},
        looks::not_ready,
        schedule::{Amount, Attention},
        stretches::{Followed, followed},
        ways::Way,
    },
    scheduler::ActivityId,
    tables::{Step, Work},
    units::{ThermodynamicTemperature, in_fraction, show_temperature, show_thickness},
};

/// No class rolls more, spares included.
const MOST_PIECES: u32 = 2_000;

/// Longest from rolling until the last load is in the oven, in hours: till then it dries
/// on the rack (common practice, no source).
const LAST_LOAD_H: f64 = 48.0;

/// Longest from one stretch in the oven to the next, in hours (common practice, no source).
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
    let names: Vec<&str> = groups.iter().map(|group| group.name.as_str()).collect();
    let words = format!("{} for {}", ornament.name, names.join(" and "));
    let goal = draft.goal(words, Serves::Gift { ornament: position });
    let home = way.made_at(plan);
    let count = ornament.pieces(&groups);
    if count > MOST_PIECES {
        let ornament = ornament.name.clone();
        return Err(DurationError::TooManyPieces { ornament, pieces: count, most: MOST_PIECES });
    }
    let batch = Batch { plan, shared, ornament, durations, goal, groups, count, way, home };
    let raw = batch.make(draft)?;
    finish(&batch, draft, raw)
}

/// One load in the oven.
struct Load {
    /// Of how many, counted from none.
    number: u32,
    loads: u32,
    pieces: u32,
}

/// How an oven is used for a batch.
struct Baking {
    oven: usize,
    at: ThermodynamicTemperature,
    lasts_h: f64,
    times: u32,
    /// Pieces that go in at once.
    fit: u32,
    /// What comes of it in every kitchen.
    followed: Followed,
}

impl Batch<'_> {
    fn make(&self, draft: &mut Draft) -> Result<Raw, DurationError> {
        let mut mix = self.task("mix", "Weigh and mix the dough".to_owned(), self.home, Step::Mix);
        mix.amounts = self.dough();
        let hours = Work::mix().usual_h(self.durations.batches(self.ornament, self.count));
        let mix = draft.task(mix, self.shared.in_hours(self.home, self.goal, hours));
        let thickness = show_thickness(self.ornament.thickness, self.plan.units);
        let what = format!("Roll to {thickness} and cut");
        let (first, rolled) =
            self.handwork(draft, ("roll", &what, self.count), Step::Roll, Work::roll());
        let fact = draft.fact("mixed dough is rolled within two hours, before it dries out");
        draft.then_within(mix, first, 2.0, fact);
        same_day(draft, mix, rolled);
        match self.way {
            Way::Air => self.air_dry(rolled),
            Way::Oven { oven: (oven, at), lasts_h, times } => {
                let fit = self.durations.pieces_at_once(self.ornament, &self.plan.ovens[oven]);
                if fit == 0 {
                    let ornament = self.ornament.name.clone();
                    return Err(DurationError::LargerThanTray { ornament });
                }
                let followed = self.followed(self.way.heat(self.plan), self.count.min(fit))?;
                let baking = Baking { oven, at, lasts_h, times, fit, followed };
                self.bake(draft, (mix, rolled), &baking)
            }
        }
    }

    fn dough(&self) -> Vec<Amount> {
        self.durations.dough(self.plan, self.ornament, self.count)
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
        let (mut lasts, mut before) = (Vec::new(), rolled);
        for number in 0..loads {
            let pieces = self.count / loads + u32::from(number < self.count % loads);
            let load = Load { number, loads, pieces };
            for stretch in 0..baking.times {
                let (first, out) = self.stretch(draft, baking, &load, stretch);
                if stretch > 0 {
                    let fact =
                        draft.fact("a half-dried piece goes back into the oven the next day");
                    // What was found soft later goes back when it can.
                    if not_ready(self.plan, self.ornament)[0].is_none() {
                        draft.then_within(before, first, NEXT_DAY_H, fact);
                    }
                    draft.then_after(before, first, REST_H, fact);
                } else if number > 0 {
                    draft.then(before, first);
                    let fact = draft.fact("cut dough is baked within two days, from the rack");
                    draft.then_within(rolled, first, LAST_LOAD_H, fact);
                } else {
                    draft.then(before, first);
                    same_day(draft, mix, first);
                }
                before = out;
            }
            lasts.push(before);
        }
        self.baked(lasts, baking)
    }

    /// What one tray more in the oven would save of the hours beside it.
    fn more_trays(&self, draft: &mut Draft, baking: &Baking, loads: u32) {
        let Some(stove) = self.plan.ovens[baking.oven].with_a_tray_more() else { return };
        let then = self.count.div_ceil(self.durations.pieces_at_once(self.ornament, &stove));
        if then >= loads {
            return;
        }
        let watched = |loads: u32| wait_words(f64::from(loads * baking.times) * baking.lasts_h);
        draft.notes.push(format!(
            "“{}” is baked in {loads} loads, {} beside the oven; with {} trays at once in the \
             {} it would be {}, {}.",
            self.ornament.name,
            watched(loads),
            stove.trays,
            named(&stove.name, "oven"),
            pieces(then, "load"),
            watched(then),
        ));
    }

    /// In, beside the oven, out again.
    fn stretch(
        &self,
        draft: &mut Draft,
        baking: &Baking,
        load: &Load,
        stretch: u32,
    ) -> (ActivityId, ActivityId) {
        let stove = &self.plan.ovens[baking.oven];
        let (suffix, of) = load.named(baking.times, stretch);
        let on = pieces(load.pieces, "piece");
        let setting = show_temperature(baking.at, self.plan.units);
        let per_tray = (baking.fit / stove.trays.max(1)).max(1);
        let needed = (stretch > 0).then(|| baking.followed.more_than(stretch));
        let hands = |name: &str, what: String, step, hours| {
            let task = self.task(&format!("{name}{suffix}"), what, self.home, step);
            (Task { needed, ..task }, self.shared.in_hours(self.home, self.goal, hours))
        };
        let what = format!("Put {on} on a rack into the oven{of}");
        let hours = Work::load().usual_h(load.pieces.div_ceil(per_tray));
        let (mut task, booking) = hands("put-in", what, Step::Load, hours);
        task.bring = ["wire rack on the tray", "oven thermometer", "oven gloves"]
            .map(str::to_owned)
            .to_vec();
        let loaded = draft.task(task, booking);
        let what = format!("Bake {on} on a rack at {setting}{of}");
        let (mut task, booking) = hands("bake", what, Step::Bake, baking.lasts_h);
        task.attention = Attention::Watch;
        task.uses = vec![named(&stove.name, "oven")];
        task.comes_out = Some(ComesOut {
            until: baking.followed.until,
            ready: baking.followed.ready_after(stretch + 1),
            again: stretch + 1 < baking.times,
        });
        let from = f64::from(stretch) * (baking.lasts_h + REST_H);
        let part = Some((from, baking.lasts_h));
        task.process = Some(self.process(self.way.heat(self.plan), load.pieces, part));
        let bake = draft.task(task, booking);
        draft.hold(self.shared.ovens[baking.oven], 1, bake, bake);
        let what = format!("Take {on} out of the oven onto a rack{of}");
        let hours = Work::take_out().usual_h(load.pieces);
        let (mut task, booking) = hands("take-out", what, Step::TakeOut, hours);
        task.bring = ["oven gloves", "a rack out of reach"].map(str::to_owned).to_vec();
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
        let cool = self.durations.cool(self.ornament, baking.at, self.plan.room)?;
        let in_all = heat.until_out_h();
        let (firm, dry) = (firm.left_after(in_all, cool), dry.left_after(in_all, cool));
        let sure = firm.sure();
        let mut made = self.on_racks(lasts, (firm, dry), (heat, baking.fit, in_all));
        if sure <= cool {
            made.firm.reason = format!("a baked piece cools {} first", wait_words(cool));
        }
        let words = "Baked pieces cool on a rack, out of reach, and go on drying";
        made.firm.span = ("cool".to_owned(), words.to_owned(), Step::Cool);
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
        let humidity = 100.0 * in_fraction(self.plan.room.humidity);
        let reason = |outcomes: &Outcomes, state: &str| {
            let sure = outcomes.sure();
            if sure.is_finite() {
                format!("on the rack they take {} to be {state} for sure", wait_words(sure))
            } else {
                format!("in a room at {humidity:.0} % humidity dough is not sure to dry at all")
            }
        };
        let process = |outcomes: &Outcomes| {
            let pieces = self.count.min(at_once);
            Some(self.process(heat, pieces, Some((before_h, outcomes.sure()))))
        };
        let span = |name: &str, words: &str| (name.to_owned(), words.to_owned(), Step::AirDry);
        Raw {
            firm: Made {
                reason: reason(&firm, "firm"),
                span: span("dry", "Pieces become firm on a rack in the room"),
                process: process(&firm),
                ends: Ends::Firm { before_h },
                lasts: lasts.clone(),
                wait: firm,
            },
            dry: Made {
                reason: reason(&dry, "dry through"),
                span: span("dry-through", "Pieces dry through in the room"),
                process: process(&dry),
                ends: Ends::Dry { before_h },
                lasts,
                wait: dry,
            },
        }
    }
}

impl Load {
    /// What a load and a stretch add to names and words where there are several.
    fn named(&self, times: u32, stretch: u32) -> (String, String) {
        let (mut suffix, mut of) = (String::new(), String::new());
        if self.loads > 1 {
            suffix += &format!("-load-{}", self.number + 1);
            of += &format!(", load {} of {}", self.number + 1, self.loads);
        }
        if times > 1 {
            of += &format!(", part {} of {times}", stretch + 1);
        }
        // The first keeps its name where another one is added.
        if stretch > 0 {
            suffix += &format!("-{}", stretch + 1);
        }
        (suffix, of)
    }
}

/// Cut dough goes into the oven or onto the rack on the day it is mixed.
fn same_day(draft: &mut Draft, mix: ActivityId, other: ActivityId) {
    let fact = draft.fact("mixed dough is cut and in the oven or on the rack the same day");
    draft.same_day(mix, other, fact);
}

impl Ornament {
    /// Pieces to make for its groups, spares included.
    pub fn pieces(&self, groups: &[&Group]) -> u32 {
        let needed: u32 = groups.iter().map(|group| group.children * self.each).sum();
        let spare = match self.spare {
            Spare::Number(number) => number,
            Spare::Share(share) => (f64::from(needed) * in_fraction(share) - 1e-9).ceil() as u32,
        };
        needed + spare
    }
}

#[cfg(test)]
mod tests {
    use super::Load;

    #[test]
    fn loads_and_stretches_are_named_where_there_are_several() {
        let only = Load { number: 0, loads: 1, pieces: 9 };
        assert_eq!(only.named(1, 0), (String::new(), String::new()));
        let second = Load { number: 1, ..only };
        assert_eq!(second.named(3, 1), ("-2".to_owned(), ", part 2 of 3".to_owned()));
        let second = Load { loads: 2, ..second };
        assert_eq!(second.named(1, 0), ("-load-2".to_owned(), ", load 2 of 2".to_owned()));
        let both = second.named(2, 0);
        assert_eq!(both, ("-load-2".to_owned(), ", load 2 of 2, part 1 of 2".to_owned()));
    }
}
