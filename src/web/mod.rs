//! The local page: the same answers as the commands, for a browser on this computer only.
//!
//! | file | holds |
//! |---|---|
//! | `server` | connections: how many, how long, how they end |
//! | `guard` | who may ask: Host, Origin, key, method, size |
//! | `routes` | which page answers which path |
//! | `fields` | forms and addresses as they are sent |
//! | `form` | a form on its way to the command line |
//! | `program` | what the pages ask of the program, which [`crate::cli`] fulfils |
//! | `remembered` | answers used again, and how many are worked out at once |
//! | `typed` | quantities and moments as a form has them |
//! | `look` | layout, style, script |
//! | `start`, `ice`, `dough`, `plan`, `diary` | one page each: a handler and its template |
//!
//! A page turns its form into the arguments of the command line and hands them
//! to [`Program`]; so there is one parser, one builder of questions and one set
//! of words. The room reads no clock and no file.

mod diary;
mod dough;
mod fields;
mod form;
mod guard;
mod ice;
mod look;
mod plan;
mod program;
mod remembered;
mod reply;
mod routes;
mod server;
mod start;
mod typed;

pub use plan::{Desk, Open, Planner};
pub use program::{Program, Refusal};
pub use server::run;

use remembered::Remembered;

/// One running page: whose program it asks and under which address it is known.
pub struct Site {
    program: Box<dyn Program>,
    /// The secret first part of every path: who knows it may ask.
    key: String,
    /// The port on the loopback address.
    port: u16,
    /// Answers that may be used again.
    remembered: Remembered,
    /// The plan that is open.
    desk: Desk,
}

impl Site {
    /// A site that asks a program, with a plan that may be open; `key` is the secret first part of every path.
    pub fn new(program: Box<dyn Program>, desk: Desk, key: String, port: u16) -> Self {
        Self { program, key, port, remembered: Remembered::default(), desk }
    }

    /// The address to open.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}{}", self.port, self.root())
    }

    /// What all paths begin with.
    fn root(&self) -> String {
        format!("/{}/", self.key)
    }
}
