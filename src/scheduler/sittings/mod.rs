//! A search by sittings: which times of hands are begun, and what is turned
//! out, washed, filled and done in each, at the least price.
//!
//! It knows neither ice nor dough. What it is told:
//!
//! * *stretches*: times during which hands are free in a place. Beginning a
//!   sitting has a price, and so has each tick of hands and of waiting within
//!   one; work done right after other work begins nothing;
//! * *kinds* of vessels that stand in a store. A vessel is filled, is left
//!   alone until it is ripe, and is emptied; what came out is kept in the
//!   store, where it takes less room, until it leaves;
//! * *demands*: so many pieces of a kind must be out by some moment, and not be
//!   filled before another;
//! * *chains*: steps with waits between them, each in the hours of a place.
//!
//! Pieces of a kind are alike and leave oldest first. So all that matters of a
//! kind are two staircases, how many were filled and how many were turned out
//! so far, and what is still ripening. A *label* is these numbers for every
//! kind, how far each chain is, and the price so far. The search goes forward
//! in time from stretch to stretch. In each, every label is continued by
//! nothing, by turning out all that is ripe and filling any number that may be
//! filled, or by a step of a chain, each at a few starts: the earliest, the
//! last of a morning, each hour, and the moments from which something is just
//! ripe when a later stretch begins. Of two labels that are equally far, one
//! that is dearer and in nothing better is dropped.
//!
//! What was filled together is turned out together. A piece left in its vessel would save a few
//! minutes at most, and is one thing more to remember: plans with such pieces were up to nine
//! per cent cheaper on invented classes, and had nine small rounds where five do. Only where no
//! plan is found so may a part of a filling stay in its vessels: a short morning may have time
//! for no more. It is as sure as the first that leaves of it must be, and the cups of one vessel
//! are filled and turned out together.
//!
//! How long something ripens depends on what else ripens in the store between
//! its filling and its end, whether that came before it or comes after. Going
//! forward in time this costs nothing: each filling raises the load of what is
//! ripening still, and their ends move.
//!
//! Prices are sums, so the best plan is a cheapest path. It is exact over those
//! starts as long as no stretch has more labels than are kept. Where there are
//! more, the most promising are kept, by their price and a lower bound of what
//! is still to come: that of each kind as if it were alone, worked out backwards
//! for every number filled and out. A label after which some kind cannot be done
//! any more even alone is dropped at once. The effort is counted in labels, never in time, so that
//! the same problem has the same plan on any machine.

mod ahead;
mod effort;
mod index;
mod label;
mod later;
mod left;
mod plan;
mod problem;
mod run;
mod search;
mod step;
mod turn;

pub use effort::{Effort, Outcome};
pub use plan::{Act, Done, Filling, Plan, Terms, Turn};
pub use problem::{
    Begun, Chain, Cost, Demand, Kept, Kind, MINUTE, MOST_STEPS, Place, Problem, Ripening, Same,
    Step, Stop, Store, Stretch, Wait, Way,
};
pub use search::{search, search_forward, search_on, shown_impossible, sooner};
