#!/bin/sh
# Builds the pocket and checks it. Usage, from the repository's root: pocket/check/run.sh BIN
# The same questions to it and to the command BIN, then journeys in Chromium (skipped with a line where there is
# none, never where CI is set), and the journeys that other browsers could spoil in Firefox and WebKit where Debian's are installed. Needs node, npm and what pocket/build needs. With SPEED set it also prints times.
set -eu
bin=$1
work=${CARGO_TARGET_DIR:-target}/pocket-check
rm -rf "$work"
mkdir -p "$work"
cp tests/oracles/package.json tests/oracles/package-lock.json tests/oracles/firefox.mjs pocket/check/*.mjs "$work"
(cd "$work" && npm ci --silent --no-audit --no-fund)

pocket/build "$work/solidby.html"
pocket/build --site "$work/site"
node "$work/same.mjs" "$work/solidby.html" "$bin" demo/*.toml
node "$work/journeys.mjs" "$work/solidby.html" "$work/site" "$bin"
node "$work/others.mjs" "$work/solidby.html" "$work/site"
if [ -n "${SPEED:-}" ]; then node "$work/speed.mjs" "$work/solidby.html" "$bin"; fi
