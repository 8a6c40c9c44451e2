//! Flour: how much water it holds at a water activity, and its heat capacity.

/// Density of bone-dry flour, kg/m³. A working value, no source.
pub(crate) const FLOUR_DENSITY: f64 = 1480.0;
/// Water in flour as bought, share of its mass (usual 0.12 to 0.14).
/// Source: handbook value from memory.
pub(crate) const FLOUR_MOISTURE: f64 = 0.13;

/// Oswin's k and n at 0 °C and their slopes with °C: a fit to the semolina data of a thesis,
/// transcribed from the public code of A. Griessman (2013-2016). The thesis was not opened.
const K: (f64, f64) = (0.1571, -0.0012);
const N: (f64, f64) = (0.2076, 0.0043);

/// The Oswin isotherm at one temperature: X = k (a/(1-a))^n.
///
/// Semolina (k = 0.1571 - 0.0012 t, n = 0.2076 + 0.0043 t, t in °C; source above), held at
/// its ends outside 5 to 95 °C. Mean error 4.4 % against the group means of semolina sheets
/// over saturated salts (see tests/data/README.md), 42 to 63 °C.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Oswin {
    pub(crate) k: f64,
    pub(crate) n: f64,
}

impl Oswin {
    /// The isotherm at `t` °C.
    pub(crate) fn at(t: f64) -> Self {
        let held = t.clamp(5.0, 95.0);
        Self { k: K.0 + K.1 * held, n: N.0 + N.1 * held }
    }

    /// Water held, kg/kg dry flour, at y = ln(a/(1-a)).
    pub(crate) fn held_at_logit(&self, y: f64) -> f64 {
        self.k * (self.n * y).exp()
    }

    /// Water held, kg/kg dry flour, at a water activity.
    pub(crate) fn held(&self, activity: f64) -> f64 {
        self.held_at_logit((activity / (1.0 - activity)).ln())
    }

    /// Water activity of flour that holds `x` kg/kg.
    pub(crate) fn activity(&self, x: f64) -> f64 {
        1.0 / (1.0 + (self.k / x).powf(1.0 / self.n))
    }
}

/// One part of dry wheat flour: its share of the mass, and its heat capacity, J/kg K, as a
/// parabola in °C.
struct Part {
    share: f64,
    heat: [f64; 3],
}

/// Protein, fat, starch and sugars, fibre, ash.
///
/// Parabolas, -40 to 150 °C: Choi & Okos (1986), as ASHRAE Refrigeration, "Thermal properties of
/// foods", gives them; transcribed from a public code base and corrected from memory. Shares:
/// all-purpose flour, USDA values from memory, scaled to no water.
const DRY_FLOUR: [Part; 5] = [
    Part { share: 0.12, heat: [2008.2, 1.2089, -1.3129e-3] },
    Part { share: 0.012, heat: [1984.2, 1.4733, -4.8008e-3] },
    Part { share: 0.832, heat: [1548.8, 1.9625, -5.9399e-3] },
    Part { share: 0.030, heat: [1845.9, 1.8306, -4.6509e-3] },
    Part { share: 0.006, heat: [1092.6, 1.8896, -3.6817e-3] },
];

/// Heat capacity of dry wheat flour, J/kg K from °C: that of its parts by mass.
pub(crate) fn dry_flour_heat_si(t: f64) -> f64 {
    DRY_FLOUR.iter().map(|Part { share, heat: [a, b, c] }| share * (a + t * (b + t * c))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn flour_and_dough_computed_apart() {
        // Computed apart from this code with the same polynomials: flour of 12 % water cp 1954,
        // unsalted dough of 45 % water 2770 at 25 °C. The composition of that flour was not
        // kept, so 2 %. Water: 4181.3 J/kg K, IAPWS-95.
        let with_water = |water: f64| (1.0 - water) * dry_flour_heat_si(25.0) + water * 4181.3;
        assert_relative_eq!(with_water(0.12), 1954.0, max_relative = 0.02);
        assert_relative_eq!(with_water(0.45), 2770.0, max_relative = 0.02);
    }
}
