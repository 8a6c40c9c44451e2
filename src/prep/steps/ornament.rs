//! An ornament batch up to the dry piece: ask for photos, mix, roll and cut,
//! bake or air-dry, cool.

use super::{
    batch::{Batch, Made},
    finish::finish,
    names::{named, pieces, wait_words},
    shared::Shared,
};
use crate::{
    planfile::{Group, Method, Ornament, Plan, Spare},
    prep::{
        clock::{Tick, hours_of, ticks_up},
        draft::{Draft, Serves, Task},
        durations::{Drying, DurationError, Durations, Heat, Outcomes, Process},
        schedule::{Amount, Attention},
    },
    scheduler::ActivityId,
    tables::{self, Step, Work},
    units::{ThermodynamicTemperature, Time, hours, in_fraction, show_length, show_temperature},
};

/// Rest on the rack between two stretches in the oven: from one evening to the next.
const REST_H: f64 = 20.0;

/// More stretches in the oven than this and air-drying is the better way.
const MOST_STRETCHES: u32 = 7;

/// No class rolls more, spares included.
const MOST_PIECES: u32 = 2_000;

/// Adds the batch of ornaments at a position of the plan's list.
///
/// # Errors
/// [`DurationError`] when the physics has no answer for its piece.
pub fn add_ornament(
    draft: &mut Draft,
    plan: &Plan,
    shared: &Shared,
    position: usize,
    durations: &dyn Durations,
) -> Result<(), DurationError> {
    let ornament = &plan.ornaments[position];
    let groups: Vec<&Group> = ornament.groups.iter().map(|n| &plan.groups[*n]).collect();
    let names: Vec<&str> = groups.iter().map(|group| group.name.as_str()).collect();
    let words = format!("{} for {}", ornament.name, names.join(" and "));
    let goal = draft.goal(words, Serves::Gift { ornament: position });
    let home = plan.made_at(ornament);
    let count = ornament.pieces(&groups);
    if count > MOST_PIECES {
        let name = &ornament.name;
        let words = format!("“{name}” is {count} pieces; a batch has at most {MOST_PIECES}");
        return Err(DurationError(words));
    }
    let batch = Batch { plan, shared, ornament, durations, goal, groups, count, home };
    let made = batch.make(draft)?;
    finish(&batch, draft, made)
}

impl Batch<'_> {
    fn make(&self, draft: &mut Draft) -> Result<Made, DurationError> {
        let mut mix = self.task("mix", "Weigh and mix the dough".to_owned(), self.home, Step::Mix);
        mix.amounts = self.dough();
        let booking = self.shared.in_hours(
            self.home,
            self.goal,
            Work::mix().usual_h(self.durations.batches(self.ornament, self.count)),
        );
        let mix = draft.task(mix, booking);
        let thickness = show_length(self.ornament.thickness, self.plan.units);
        let what = format!("Roll to {thickness} and cut");
        let (first, rolled) = self.handwork(draft, "roll", &what, Step::Roll, Work::roll());
        let fact = draft.fact("mixed dough is rolled within two hours, before it dries out");
        draft.then_within(mix, first, 2.0, fact);
        match self.ornament.method {
            Method::Oven { oven, at } => self.bake(draft, rolled, oven, at),
            Method::Air => self.air_dry(rolled),
        }
    }

    fn dough(&self) -> Vec<Amount> {
        self.durations.dough(self.plan, self.ornament, self.count)
    }

    fn process(&self, heat: Heat, pieces: u32, part: Option<(f64, f64)>) -> Process {
        Process::Drying { ornament: Box::new(self.ornament.clone()), pieces, heat, part }
    }

    fn drying(&self, heat: Heat, pieces: u32) -> Result<Outcomes, DurationError> {
        let room = self.plan.room;
        self.durations.dry(&Drying { ornament: self.ornament, pieces, room, heat })
    }

    /// Loads of the oven, each in as many stretches as it takes.
    fn bake(
        &self,
        draft: &mut Draft,
        rolled: ActivityId,
        oven: usize,
        at: ThermodynamicTemperature,
    ) -> Result<Made, DurationError> {
        let stove = &self.plan.ovens[oven];
        let fit = self.durations.pieces_at_once(self.ornament, stove);
        if fit == 0 {
            let words = format!("“{}” is larger than the tray", self.ornament.name);
            return Err(DurationError(words));
        }
        let stretches = self.stretches(stove.kind, at, self.count.min(fit))?;
        let loads = self.count.div_ceil(fit);
        let mut lasts = Vec::new();
        for load in 0..loads {
            let count = self.count / loads + u32::from(load < self.count % loads);
            let mut last = rolled;
            for stretch in 0..stretches.number {
                let mut task = self.stretch(&stretches, at, (load, loads), stretch, count);
                task.uses = vec![named(&stove.name, "oven")];
                task.process = Some(self.process(
                    Heat::Oven { kind: stove.kind, at, split: stretches.split() },
                    self.count.min(fit),
                    stretches.part(stretch),
                ));
                let booking = self.shared.in_hours(self.home, self.goal, stretches.hours);
                let id = draft.task(task, booking);
                draft.then(last, id);
                if stretch > 0 {
                    let fact =
                        draft.fact("a half-dried piece goes back into the oven the next day");
                    draft.then_within(last, id, 36.0, fact);
                    draft.then_after(last, id, 8.0, fact);
                }
                draft.hold(self.shared.ovens[oven], 1, id, id);
                last = id;
            }
            lasts.push(last);
        }
        if !stretches.enough {
            return Ok(never_watched(lasts, &stretches));
        }
        let cool = self.durations.cool(self.ornament, at, self.plan.room)?;
        Ok(Made {
            lasts,
            wait: Outcomes::exactly(cool),
            reason: format!("a baked piece cools {} before it is touched", wait_words(cool)),
            span: ("cool", "Baked pieces cool on a rack, out of reach".to_owned(), Step::Cool),
            process: None,
        })
    }

    /// One stretch in the oven where the hours allow it, else as few as do.
    fn stretches(
        &self,
        kind: &'static tables::Oven,
        at: ThermodynamicTemperature,
        pieces: u32,
    ) -> Result<Stretches, DurationError> {
        let longest: Tick = self.shared.longest(self.home);
        let whole = self.drying(Heat::Oven { kind, at, split: None }, pieces)?;
        let sure = whole.point(0.95);
        if ticks_up(sure) <= longest || longest == 0 {
            let chance = whole.chance(sure);
            return Ok(Stretches { number: 1, hours: sure, chance, whole: sure, enough: true });
        }
        let stretch = hours_of(longest);
        let split = Some((hours(stretch), hours(REST_H)));
        let parts = self.drying(Heat::Oven { kind, at, split }, pieces)?;
        let wanted = (parts.point(0.95) / stretch - 1e-9).ceil().max(1.0);
        let number = wanted.min(f64::from(MOST_STRETCHES));
        Ok(Stretches {
            number: number as u32,
            hours: stretch,
            chance: parts.chance(number * stretch),
            whole: sure,
            enough: wanted <= number,
        })
    }

    fn stretch(
        &self,
        stretches: &Stretches,
        at: ThermodynamicTemperature,
        (load, loads): (u32, u32),
        stretch: u32,
        count: u32,
    ) -> Task {
        let mut name = "bake".to_owned();
        let mut of = String::new();
        if loads > 1 {
            name += &format!("-load-{}", load + 1);
            of += &format!(", load {} of {loads}", load + 1);
        }
        if stretches.number > 1 {
            name += &format!("-{}", stretch + 1);
            of += &format!(", part {} of {}", stretch + 1, stretches.number);
        }
        let setting = show_temperature(at, self.plan.units);
        let what = format!("Bake {} on a rack at {setting}{of}", pieces(count, "piece"));
        let mut task = self.task(&name, what, self.home, Step::Bake);
        task.attention = Attention::Watch;
        task.bring = ["wire rack on the tray", "oven thermometer", "oven gloves"]
            .map(str::to_owned)
            .to_vec();
        if stretch + 1 == stretches.number {
            task.chance = Some(stretches.chance);
        }
        task
    }

    /// On a rack in the room, both faces open.
    fn air_dry(&self, rolled: ActivityId) -> Result<Made, DurationError> {
        let outcomes = self.drying(Heat::Air, self.count)?;
        let sure = outcomes.point(0.95);
        let humidity = 100.0 * in_fraction(self.plan.room.humidity);
        let reason = if sure.is_finite() {
            format!("drying in the room takes {} to be sure", wait_words(sure))
        } else {
            format!("in a room at {humidity:.0} % humidity dough is not sure to dry at all")
        };
        Ok(Made {
            lasts: vec![rolled],
            wait: outcomes,
            reason,
            span: ("dry", "Pieces dry on a rack in the room".to_owned(), Step::AirDry),
            process: Some(self.process(Heat::Air, self.count, None)),
        })
    }
}

/// Stretches in the oven.
struct Stretches {
    number: u32,
    hours: f64,
    chance: f64,
    /// Hours in one stretch.
    whole: f64,
    /// Whether the pieces are sure to be dry after them.
    enough: bool,
}

/// The hours are too short for an oven that must be watched.
fn never_watched(lasts: Vec<ActivityId>, stretches: &Stretches) -> Made {
    Made {
        lasts,
        wait: Outcomes::new(Vec::new()),
        reason: format!(
            "baking takes {} with somebody near the oven, and {MOST_STRETCHES} times {} do not do",
            wait_words(stretches.whole),
            wait_words(stretches.hours)
        ),
        span: ("cool", "Baked pieces cool on a rack, out of reach".to_owned(), Step::Cool),
        process: None,
    }
}

impl Stretches {
    /// One stretch and the rest after it, where there are several.
    fn split(&self) -> Option<(Time, Time)> {
        (self.number > 1).then(|| (hours(self.hours), hours(REST_H)))
    }

    /// When one of several begins, in hours since the first, and how long it is.
    fn part(&self, stretch: u32) -> Option<(f64, f64)> {
        (self.number > 1).then(|| (f64::from(stretch) * (self.hours + REST_H), self.hours))
    }
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
    use super::*;

    #[test]
    fn stretches_and_the_rests_between_them() {
        let of = |number| Stretches { number, hours: 3.0, chance: 1.0, whole: 9.0, enough: true };
        // Three hours in the oven and twenty on the rack, so a stretch a day, less an hour.
        assert_eq!(of(3).split(), Some((hours(3.0), hours(20.0))));
        let parts: Vec<_> = (0..3).map(|n| of(3).part(n)).collect();
        assert_eq!(parts, [Some((0.0, 3.0)), Some((23.0, 3.0)), Some((46.0, 3.0))]);
        assert_eq!((of(1).split(), of(1).part(0)), (None, None), "all at once");
    }
}
