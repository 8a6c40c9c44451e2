//! Links the program at a fixed address on Linux.
//!
//! The time zone tables hold 33,000 pointers. A position-independent program carries a
//! relocation for each (0.8 MB) and works through them at every start (a third of the time of
//! `--version`). What is given up is the random address of the program itself; libraries,
//! stack and heap keep theirs, and the crate forbids unsafe code.

use std::env::var;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let target = |key: &str| var(format!("CARGO_CFG_TARGET_{key}")).unwrap_or_default();
    if target("OS") == "linux" && target("ENV") == "gnu" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
    }
}
