//! The freezer as a body: its air, its cooling power, and the food already in it.
//!
//! Two lumps, the air with the liner and shelves (C_a, T_a) and the contents
//! (C_c, T_c):
//!
//! C_a dT_a/dt = Q_blocks + U (T_c − T_a) − P(T_a), C_c dT_c/dt = U (T_a − T_c)
//!
//! P is the cooling power beyond what the cabinet leaks. The thermostat is
//! taken at its mean over on and off, which is what a thermometer tells: P is what
//! holds the mean, as far as the power goes; only a load beyond it warms the air.

use crate::units::{
    MassRate, Power, TemperatureInterval, ThermodynamicTemperature, Time, Volume, in_celsius,
    in_kelvins_apart, in_kilograms_per_second, in_litres, in_seconds, watts,
};

/// Heat taken from a kilogram of the standard's test load from 25 to −18 °C, J/kg.
///
/// The load is 76.4 % water and 23 % cellulose derivative (the test package of the standards,
/// read in a public copy): 0.764 × 474.8 kJ/kg of water (computed here from IAPWS-95 and
/// R10-06) + 0.23 × 1.5 kJ/kg K × 43 K.
pub const TEST_LOAD_HEAT: f64 = 378e3;

/// Food in a freezer in use, kg a litre: half full of packs at half a kilogram a litre. Common practice.
const FOOD_KG_PER_LITRE: f64 = 0.25;

/// Heat capacity of frozen food, J/kg K, that of ice near −15 °C. Common practice.
const FOOD_HEAT: f64 = 1.9e3;

/// Heat capacity of air, liner and shelves, J/K a litre: about 0.1 kg of plastic a litre. Common practice.
const CABINET_HEAT: f64 = 150.0;

/// Conductance between the air and the food, W/K a litre: 10 W/m²K of still air
/// (Anderson et al. 2004, Int. J. Refrigeration 27:63, measured 8 to 15) on 0.004 m² of
/// exposed pack a litre. Common practice, no source.
const FOOD_CONDUCTANCE: f64 = 0.04;

/// Food warmer than this is no longer deep-frozen to two stars, °C. Source: (EU) 2019/2016 table 3.
pub const FOOD_LIMIT_C: f64 = -12.0;

/// Longest step of the air's balance, s.
const LONGEST_STEP: f64 = 40.0;

/// How a freezer defrosts itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Defrosting {
    /// From one defrost to the next; the first comes half of it after filling.
    pub every: Time,
    /// How long it lasts.
    pub lasts: Time,
    /// Rise of the air meanwhile.
    pub rise: TemperatureInterval,
}

/// A freezer, as it is set up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Freezer {
    /// Mean air where the moulds stand, before they are put in.
    pub air: ThermodynamicTemperature,
    /// Cooling power beyond the leak; None for one that is never at its limit.
    pub power: Option<Power>,
    /// Room inside.
    pub volume: Volume,
    /// Its defrosting, if it has any.
    pub defrosting: Option<Defrosting>,
}

/// Net cooling power of a rated freezing capacity: that mass of test load from
/// 25 to −18 °C in 24 h.
///
/// Source: UK SI 2021/1097 amending (EU) 2019/2016; [`TEST_LOAD_HEAT`].
pub fn power_of_capacity(capacity: MassRate) -> Power {
    watts(in_kilograms_per_second(capacity) * TEST_LOAD_HEAT)
}

/// The air and contents of a freezer as they go.
#[derive(Debug, Clone)]
pub(crate) struct FreezerAir {
    set_c: f64,
    power: Option<f64>,
    cabinet: f64,
    food: f64,
    conductance: f64,
    defrosting: Option<[f64; 3]>,
    time: f64,
    air_c: f64,
    food_c: f64,
    /// Longest the cooling ran without a pause, s; warmest food, °C.
    pub(crate) limited: f64,
    pub(crate) warmest_food_c: f64,
}

impl FreezerAir {
    pub(crate) fn new(freezer: &Freezer) -> Self {
        let litres = in_litres(freezer.volume).max(1.0);
        let air_c = in_celsius(freezer.air);
        let defrosting = freezer
            .defrosting
            .map(|d| [in_seconds(d.every), in_seconds(d.lasts), in_kelvins_apart(d.rise)]);
        Self {
            set_c: air_c,
            power: freezer.power.map(|power| power.value.max(0.0)),
            cabinet: CABINET_HEAT * litres,
            food: FOOD_KG_PER_LITRE * litres * FOOD_HEAT,
            conductance: FOOD_CONDUCTANCE * litres,
            defrosting,
            time: 0.0,
            air_c,
            food_c: air_c,
            limited: 0.0,
            warmest_food_c: air_c,
        }
    }

    /// The air as the blocks last met it, °C.
    pub(crate) fn met_c(&self) -> f64 {
        self.air_c + self.defrost_rise()
    }

    /// The mean of the air itself, without a defrost's rise, °C.
    pub(crate) fn mean_c(&self) -> f64 {
        self.air_c
    }

    /// Lets time pass with heat from the blocks, W: a part that is given, and
    /// conductances, W/K, to surfaces, °C. Returns the air, °C.
    ///
    /// The heat through conductances follows the air within the step: taken as
    /// given, a heavy load in a small freezer would throw its air up and down.
    pub(crate) fn pass(&mut self, lapse: f64, heat: f64, through: &[[f64; 2]]) -> f64 {
        let Some(power) = self.power else {
            self.time += lapse;
            return self.set_c + self.defrost_rise();
        };
        let steps = (lapse / LONGEST_STEP).ceil();
        let step = lapse / steps;
        // Σ g and Σ g T of the blocks and the food.
        let [stiff, from_blocks] = through
            .iter()
            .fold([self.conductance, heat], |[g, q], [more, at]| [g + more, q + more * at]);
        // At its mean, with power to spare, it stays there.
        let held = [self.air_c, self.food_c].iter().all(|t| (t - self.set_c).abs() < 1e-9);
        let balance = from_blocks + (self.conductance - stiff) * self.set_c;
        if held && (0.0..=power).contains(&balance) {
            self.time += lapse;
            return self.set_c + self.defrost_rise();
        }
        // What the air takes up for a kelvin within a step, and by how much the food follows.
        let whole = self.cabinet / step + stiff;
        let (rise, follow) = (1.0 / whole, step * self.conductance / self.food);
        for _ in 0..steps as usize {
            let gain = from_blocks + self.conductance * self.food_c - stiff * self.air_c;
            // What brings the air to its mean within the step, if there is so much.
            let needed = gain - whole * (self.set_c - self.air_c);
            let drawn = needed.clamp(0.0, power);
            self.air_c += (gain - drawn) * rise;
            self.food_c -= follow * (self.food_c - self.air_c);
            self.warmest_food_c = self.warmest_food_c.max(self.food_c);
            if needed > power {
                self.limited += step;
            }
        }
        self.time += lapse;
        self.air_c + self.defrost_rise()
    }

    /// How long it has been followed, h.
    pub(crate) fn followed_h(&self) -> f64 {
        self.time / 3600.0
    }

    /// Rise of the air by a defrost under way, K.
    fn defrost_rise(&self) -> f64 {
        let Some([every, lasts, rise]) = self.defrosting else { return 0.0 };
        let since = (self.time + 0.5 * every) % every;
        if self.time > 0.5 * every - 1.0 && since < lasts { rise } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::*;
    use approx::assert_relative_eq;

    fn freezer(power: Option<f64>) -> Freezer {
        Freezer {
            air: celsius(-18.0),
            power: power.map(watts),
            volume: litres(100.0),
            defrosting: None,
        }
    }

    #[test]
    fn rated_capacity_as_power() {
        // 4.5 kg/day of a 100 L four-star freezer: 19.7 W of test load.
        assert_relative_eq!(
            in_watts(power_of_capacity(kilograms_per_day(4.5))),
            4.5 * 378e3 / 86_400.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn a_load_that_it_can_carry_leaves_the_mean_as_it_was() {
        let mut air = FreezerAir::new(&freezer(Some(30.0)));
        for _ in 0..200 {
            // Half of it given, the rest through a conductance to water at 0 °C.
            air.pass(60.0, 15.0, &[[0.8, 0.0]]);
            assert_relative_eq!(air.air_c, -18.0, epsilon = 1e-9);
        }
        assert_eq!((air.food_c, air.limited), (-18.0, 0.0));
    }

    #[test]
    fn after_an_overload_it_cools_back_to_its_mean_and_no_further() {
        let mut air = FreezerAir::new(&freezer(Some(30.0)));
        for _ in 0..60 {
            air.pass(60.0, 60.0, &[]);
        }
        assert!(air.air_c > -17.0, "{} °C", air.air_c);
        let mut before = air.air_c;
        for _ in 0..3000 {
            let now = air.pass(60.0, 0.0, &[]);
            assert!(now <= before + 1e-12 && now >= -18.0, "{now} °C after {before} °C");
            before = now;
        }
        assert_relative_eq!(before, -18.0, epsilon = 1e-6);
    }

    #[test]
    fn a_load_beyond_its_power_warms_air_and_food_by_its_energy() {
        let mut air = FreezerAir::new(&freezer(Some(30.0)));
        for _ in 0..600 {
            air.pass(60.0, 60.0, &[]);
        }
        assert_relative_eq!(air.limited, 36_000.0, max_relative = 1e-9);
        let stored = air.cabinet * (air.air_c + 18.0) + air.food * (air.food_c + 18.0);
        // 30 W more than it can take away, for 10 h.
        assert_relative_eq!(stored, 30.0 * 36_000.0, max_relative = 1e-9);
        assert!(air.warmest_food_c > FOOD_LIMIT_C);
    }

    #[test]
    fn defrosting_lifts_the_air_for_a_while() {
        let every = hours(12.0);
        let defrosting = Some(Defrosting { every, lasts: minutes(20.0), rise: kelvins_apart(3.0) });
        let mut air = FreezerAir::new(&Freezer { defrosting, ..freezer(None) });
        let warm = (0..1440).filter(|_| air.pass(60.0, 0.0, &[]) > -17.0).count();
        assert!((38..=42).contains(&warm), "{warm} min of a day");
    }
}
