//! What the page's script asks and is told, as JSON.

use serde::{Deserialize, Serialize};

/// A question: the outside as it is now, and what is wished.
#[derive(Debug, Clone, Deserialize)]
pub struct Message {
    /// The clock, milliseconds since 1970.
    pub now: i64,
    /// The name of the browser's zone, where it has one.
    pub zone: Option<String>,
    /// 128 random bits.
    pub entropy: [u8; 16],
    /// What [`Answer::kept`] was last; none in a browser that has kept nothing yet.
    pub kept: Option<String>,
    /// What is wished.
    pub wish: Wish,
}

/// What the script may wish for.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Wish {
    /// A page: looked at, or a form that was sent.
    Page {
        /// Whether a form was sent by POST.
        post: bool,
        /// Below the root, as in `plan/steps`.
        path: String,
        /// What stands behind the `?`.
        query: String,
        /// The fields of a form that was sent.
        body: String,
    },
    /// A file that the user has picked: a plan, or a diary.
    Open {
        /// Its name.
        name: String,
        /// Its text.
        text: String,
    },
    /// The last change taken back.
    Undo,
    /// A command with its arguments, without the program's name.
    Command(Vec<String>),
}

/// What the script is told.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// The status of a page; the exit code of a command.
    pub status: u16,
    /// The media type of the body.
    pub kind: String,
    /// The name under which the body is a file to keep.
    pub name: Option<String>,
    /// The address to go to instead.
    pub to: Option<String>,
    /// A page, a file, or what a command prints.
    pub body: String,
    /// What the browser is to keep from now on; none where nothing has changed.
    pub kept: Option<String>,
    /// How many changes can be taken back.
    pub undo: usize,
}
