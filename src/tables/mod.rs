//! What `tables/*.toml` state, each value with its source.
//!
//! The files are embedded and parsed once. A file that does not parse leaves
//! its table empty and shows in [`loading_errors`]; the tests hold that list
//! empty, so no getter panics and none needs to return an error for it.
//!
//! | file | rows |
//! |---|---|
//! | moulds, walls, stands, freezers | what ice is made in |
//! | recipes, ingredients, ovens, finishes | what ornaments are made of |
//! | tasks, thresholds, cautions, looks | hands' time, limits, words of care, what ready looks like |
//! | families | what families are told |
//! | priors | what is not known, as distributions |
//! | prices | what makes a plan better |
//! | sources | where all of it comes from |

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod caution;
mod craft;
mod families;
mod load;
mod look;
mod lookup;
mod mould;
mod ornament;
mod price;
mod range;
mod step;
mod surroundings;
mod topics;
mod unknown;
mod wording;

#[cfg(test)]
mod audit;

use std::sync::LazyLock;

pub use caution::{Ages, Caution, Dried, Source, SourceKind};
pub use craft::{Share, Threshold, Work};
pub use families::{ForFamilies, Needs, Paper};
pub use load::TableError;
pub use look::Look;
pub(crate) use lookup::Named;
pub use lookup::{UnknownName, called, nearest};
pub use mould::Mould;
pub use ornament::{Finish, Ingredient, Recipe};
pub use price::{Price, Term};
pub use range::Range;
pub use step::Step;
pub use surroundings::{AirMoved, Behind, Defrost, Freezer, Oven, Stand, Wall};
pub use topics::{Entry, TOPICS, Topic, entries};
pub use unknown::{Distribution, Prior, Question, Unknown, When};
pub use wording::Wording;

use load::{Table, load, stated};
use lookup::find;

/// One embedded file: its static table, the getter of all rows, the getter of one.
macro_rules! tables {
    ($($table:ident, $all:ident, $one:ident: $row:ident in $topic:literal, $words:literal;)*) => {
        $(
            static $table: Table<$row> = LazyLock::new(|| load($topic));

            #[doc = concat!("All ", $words, "s, in the order of `tables/", $topic, ".toml`.")]
            pub fn $all() -> &'static [$row] {
                $table.as_deref().unwrap_or_default()
            }

            #[doc = concat!("The ", $words, " of that name, or of one of its other names.")]
            ///
            /// Case, hyphens and underscores do not matter.
            ///
            /// # Errors
            /// [`UnknownName`], with the nearest name that exists.
            pub fn $one(name: &str) -> Result<&'static $row, UnknownName> {
                find($all(), $words, name)
            }
        )*

        /// What is wrong with the embedded files: empty, as a test holds.
        pub fn loading_errors() -> Vec<&'static TableError> {
            [$($table.as_ref().err(),)* PRIORS.as_ref().err()].into_iter().flatten().collect()
        }
    };
}

tables! {
    MOULDS, moulds, mould: Mould in "moulds", "mould";
    WALLS, walls, wall: Wall in "walls", "wall";
    STANDS, stands, stand: Stand in "stands", "stand";
    FREEZERS, freezers, freezer: Freezer in "freezers", "freezer";
    OVENS, ovens, oven: Oven in "ovens", "oven";
    RECIPES, recipes, recipe: Recipe in "recipes", "recipe";
    INGREDIENTS, ingredients, ingredient: Ingredient in "ingredients", "ingredient";
    FINISHES, finishes, finish: Finish in "finishes", "finish";
    TASKS, tasks, task: Work in "tasks", "task";
    THRESHOLDS, thresholds, threshold: Threshold in "thresholds", "threshold";
    PRICES, prices, price: Price in "prices", "price";
    LOOKS, looks, look: Look in "looks", "look";
    CAUTIONS, cautions, caution: Caution in "cautions", "caution";
    FAMILIES, families, for_families: ForFamilies in "families", "word for families";
    SOURCES, sources, source: Source in "sources", "source";
}

static PRIORS: Table<Prior> = LazyLock::new(|| load("priors").and_then(unknown::one_each));

/// The belief about every unknown, in the order of `tables/priors.toml`.
pub fn priors() -> &'static [Prior] {
    PRIORS.as_deref().unwrap_or_default()
}

/// The belief about an unknown before any note.
///
/// # Errors
/// [`TableError`] when `tables/priors.toml` does not load.
pub fn prior(unknown: Unknown) -> Result<&'static Prior, TableError> {
    unknown::of(PRIORS.as_deref().map_err(Clone::clone)?, unknown)
}

/// The rows that the program itself names, each a function of its row type.
macro_rules! own_rows {
    ($($row:ident, $one:ident { $($name:ident = $key:literal),* })*) => {
        $(impl $row {
            $(
                #[doc = concat!("`", $key, "`, a row that the program itself names.")]
                pub fn $name() -> &'static Self {
                    stated($one($key))
                }
            )*
        })*

        #[cfg(test)]
        #[test]
        fn the_rows_that_the_program_names_are_there() {
            $($(assert_eq!($row::$name().name(), $key);)*)*
        }
    };
}

own_rows! {
    Wall, wall { plastic = "plastic", steel = "steel", glass = "glass" }
    Stand, stand { wire = "wire", shelf = "shelf", cold_plate = "cold-plate" }
    Freezer, freezer { fridge_freezer = "fridge-freezer", ice_box = "ice-box" }
    Oven, oven { still = "still", fan = "fan" }
    Recipe, recipe { two_one_one = "two-one-one" }
    Finish, finish { paint = "paint", glue = "glue", photo = "photo", seal = "seal" }
    Threshold, threshold {
        child_piece = "child-piece", child_tray = "child-tray", adult_piece = "adult-piece",
        adult_tray = "adult-tray", damp_paint = "damp-paint", cold_paint = "cold-paint",
        puff = "puff",
        brown = "brown",
        slow_drying = "slow-drying"
    }
    Caution, caution {
        food_warms = "food-warms", glass_moulds = "glass-moulds", small_ice = "small-ice",
        sticky_cold = "sticky-cold", clean_moulds = "clean-moulds", slips = "slips",
        sharp_ice = "sharp-ice", hot_water = "hot-water"
    }
    Work, task {
        wash = "wash moulds", fill = "fill", turn_out = "turn out and bag", pack = "pack",
        use_ice = "use ice", drain = "drain and rinse", gather = "gather photos",
        mix = "weigh and mix", roll = "roll and cut", paint = "paint with a child",
        load = "load a tray", take_out = "take out to cool", set_out = "set out ice",
        photo = "glue photo in", seal = "seal one coat", wrap = "wrap", give = "give"
    }
}

/// The cautions that belong to a step for a group
/// whose youngest child is `youngest_years` old.
///
/// ```
/// use solidby::tables::{self, Step};
///
/// let fox = tables::mould("fox")?;
/// assert_eq!(fox.wall().name(), "silicone");
/// let mut at_baking = tables::cautions_at(Step::Bake, 2.0);
/// assert!(at_baking.all(|caution| !caution.source_title().is_empty()));
/// let wrong = tables::mould("foxx").unwrap_err();
/// assert_eq!(wrong.nearest.as_deref(), Some("fox"));
/// # Ok::<(), tables::UnknownName>(())
/// ```
pub fn cautions_at(step: Step, youngest_years: f64) -> impl Iterator<Item = &'static Caution> {
    cautions().iter().filter(move |caution| caution.applies(step, youngest_years))
}

/// What to look at before a step, where it waits for something that ends by itself.
pub fn look_before(step: Step) -> Option<&'static Look> {
    looks().iter().find(|look| look.step == step)
}
