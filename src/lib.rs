//! By when is it solid? Water in a mould, frozen; salt dough, baked or dried.
//!
//! The rooms, from the ground up; each uses only those before it:
//!
//! | room | holds |
//! |---|---|
//! | [`units`] | quantities as people type and read them |
//! | [`tables`] | what `tables/*.toml` state, each value with its source |
//! | [`matter`] | properties of water, ice, air, brine, flour, dough, walls |
//! | [`transfer`] | films, radiation, evaporation, psychrometrics |
//! | [`block`] | mould shapes and the freezing solver |
//! | [`dough`] | recipe, isotherm, drying solver, cooling |
//! | [`place`] | freezer, oven, room: what surrounds the thing |
//! | [`belief`] | unknown inputs, bands, chance, what matters most |
//! | [`ask`] | a question in, an answer with its band out |
//! | [`plan`] | the file, the steps, the back-scheduler, the reasons |
//! | [`say`] | words, JSON, the calendar file |
//! | [`page`] | the local page |
//! | [`cli`] | one file a command |
//!
//! The library never prints, exits, reads the clock or touches a file; only
//! [`cli`] does.

#![cfg_attr(
    not(test),
    warn(
        clippy::exit,
        clippy::expect_used,
        clippy::get_unwrap,
        clippy::missing_errors_doc,
        clippy::missing_panics_doc,
        clippy::panic,
        clippy::print_stderr,
        clippy::print_stdout,
        clippy::string_slice,
        clippy::todo,
        clippy::unimplemented,
        clippy::unreachable,
        clippy::unwrap_used
    )
)]

pub mod ask;
pub mod belief;
pub mod block;
pub mod cli;
pub mod dough;
pub mod matter;
pub mod page;
pub mod place;
pub mod plan;
pub mod say;
pub mod tables;
pub mod transfer;
pub mod units;
