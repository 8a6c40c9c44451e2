//! A dough by cups or by weight: its moisture, density, salt, and what to buy.

use thiserror::Error;

use super::mixture::Mixture;
use crate::properties::brine::{SALT_DENSITY, saturated_activity_at};
use crate::properties::flour::{FLOUR_DENSITY, FLOUR_MOISTURE};
use crate::tables;
use crate::units::{
    Amount, Mass, MassDensity, Ratio, ThermodynamicTemperature, Volume, fraction, in_celsius,
    in_cubic_metres, in_fraction, in_kilograms, in_us_cups, kilograms, kilograms_per_cubic_metre,
    us_cups,
};

/// Mass of a US cup (236.588 mL), kg. Source: USDA and handbook values from memory.
const CUP_OF_FLOUR: f64 = 0.125;
const CUP_OF_SALT: f64 = 0.288;
const CUP_OF_WATER: f64 = 0.237;
/// Salt to flour by mass, at most: common practice has up to 2.3 (a cup of each); eight still
/// makes a paste.
const MOST_SALT: f64 = 8.0;
/// Density of water, kg/m³, rounded. Source: IAPWS-95 (998.2 at 20 °C).
const WATER_DENSITY: f64 = 1000.0;

/// What is mixed: flour and salt as bought, and added water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recipe {
    flour: f64,
    salt: f64,
    water: f64,
    /// Water the flour holds, times the isotherm's.
    held: f64,
}

/// Amounts that make no dough.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum RecipeError {
    /// An amount is negative or not a number.
    #[error("the amount of {0} must be zero or more")]
    Negative(&'static str),
    /// No flour, or no water.
    #[error("a dough needs some {0}")]
    Missing(&'static str),
    /// More water than stays in a piece of dough.
    #[error(
        "with {0:.0} % water by mass, that in the flour itself counted, this is a batter, not a dough; at most 50 %"
    )]
    TooWet(f64),
    /// Too little flour to hold the salt together.
    #[error(
        "with {0:.0} parts of salt to one of flour nothing holds it together; at least one part of flour in eight of salt, by weight"
    )]
    TooSalty(f64),
    /// Less water than binds the flour.
    #[error(
        "with {0:.0} % water by mass, that in the flour itself counted, this crumbles and is no dough; at least 15 %"
    )]
    TooDry(f64),
}

/// A piece before and after drying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceMass {
    /// As shaped.
    pub wet: Mass,
    /// In balance with the room.
    pub dry: Mass,
}

/// What to weigh out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amounts {
    /// Flour as bought.
    pub flour: Mass,
    /// Salt.
    pub salt: Mass,
    /// Water.
    pub water: Mass,
    /// The same by volume, levelled, not packed.
    pub by_volume: [Volume; 3],
}

/// Marks of a set of cup measures, in cups: quarters and thirds (common practice, no source).
const MARKS: [f64; 6] = [0.0, 0.25, 1.0 / 3.0, 0.5, 2.0 / 3.0, 0.75];
/// Half a tablespoon, in cups: by it is measured what is less than the smallest of them.
const HALF_SPOON: f64 = 1.0 / 32.0;
/// What a cup is filled to is no more exact, as a share.
const LEVELLED: f64 = 0.01;
/// No batch is rounded up by more of its smallest part, in cups.
const ROUNDED_UP: f64 = 1.0;

impl Amounts {
    /// The smallest batch of no less whose parts all stand on the marks of cup measures, so that
    /// they keep their proportions; the same where there is none, as of a recipe by weight.
    #[must_use]
    pub fn by_the_cup(self) -> Self {
        let cups = self.by_volume.map(in_us_cups);
        let parts = cups.iter().copied().filter(|part| *part > 0.0);
        let least = parts.fold(f64::INFINITY, f64::min);
        if !least.is_finite() {
            return self;
        }
        let sizes = marks_from(least).take_while(|size| *size <= least + ROUNDED_UP);
        let mut scales = sizes.map(|size| size / least);
        scales
            .find(|scale| cups.iter().all(|part| is_on_a_mark(scale * part)))
            .map_or(self, |scale| self.times(scale))
    }

    fn times(self, scale: f64) -> Self {
        Self {
            flour: scale * self.flour,
            salt: scale * self.salt,
            water: scale * self.water,
            by_volume: self.by_volume.map(|volume| scale * volume),
        }
    }
}

/// What can be measured from so many cups on, the least first.
fn marks_from(cups: f64) -> impl Iterator<Item = f64> {
    let spoons = (1..8).map(|spoons| f64::from(spoons) * HALF_SPOON);
    let wholes = (0..).map(move |more| cups.floor() + f64::from(more));
    let in_cups = wholes.flat_map(|whole| MARKS.map(|mark| whole + mark));
    spoons.chain(in_cups.filter(|mark| *mark > 0.0)).filter(move |mark| *mark >= at_least(cups))
}

fn at_least(cups: f64) -> f64 {
    (1.0 - LEVELLED) * cups
}

fn is_on_a_mark(cups: f64) -> bool {
    marks_from(cups).next().is_some_and(|mark| at_least(mark) <= cups)
}

impl From<&tables::Recipe> for Recipe {
    /// A row of the tables, each of which a test holds to be a dough.
    fn from(row: &tables::Recipe) -> Self {
        Self {
            flour: in_kilograms(row.flour()),
            salt: in_kilograms(row.salt()),
            water: in_kilograms(row.water()),
            held: 1.0,
        }
    }
}

impl Recipe {
    /// A dough weighed out.
    ///
    /// # Errors
    /// [`RecipeError`] for amounts that make no dough.
    pub fn by_mass(flour: Mass, salt: Mass, water: Mass) -> Result<Self, RecipeError> {
        let made = Self {
            flour: in_kilograms(flour),
            salt: in_kilograms(salt),
            water: in_kilograms(water),
            held: 1.0,
        };
        for (amount, name) in [(made.flour, "flour"), (made.salt, "salt"), (made.water, "water")] {
            if !(amount.is_finite() && amount >= 0.0) {
                return Err(RecipeError::Negative(name));
            }
        }
        if made.flour == 0.0 {
            return Err(RecipeError::Missing("flour"));
        }
        if made.water == 0.0 {
            return Err(RecipeError::Missing("water"));
        }
        let to_flour = made.salt / made.flour;
        if to_flour > MOST_SALT {
            return Err(RecipeError::TooSalty(to_flour));
        }
        let wet_share = in_fraction(made.wet_basis());
        match wet_share {
            _ if wet_share > 0.5 => Err(RecipeError::TooWet(100.0 * wet_share)),
            _ if wet_share < 0.15 => Err(RecipeError::TooDry(100.0 * wet_share)),
            _ => Ok(made),
        }
    }

    /// A dough of which each ingredient is weighed or measured.
    ///
    /// # Errors
    /// [`RecipeError`] for amounts that make no dough.
    pub fn measured([flour, salt, water]: [Amount; 3]) -> Result<Self, RecipeError> {
        let weighed = |amount, cup: f64| match amount {
            Amount::Mass(mass) => mass,
            Amount::Volume(volume) => kilograms(in_us_cups(volume) * cup),
        };
        Self::by_mass(
            weighed(flour, CUP_OF_FLOUR),
            weighed(salt, CUP_OF_SALT),
            weighed(water, CUP_OF_WATER),
        )
    }

    /// The same recipe with factors on flour, salt and water, and on what the flour holds.
    #[must_use]
    pub fn scattered(self, [flour, salt, water]: [f64; 3], held: f64) -> Self {
        Self {
            flour: self.flour * flour,
            salt: self.salt * salt,
            water: self.water * water,
            held: self.held * held,
        }
    }

    fn solids(&self) -> f64 {
        self.flour * (1.0 - FLOUR_MOISTURE) + self.salt
    }

    fn all_water(&self) -> f64 {
        self.water + self.flour * FLOUR_MOISTURE
    }

    /// Moisture as mixed, kg water per kg solids.
    pub fn moisture(&self) -> Ratio {
        fraction(self.all_water() / self.solids())
    }

    /// Water as a share of the wet mass.
    pub fn wet_basis(&self) -> Ratio {
        fraction(self.all_water() / (self.all_water() + self.solids()))
    }

    /// The solids: flour and salt.
    pub fn mixture(&self) -> Mixture {
        Mixture::new(fraction(self.salt / self.solids())).with_held(self.held)
    }

    /// Density as mixed, no air worked in: volumes of the parts add.
    pub fn density(&self) -> MassDensity {
        let volume = self.flour * (1.0 - FLOUR_MOISTURE) / FLOUR_DENSITY
            + self.salt / SALT_DENSITY
            + self.all_water() / WATER_DENSITY;
        kilograms_per_cubic_metre((self.solids() + self.all_water()) / volume)
    }

    /// Solids in a cubic metre of wet dough.
    pub(crate) fn solids_density(&self) -> f64 {
        self.density().value / (1.0 + in_fraction(self.moisture()))
    }

    /// Water activity as mixed.
    pub fn water_activity(&self, temperature: ThermodynamicTemperature) -> Ratio {
        self.mixture().activity(self.moisture(), temperature)
    }

    /// Share of the wet mass lost when the piece is in balance with a room; `None` at
    /// humidities at which salt draws water and no balance below the brine exists.
    pub fn mass_loss(&self, room: ThermodynamicTemperature, humidity: Ratio) -> Option<Ratio> {
        if in_fraction(humidity) >= saturated_activity_at(in_celsius(room)) {
            return None;
        }
        let start = in_fraction(self.moisture());
        let end = in_fraction(self.mixture().moisture(humidity, room));
        Some(fraction((start - end) / (1.0 + start)))
    }

    /// Mass of one piece of a volume, wet and in balance with the room.
    pub fn piece(&self, volume: Volume, loss: Ratio) -> PieceMass {
        let wet = self.density().value * in_cubic_metres(volume);
        PieceMass { wet: kilograms(wet), dry: kilograms(wet * (1.0 - in_fraction(loss))) }
    }

    /// What to weigh out for `count` pieces of `each`, with `spare` more (0.1 is a tenth).
    pub fn amounts(&self, each: Volume, count: u32, spare: Ratio) -> Amounts {
        let needed = self.density().value
            * in_cubic_metres(each)
            * f64::from(count)
            * (1.0 + in_fraction(spare));
        let scale = needed / (self.flour + self.salt + self.water);
        let (flour, salt, water) = (self.flour * scale, self.salt * scale, self.water * scale);
        let by_cup = |mass: f64, cup: f64| us_cups(mass / cup);
        Amounts {
            flour: kilograms(flour),
            salt: kilograms(salt),
            water: kilograms(water),
            by_volume: [
                by_cup(flour, CUP_OF_FLOUR),
                by_cup(salt, CUP_OF_SALT),
                by_cup(water, CUP_OF_WATER),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::in_grams;

    /// Whoever reads `solidby tables ingredients` reads what is computed with.
    #[test]
    fn cups_weigh_what_the_table_says() {
        for (name, kilograms) in
            [("flour", CUP_OF_FLOUR), ("salt", CUP_OF_SALT), ("water", CUP_OF_WATER)]
        {
            let row = tables::ingredient(name).unwrap();
            assert!((in_grams(row.cup_mass().typical) - 1e3 * kilograms).abs() < 1e-9, "{name}");
        }
    }

    /// What is measured out keeps the proportions of the recipe on the marks of the cups, is no
    /// less than is needed and little more, and weighs what it measures.
    #[test]
    fn a_batch_is_rounded_up_as_a_whole() {
        let by_cups = tables::recipes().iter().filter(|row| !row.name().ends_with("by-weight"));
        for row in by_cups {
            let recipe = Recipe::from(row);
            for pieces in 1..=60 {
                let exact = recipe.amounts(us_cups(0.11), pieces, fraction(0.15));
                let batch = exact.by_the_cup();
                let scale = in_kilograms(batch.flour) / in_kilograms(exact.flour);
                let [own, batched] = [exact, batch].map(|it| it.by_volume.map(in_us_cups));
                let least = own.into_iter().fold(f64::INFINITY, f64::min);
                let more = (scale - 1.0) * least;
                assert!(scale >= 0.99 && more <= 0.34, "{} {pieces}: {own:?}", row.name());
                for (own, part) in own.into_iter().zip(batched) {
                    assert!((part - scale * own).abs() < 1e-9, "{}", row.name());
                    assert!(is_on_a_mark(part), "{} {pieces}: {batched:?}", row.name());
                }
            }
        }
        let row = tables::Recipe::two_one_one();
        let dough = Recipe::from(row).amounts(us_cups(0.84), 2, fraction(0.15)).by_the_cup();
        let cups = dough.by_volume.map(|part| (1e3 * in_us_cups(part)).round());
        assert_eq!(cups, [2.0 * cups[1], cups[1], cups[1]]);
    }

    #[test]
    fn every_recipe_of_the_tables_makes_a_dough() {
        for row in tables::recipes() {
            let weighed = Recipe::by_mass(row.flour(), row.salt(), row.water());
            assert_eq!(weighed, Ok(Recipe::from(row)), "{}", row.name());
        }
    }
}
