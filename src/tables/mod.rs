//! What `tables/*.toml` state, each value with its source.
