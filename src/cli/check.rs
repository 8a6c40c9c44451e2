//! `solidby check`: every fault of a plan file, each with its line.

use std::path::Path;

use chrono::{DateTime, Utc};
use serde_json::json;

use super::{
    args::CheckArgs,
    context::Context,
    failure::Failure,
    files, kept,
    reply::{Reply, reply_of},
};
use crate::{
    host::Host,
    planfile::{
        self, Fault, HOME, Plan, Table, Wrong,
        edit::{Entry, List, Written, written},
    },
    prep::{Physics, Refused, refused},
    report::check::{hot_for_dough, lacking_pieces},
};

/// Answers `solidby check`.
///
/// # Errors
/// The faults of the file.
pub fn run(args: &CheckArgs, context: Context) -> Result<Reply, Failure> {
    let text = files::read(context.host(), &args.file)?;
    let name = files::shown(&args.file);
    let failure = |faults: Vec<Fault>| Failure::faults(&name, &text, &faults);
    let plan = planfile::read(&text).map_err(failure)?;
    let now = context.now_for(plan.zone)?.to_utc();
    let tables = written(&text).unwrap_or_default();
    let faults = refused(&plan, now, &Physics::default());
    if !faults.is_empty() {
        return Err(failure(faults.iter().map(|it| fault(it, &tables)).collect()));
    }
    let sessions: usize = plan.ice.iter().map(|ice| ice.sessions.len()).sum();
    let batches = plan.ornaments.len();
    let mut warnings = warnings(&plan, now, (&text, &tables));
    warnings.extend(lacking(plan, now, (&text, &tables), (args, context))?);
    let warned: String =
        warnings.iter().map(|(line, words)| format!("{name}:{line}: {words}\n")).collect();
    let words = format!(
        "{warned}{name} is sound: {}, {}.\nNext: solidby plan {name}\n",
        counted(sessions, "ice session", "ice sessions"),
        counted(batches, "batch of ornaments", "batches of ornaments"),
    );
    let told = |(line, words): &(usize, String)| json!({ "line": line, "text": words });
    let document = json!({
        "schema": 1, "sound": true, "sessions": sessions, "batches": batches,
        "warnings": warnings.iter().map(told).collect::<Vec<_>>(),
    });
    reply_of(&document, words, context)
}

/// What planning refuses, at the header of the activity.
fn fault(refused: &Refused, tables: &[Written]) -> Fault {
    let entry =
        refused.of.map_or(Entry::One(Table::Plan), |(table, n)| Entry::Of(List::Things(table), n));
    let header = tables.iter().find(|table| table.entry == entry);
    let span = header.map_or(0..0, |table| table.header.clone());
    Fault::whole(span, Wrong::Planning(refused.error.to_string()))
}

/// What is no fault and yet not as it may seem, each with its line.
fn warnings(
    plan: &Plan,
    now: DateTime<Utc>,
    (text, tables): (&str, &[Written]),
) -> Vec<(usize, String)> {
    let line = |entry| line_of(entry, (text, tables));
    let mut warnings = Vec::new();
    for (n, group) in plan.groups.iter().enumerate() {
        if plan.class_at(group.place).is_some_and(|place| place.name == HOME) {
            let words = format!(
                "warning: {} are taken to be there in all hours of home; where that is not so, say when under [hours]: class = [\"Mon-Fri 07:30-17:30\"]",
                group.name
            );
            warnings.push((line(Entry::Of(List::Things(Table::Group), n)), words));
        }
    }
    for (n, ice) in plan.ice.iter().enumerate() {
        let past = ice.sessions.iter().enumerate().filter(|(_, session)| session.at < now);
        warnings.extend(past.map(|(number, session)| {
            let at = plan.locale().day_and_time(&session.at);
            let words = format!("warning: this session was {at}, which is past");
            (line(Entry::Of(List::Sessions(n), number)), words)
        }));
    }
    for (n, ornament) in plan.ornaments.iter().enumerate() {
        let entry = Entry::Of(List::Things(Table::Ornament), n);
        if ornament.give < now.with_timezone(&plan.zone).date_naive() {
            let words = format!("warning: “{}” was given on {}", ornament.name, ornament.give);
            warnings.push((line(entry), words));
        }
    }
    warnings.extend(plan.ornaments.iter().enumerate().filter_map(|(n, ornament)| {
        let entry = Entry::Of(List::Things(Table::Ornament), n);
        let own = tables.iter().find(|table| table.entry == entry)?;
        let key = own.keys.iter().find(|key| key.name == "at")?;
        let (_, at) = ornament.method.oven()?;
        let words = hot_for_dough(key.value.as_str()?, at, plan.units)?;
        let line = planfile::line_of(text.as_bytes(), key.span.start);
        Some((line, format!("warning: {words}")))
    }));
    warnings
}

/// What batches lack of which the plan that is followed has cut too few pieces.
fn lacking(
    mut plan: Plan,
    now: DateTime<Utc>,
    file: (&str, &[Written]),
    (args, context): (&CheckArgs, Context),
) -> Result<Vec<(usize, String)>, Failure> {
    kept::follow(context.host(), &args.file, &mut plan, now)?;
    let told = |(n, words): (usize, String)| {
        let entry = Entry::Of(List::Things(Table::Ornament), n);
        (line_of(entry, file), format!("warning: {words}"))
    };
    Ok(lacking_pieces(&plan).into_iter().map(told).collect())
}

/// The line at which an entry of the file begins.
fn line_of(entry: Entry, (text, tables): (&str, &[Written])) -> usize {
    let header = tables.iter().find(|table| table.entry == entry);
    planfile::line_of(text.as_bytes(), header.map_or(0, |table| table.header.start))
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Reads and validates a plan file.
///
/// # Errors
/// The faults of the file, or why it could not be read.
pub fn load(host: &dyn Host, path: &Path) -> Result<Plan, Failure> {
    files::read_as(host, path, planfile::read)
}
