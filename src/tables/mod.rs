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
//! | tasks, thresholds, cautions | hands' time, limits, words of care |
//! | priors | what is not known, as distributions |
//! | sources | where all of it comes from |

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod caution;
mod craft;
mod load;
mod lookup;
mod mould;
mod ornament;
mod range;
mod step;
mod surroundings;
mod topics;
mod unknown;

#[cfg(test)]
mod audit;

use std::sync::LazyLock;

pub use caution::{Ages, Caution, Dried, Source, SourceKind};
pub use craft::{Share, Task, Threshold};
pub use load::TableError;
pub use lookup::{UnknownName, nearest};
pub use mould::{Form, Mould, SizeError};
pub use ornament::{Finish, Ingredient, Recipe};
pub use range::Range;
pub use step::Step;
pub use surroundings::{AirMoved, Behind, Defrost, Freezer, Oven, Stand, Wall};
pub use topics::{Entry, TOPICS, Topic, entries};
pub use unknown::{Distribution, Prior, Question, Unknown, When};

use load::{Table, load};
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
    TASKS, tasks, task: Task in "tasks", "task";
    THRESHOLDS, thresholds, threshold: Threshold in "thresholds", "threshold";
    CAUTIONS, cautions, caution: Caution in "cautions", "caution";
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

/// The cautions that belong to a step for a group
/// whose youngest child is `youngest_years` old.
///
/// ```
/// use solidby::tables::{self, Step};
///
/// let fox = tables::mould("fox")?;
/// assert_eq!(fox.wall(), "silicone");
/// let mut at_baking = tables::cautions_at(Step::Bake, 2.0);
/// assert!(at_baking.all(|caution| !caution.source_title().is_empty()));
/// let wrong = tables::mould("foxx").unwrap_err();
/// assert_eq!(wrong.nearest.as_deref(), Some("fox"));
/// # Ok::<(), tables::UnknownName>(())
/// ```
pub fn cautions_at(step: Step, youngest_years: f64) -> impl Iterator<Item = &'static Caution> {
    cautions().iter().filter(move |caution| caution.applies(step, youngest_years))
}
