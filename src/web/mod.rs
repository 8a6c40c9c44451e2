//! The pages: the same answers as the commands, for a browser. `solidby serve` serves them to
//! this computer only; in the pocket (`pocket/`) the page answers itself by the same [`reply`].
//!
//! | file | holds |
//! |---|---|
//! | `server` | connections: how many, how long, how they end |
//! | `guard` | who may ask: Host, Origin, key, method, size |
//! | `routes` | which page answers which path |
//! | `fields` | forms and addresses as they are sent |
//! | `form` | a form on its way to the command line |
//! | `questions` | what the pages of questions share |
//! | `site`, `asked` | a running page; a question to it |
//! | `commands` | what the pages ask of the commands, which [`crate::cli`] fulfils |
//! | `cache` | answers used again, and how many are worked out at once |
//! | `workspace` | the plan file that is open |
//! | `typed` | quantities and moments as a form has them |
//! | `look` | layout, style, script |
//! | `shapes` | the shape of a block in a form |
//! | `start`, `first`, `today`, `ice`, `thaw`, `dough`, `cool`, `plan`, `diary` | one page each: a handler and its template |
//!
//! A page turns its form into the arguments of the command line and hands them
//! to [`Commands`]; so there is one parser, one builder of questions and one set
//! of words. Clock and files are those of a [`crate::host::Host`].
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

mod asked;
mod cache;
mod commands;
mod cool;
mod diary;
mod dough;
mod fields;
mod first;
mod form;
#[cfg(not(target_family = "wasm"))]
mod guard;
mod ice;
mod laid;
mod look;
mod plan;
mod questions;
mod reply;
mod routes;
#[cfg(not(target_family = "wasm"))]
mod server;
mod setting;
mod shapes;
mod site;
mod start;
mod thaw;
mod today;
mod typed;
mod workspace;

pub use commands::{Commands, Laid, Refusal};
#[cfg(not(target_family = "wasm"))]
pub use guard::Address;
pub use reply::Reply;
pub use routes::reply;
#[cfg(not(target_family = "wasm"))]
pub use server::run;
pub use setting::Setting;
pub use site::Site;
pub use workspace::{Buffer, Workspace};
