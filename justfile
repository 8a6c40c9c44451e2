# What one does here every day; `just` lists it. Nothing else needs `just`.

_:
    @just --list --unsorted

# Everything that must pass before a commit
check: lint
    cargo test --locked

# The tests of one room of src, as in `just room freezing`
room NAME:
    cargo test --locked --lib {{NAME}}::

# Tests from outside: physics, planning or program, and part of a name
outside PROGRAM NAME="":
    cargo test --locked --test {{PROGRAM}} {{NAME}}

# Format and lints
lint:
    cargo fmt --all --check
    cargo clippy --locked --workspace --all-targets -- -D warnings

# The demo, planned and written to target/demo
demo:
    mkdir -p target/demo
    cargo run --release -- plan demo/forest-fortnight.toml --now 2026-11-27T08:00:00 --ics target/demo/prep.ics --sheet target/demo/prep.html --force

# The page, for the browser on this computer
page:
    cargo run --release -- serve demo/forest-fortnight.toml

# Times with the error beside them
bench NAME="":
    cargo bench --locked {{ if NAME == "" { "" } else { "--bench " + NAME } }}

# Our files judged by programs that we did not write (a browser, calendar parsers)
oracle:
    cargo build --locked
    CI=1 tests/oracles/run.sh target/debug/solidby demo/*.toml

# The pictures of the README, drawn anew (after `just oracle`)
pictures:
    node target/oracles/pictures.mjs target/debug/solidby

# The program as one page for a phone: target/solidby.html
pocket:
    pocket/build target/solidby.html

# The pocket beside the command line, in a real browser, with times
pocket-check:
    cargo build --release --locked
    SPEED=1 pocket/check/run.sh target/release/solidby

# Look at what changed in the demos' outputs, then accept it
snapshots:
    INSTA_UPDATE=always cargo test --test program demo_outputs
    UPDATE_SCHEMAS=1 cargo test --test program schema
    git diff --stat tests/program

# Fuzz one kind of text for so many seconds (needs cargo-fuzz and the nightly toolchain)
fuzz TARGET SECONDS="1200":
    tests/fuzz/run {{TARGET}} {{SECONDS}}

# The program to hand on: whole-program optimisation, minutes to build
dist:
    cargo build --locked --profile dist
