//! Heat capacity, conductivity and density of foods from what they are made of.

use crate::units::{
    MassDensity, SpecificHeatCapacity, ThermalConductivity, ThermodynamicTemperature, conductivity,
    in_celsius, joules_per_kilogram_kelvin, kilograms_per_cubic_metre,
};

/// One of the parts of which Choi & Okos build a food.
///
/// Polynomials in °C, -40 to 150 °C. Source: Choi & Okos (1986), as ASHRAE
/// Refrigeration, "Thermal properties of foods", gives them; transcribed from a public code
/// base and corrected from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Protein.
    Protein,
    /// Fat.
    Fat,
    /// Starch and sugars.
    Carbohydrate,
    /// Fibre.
    Fibre,
    /// Ash, which also stands for salt crystals.
    Ash,
    /// Water, from 0 °C.
    Water,
}

type Parabola = [f64; 3];

impl Part {
    /// (J/kg K, W/m K, kg/m³), each a parabola in °C.
    const fn parabolas(self) -> (Parabola, Parabola, Parabola) {
        match self {
            Self::Protein => (
                [2008.2, 1.2089, -1.3129e-3],
                [0.178_81, 1.1958e-3, -2.7178e-6],
                [1329.9, -0.5184, 0.0],
            ),
            Self::Fat => (
                [1984.2, 1.4733, -4.8008e-3],
                [0.180_71, -2.7604e-4, -1.7749e-7],
                [925.59, -0.417_57, 0.0],
            ),
            Self::Carbohydrate => (
                [1548.8, 1.9625, -5.9399e-3],
                [0.201_41, 1.3874e-3, -4.3312e-6],
                [1599.1, -0.310_46, 0.0],
            ),
            Self::Fibre => (
                [1845.9, 1.8306, -4.6509e-3],
                [0.183_31, 1.2497e-3, -3.1683e-6],
                [1311.5, -0.365_89, 0.0],
            ),
            Self::Ash => (
                [1092.6, 1.8896, -3.6817e-3],
                [0.329_62, 1.4011e-3, -2.9069e-6],
                [2423.8, -0.280_63, 0.0],
            ),
            Self::Water => (
                [4128.9, -9.0864e-2, 5.4731e-3],
                [0.571_09, 1.7625e-3, -6.7036e-6],
                [997.18, 3.1439e-3, -3.7574e-3],
            ),
        }
    }

    /// Heat capacity.
    pub fn heat_capacity(self, temperature: ThermodynamicTemperature) -> SpecificHeatCapacity {
        joules_per_kilogram_kelvin(at(self.parabolas().0, in_celsius(temperature)))
    }

    /// Thermal conductivity.
    pub fn conductivity(self, temperature: ThermodynamicTemperature) -> ThermalConductivity {
        conductivity(at(self.parabolas().1, in_celsius(temperature)))
    }

    /// Density.
    pub fn density(self, temperature: ThermodynamicTemperature) -> MassDensity {
        kilograms_per_cubic_metre(at(self.parabolas().2, in_celsius(temperature)))
    }
}

fn at([a, b, c]: Parabola, t: f64) -> f64 {
    a + t * (b + t * c)
}

/// The parts of dry wheat flour, shares of mass. Source: composition of
/// all-purpose flour, USDA values from memory, scaled to no water.
pub const DRY_FLOUR: [(Part, f64); 5] = [
    (Part::Protein, 0.12),
    (Part::Fat, 0.012),
    (Part::Carbohydrate, 0.832),
    (Part::Fibre, 0.030),
    (Part::Ash, 0.006),
];

/// Heat capacity of a mix, mass-weighted; `parts` are shares that sum to one.
pub fn mixed_heat_capacity(
    parts: &[(Part, f64)],
    temperature: ThermodynamicTemperature,
) -> SpecificHeatCapacity {
    let t = in_celsius(temperature);
    joules_per_kilogram_kelvin(
        parts.iter().map(|(part, share)| share * at(part.parabolas().0, t)).sum(),
    )
}

/// Density of a mix without pores: volumes add.
pub fn mixed_density(parts: &[(Part, f64)], temperature: ThermodynamicTemperature) -> MassDensity {
    let t = in_celsius(temperature);
    let volume: f64 = parts.iter().map(|(part, share)| share / at(part.parabolas().2, t)).sum();
    kilograms_per_cubic_metre(1.0 / volume)
}

/// Conductivity of a mix with its parts in series (layers across the heat flow).
pub fn series_conductivity(
    parts: &[(Part, f64)],
    temperature: ThermodynamicTemperature,
) -> ThermalConductivity {
    let (volume, resistance) = by_volume(parts, in_celsius(temperature), |k| 1.0 / k);
    conductivity(volume / resistance)
}

/// Conductivity of a mix with its parts side by side.
pub fn parallel_conductivity(
    parts: &[(Part, f64)],
    temperature: ThermodynamicTemperature,
) -> ThermalConductivity {
    let (volume, conductance) = by_volume(parts, in_celsius(temperature), |k| k);
    conductivity(conductance / volume)
}

fn by_volume(parts: &[(Part, f64)], t: f64, of: impl Fn(f64) -> f64) -> (f64, f64) {
    parts.iter().fold((0.0, 0.0), |(volume, sum), (part, share)| {
        let (_, k, density) = part.parabolas();
        let one = share / at(density, t);
        (volume + one, sum + one * of(at(k, t)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::properties::water;
    use crate::units::celsius;
    use approx::assert_relative_eq;

    fn flour_with_water(water: f64) -> Vec<(Part, f64)> {
        let flour = DRY_FLOUR.iter().map(|(part, share)| (*part, share * (1.0 - water)));
        flour.chain([(Part::Water, water)]).collect()
    }

    #[test]
    fn flour_and_dough_computed_apart() {
        // Computed apart from this code with the same polynomials: flour of 12 % water cp
        // 1954, density 1440; unsalted dough of 45 % water at 25 °C cp 2770, density 1233, k
        // 0.441 and 0.346. The composition of that flour was not kept, so 2 % (density, heat)
        // and 3 % (k).
        let flour = flour_with_water(0.12);
        let dough = flour_with_water(0.45);
        let t = celsius(25.0);
        assert_relative_eq!(mixed_heat_capacity(&flour, t).value, 1954.0, max_relative = 0.02);
        assert_relative_eq!(mixed_density(&flour, t).value, 1440.0, max_relative = 0.02);
        assert_relative_eq!(mixed_heat_capacity(&dough, t).value, 2770.0, max_relative = 0.02);
        assert_relative_eq!(mixed_density(&dough, t).value, 1233.0, max_relative = 0.02);
        assert_relative_eq!(parallel_conductivity(&dough, t).value, 0.441, max_relative = 0.03);
        assert_relative_eq!(series_conductivity(&dough, t).value, 0.346, max_relative = 0.03);
    }

    #[test]
    fn water_is_water() {
        // 4.17 kJ/kg K at 100 °C; with the two signs swapped, as one public copy of
        // the polynomial has them, it would be 4.08.
        assert_relative_eq!(
            Part::Water.heat_capacity(celsius(100.0)).value,
            4175.0,
            max_relative = 0.002
        );
    }

    #[test]
    fn its_water_is_that_of_iapws() {
        // Against the Association's formulations (checked in tests/physics/water_and_ice.rs): the
        // older data that Choi & Okos fitted are up to 0.5 % off in density, 2.1 % in
        // conductivity (at 5 °C).
        for t in [5.0, 25.0, 60.0, 80.0].map(celsius) {
            let (density, k) = (Part::Water.density(t), Part::Water.conductivity(t));
            assert_relative_eq!(density.value, water::density(t).value, max_relative = 0.005);
            let iapws = water::thermal_conductivity(t).value;
            assert_relative_eq!(k.value, iapws, max_relative = 0.025);
        }
    }

    #[test]
    fn warm_solids_are_lighter() {
        // Solids expand by 1e-4 to 1e-3 a kelvin in volume (common practice, no source), so
        // over 50 K they lose 0.5 to 5 % of their density; none gains.
        use Part::{Ash, Carbohydrate, Fat, Fibre, Protein};
        for part in [Protein, Fat, Carbohydrate, Fibre, Ash] {
            let ratio = part.density(celsius(70.0)) / part.density(celsius(20.0));
            assert!((0.95..0.995).contains(&ratio.value), "{part:?}: {ratio:?}");
        }
    }

    #[test]
    fn warm_fat_conducts_less() {
        // As liquids but water do (common practice, no source); fat falls by 0.1 to 0.2 % a
        // kelvin. Whatever is built up of chains and grains conducts better when warm.
        use Part::{Ash, Carbohydrate, Fat, Fibre, Protein};
        let ratio = |part: Part| {
            (part.conductivity(celsius(70.0)) / part.conductivity(celsius(20.0))).value
        };
        assert!((0.90..0.95).contains(&ratio(Fat)), "{}", ratio(Fat));
        for part in [Protein, Carbohydrate, Fibre, Ash] {
            assert!((1.05..1.4).contains(&ratio(part)), "{part:?}: {}", ratio(part));
        }
    }
}
