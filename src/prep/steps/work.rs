//! How long hands are busy with a usual step.

use crate::{
    tables,
    units::{in_hours, minutes},
};

/// A step of `tables/tasks.toml`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work(&'static str);

macro_rules! works {
    ($($name:ident = $row:literal;)*) => {
        impl Work {
            $(#[doc = concat!("`", $row, "` of `tables/tasks.toml`.")]
            pub const $name: Self = Self($row);)*

            #[cfg(test)]
            const ALL: &[Self] = &[$(Self::$name),*];
        }
    };
}

works! {
    WASH = "wash moulds";
    FILL = "fill";
    TURN_OUT = "turn out and bag";
    PACK = "pack";
    USE = "use ice";
    DRAIN = "drain and rinse";
    GATHER = "gather photos";
    MIX = "weigh and mix";
    ROLL = "roll and cut";
    PAINT = "paint with a child";
    PHOTO = "glue photo in";
    SEAL = "seal one coat";
    WRAP = "wrap";
    GIVE = "give";
}

impl Work {
    /// Usual hours for `count` moulds, blocks, pieces, children or batches.
    pub fn hours(self, count: u32) -> f64 {
        let usual = tables::task(self.0).map(|task| task.hands(count).typical);
        in_hours(usual.unwrap_or_else(|_| minutes(15.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_is_in_the_table() {
        for work in Work::ALL {
            assert!(tables::task(work.0).is_ok(), "{work:?}");
        }
    }
}
