//! What the script calls. A message is written into the memory at `room(length)`, then
//! `answer()` puts the answer into its place, which begins at `room_at()`, and says how long
//! it is. One thread, one question at a time.
#![allow(unsafe_code, reason = "names for the script; there is no unsafe block")]

use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};

use crate::Program;

static ROOM: Mutex<Vec<u8>> = Mutex::new(Vec::new());
static PROGRAM: LazyLock<Program> = LazyLock::new(Program::default);

fn room_now() -> MutexGuard<'static, Vec<u8>> {
    ROOM.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Where the message begins now, or the answer.
#[unsafe(no_mangle)]
pub extern "C" fn room_at() -> *const u8 {
    room_now().as_ptr()
}

/// Room for a message of so many bytes, and where it begins.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *const u8 {
    *room_now() = vec![0; length];
    room_at()
}

/// Answers the message in the room; how long the answer is.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    let message = std::mem::take(&mut *room_now());
    let answer = PROGRAM.answer_text(&message);
    *room_now() = answer;
    room_now().len()
}
