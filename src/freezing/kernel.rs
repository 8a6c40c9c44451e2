//! The inner loop of the solver: plain f64 in SI, temperatures in °C.

use super::conditions::{Conditions, Seen};
use super::mesh::{FaceKind, Mesh};
use crate::properties::medium::Medium;

/// What a face needs each step, renewed when the films change.
#[derive(Debug, Clone, Copy)]
struct Surface {
    cell: usize,
    kind: usize,
    area: f64,
    /// 1/distance, 1/m.
    inverse: f64,
    /// 1/(k/d + h) when stirred, liquid and frozen, m²K/W.
    stirred: f64,
    liquid: f64,
    frozen: f64,
}

impl Surface {
    /// Temperature of the wall above the freezing point, K: the root of
    /// (Φ − Φ_w)/d = h (T_w − T_s) + e, given n = Φ/d + h T_s − e and the Φ₀ of the
    /// stirred liquid.
    fn wall(&self, n: f64, stirred: f64) -> f64 {
        if n < 0.0 {
            return n * self.frozen;
        }
        let (still, stirred) = (n * self.liquid, (n - stirred * self.inverse) * self.stirred);
        if still < stirred { still } else { stirred }
    }
}

/// The state of a block and its scratch space.
pub(crate) struct Kernel<'a> {
    mesh: &'a Mesh,
    medium: &'a Medium,
    /// J/m³.
    enthalpy: Vec<f64>,
    /// The stage before, J/m³.
    before: Vec<f64>,
    /// W/m.
    potential: Vec<f64>,
    /// W into each cell.
    gain: Vec<f64>,
    flow: Vec<f64>,
    inverse_volume: Vec<f64>,
    link_sums: Vec<f64>,
    sums: Vec<f64>,
    surfaces: Vec<Surface>,
    /// First surface of each kind, and the end.
    kinds: [usize; 4],
    conditions: Conditions,
}

impl<'a> Kernel<'a> {
    pub(crate) fn new(mesh: &'a Mesh, medium: &'a Medium, start_c: f64) -> Self {
        let n = mesh.cells();
        let longest = mesh.bundles.iter().map(|b| b.conductance.len()).max().unwrap_or(0);
        let surfaces: Vec<Surface> = mesh
            .faces
            .iter()
            .map(|face| Surface {
                cell: face.cell,
                kind: face.kind as usize,
                area: face.area,
                inverse: 1.0 / face.distance,
                stirred: 0.0,
                liquid: 0.0,
                frozen: 0.0,
            })
            .collect();
        let first = |kind| surfaces.partition_point(|s| s.kind < kind);
        Self {
            mesh,
            medium,
            enthalpy: vec![medium.enthalpy(start_c); n],
            before: vec![0.0; n],
            potential: vec![0.0; n],
            gain: vec![0.0; n],
            flow: vec![0.0; longest],
            inverse_volume: mesh.volume.iter().map(|v| 1.0 / v).collect(),
            link_sums: mesh.link_sums(),
            sums: vec![0.0; n],
            kinds: [0, first(1), first(2), surfaces.len()],
            surfaces,
            conditions: Conditions { film: [0.0; 3], sink_c: [0.0; 3], extra: [0.0; 3] },
        }
    }

    /// How many cells are computed.
    pub(crate) fn cells(&self) -> usize {
        self.mesh.cells()
    }

    /// How many such parts make the block.
    pub(crate) fn copies(&self) -> f64 {
        self.mesh.copies()
    }

    /// Enthalpy of the computed part, J.
    pub(crate) fn enthalpy(&self) -> f64 {
        self.enthalpy.iter().zip(&self.mesh.volume).map(|(h, v)| h * v).sum()
    }

    /// Takes new conditions; returns the longest stable step, s.
    pub(crate) fn set(&mut self, conditions: &Conditions) -> f64 {
        self.conditions = *conditions;
        let (k_l, k_s) = (self.medium.liquid_conductivity, self.medium.frozen_conductivity);
        let stirred = self.medium.stirred[1];
        self.sums.copy_from_slice(&self.link_sums);
        for surface in &mut self.surfaces {
            let film = conditions.film[surface.kind];
            let [a, b, c] = [stirred, k_l, k_s].map(|k| k * surface.inverse + film);
            // One division for three reciprocals: this is a tenth of a coarse run.
            let all = 1.0 / (a * b * c);
            (surface.stirred, surface.liquid, surface.frozen) =
                (all * b * c, all * a * c, all * a * b);
            self.sums[surface.cell] += surface.area * surface.inverse * film * surface.liquid;
        }
        let rates = self.sums.iter().zip(&self.inverse_volume).map(|(sum, v)| sum * v);
        1.0 / (rates.fold(0.0, f64::max) * self.medium.steepest())
    }

    /// Advances by `step` in `stages` explicit stages of the Runge-Kutta-Legendre
    /// scheme, stable up to s(s + 1)/2 times the plain explicit step; adds the
    /// heat through each kind of face, J, and returns the warmest enthalpy
    /// before it, J/m³.
    ///
    /// Y₁ = Y₀ + w τ L(Y₀), Yⱼ = ((2j − 1)(Yⱼ₋₁ + w τ L(Yⱼ₋₁)) + (1 − j) Yⱼ₋₂)/j,
    /// w = 2/(s² + s). The heat through the faces takes the same combination, so
    /// that energy is conserved to rounding.
    ///
    /// Source: Meyer, Balsara & Aslam (2014), J. Comput. Phys. 257, 594, eq. 16.
    pub(crate) fn step(&mut self, step: f64, stages: usize, heat: &mut [f64; 3]) -> f64 {
        let part = 2.0 * step / (stages * stages + stages) as f64;
        let warmest = self.warmest();
        self.before.copy_from_slice(&self.enthalpy);
        let (mut before, mut now) = ([0.0; 3], [0.0; 3]);
        for stage in 1..=stages {
            self.potentials();
            self.gain.fill(0.0);
            self.conduct();
            let j = stage as f64;
            let (ahead, back) = ((2.0 * j - 1.0) / j, (1.0 - j) / j);
            for kind in 0..3 {
                let next = ahead * (now[kind] + part * self.cool(kind)) + back * before[kind];
                before[kind] = now[kind];
                now[kind] = next;
            }
            let cells = self.enthalpy.iter_mut().zip(&mut self.before);
            for ((h, before), (gain, inverse)) in
                cells.zip(self.gain.iter().zip(&self.inverse_volume))
            {
                let next = ahead * (*h + part * gain * inverse) + back * *before;
                *before = *h;
                *h = next;
            }
        }
        for kind in 0..3 {
            heat[kind] += now[kind];
        }
        warmest
    }

    /// Φ of every cell.
    fn potentials(&mut self) {
        let [a, b] = self.medium.frozen;
        let origin = self.medium.origin;
        let none = [f64::INFINITY, 0.0];
        let mut hinges = self.medium.hinges.iter().copied();
        let [h1, s1] = hinges.next().unwrap_or(none);
        let [h2, s2] = hinges.next().unwrap_or(none);
        let above = |h: f64, at: f64| if h > at { h - at } else { 0.0 };
        for (phi, &h) in self.potential.iter_mut().zip(&self.enthalpy) {
            let m = if h < 0.0 { h } else { 0.0 };
            *phi = m * (a + b * m) - origin + s1 * above(h, h1) + s2 * above(h, h2);
        }
        // Solutions have more hinges; water and reference media end here.
        for [at, slope] in hinges {
            for (phi, &h) in self.potential.iter_mut().zip(&self.enthalpy) {
                *phi += slope * above(h, at);
            }
        }
    }

    /// The greatest enthalpy, J/m³.
    fn warmest(&self) -> f64 {
        let greater = |a: f64, b: f64| if b > a { b } else { a };
        self.enthalpy.iter().copied().fold(f64::NEG_INFINITY, greater)
    }

    /// Heat along the links.
    fn conduct(&mut self) {
        for &(from, to, g) in &self.mesh.singles {
            let flow = g * (self.potential[from as usize] - self.potential[to as usize]);
            self.gain[from as usize] -= flow;
            self.gain[to as usize] += flow;
        }
        for bundle in &self.mesh.bundles {
            let n = bundle.conductance.len();
            let flow = &mut self.flow[..n];
            let from = &self.potential[bundle.from..bundle.from + n];
            let to = &self.potential[bundle.to..bundle.to + n];
            for (((flow, g), a), b) in flow.iter_mut().zip(&bundle.conductance).zip(from).zip(to) {
                *flow = g * (a - b);
            }
            for (gain, flow) in self.gain[bundle.from..bundle.from + n].iter_mut().zip(&*flow) {
                *gain -= flow;
            }
            for (gain, flow) in self.gain[bundle.to..bundle.to + n].iter_mut().zip(&*flow) {
                *gain += flow;
            }
        }
    }

    /// Heat out through the faces of a kind, W.
    fn cool(&mut self, kind: usize) -> f64 {
        let film = self.conditions.film[kind];
        let sink = film * (self.conditions.sink_c[kind] - self.medium.freezing_c());
        let extra = self.conditions.extra[kind];
        let mut total = 0.0;
        for surface in &self.surfaces[self.kinds[kind]..self.kinds[kind + 1]] {
            let n = self.potential[surface.cell] * surface.inverse + sink - extra;
            let wall = surface.wall(n, self.medium.stirred[0]);
            let out = surface.area * (film * wall - sink + extra);
            self.gain[surface.cell] -= out;
            total += out;
        }
        total
    }

    /// Brings the surface temperatures and the skin of ice up to date.
    pub(crate) fn look(&mut self, seen: &mut Seen) {
        self.potentials();
        for kind in 0..3 {
            let film = self.conditions.film[kind];
            let sink = film * (self.conditions.sink_c[kind] - self.medium.freezing_c());
            let (mut area, mut sum) = (0.0, 0.0);
            for surface in &self.surfaces[self.kinds[kind]..self.kinds[kind + 1]] {
                let n = self.potential[surface.cell] * surface.inverse + sink
                    - self.conditions.extra[kind];
                area += surface.area;
                sum += surface.area * surface.wall(n, self.medium.stirred[0]);
            }
            if area > 0.0 {
                seen.surface_c[kind] = self.medium.freezing_c() + sum / area;
            }
        }
        seen.skin = seen.surface_c[FaceKind::Top as usize] <= self.medium.freezing_c();
    }

    /// Temperature of the warmest cell, °C.
    pub(crate) fn core_c(&self) -> f64 {
        self.medium.temperature(self.warmest())
    }

    /// Temperature of the block if its heat were spread evenly, °C.
    pub(crate) fn mixed_c(&self) -> f64 {
        self.medium.temperature(self.enthalpy() / self.mesh.volume.iter().sum::<f64>())
    }

    /// Share of the volume that is frozen.
    pub(crate) fn frozen_share(&self) -> f64 {
        let latent = self.medium.latent();
        let cells = self.enthalpy.iter().zip(&self.mesh.volume);
        let (frozen, total) = cells.fold((0.0, 0.0), |(frozen, total), (h, v)| {
            (frozen + v * (1.0 - h / latent).clamp(0.0, 1.0), total + v)
        });
        frozen / total
    }

    /// Mean sink temperature weighted by film and area, °C.
    pub(crate) fn mean_sink(&self, conditions: &Conditions) -> f64 {
        let areas = self.mesh.areas();
        let weight = |kind: usize| areas[kind] * conditions.film[kind];
        let total: f64 = (0..3).map(weight).sum();
        let sum: f64 = (0..3).map(|kind| weight(kind) * conditions.sink_c[kind]).sum();
        if total > 0.0 { sum / total } else { conditions.sink_c[0] }
    }
}

#[cfg(test)]
#[path = "kernel_tests.rs"]
mod tests;
