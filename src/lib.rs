//! By when is it solid? Water in a mould, frozen; salt dough, baked or dried.
//!
//! The rooms, from the ground up; each uses only those before it:
//!
//! | room | holds |
//! |---|---|
//! | [`host`] | the seam to the outside: clock, zone, files, chance |
//! | [`units`] | quantities and times as people type and read them |
//! | [`shape`] | the inside of a mould: kinds, sizes, volume, section |
//! | [`tables`] | what `tables/*.toml` state, each value with its source |
//! | [`properties`] | properties of water, ice, air, brine, flour, dough, walls |
//! | [`transfer`] | films, radiation, evaporation, psychrometrics |
//! | [`freezing`] | how water in a mould is cut; the freezing and the melting solver |
//! | [`drying`] | recipe, isotherm, drying solver, cooling |
//! | [`surroundings`] | freezer, oven, room: what surrounds the thing |
//! | [`uncertainty`] | unknown inputs, bands, chance, what matters most |
//! | [`answers`] | a question in, an answer with its band out |
//! | [`planfile`] | the plan file: its keys, its faults, its editor |
//! | [`scheduler`] | activities, holds, links; knows neither ice nor dough |
//! | [`prep`] | the trade: tasks, things, hours, the schedule |
//! | [`explanation`] | why a step is where it is, what clashes, ways out |
//! | [`report`] | words, JSON, the calendar file, the sheet |
//! | [`web`] | the local page |
//! | [`cli`] | one file a command |
//!
//! The library reads clock and files through a [`host::Host`] and nowhere else; only
//! [`cli`] prints, and only `main` exits.

//!
//! # Lints
//!
//! No `unwrap`, `expect`, `panic!`, string slice, print or exit, and `# Errors` in the
//! docs of each fallible function. `indexing_slicing` is on where texts are read or
//! written. It is off in the numerical rooms and the search, whose positions the same
//! function or its caller counted: `get` there would hide a wrong mesh instead of
//! showing it. `arithmetic_side_effects` is off: it takes `uom` quantities and dates for
//! integers that overflow; bounds keep the integers small, and tests run with overflow
//! checks.

#![cfg_attr(
    not(test),
    warn(
        clippy::disallowed_methods,
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

pub mod answers;
pub mod cli;
pub mod drying;
pub mod explanation;
pub mod freezing;
pub mod host;
pub mod planfile;
pub mod prep;
pub mod properties;
pub mod report;
pub mod scheduler;
pub mod shape;
pub mod surroundings;
pub mod tables;
pub mod transfer;
pub mod uncertainty;
pub mod units;
pub mod web;
