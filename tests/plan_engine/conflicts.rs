//! Conflicts.
