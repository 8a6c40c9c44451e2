//! The steps of a prep, as the tables and the program alike name them.

use serde::{Deserialize, Serialize};

macro_rules! steps {
    ($($(#[$doc:meta])* $step:ident,)*) => {
        /// A kind of step. The tables write it in lower case with hyphens: `turn-out`.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Step {
            $($(#[$doc])* $step,)*
        }

        impl Step {
            /// Every kind, ice first, each in the order in which it is done.
            pub const ALL: &[Self] = &[$(Self::$step),*];
        }
    };
}

steps! {
    /// Hands and moulds are washed.
    Wash,
    /// Water goes into the moulds, and they into the freezer.
    Fill,
    /// Blocks freeze by themselves.
    Freeze,
    /// Blocks leave their moulds, into bags.
    TurnOut,
    /// Blocks go into the cool box.
    Pack,
    /// The cool box goes to class.
    Carry,
    /// Blocks stand until they no longer stick to skin.
    Temper,
    /// Children have the ice.
    Use,
    /// Trays are drained and rinsed, the floor is wiped.
    Rinse,
    /// Families are asked for photos, and the photos come together.
    Gather,
    /// Dough is weighed and mixed.
    Mix,
    /// Dough is rolled and cut.
    Roll,
    /// Pieces go into the oven.
    Load,
    /// Pieces dry in the oven.
    Bake,
    /// Pieces come out of the oven, onto a rack.
    TakeOut,
    /// Baked pieces and their tray cool.
    Cool,
    /// Pieces dry in the room.
    AirDry,
    /// Children paint the pieces.
    Paint,
    /// A photo is glued in.
    Photo,
    /// A coat of sealer goes on.
    Seal,
    /// A coat of paint, glue or sealer dries.
    Dry,
    /// Pieces are wrapped as presents.
    Wrap,
    /// Families get them.
    Give,
}
