//! The pages of solidby, answered inside the browser.
//!
//! | file | holds |
//! |---|---|
//! | `message` | what the page's script asks and is told, as JSON |
//! | `kept` | what the browser keeps between two questions, and what undoes a change |
//! | `browser` | the outside as [`solidby::host::Host`] has it: clock, zone, store, entropy |
//! | `program` | a question in, an answer out, by the library's own pages and commands |
//! | `exports` | what the script calls |
//! | `page/` | the page around it: script, worker, style; `build` puts them together |
//!
//! Nothing here has words of its own but where a file or a store fails: pages, words and
//! rules are those of the library. The program remembers nothing that counts between two
//! questions: clock, zone, chance and what the browser keeps come with each, and what is kept
//! goes back changed, so a worker may be stopped or killed at any moment. The store is written
//! in one transaction, over what was read and nothing else: of two tabs, the second asks again
//! on top of what the first has kept.
//!
//! The library comes without its server: sockets, folders and the like are dependencies of
//! every target but `wasm`. There is no binding generator: three exported functions and JSON
//! through one room of memory, no import at all, so the program cannot reach the network, and
//! the page's content policy forbids it besides. No block of `unsafe`; the names alone count as
//! such (`exports`). Addresses stand behind the `#`; `page/pocket.js` asks for links and forms.
//!
//! `rustup target add wasm32-unknown-unknown` gets the standard library; `wasm-std` prepares it
//! from Debian's `rust-src` of the same version where that cannot be had.

mod browser;
#[cfg(target_family = "wasm")]
mod exports;
mod kept;
mod message;
mod program;

pub use message::{Answer, Message, Wish};
pub use program::Program;
