//! Water activity of flour and salt together: crystals hold nothing, brine
//! holds the plateau, flour holds the rest.

use crate::properties::bisection::turn;
use crate::properties::brine::{
    SALT_MOLAR_MASS, activity_at_molality, molality_at_activity, saturated_activity_at,
    solubility_at,
};
use crate::properties::flour::Oswin;
use crate::units::{Ratio, ThermodynamicTemperature, fraction, in_celsius, in_fraction};

/// The solids of a dough: shares of bone-dry flour and of salt.
///
/// Mass-weighted mixing, W M = Σ wᵢ Mᵢ at equal water activity; source: Lang &
/// Steinberg (1980), J. Food Sci. 45:1228, from memory. Moisture
/// is kg water per kg solids throughout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    pub(crate) flour: f64,
    pub(crate) salt: f64,
}

/// The moistures between which brine and crystals stand together at one water activity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plateau {
    /// Water activity of the saturated brine.
    pub(crate) activity: f64,
    /// Below this there is no brine left.
    pub(crate) low: f64,
    /// Above this there are no crystals left.
    pub(crate) high: f64,
}

impl Mixture {
    /// Solids of which `salt_share` is salt, 0 to 1 (held to that range).
    pub fn new(salt_share: Ratio) -> Self {
        let salt = in_fraction(salt_share).clamp(0.0, 1.0);
        Self { flour: 1.0 - salt, salt }
    }

    /// The same solids with flour that holds `factor` times the water of the isotherm.
    pub fn with_held(self, factor: f64) -> Self {
        // The flour enters every balance only through what it holds.
        Self { flour: self.flour * factor, ..self }
    }

    /// Moisture in balance with a water activity.
    pub fn moisture(&self, activity: Ratio, temperature: ThermodynamicTemperature) -> Ratio {
        fraction(self.moisture_at(in_fraction(activity), in_celsius(temperature)))
    }

    /// Water activity at a moisture.
    pub fn activity(&self, moisture: Ratio, temperature: ThermodynamicTemperature) -> Ratio {
        fraction(self.activity_at(in_fraction(moisture), in_celsius(temperature)))
    }

    pub(crate) fn plateau(&self, t: f64) -> Plateau {
        let activity = saturated_activity_at(t);
        let low = self.flour * Oswin::at(t).held(activity);
        Plateau { activity, low, high: low + self.salt / solubility_at(t) }
    }

    pub(crate) fn moisture_at(&self, activity: f64, t: f64) -> f64 {
        let flour = self.flour * Oswin::at(t).held(activity);
        if activity <= saturated_activity_at(t) {
            return flour;
        }
        flour + self.salt / (SALT_MOLAR_MASS * molality_at_activity(activity))
    }

    /// Moisture of a brine of this molality and the flour in balance with it.
    pub(crate) fn moisture_at_molality(&self, m: f64, oswin: &Oswin) -> (f64, f64) {
        let activity = activity_at_molality(m);
        (activity, self.flour * oswin.held(activity) + self.salt / (SALT_MOLAR_MASS * m))
    }

    pub(crate) fn activity_at(&self, moisture: f64, t: f64) -> f64 {
        let plateau = self.plateau(t);
        let oswin = Oswin::at(t);
        if moisture < plateau.low {
            return oswin.activity(moisture / self.flour);
        }
        if moisture <= plateau.high {
            return plateau.activity;
        }
        let held = |m: f64| self.moisture_at_molality(m, &oswin).1;
        let molality = turn(0.0, solubility_at(t) / SALT_MOLAR_MASS, 50, |m| held(m) > moisture);
        activity_at_molality(molality).max(plateau.activity)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moisture_and_activity_there_and_back() {
        for salt in [0.1, 0.3] {
            let mixture = Mixture::new(fraction(salt));
            for t in [5.0, 25.0, 80.0] {
                let plateau = mixture.plateau(t);
                // Below and above the plateau, where moisture tells the activity.
                for activity in [0.1, 0.4, 0.7, 0.8, 0.9, 0.97] {
                    let moisture = mixture.moisture_at(activity, t);
                    let back = mixture.activity_at(moisture, t);
                    assert!((back - activity).abs() < 1e-6, "{salt}, {t} °C: {activity}, {back}");
                    assert_eq!(moisture <= plateau.low, activity < plateau.activity);
                }
            }
        }
    }

    #[test]
    fn the_plateau_ends_where_all_salt_is_dissolved() {
        // Salt Institute (as in properties::brine): 26.4 % of a saturated brine at 20 °C is salt,
        // 35.9 g in 100 g of water; so 0.3 kg of salt take 0.836 kg of water.
        let plateau = Mixture::new(fraction(0.3)).plateau(20.0);
        let brine = plateau.high - plateau.low;
        assert!((brine / 0.836 - 1.0).abs() < 0.005, "{brine} kg of water");
        // And flour alone holds the rest, in equal measure at each end.
        let flour = 0.7 * Oswin::at(20.0).held(plateau.activity);
        assert!((plateau.low / flour - 1.0).abs() < 1e-12);
    }
}
