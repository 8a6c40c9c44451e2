//! How many blocks at once are ready in time: other counts than the one asked about, each
//! really run.

use schemars::JsonSchema;
use serde::Serialize;

use super::band::{Correction, ready_hours_beside};
use super::question::IceQuestion;
use crate::answers::AskError;
use crate::uncertainty::{Verdict, chance};
use crate::units::{Time, in_hours};

/// More than these at once are not asked about: no kitchen's freezer has the room.
const MOST: u32 = 24;

/// Kitchens in which another count, or a remedy, is tried: enough for a chance in words.
const KITCHENS: usize = 64;

/// A number of blocks at once.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AtOnce {
    /// How many.
    pub count: u32,
    /// The chance that they are ready in time.
    pub chance: f64,
    /// The chance in words.
    pub verdict: Verdict,
}

impl AtOnce {
    pub(super) fn of(count: u32, chance: f64) -> Self {
        Self { count, chance, verdict: Verdict::from(chance) }
    }
}

/// Chances of other questions beside one that was answered in full: in fewer kitchens, each
/// compared with what the question itself has in those.
pub(super) struct Beside<'a> {
    by: Time,
    correction: &'a Correction,
    /// How much likelier the question itself is in all kitchens than in the few.
    more: f64,
}

impl<'a> Beside<'a> {
    /// Of a question's hours until ready, run by run, and how they were corrected.
    pub(super) fn of(ready_h: &[f64], correction: &'a Correction, by: Time) -> Self {
        let few = &ready_h[..KITCHENS.min(ready_h.len())];
        Self { by, correction, more: chance(ready_h, in_hours(by)) - chance(few, in_hours(by)) }
    }

    /// The chance that the blocks of another question are ready in time.
    pub(super) fn chance(&self, question: &IceQuestion) -> Result<f64, AskError> {
        let ready_h = ready_hours_beside(question, self.correction, KITCHENS)?;
        Ok((chance(&ready_h, in_hours(self.by)) + self.more).clamp(0.0, 1.0))
    }
}

/// The count asked about, and beside it the most that are sure and the most that are likely,
/// or else one alone; where it is itself sure, how many more are. The smallest first.
pub(super) fn counts(
    question: &IceQuestion,
    asked: f64,
    beside: &Beside<'_>,
) -> Result<Vec<AtOnce>, AskError> {
    let with = |count: u32| -> Result<AtOnce, AskError> {
        Ok(AtOnce::of(count, beside.chance(&IceQuestion { count, ..question.clone() })?))
    };
    let asked = AtOnce::of(question.count, asked);
    let mut told = vec![asked];
    if asked.verdict == Verdict::Sure {
        let mut more = asked.count;
        while more < MOST {
            more = (2 * more).min(MOST);
            let tried = with(more)?;
            told.push(tried);
            if tried.verdict != Verdict::Sure {
                break;
            }
        }
        // Of those that are sure only the asked count and the most.
        let sure = told.iter().filter(|it| it.verdict == Verdict::Sure).count();
        if sure > 2 {
            told.drain(1..sure - 1);
        }
        return Ok(told);
    }
    for wanted in [Verdict::Sure, Verdict::Likely] {
        told.extend(most(&with, asked.count, wanted)?);
    }
    if told.len() == 1 && asked.count > 1 {
        told.push(with(1)?);
    }
    told.sort_by_key(|it| it.count);
    told.dedup_by_key(|it| it.count);
    Ok(told)
}

/// The largest count below another that is as likely as wanted; fewer are never less likely.
fn most(
    with: &impl Fn(u32) -> Result<AtOnce, AskError>,
    below: u32,
    wanted: Verdict,
) -> Result<Option<AtOnce>, AskError> {
    let (mut low, mut high, mut found) = (0, below, None);
    while high - low > 1 {
        let middle = low.midpoint(high);
        let tried = with(middle)?;
        if tried.verdict >= wanted {
            (low, found) = (middle, Some(tried));
        } else {
            high = middle;
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::super::band::{bands, on_the_working_grid, point};
    use super::*;
    use crate::answers::ice::Block;
    use crate::shape::Shape;
    use crate::uncertainty::RUNS;
    use crate::units::{celsius, millimetres};

    /// More blocks and remedies, corrected as the question beside which they are told, next to all
    /// 256 kitchens on the working grid: as near as with probes of their own.
    #[test]
    fn what_is_told_beside_a_question_is_as_near_as_the_question_itself() {
        let pan = Shape::Round { across: millimetres(100.0), depth: millimetres(40.0) };
        let block = Block::Shape(pan);
        let question = IceQuestion { count: 4, ..IceQuestion::of(block).unwrap() };
        let known = bands(&question, &question.unknowns().unwrap()).unwrap().correction;
        let same = || question.clone();
        for (name, other) in [
            ("12 blocks", IceQuestion { count: 12, ..same() }),
            ("colder", IceQuestion { air: Some(celsius(-24.0)), ..same() }),
            ("on wire", IceQuestion { stand: Some(crate::tables::Stand::wire()), ..same() }),
        ] {
            let (found, fine) =
                (ready_hours_beside(&other, &known, RUNS), on_the_working_grid(&other));
            let found = found.unwrap();
            for (share, most) in [(0.5, 0.01), (0.95, 0.03)] {
                let ratio = point(&found, share) / point(&fine, share);
                println!("{name}, {share} of the kitchens: {ratio:.4}");
                assert!((ratio - 1.0).abs() < most, "{name} at {share}: {ratio}");
            }
        }
    }
}
