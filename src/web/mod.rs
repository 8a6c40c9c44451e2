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
//!
//! # Rules of the room
//!
//! - **No second logic.** A form becomes the arguments of the command line, read by the
//!   same definition, and the answer is the one that the command prints.
//! - **What would help** travels as the changed question, so a button is the same form
//!   sent again.
//! - **Guard.** Host and Origin must be ours, and the key is the first part of every
//!   path, so that no cookie goes to other ports of this computer. `Referrer-Policy` is
//!   `same-origin`: with `no-referrer` browsers send our own forms with `Origin: null`,
//!   which a foreign page sends too.
//! - **Bounds.** Connections, times, sizes and answers at once are limited; the clock of
//!   the page goes by minutes, so that a kept answer is what would be worked out anew.
//! - **To add a page:** a folder with `ROUTES` and a template, named in `routes::all`.

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
