//! What an ornament is made of: ingredients, recipes, finishes.

use super::{load::row, range::Range, step::Step};
use crate::units::{self, ArealMassDensity, Mass, Ratio, Time};

row! {
    /// One ingredient of the dough.
    Ingredient {
        cup_g: Range<f64>,
        moisture: Option<Range<f64>>,
    }
}

impl Ingredient {
    /// Mass of one US cup (236.588 mL) of it.
    pub fn cup_mass(&self) -> Range<Mass> {
        self.cup_g.map(units::grams)
    }

    /// Water already in it, wet basis; nothing for salt, water and oil.
    pub fn moisture(&self) -> Option<Range<Ratio>> {
        self.moisture.map(|range| range.map(units::fraction))
    }
}

row! {
    /// A salt dough recipe, one batch.
    Recipe {
        flour_cups: Option<f64>,
        salt_cups: Option<f64>,
        water_cups: Option<f64>,
        flour_g: f64,
        salt_g: f64,
        water_g: f64,
        oil_g: Option<f64>,
    }
}

impl Recipe {
    /// Flour as bought, with its own moisture.
    pub fn flour(&self) -> Mass {
        units::grams(self.flour_g)
    }

    /// Salt.
    pub fn salt(&self) -> Mass {
        units::grams(self.salt_g)
    }

    /// Water added.
    pub fn water(&self) -> Mass {
        units::grams(self.water_g)
    }

    /// Oil, mostly none.
    pub fn oil(&self) -> Mass {
        units::grams(self.oil_g.unwrap_or(0.0))
    }

    /// Cups of flour, salt and water, where the recipe is measured by cups.
    pub fn cups(&self) -> Option<[f64; 3]> {
        Some([self.flour_cups?, self.salt_cups?, self.water_cups?])
    }
}

row! {
    /// Paint, glue, sealer, photo or wrap.
    Finish {
        step: Step,
        touch_min: Range<f64>,
        recoat_min: Range<f64>,
        next_h: Range<f64>,
        coat_g_m2: Range<f64>,
        coats: Range<f64>,
    }
}

impl Finish {
    /// The step it belongs to.
    pub fn step(&self) -> Step {
        self.step
    }

    /// Time until it is dry to the touch.
    pub fn touch_dry(&self) -> Range<Time> {
        self.touch_min.map(units::minutes)
    }

    /// Time until another coat of the same.
    pub fn recoat(&self) -> Range<Time> {
        self.recoat_min.map(units::minutes)
    }

    /// Time until another kind of step.
    pub fn before_next(&self) -> Range<Time> {
        self.next_h.map(units::hours)
    }

    /// Water that one thin coat leaves on the piece.
    pub fn wet_coat(&self) -> Range<ArealMassDensity> {
        self.coat_g_m2.map(units::grams_per_square_metre)
    }

    /// Usual number of coats.
    pub fn coats(&self) -> Range<f64> {
        self.coats
    }
}

#[cfg(test)]
mod tests {
    use crate::{
        tables::{self, Step},
        units::in_grams,
    };

    #[test]
    fn grams_are_cups_times_the_ingredients() {
        let cup = |name| in_grams(tables::ingredient(name).expect(name).cup_mass().typical);
        let mut with_cups = 0;
        for recipe in tables::recipes() {
            let Some([flour, salt, water]) = recipe.cups() else { continue };
            with_cups += 1;
            for (what, stated, product) in [
                ("flour", recipe.flour(), flour * cup("flour")),
                ("salt", recipe.salt(), salt * cup("salt")),
                ("water", recipe.water(), water * cup("water")),
            ] {
                // The table rounds to whole grams.
                let off = (in_grams(stated) - product).abs();
                assert!(off <= 0.5, "{} {what}: {product} g by cups", recipe.name());
            }
        }
        assert_eq!(with_cups, 5);
    }

    #[test]
    fn the_steps_of_a_plan_name_a_finish() {
        for (name, step) in [
            ("paint", Step::Paint),
            ("glue", Step::Photo),
            ("photo", Step::Photo),
            ("seal", Step::Seal),
            ("wrap", Step::Wrap),
        ] {
            assert_eq!(tables::finish(name).map(tables::Finish::step), Ok(step));
        }
    }
}
