//! What a diary of past evenings teaches of one freezer or one oven.

mod fit;

pub use fit::{
    Belief, Dated, EveningCache, Fit, HALF_LIFE_DAYS, Noted, Says, Taker, fit_dough, fit_ice,
};
