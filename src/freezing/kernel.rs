//! The inner loop of the solver: plain f64 in SI, temperatures in °C.
//!
//! [`Kernel`] follows `L` blocks side by side, one in each lane, all cut into cells that are
//! linked alike: each number is an array of one value a lane, which the compiler puts into
//! the vectors of the machine. Lanes share the number of steps and stages, nothing else.

use super::conditions::{Conditions, Seen};
use super::lanes::Lanes;
use super::mesh::{FaceKind, Mesh};
use crate::properties::medium::Medium;

/// What a face needs each step, renewed when the films change.
#[derive(Debug, Clone, Copy)]
struct Surface<const L: usize> {
    cell: usize,
    kind: usize,
    area: Lanes<L>,
    /// 1/distance, 1/m.
    inverse: Lanes<L>,
    /// 1/(k/d + h) when stirred, liquid and frozen, m²K/W.
    stirred: Lanes<L>,
    liquid: Lanes<L>,
    frozen: Lanes<L>,
}

impl<const L: usize> Surface<L> {
    /// Temperature of the wall above the freezing point, K: the root of
    /// (Φ − Φ_w)/d = h (T_w − T_s) + e, given n = Φ/d + h T_s − e and the Φ₀ of the
    /// stirred liquid.
    #[inline(always)]
    fn wall(&self, n: Lanes<L>, stirred: Lanes<L>) -> Lanes<L> {
        let still = n * self.liquid;
        let stirred = (n - stirred * self.inverse) * self.stirred;
        n.below_zero(n * self.frozen, still.min(stirred))
    }
}

/// The Φ of the media in the lanes, see [`crate::properties::medium`].
struct Potential<const L: usize> {
    frozen: [Lanes<L>; 2],
    origin: Lanes<L>,
    stirred: Lanes<L>,
    /// Where a slope begins, and the slope; a medium with fewer hinges begins them nowhere.
    hinges: Vec<[Lanes<L>; 2]>,
}

/// The state of the blocks and their scratch space.
pub(crate) struct Kernel<'a, const L: usize> {
    meshes: [&'a Mesh; L],
    media: [&'a Medium; L],
    law: Potential<L>,
    /// J/m³.
    enthalpy: Vec<Lanes<L>>,
    /// The stage before, J/m³.
    before: Vec<Lanes<L>>,
    /// W/m.
    potential: Vec<Lanes<L>>,
    /// Whether the potentials are those of the enthalpies.
    is_fresh: bool,
    /// W into each cell.
    gain: Vec<Lanes<L>>,
    inverse_volume: Vec<Lanes<L>>,
    /// The neighbours of one cell after the other: cell, area over distance.
    links: Vec<(u32, Lanes<L>)>,
    /// Where the neighbours of each cell end.
    ends: Vec<u32>,
    link_sums: Vec<Lanes<L>>,
    sums: Vec<Lanes<L>>,
    surfaces: Vec<Surface<L>>,
    /// First surface of each kind, and the end.
    kinds: [usize; 4],
    /// By kind: film W/m²K, film times sink above freezing and evaporation, W/m².
    film: [Lanes<L>; 3],
    sink: [Lanes<L>; 3],
    extra: [Lanes<L>; 3],
}

impl<'a, const L: usize> Kernel<'a, L> {
    /// Blocks at their temperatures, °C; their meshes are linked alike.
    pub(crate) fn new(blocks: [(&'a Mesh, &'a Medium, f64); L]) -> Self {
        let meshes = blocks.map(|(mesh, ..)| mesh);
        let mesh = meshes[0];
        let n = mesh.cells();
        let none = Lanes::ZERO;
        let surfaces = mesh.faces.iter().map(|face| Surface {
            cell: face.cell,
            kind: face.kind as usize,
            area: none,
            inverse: none,
            stirred: none,
            liquid: none,
            frozen: none,
        });
        let surfaces: Vec<Surface<L>> = surfaces.collect();
        let first = |kind| surfaces.partition_point(|s| s.kind < kind);
        let (links, ends) = mesh.neighbours();
        let mut kernel = Self {
            meshes,
            media: blocks.map(|(_, medium, _)| medium),
            law: Potential { frozen: [none; 2], origin: none, stirred: none, hinges: Vec::new() },
            enthalpy: vec![none; n],
            before: vec![none; n],
            potential: vec![none; n],
            is_fresh: false,
            gain: vec![none; n],
            inverse_volume: vec![none; n],
            links: links.into_iter().map(|(to, _)| (to, none)).collect(),
            ends,
            link_sums: vec![none; n],
            sums: vec![none; n],
            kinds: [0, first(1), first(2), surfaces.len()],
            surfaces,
            film: [none; 3],
            sink: [none; 3],
            extra: [none; 3],
        };
        for (lane, block) in blocks.into_iter().enumerate() {
            kernel.put(lane, block);
        }
        kernel
    }

    /// Puts a block at a temperature, °C, into a lane; its mesh is linked as the others are.
    pub(crate) fn put(
        &mut self,
        lane: usize,
        (mesh, medium, start_c): (&'a Mesh, &'a Medium, f64),
    ) {
        (self.meshes[lane], self.media[lane], self.is_fresh) = (mesh, medium, false);
        let start = medium.enthalpy(start_c);
        self.enthalpy.iter_mut().for_each(|h| h[lane] = start);
        let cells = self.inverse_volume.iter_mut().zip(&mut self.link_sums);
        for ((inverse, sum), (volume, links)) in cells.zip(mesh.volume.iter().zip(mesh.link_sums()))
        {
            (inverse[lane], sum[lane]) = (1.0 / volume, links);
        }
        for (link, (_, g)) in self.links.iter_mut().zip(mesh.neighbours().0) {
            link.1[lane] = g;
        }
        for (surface, face) in self.surfaces.iter_mut().zip(&mesh.faces) {
            (surface.area[lane], surface.inverse[lane]) = (face.area, 1.0 / face.distance);
        }
        self.law.put(lane, medium);
    }

    /// How many cells a lane has.
    pub(crate) fn cells(&self) -> usize {
        self.enthalpy.len()
    }

    /// How many such parts make the block.
    pub(crate) fn copies(&self, lane: usize) -> f64 {
        self.meshes[lane].copies()
    }

    /// Enthalpy of the computed part, J.
    pub(crate) fn enthalpy(&self, lane: usize) -> f64 {
        self.enthalpy.iter().zip(&self.meshes[lane].volume).map(|(h, v)| h[lane] * v).sum()
    }

    /// Takes new conditions; returns the longest stable steps, s.
    #[inline(always)]
    pub(crate) fn set(&mut self, conditions: &[Conditions; L]) -> Lanes<L> {
        for kind in 0..3 {
            self.film[kind] = Lanes::each(|l| conditions[l].film[kind]);
            self.extra[kind] = Lanes::each(|l| conditions[l].extra[kind]);
            self.sink[kind] = Lanes::each(|l| {
                let above = conditions[l].sink_c[kind] - self.media[l].freezing_c();
                conditions[l].film[kind] * above
            });
        }
        let k_stirred = Lanes::each(|l| self.media[l].stirred[1]);
        let k_liquid = Lanes::each(|l| self.media[l].liquid_conductivity);
        let k_frozen = Lanes::each(|l| self.media[l].frozen_conductivity);
        self.sums.copy_from_slice(&self.link_sums);
        for surface in &mut self.surfaces {
            let film = self.film[surface.kind];
            let [a, b, c] = [k_stirred, k_liquid, k_frozen].map(|k| k * surface.inverse + film);
            // One division for three reciprocals: this is a tenth of a coarse run.
            let all = Lanes::all(1.0) / (a * b * c);
            (surface.stirred, surface.liquid, surface.frozen) =
                (all * b * c, all * a * c, all * a * b);
            self.sums[surface.cell] += surface.area * surface.inverse * film * surface.liquid;
        }
        let rates = self.sums.iter().zip(&self.inverse_volume).map(|(sum, v)| *sum * *v);
        let fastest = rates.fold(Lanes::ZERO, Lanes::max);
        Lanes::each(|l| 1.0 / (fastest[l] * self.media[l].steepest()))
    }

    /// Advances each lane by its `step` in `stages` explicit stages of the
    /// Runge-Kutta-Legendre scheme, stable up to s(s + 1)/2 times the plain explicit step;
    /// adds the heat through each kind of face, J, and returns the warmest enthalpies
    /// before it, J/m³. A lane whose step is 0 stays as it is, to rounding.
    ///
    /// Y₁ = Y₀ + w τ L(Y₀), Yⱼ = ((2j − 1)(Yⱼ₋₁ + w τ L(Yⱼ₋₁)) + (1 − j) Yⱼ₋₂)/j,
    /// w = 2/(s² + s). The heat through the faces takes the same combination, so
    /// that energy is conserved to rounding.
    ///
    /// Source: Meyer, Balsara & Aslam (2014), J. Comput. Phys. 257, 594, eq. 16.
    #[inline(always)]
    pub(crate) fn step(
        &mut self,
        step: Lanes<L>,
        stages: usize,
        heat: &mut [Lanes<L>; 3],
    ) -> Lanes<L> {
        let part = step * Lanes::all(2.0 / (stages * stages + stages) as f64);
        let warmest = self.warmest();
        self.before.copy_from_slice(&self.enthalpy);
        let (mut before, mut now) = ([Lanes::ZERO; 3], [Lanes::ZERO; 3]);
        for stage in 1..=stages {
            self.potentials();
            self.gain.fill(Lanes::ZERO);
            let j = stage as f64;
            let (ahead, back) = (Lanes::all((2.0 * j - 1.0) / j), Lanes::all((1.0 - j) / j));
            for kind in 0..3 {
                let next = ahead * (now[kind] + part * self.cool(kind)) + back * before[kind];
                before[kind] = now[kind];
                now[kind] = next;
            }
            self.conduct(part, ahead, back);
        }
        for kind in 0..3 {
            heat[kind] += now[kind];
        }
        warmest
    }

    /// Φ of every cell.
    #[inline(always)]
    fn potentials(&mut self) {
        if !self.is_fresh {
            self.law.of(&self.enthalpy, &mut self.potential);
            self.is_fresh = true;
        }
    }

    /// The greatest enthalpy of each lane, J/m³.
    #[inline(always)]
    fn warmest(&self) -> Lanes<L> {
        self.enthalpy.iter().copied().fold(Lanes::all(f64::NEG_INFINITY), Lanes::max)
    }

    /// Heat along the links into each cell, and with it the next stage of the cell. What one
    /// cell loses the other gains, to the last bit.
    #[inline(always)]
    fn conduct(&mut self, part: Lanes<L>, ahead: Lanes<L>, back: Lanes<L>) {
        let mut first = 0;
        let states = self.enthalpy.iter_mut().zip(&mut self.before);
        let rest = self.gain.iter().zip(&self.inverse_volume).zip(&self.link_sums);
        // Held here, and not found anew through `self` for every link.
        let (potential, links) = (&self.potential[..], &self.links[..]);
        let own = potential.iter().zip(&self.ends);
        for (((h, before), ((gain, inverse), sum)), (own, end)) in states.zip(rest).zip(own) {
            let (mut gain, end) = (*gain - *sum * *own, *end as usize);
            for (to, g) in &links[first..end] {
                gain += *g * potential[*to as usize];
            }
            first = end;
            let next = ahead * (*h + part * gain * *inverse) + back * *before;
            *before = *h;
            *h = next;
        }
        self.is_fresh = false;
    }

    /// Heat out through the faces of a kind, W.
    #[inline(always)]
    fn cool(&mut self, kind: usize) -> Lanes<L> {
        let (film, sink, extra) = (self.film[kind], self.sink[kind], self.extra[kind]);
        let (potential, gain, stirred) =
            (&self.potential[..], &mut self.gain[..], self.law.stirred);
        let mut total = Lanes::ZERO;
        for surface in &self.surfaces[self.kinds[kind]..self.kinds[kind + 1]] {
            let n = potential[surface.cell] * surface.inverse + sink - extra;
            let wall = surface.wall(n, stirred);
            let out = surface.area * (film * wall - sink + extra);
            gain[surface.cell] -= out;
            total += out;
        }
        total
    }

    /// Brings what is seen of the lanes that are `used` up to date: surface temperatures and
    /// the skin of ice.
    #[inline(always)]
    pub(crate) fn look(&mut self, used: [bool; L], seen: &mut [Seen; L]) {
        self.potentials();
        for kind in 0..3 {
            let (sink, extra) = (self.sink[kind], self.extra[kind]);
            let (mut area, mut sum) = (Lanes::ZERO, Lanes::ZERO);
            for surface in &self.surfaces[self.kinds[kind]..self.kinds[kind + 1]] {
                let n = self.potential[surface.cell] * surface.inverse + sink - extra;
                area += surface.area;
                sum += surface.area * surface.wall(n, self.law.stirred);
            }
            for lane in (0..L).filter(|lane| used[*lane] && area[*lane] > 0.0) {
                let freezing = self.media[lane].freezing_c();
                seen[lane].surface_c[kind] = freezing + sum[lane] / area[lane];
            }
        }
        for lane in (0..L).filter(|lane| used[*lane]) {
            let top = seen[lane].surface_c[FaceKind::Top as usize];
            seen[lane].skin = top <= self.media[lane].freezing_c();
        }
    }

    /// Temperature of the warmest cell, °C.
    pub(crate) fn core_c(&self, lane: usize) -> f64 {
        self.media[lane].temperature(self.warmest()[lane])
    }

    /// Temperature of the block if its heat were spread evenly, °C.
    pub(crate) fn mixed_c(&self, lane: usize) -> f64 {
        let volume = self.meshes[lane].volume.iter().sum::<f64>();
        self.media[lane].temperature(self.enthalpy(lane) / volume)
    }

    /// Share of the volume that is frozen.
    pub(crate) fn frozen_share(&self, lane: usize) -> f64 {
        let latent = self.media[lane].latent();
        let cells = self.enthalpy.iter().zip(&self.meshes[lane].volume);
        let (frozen, total) = cells.fold((0.0, 0.0), |(frozen, total), (h, v)| {
            (frozen + v * (1.0 - h[lane] / latent).clamp(0.0, 1.0), total + v)
        });
        frozen / total
    }

    /// Mean sink temperature weighted by film and area, °C.
    pub(crate) fn mean_sink(&self, lane: usize, conditions: &Conditions) -> f64 {
        let areas = self.meshes[lane].areas();
        let weight = |kind: usize| areas[kind] * conditions.film[kind];
        let total: f64 = (0..3).map(weight).sum();
        let sum: f64 = (0..3).map(|kind| weight(kind) * conditions.sink_c[kind]).sum();
        if total > 0.0 { sum / total } else { conditions.sink_c[0] }
    }
}

impl<const L: usize> Potential<L> {
    fn put(&mut self, lane: usize, medium: &Medium) {
        for (all, own) in self.frozen.iter_mut().zip(medium.frozen) {
            all[lane] = own;
        }
        (self.origin[lane], self.stirred[lane]) = (medium.origin, medium.stirred[0]);
        // Two at least, for the one pass that all media take.
        let count = medium.hinges.len().max(self.hinges.len()).max(2);
        self.hinges.resize(count, [Lanes::all(f64::INFINITY), Lanes::ZERO]);
        for (n, all) in self.hinges.iter_mut().enumerate() {
            let [at, slope] = medium.hinges.get(n).copied().unwrap_or([f64::INFINITY, 0.0]);
            (all[0][lane], all[1][lane]) = (at, slope);
        }
    }

    /// Φ of every cell.
    #[inline(always)]
    fn of(&self, enthalpy: &[Lanes<L>], potential: &mut [Lanes<L>]) {
        let ([a, b], origin) = (self.frozen, self.origin);
        let above = |h: Lanes<L>, at: Lanes<L>| (h - at).max(Lanes::ZERO);
        let [[h1, s1], [h2, s2], more @ ..] = &self.hinges[..] else { return };
        for (phi, &h) in potential.iter_mut().zip(enthalpy) {
            let m = h.min(Lanes::ZERO);
            *phi = m * (a + b * m) - origin + *s1 * above(h, *h1) + *s2 * above(h, *h2);
        }
        // Solutions have more hinges; water and reference media end here.
        for [at, slope] in more {
            for (phi, &h) in potential.iter_mut().zip(enthalpy) {
                *phi += *slope * above(h, *at);
            }
        }
    }
}

#[cfg(test)]
#[path = "kernel_tests.rs"]
mod tests;
