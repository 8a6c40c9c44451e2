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
//! questions: what the browser keeps comes with each and goes back changed, so a worker
//! may be stopped at any moment, and two tabs cannot overwrite each other.

mod browser;
#[cfg(target_family = "wasm")]
mod exports;
mod kept;
mod message;
mod program;

pub use message::{Answer, Message, Wish};
pub use program::Program;
