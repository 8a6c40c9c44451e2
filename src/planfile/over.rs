//! Which steps of a plan that is followed are over by a moment.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use super::kept::{Happened, Kept, KeptStep};
use crate::tables::Step;

/// The steps that are over by a moment, each with its end.
pub struct Over<'a>(BTreeMap<&'a str, DateTime<FixedOffset>>);

impl Over<'_> {
    /// When a step was over, if it is: as it was told, else as it was planned.
    pub fn end(&self, step: &KeptStep) -> Option<DateTime<FixedOffset>> {
        self.0.get(step.id.as_str()).copied()
    }
}

impl Kept {
    /// The steps that are over by a moment. One that is told not to be done yet is waited for
    /// until its next time has passed; what comes after it was not done either, unless it is told.
    pub fn over_by(&self, now: DateTime<FixedOffset>) -> Over<'_> {
        let by_themselves = self.steps.iter().filter(|step| step.by_itself);
        let begins: BTreeSet<&str> =
            by_themselves.flat_map(|step| &step.after).map(String::as_str).collect();
        let known: BTreeMap<&str, &KeptStep> =
            self.steps.iter().map(|step| (step.id.as_str(), step)).collect();
        let mut over = Over(BTreeMap::new());
        let mut steps: Vec<&KeptStep> = self.steps.iter().collect();
        steps.sort_by_key(|step| step.start);
        for step in steps {
            let could_be_done = step.after.iter().map(String::as_str).all(|id| {
                // Blocks freeze, and a coat dries, only once that is begun.
                let Some(before) = known.get(id) else { return true };
                let waits = begins.contains(id) || self.is_longer(before, now);
                let in_time = |end: &DateTime<_>| !waits || *end <= step.end.0;
                over.0.get(id).is_some_and(in_time)
            });
            if let Some(end) = self.end_of(step, could_be_done, now) {
                over.0.insert(&step.id, end);
            }
        }
        over
    }

    /// Whether a step was told by a moment to take until some time: nothing follows it before.
    fn is_longer(&self, step: &KeptStep, now: DateTime<FixedOffset>) -> bool {
        let last = self.told(step).rfind(|told| told.at.0 <= now);
        last.is_some_and(|told| told.until.is_some())
    }

    /// When a step was over by a moment, if it was.
    pub fn over(
        &self,
        step: &KeptStep,
        now: DateTime<FixedOffset>,
    ) -> Option<DateTime<FixedOffset>> {
        self.over_by(now).end(step)
    }

    /// The same of one that could be done as planned, or not.
    fn end_of(
        &self,
        step: &KeptStep,
        could_be_done: bool,
        now: DateTime<FixedOffset>,
    ) -> Option<DateTime<FixedOffset>> {
        let is_planned = step.start.0 < now && could_be_done && !self.is_not_filled(step);
        let as_planned = is_planned.then_some(step.end.0);
        if self.is_out_again(step, now) {
            return None;
        }
        let Some(last) = self.told(step).rfind(|told| told.at.0 <= now) else { return as_planned };
        // What was weighed before it is light enough: it is still to come.
        if step.is_ready_for(last) {
            return as_planned;
        }
        let none = last.wet.is_some_and(|wet| wet >= step.count);
        // A stretch in the oven is over, whatever its pieces are like as they come out.
        let soft = last.soft && !matches!(step.kind, Step::Bake | Step::TakeOut);
        if last.skipped || soft || none {
            return as_planned.filter(|_| step.start > last.at);
        }
        Some(last.until.map_or(last.at.0, |until| until.0))
    }

    /// Whether something was put into the oven for a stretch that was then told not to be done.
    fn is_out_again(&self, load: &KeptStep, now: DateTime<FixedOffset>) -> bool {
        let last = |step| self.told(step).rfind(|told| told.at.0 <= now);
        let mut bakes = self.steps.iter().filter(|step| step.kind == Step::Bake);
        load.kind == Step::Load
            && bakes.any(|bake| {
                let not_done = last(bake).filter(|told| told.skipped && told.at >= load.start);
                let since = |told: &Happened| last(load).is_none_or(|own| own.at < told.at);
                bake.after.contains(&load.id) && not_done.is_some_and(since)
            })
    }

    /// The steps that have to be done before one and are not over by a moment, in time order.
    pub fn lacking(&self, step: &KeptStep, now: DateTime<FixedOffset>) -> Vec<&KeptStep> {
        let over = self.over_by(now);
        let mut open = vec![step];
        let mut all: Vec<&KeptStep> = Vec::new();
        while let Some(step) = open.pop() {
            let before = self.steps.iter().filter(|before| step.after.contains(&before.id));
            for before in before.filter(|before| over.end(before).is_none()) {
                if !all.iter().any(|known| known.id == before.id) {
                    all.push(before);
                    open.push(before);
                }
            }
        }
        all.sort_by_key(|step| step.start);
        all
    }

    /// Whether there were too few moulds for a filling at the time at which it stands.
    fn is_not_filled(&self, step: &KeptStep) -> bool {
        let last = self.happened.iter().rposition(|told| told.not_filled.contains(&step.id));
        // Of several that were told at once, the last one has how the plan changed.
        last.is_some_and(|last| {
            let mut before = self.happened.iter().skip(last).flat_map(|told| &told.before);
            before.all(|old| old.id != step.id)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planfile::kept::Moment;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("2026-12-{text}:00-07:00")).unwrap()
    }

    fn step(id: &str, after: &[&str], [start, end]: [&str; 2]) -> KeptStep {
        KeptStep {
            id: id.to_owned(),
            short: id.to_owned(),
            kind: Step::Fill,
            what: String::new(),
            goal: String::new(),
            start: Moment(at(start)),
            end: Moment(at(end)),
            count: 4,
            after: after.iter().map(|id| (*id).to_owned()).collect(),
            by_itself: id == "freeze",
            look: false,
            see: None,
            ready_g: None,
            most_g: None,
        }
    }

    /// Filled, frozen, turned out, filled again.
    fn kept() -> Kept {
        let steps = vec![
            step("fill", &[], ["07T18:40", "07T18:50"]),
            step("freeze", &["fill"], ["07T18:50", "08T04:00"]),
            step("out", &["fill"], ["08T07:00", "08T07:10"]),
            step("again", &["out"], ["08T07:10", "08T07:20"]),
        ];
        Kept { planned: None, happened: Vec::new(), steps }
    }

    fn told(step: &str, time: &str, skipped: bool) -> Happened {
        Happened { skipped, ..Happened::done(step, Moment(at(time))) }
    }

    fn over(kept: &Kept) -> Vec<&str> {
        let over = kept.over_by(at("08T08:00"));
        let hands = kept.steps.iter().filter(|step| !step.by_itself && over.end(step).is_some());
        hands.map(|step| step.id.as_str()).collect()
    }

    #[test]
    fn what_comes_after_an_undone_step_is_not_over_unless_it_is_told() {
        let mut kept = kept();
        assert_eq!(over(&kept), ["fill", "out", "again"]);
        kept.happened.push(told("fill", "08T07:30", true));
        assert_eq!(over(&kept), [""; 0]);
        let again = kept.steps[3].clone();
        let lacking = kept.lacking(&again, at("08T08:00"));
        assert_eq!(lacking.iter().map(|step| &*step.id).collect::<Vec<_>>(), ["fill", "out"]);
        kept.happened.push(told("again", "08T07:40", false));
        assert_eq!(over(&kept), ["again"]);
    }

    #[test]
    fn nothing_follows_what_takes_longer_before_it_is_over() {
        let mut kept = kept();
        let until = |time| Some(Moment(at(time)));
        kept.happened.push(Happened { until: until("08T07:55"), ..told("out", "08T07:20", false) });
        assert_eq!(over(&kept), ["fill", "out"]);
        kept.happened[0].until = until("08T07:15");
        assert_eq!(over(&kept), ["fill", "out", "again"]);
    }

    #[test]
    fn nothing_is_out_before_it_was_filled() {
        let mut kept = kept();
        kept.happened.push(told("fill", "08T07:30", false));
        assert_eq!(over(&kept), ["fill"]);
        // What does not wait for something to happen by itself may have been told late.
        kept.happened[0] = told("out", "08T07:50", false);
        assert_eq!(over(&kept), ["fill", "out", "again"]);
    }
}
