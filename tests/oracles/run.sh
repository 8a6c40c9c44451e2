#!/bin/sh
# Judges what the program writes by programs that this project did not write.
# Usage, from the repository's root: tests/oracles/run.sh BIN PLAN.toml ...
# With ORACLE_ALL set, the planner is judged on 200 classes instead of 60, each for longer, and 150 get one thing more.
# Needs python3, node and npm; the sheet and the page also need Chromium (skipped with a line where there is none,
# never where CI is set) and pdftotext of poppler-utils. The journeys go through Firefox too where it is installed.
set -eu
bin=$1
shift
here=tests/oracles
work=${CARGO_TARGET_DIR:-target}/oracles
files=$work/files
now=2026-11-27T08:00:00
export PYTHONDONTWRITEBYTECODE=1

rm -rf "$files"
mkdir -p "$files"
python3 -m venv "$work/venv"
"$work/venv/bin/pip" install -q --disable-pip-version-check -r $here/requirements.txt
cp $here/package.json $here/package-lock.json $here/*.mjs "$work"
(cd "$work" && npm ci --silent --no-audit --no-fund)

# Random plans with hostile text, written through the library, then the real plans through the program.
ORACLE_FILES=$(cd "$files" && pwd) cargo test -q --locked --test program -- --ignored files_for_the_oracles >/dev/null
# Copies: a plan that is written out is kept beside its file.
mkdir -p "$work/plans"
rm -f "$work/plans"/*
cp "$@" "$work/plans"
for plan in "$@"; do
    plan=$work/plans/$(basename "$plan")
    out=$files/plan-$(basename "$plan" .toml)
    status=0
    "$bin" plan "$plan" --now $now --json --ics "$out.ics" --sheet "$out.html" \
        --sheet-full "$out-full.html" --notes "$out-notes.html" >"$out.json" || status=$?
    # 3: the plan cannot be done; it is written all the same.
    [ $status -eq 0 ] || [ $status -eq 3 ]
done

pairs=
for json in "$files"/*.json; do
    pairs="$pairs $json ${json%.json}.ics"
done
# shellcheck disable=SC2086 # the list is meant to be split
"$work/venv/bin/python" $here/compare.py tests/schemas/plan.schema.json "$work/read.mjs" $pairs
node "$work/sheet.mjs" "$files"/*.html
node "$work/page.mjs" "$bin"
node "$work/journeys.mjs" "$bin"
"$work/venv/bin/python" $here/saves.py "$bin" 300

# A judge of plans, with a second planner: first the judge itself, then the second planner against a study's fixed
# hours, then both against the plans of invented classes.
"$work/venv/bin/python" $here/rules.py "$bin" "$work/planner"
"$work/venv/bin/python" $here/study.py ${ORACLE_ALL:+--all}
"$work/venv/bin/python" $here/judge.py "$bin" "$work/planner" ${ORACLE_ALL:+--number 200 --effort 10}
"$work/venv/bin/python" $here/more.py "$bin" "$work/planner" ${ORACLE_ALL:+--number 150}
