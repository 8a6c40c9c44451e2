//! What leaves the program: words, JSON, the calendar file.
