//! What a plan costs the one who follows it.

use super::load::row;

row! {
    /// A price in minutes of comfort.
    Price {
        per: String,
        reason: String,
    }
    read {
        /// Minutes, for each time.
        minutes: f64;
    }
}

macro_rules! terms {
    ($($(#[$doc:meta])* $term:ident = $name:literal,)*) => {
        /// A term of a plan's price, by its row in `tables/prices.toml`.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Term {
            $($(#[$doc])* $term,)*
        }

        impl Term {
            /// Every term.
            pub const ALL: &[Self] = &[$(Self::$term),*];

            /// The name of its row.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$term => $name,)*
                }
            }
        }
    };
}

terms! {
    /// A sitting begun.
    Sitting = "sitting",
    /// A minute of hands.
    Hands = "hands",
    /// A filling.
    Round = "round",
    /// A minute early or late.
    OddHour = "odd-hour",
    /// An hour beside the oven.
    OvenHour = "oven-hour",
    /// An hour of oven reserved.
    OvenReserved = "oven-reserved",
    /// A day that a block is kept.
    DayKept = "day-kept",
    /// No class day of buffer.
    BufferFirst = "buffer-first",
    /// No second class day of buffer.
    BufferSecond = "buffer-second",
    /// No third class day of buffer.
    BufferThird = "buffer-third",
    /// Pieces carried to class a second time.
    CarriedAgain = "carried-again",
    /// A day that pieces lie about.
    DayLying = "day-lying",
    /// A step moved to another half of a day.
    MovedHalfDay = "moved-half-day",
    /// A step moved within its half of a day.
    Moved = "moved",
}

impl Term {
    /// Its minutes; zero where the table lacks it, which a test rules out.
    pub fn minutes(self) -> f64 {
        super::price(self.name()).map_or(0.0, Price::minutes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_term_has_a_price_and_every_price_a_term() {
        for term in Term::ALL {
            assert!(term.minutes() > 0.0, "{term:?}");
        }
        assert_eq!(super::super::prices().len(), Term::ALL.len());
    }
}
