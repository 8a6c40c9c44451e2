//! The freezing solver: enthalpy finite volumes, explicit in time, conservative to rounding.
//!
//! ρ dH/dt V = Σ g (Φⱼ − Φᵢ) − Σ A q, with Φ of [`crate::properties::medium`] and
//! q = (T_w − T_s)/(1/h) + e at each face, the wall temperature T_w from the
//! conduction through half a cell. Films and surroundings come from a
//! [`Surroundings`] asked every couple of minutes.

use super::conditions::{Conditions, Seen, Surroundings};
use super::kernel::Kernel;
use super::lanes::{Lanes, in_widest};
use super::mesh::Mesh;
use super::progress::Progress;
pub use super::run::{Frozen, Load, Moment, Run};
use crate::properties::medium::Medium;
use crate::units::{ThermodynamicTemperature, in_celsius, in_seconds, seconds};

/// Share of the stable step that is used.
const SAFETY: f64 = 0.95;

/// Freezes a block: the explicit enthalpy method on finite volumes, the films and
/// the air asked anew every [`Run::period`].
///
/// ```
/// use solidby::{
///     freezing::{conditions::Constant, freeze::{Run, freeze}, mesh::{Mesh, Resolution}},
///     shape::Body,
///     properties::medium::{ConstantProperties, Medium},
///     units::*,
/// };
///
/// // Plank's slab: two faces, 8 W/m²K, air at -18 °C.
/// let slab = Body::slab(millimetres(30.0), square_metres(1.0)).unwrap();
/// let mesh = Mesh::of(&slab, Resolution::Working, 1.0);
/// let water = Medium::constant(&ConstantProperties::reference()).unwrap();
/// let mut air = Constant::new([film(8.0); 3], celsius(-18.0));
/// let frozen = freeze(&mesh, &water, celsius(20.0), &mut air, &Run::thorough());
/// let hours = in_hours(frozen.solid.unwrap());
/// assert!((hours - 38_802.0 / 3600.0).abs() < 0.2, "{hours} h");
/// ```
pub fn freeze(
    mesh: &Mesh,
    medium: &Medium,
    start: ThermodynamicTemperature,
    surroundings: &mut impl Surroundings,
    run: &Run,
) -> Frozen {
    let mut block = Side::new([&Load { mesh, medium, start, since: seconds(0.0) }]);
    block.lanes[0].is_noted = run.history == Some(0);
    march(std::slice::from_mut(&mut block), std::slice::from_mut(surroundings), run);
    block.frozen(0)
}

/// Freezes the loads of several kitchens; those of a kitchen share its surroundings, each from
/// when it went in, which is the same in all kitchens. Times count from there. A load that is
/// ready goes on giving off heat until it is as cold as its surroundings or all of its kitchen
/// are ready.
///
/// Up to four kitchens that follow on each other go side by side where their blocks are cut alike,
/// and share the number of steps as in [`freeze_each`].
pub fn freeze_together<S: Surroundings>(
    kitchens: &[Vec<Load<'_>>],
    surroundings: &mut [S],
    run: &Run,
) -> Vec<Vec<Frozen>> {
    let mut all = Vec::with_capacity(kitchens.len());
    while let Some(first) = kitchens.get(all.len()) {
        let rest = &kitchens[all.len()..];
        let alike = rest.iter().take(LANES).take_while(|loads| are_alike(first, loads)).count();
        let count = if alike > LANES / 2 { alike } else { 1 };
        let around = &mut surroundings[all.len()..][..count];
        all.extend(match count {
            1 => together::<1, S>(&rest[..count], around, run),
            _ => together::<LANES, S>(&rest[..count], around, run),
        });
    }
    all
}

/// Whether the blocks of each load are linked alike in two kitchens.
fn are_alike(one: &[Load<'_>], other: &[Load<'_>]) -> bool {
    one.len() == other.len() && one.iter().zip(other).all(|(a, b)| a.mesh.is_linked_as(b.mesh))
}

/// Freezes the loads of up to `L` kitchens, a lane each: what came of them by kitchen.
fn together<const L: usize, S: Surroundings>(
    kitchens: &[Vec<Load<'_>>],
    surroundings: &mut [S],
    run: &Run,
) -> Vec<Vec<Frozen>> {
    // A lane that has no kitchen of its own stands still with the first.
    let own: [&[Load<'_>]; L] =
        std::array::from_fn(|n| &kitchens.get(n).unwrap_or(&kitchens[0])[..]);
    let mut blocks: Vec<Side<'_, L>> =
        (0..own[0].len()).map(|n| Side::new(own.map(|loads| &loads[n]))).collect();
    march(&mut blocks, surroundings, run);
    let of = |lane: usize| blocks.iter_mut().map(|block| block.frozen(lane)).collect();
    (0..kitchens.len()).map(of).collect()
}

/// Follows all blocks, a kitchen in each lane, as many as there are surroundings, until each is
/// ready or given up.
fn march<const L: usize, S: Surroundings>(
    blocks: &mut [Side<'_, L>],
    surroundings: &mut [S],
    run: &Run,
) {
    let mut conditions: [Vec<Conditions>; L] = std::array::from_fn(|_| vec![NONE; blocks.len()]);
    let (mut time, mut lapse) = (0.0, 0.0);
    let mut seen = Vec::with_capacity(blocks.len());
    loop {
        let going: [bool; L] = std::array::from_fn(|lane| {
            lane < surroundings.len() && blocks.iter().any(|of| of.lanes[lane].under_way(run))
        });
        if going == [false; L] {
            return;
        }
        for lane in (0..L).filter(|lane| going[*lane]) {
            let of = |of: &Side<'_, L>| of.lanes[lane].is_in(time).then_some(of.seen[lane]);
            seen.clear();
            seen.extend(blocks.iter().map(of));
            surroundings[lane].next(&seen, lapse, &mut conditions[lane]);
        }
        // No further than to when the next load goes in.
        let ahead = blocks.iter().map(|block| block.lanes[0].since - time);
        lapse = ahead.filter(|wait| *wait > 1e-6).fold(in_seconds(run.period), f64::min);
        for (n, block) in blocks.iter_mut().enumerate() {
            let used = std::array::from_fn(|lane| going[lane] && block.lanes[lane].is_in(time));
            if used != [false; L] {
                let around = std::array::from_fn(|lane| conditions[lane][n]);
                block.advance(&around, used, lapse, run);
            }
        }
        time += lapse;
    }
}

/// Blocks that are followed side by side in one pass.
const LANES: usize = 4;

/// Freezes blocks, each in surroundings of its own, four of them side by side: a lane
/// that is done takes the next block whose mesh is linked as the others are. All go in at
/// once, whatever their loads say.
///
/// Those side by side share the number of steps in a period, so that a time may differ from
/// that of [`freeze`] by what the steps matter, a few parts in ten thousand.
pub fn freeze_each<S: Surroundings>(
    loads: &[Load<'_>],
    surroundings: &mut [S],
    run: &Run,
) -> Vec<Frozen> {
    let mut all: Vec<Option<Frozen>> = vec![None; loads.len()];
    let mut left: Vec<usize> = (0..loads.len()).collect();
    while let Some(first) = left.first() {
        let (alike, others): (Vec<usize>, Vec<usize>) =
            left.iter().partition(|n| loads[**n].mesh.is_linked_as(loads[*first].mesh));
        if alike.len() > LANES / 2 {
            side_by_side::<LANES, S>(&alike, loads, surroundings, run, &mut all);
        } else {
            side_by_side::<1, S>(&alike, loads, surroundings, run, &mut all);
        }
        left = others;
    }
    all.into_iter().flatten().collect()
}

/// Freezes the blocks of these numbers, `L` at a time.
fn side_by_side<const L: usize, S: Surroundings>(
    numbers: &[usize],
    loads: &[Load<'_>],
    surroundings: &mut [S],
    run: &Run,
    all: &mut [Option<Frozen>],
) {
    let mut waiting = numbers.iter().copied();
    // A lane that has no block of its own stands still with the first.
    let mut own: [Option<usize>; L] = std::array::from_fn(|_| waiting.next());
    let mut side = Side::<L>::new(own.map(|n| &loads[n.unwrap_or(numbers[0])]));
    for (lane, own) in side.lanes.iter_mut().zip(own) {
        lane.is_noted = own.is_some() && own == run.history;
    }
    let mut conditions = [NONE; L];
    while own.iter().any(Option::is_some) {
        for (lane, n) in own.iter().enumerate() {
            let (Some(n), around) = (n, &mut conditions[lane..=lane]) else { continue };
            let progress = &side.lanes[lane];
            let lapse = if progress.time > 0.0 { in_seconds(run.period) } else { 0.0 };
            surroundings[*n].next(&[Some(side.seen[lane])], lapse, around);
        }
        side.advance(&conditions, own.map(|n| n.is_some()), in_seconds(run.period), run);
        for (lane, own) in own.iter_mut().enumerate() {
            let Some(n) = own.filter(|_| !side.lanes[lane].under_way(run)) else { continue };
            all[n] = Some(side.frozen(lane));
            *own = waiting.next();
            if let Some(next) = *own {
                side.put(lane, &loads[next]);
                side.lanes[lane].is_noted = run.history == Some(next);
            }
        }
    }
}

/// What is seen of a load that has just gone in.
fn nothing_seen(load: &Load<'_>) -> Seen {
    Seen { heat: [0.0; 3], surface_c: [in_celsius(load.start); 3], skin: false }
}

const NONE: Conditions = Conditions { film: [0.0; 3], sink_c: [0.0; 3], extra: [0.0; 3] };

/// Blocks on their way, one in each lane.
struct Side<'a, const L: usize> {
    kernel: Kernel<'a, L>,
    lanes: [Progress; L],
    seen: [Seen; L],
}

/// A block counts as cold this close to its surroundings, K: what it could still give off to
/// the air that it shares is a hundredth of what it gave.
const COLD: f64 = 2.0;

impl<'a, const L: usize> Side<'a, L> {
    fn new(loads: [&Load<'a>; L]) -> Self {
        let kernel =
            Kernel::new(loads.map(|load| (load.mesh, load.medium, in_celsius(load.start))));
        let lanes = std::array::from_fn(|lane| Progress::new(loads[lane], kernel.enthalpy(lane)));
        Self { kernel, lanes, seen: loads.map(nothing_seen) }
    }

    /// Puts a load into a lane.
    fn put(&mut self, lane: usize, load: &Load<'a>) {
        self.kernel.put(lane, (load.mesh, load.medium, in_celsius(load.start)));
        self.lanes[lane] = Progress::new(load, self.kernel.enthalpy(lane));
        self.seen[lane] = nothing_seen(load);
    }

    /// One period in conditions that hold through it, in the lanes that are `used`; the others
    /// stand still.
    fn advance(&mut self, conditions: &[Conditions; L], used: [bool; L], period: f64, run: &Run) {
        let longest = in_widest(
            #[inline(always)]
            || self.kernel.set(conditions),
        );
        let waited_for: [bool; L] =
            std::array::from_fn(|lane| used[lane] && self.lanes[lane].ready.at.is_none());
        let noted: [bool; L] =
            std::array::from_fn(|lane| waited_for[lane] && self.lanes[lane].is_noted);
        for lane in (0..L).filter(|lane| noted[*lane]) {
            let moment = self.moment(lane, self.kernel.mean_sink(lane, &conditions[lane]));
            self.lanes[lane].history.push(moment);
        }
        let shortest = longest.0.iter().zip(used).filter(|(_, used)| *used).map(|(it, _)| *it);
        let (steps, stages) =
            steps_and_stages(period, SAFETY * shortest.fold(f64::INFINITY, f64::min));
        let step = period / steps as f64;
        let each_step = Lanes(used.map(|used| if used { step } else { 0.0 }));
        let mut heat = [Lanes::ZERO; 3];
        in_widest(
            #[inline(always)]
            || {
                for _ in 0..steps {
                    let warmest = self.kernel.step(each_step, stages, &mut heat);
                    for lane in (0..L).filter(|lane| used[*lane]) {
                        self.lanes[lane].pass(step, warmest[lane]);
                    }
                }
            },
        );
        in_widest(
            #[inline(always)]
            || self.kernel.look(used, &mut self.seen),
        );
        for lane in (0..L).filter(|lane| used[*lane]) {
            self.lanes[lane].work += (steps * stages * self.kernel.cells()) as f64;
            let heat = heat.map(|heat| heat[lane]);
            self.judge(lane, &conditions[lane], (heat, period), waited_for[lane], run);
        }
    }

    /// How it stands with a lane after a period in which it gave off `heat`, J.
    fn judge(
        &mut self,
        lane: usize,
        conditions: &Conditions,
        (heat, period): ([f64; 3], f64),
        waited_for: bool,
        run: &Run,
    ) {
        let Self { kernel, lanes, seen } = self;
        let block = &mut lanes[lane];
        block.given += heat.iter().sum::<f64>();
        seen[lane].heat = heat.map(|joules| joules * kernel.copies(lane) / period);
        let limit = in_seconds(run.limit);
        block.given_up |= block.outlook.hopeless(block.time, limit, || kernel.enthalpy(lane));
        let ready = block.ready.at;
        if waited_for && ready.is_none() {
            return;
        }
        let sink = kernel.mean_sink(lane, conditions);
        block.cold = !waited_for && kernel.core_c(lane) < sink + COLD;
        if let (true, true, Some(time)) = (block.is_noted, waited_for, ready) {
            let moment = Moment { time, ..self.moment(lane, sink) };
            self.lanes[lane].history.push(moment);
        }
    }

    fn moment(&self, lane: usize, air_c: f64) -> Moment {
        let kernel = &self.kernel;
        let (core_c, mixed_c) = (kernel.core_c(lane), kernel.mixed_c(lane));
        let (time, frozen) = (self.lanes[lane].time, kernel.frozen_share(lane));
        Moment { time, core_c, mixed_c, air_c, frozen }
    }

    /// What came of the block in a lane; its history goes with it.
    fn frozen(&mut self, lane: usize) -> Frozen {
        let block = &self.lanes[lane];
        if let (None, Some(last)) = (block.ready.at, block.history.last().copied()) {
            let moment = self.moment(lane, last.air_c);
            self.lanes[lane].history.push(moment);
        }
        let block = &mut self.lanes[lane];
        let lost = block.initial - self.kernel.enthalpy(lane);
        Frozen {
            solid: block.solid.at.map(seconds),
            ready: block.ready.at.map(seconds),
            heat_removed: lost * self.kernel.copies(lane),
            residual: if lost == 0.0 { 0.0 } else { (lost - block.given) / lost },
            work: block.work,
            history: std::mem::take(&mut block.history),
        }
    }
}

/// Most stages of one step: more would save work but blur the front in time.
const MOST_STAGES: usize = 6;

/// Equal steps to cover a period, and the fewest stages that keep each stable,
/// given the longest plain explicit step.
fn steps_and_stages(period: f64, longest: f64) -> (usize, usize) {
    let reach = |stages: usize| longest * (stages * stages + stages) as f64 / 2.0;
    let steps = (period / reach(MOST_STAGES)).ceil().max(1.0);
    let enough = |stages: &usize| reach(*stages) >= period / steps;
    (steps as usize, (1..MOST_STAGES).find(enough).unwrap_or(MOST_STAGES))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::freezing::conditions::Constant;
    use crate::freezing::mesh::Resolution;
    use crate::properties::medium::ConstantProperties;
    use crate::shape::{Body, Shape};
    use crate::units::{celsius, film, millimetres};

    /// Blocks of several sizes and two shapes in several films, more than there are lanes: each
    /// as if it were alone.
    #[test]
    fn side_by_side_each_block_is_on_its_own() {
        let water = Medium::constant(&ConstantProperties::reference()).unwrap();
        let mm = millimetres;
        let meshes: Vec<Mesh> = (0..11)
            .map(|n| {
                let length = mm(60.0 + 4.0 * f64::from(n));
                let depth = mm(30.0);
                let shape = match n % 5 {
                    4 => Shape::Ball { across: length },
                    _ => Shape::Box { length, width: length, depth },
                };
                Mesh::of(&Body::of(&shape).unwrap(), Resolution::Coarse, 1.0)
            })
            .collect();
        let load = |mesh| Load { mesh, medium: &water, start: celsius(15.0), since: seconds(0.0) };
        let loads: Vec<Load<'_>> = meshes.iter().map(load).collect();
        let mut around: Vec<Constant> =
            (0..11).map(|n| Constant::new([film(8.0 + f64::from(n)); 3], celsius(-18.0))).collect();
        for history in [None, Some(7)] {
            let run = Run { history, ..Run::thorough() };
            let each = freeze_each(&loads, &mut around, &run);
            assert_eq!(each.len(), loads.len());
            let by_itself = Run { history: history.map(|_| 0), ..run };
            for (n, (mesh, found)) in meshes.iter().zip(&each).enumerate() {
                let alone = freeze(mesh, &water, celsius(15.0), &mut around[n], &by_itself);
                for (found, alone) in [(found.solid, alone.solid), (found.ready, alone.ready)] {
                    let ratio = in_seconds(found.unwrap()) / in_seconds(alone.unwrap());
                    assert!((ratio - 1.0).abs() < 1e-3, "{ratio}");
                }
                assert!(found.residual.abs() < 1e-9, "{}", found.residual);
                let noted = if history == Some(n) { alone.history.len() } else { 0 };
                assert_eq!(found.history.len(), noted, "{n}");
                assert!(alone.history.is_empty() == history.is_none());
            }
        }
        assert!(freeze_each::<Constant>(&[], &mut [], &Run::thorough()).is_empty());
    }

    /// Two loads in each of six kitchens, the second a quarter of a day later and in two of them
    /// of another shape: each kitchen as if it were alone.
    #[test]
    fn kitchens_side_by_side_are_each_on_their_own() {
        let water = Medium::constant(&ConstantProperties::reference()).unwrap();
        let mesh = |across: f64, ball: bool| {
            let (length, depth) = (millimetres(across), millimetres(30.0));
            let shape = match ball {
                true => Shape::Ball { across: length },
                false => Shape::Box { length, width: length, depth },
            };
            Mesh::of(&Body::of(&shape).unwrap(), Resolution::Coarse, 1.0)
        };
        let meshes: Vec<[Mesh; 2]> = (0..6)
            .map(|n| [mesh(60.0 + 3.0 * f64::from(n), false), mesh(50.0 + f64::from(n), n > 3)])
            .collect();
        let into = |mesh, since| Load { mesh, medium: &water, start: celsius(15.0), since };
        let kitchens: Vec<Vec<Load<'_>>> = meshes
            .iter()
            .map(|both| vec![into(&both[0], seconds(0.0)), into(&both[1], seconds(21_000.0))])
            .collect();
        let mut around: Vec<Constant> =
            (0..6).map(|n| Constant::new([film(8.0 + f64::from(n)); 3], celsius(-18.0))).collect();
        let run = Run::thorough();
        let found = freeze_together(&kitchens, &mut around, &run);
        for ((loads, found), around) in kitchens.iter().zip(&found).zip(&mut around) {
            for (load, found) in loads.iter().zip(found) {
                let alone = freeze(load.mesh, &water, celsius(15.0), around, &run);
                for (found, alone) in [(found.solid, alone.solid), (found.ready, alone.ready)] {
                    let ratio = in_seconds(found.unwrap()) / in_seconds(alone.unwrap());
                    assert!((ratio - 1.0).abs() < 1e-3, "{ratio}");
                }
                assert!(found.residual.abs() < 1e-9, "{}", found.residual);
            }
        }
    }
}
