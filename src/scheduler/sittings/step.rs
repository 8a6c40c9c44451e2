//! The steps of chains.

use std::{ops::Range, rc::Rc};

use super::super::problem::Tick;
use super::index::Index;
use super::label::{Label, Progress, since, until};
use super::plan::{Act, Done};
use super::problem::{Cost, Same, Step};
use super::turn::{shift, sitting};

/// The steps that continue a label within a stretch, each with the label after it.
pub(super) fn steps(index: &Index, label: &Label, stretch: usize, into: &mut Vec<(Act, Label)>) {
    for (chain, progress) in label.chains.iter().enumerate() {
        let ways = match progress.way {
            Some(way) => way..way + 1,
            None => 0..index.problem.chains[chain].ways.len(),
        };
        for way in ways {
            let steps = &index.problem.chains[chain].ways[way].steps;
            let place = index.problem.stretches[stretch].place;
            let open = steps.iter().enumerate().filter(|(number, step)| {
                let ready = step.waits.iter().all(|wait| progress.is_done(wait.of));
                ready && !progress.is_done(*number) && step.place == place
            });
            for (number, step) in open {
                Stepping { index, label, stretch, chain, way, number, step }.all(into);
            }
        }
    }
}

/// One step in one stretch.
struct Stepping<'a> {
    index: &'a Index<'a>,
    label: &'a Label,
    stretch: usize,
    chain: usize,
    way: usize,
    number: usize,
    step: &'a Step,
}

impl Stepping<'_> {
    fn progress(&self) -> &Progress {
        &self.label.chains[self.chain]
    }

    fn all(&self, into: &mut Vec<(Act, Label)>) {
        let stretch = &self.index.problem.stretches[self.stretch];
        let shared = self.index.problem.places[stretch.place].shared_hands;
        let hands = if shared { self.label.free } else { stretch.span.start };
        let ready = since(self.progress(), self.step);
        let first = stretch.span.start.max(hands).max(ready);
        let latest = self.index.latest_end(self.chain, self.way, self.number);
        let last = latest.min(stretch.span.end) - self.step.ticks;
        let last = last.min(until(self.progress(), self.step));
        let late = self.step.carried && ready > stretch.leave;
        if first > last || late || !self.same() {
            return;
        }
        let mut starts = vec![first];
        starts.extend(stretch.mild(first).map(|start| start.min(last)));
        if self.label.sat > first {
            starts.push(self.label.sat.min(last));
        }
        if stretch.late {
            starts.push(last);
        }
        starts.extend(self.step.kept.filter(|kept| (first..=last).contains(kept)));
        let taken = self.taken();
        starts
            .extend(taken.iter().map(|taken| taken.end).filter(|end| (first..=last).contains(end)));
        starts.sort_unstable();
        starts.dedup();
        let kept = self.step.keeps.map_or(0, |(_, kept)| self.step.ticks + kept);
        let free = |start: &Tick| {
            taken.iter().all(|taken| start + kept <= taken.start || taken.end <= *start)
        };
        for start in starts.into_iter().filter(free) {
            into.push(self.after(start, shared));
        }
    }

    /// When what this step needs is kept by steps of other chains.
    fn taken(&self) -> Vec<Range<Tick>> {
        let Some((thing, _)) = self.step.keeps else { return Vec::new() };
        let chains = self.label.chains.iter().enumerate();
        let others = chains.filter(|(chain, _)| *chain != self.chain);
        let kept = others.flat_map(|(chain, progress)| {
            let way = progress.way.map(|way| &self.index.problem.chains[chain].ways[way]);
            let steps = way.into_iter().flat_map(|way| way.steps.iter().enumerate());
            let done = steps.filter(|(number, _)| progress.is_done(*number));
            done.filter_map(|(number, step)| {
                let (other, kept) = step.keeps?;
                let end = progress.ends[number];
                (other == thing).then_some(end - step.ticks..end + kept)
            })
        });
        kept.collect()
    }

    fn same(&self) -> bool {
        let stretches = &self.index.problem.stretches;
        let of = |step: usize| self.progress().stretches[step];
        match self.step.same {
            Some(Same::Stretch(step)) => of(step) == self.stretch,
            Some(Same::Day(step)) => stretches[of(step)].day == stretches[self.stretch].day,
            None => true,
        }
    }

    fn after(&self, start: Tick, shared: bool) -> (Act, Label) {
        let stretch = &self.index.problem.stretches[self.stretch];
        let place = &self.index.problem.places[stretch.place];
        let end = start + self.step.ticks;
        let mut label = self.label.clone();
        label.worth.price += Cost::from(self.step.ticks) * place.tick + self.step.price;
        let late = self.step.late.iter().filter(|(moment, _)| end > *moment);
        label.worth.price += late.map(|(_, price)| price).sum::<Cost>();
        label.worth.price += self.apart();
        if let (Some(kept), Some(own)) = (&self.index.problem.kept, self.step.kept) {
            label.worth.price += kept.price(std::iter::once(own), start);
        }
        label.worth.price += stretch.dear(start, end);
        label.worth.price += stretch.shunned(start, end);
        if !self.step.quiet {
            label.worth.price += sitting(stretch, place.begin, place.tick, label.sat, start);
            label.worth.shift += i64::from(shift(stretch, start, end));
            label.worth.when += i64::from(start);
            label.sat = label.sat.max(end);
        }
        if shared {
            label.free = end;
        }
        let progress = &mut Rc::make_mut(&mut label.chains)[self.chain];
        progress.way = Some(self.way);
        progress.done |= 1 << self.number;
        progress.ends[self.number] = end;
        progress.stretches[self.number] = self.stretch;
        let (chain, way, step) = (self.chain, self.way, self.number);
        (Act::Step(Done { stretch: self.stretch, chain, way, step, start, end }), label)
    }

    /// The price of being more than one counted day from another step that is
    /// better done with this one.
    fn apart(&self) -> Cost {
        let chain = &self.index.problem.chains[self.chain];
        let together = &chain.ways[self.way].together;
        if !together.contains(&self.number) {
            return 0;
        }
        let counted = |stretch: usize| {
            let day = self.index.problem.stretches[stretch].day;
            chain.days.partition_point(|counted| *counted < day)
        };
        let here = counted(self.stretch);
        let done = together.iter().filter(|other| self.progress().is_done(**other));
        let nearest = done.map(|other| here.abs_diff(counted(self.progress().stretches[*other])));
        if nearest.min().is_some_and(|days| days > 1) { chain.apart } else { 0 }
    }
}
