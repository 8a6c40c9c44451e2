//! What an ornament is made of: ingredients, recipes, finishes.

use super::{load::row, range::Range, step::Step};
use crate::units::{self, ArealMassDensity, Mass, Time};

row! {
    /// One ingredient of the dough.
    Ingredient {
        moisture: Option<Range<f64>>,
    }
    ranges {
        /// Mass of one US cup (236.588 mL) of it.
        cup_mass: Mass = units::grams, "cup_g";
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

    /// Oil, where it has some.
    pub fn oil(&self) -> Option<Mass> {
        self.oil_g.map(units::grams)
    }
}

row! {
    /// Paint, glue, sealer, photo or wrap.
    Finish {}
    read {
        /// The step it belongs to.
        step: Step;
        /// Usual number of coats.
        coats: Range<f64>;
    }
    ranges {
        /// Time until it is dry to the touch.
        touch_dry: Time = units::minutes, "touch_min";
        /// Time until another coat of the same.
        recoat: Time = units::minutes, "recoat_min";
        /// Time until another kind of step.
        before_next: Time = units::hours, "next_h";
        /// Water that one thin coat leaves on the piece.
        wet_coat: ArealMassDensity = units::grams_per_square_metre, "coat_g_m2";
    }
}

impl Finish {
    /// Usual number of coats, one at least.
    pub fn usual_coats(&self) -> u32 {
        self.coats().typical.round().max(1.0) as u32
    }
}
