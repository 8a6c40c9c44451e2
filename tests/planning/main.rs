//! The planner: its search, the rules of the trade, plans that cannot be done.

mod classes;
mod family_daycare;
mod followed_kitchens;
mod freezer_in_class;
mod gift_and_session;
mod infeasible_plans;
mod kitchens;
mod late_start;
mod ornament_rules;
mod plan_rules;
mod planner_prices;
mod random_plans;
mod short_morning;
mod sittings_random;
mod story;
#[path = "../support/mod.rs"]
mod support;
mod two_sessions;
mod written_class;
