//! Remarks on a plan in words, and what each theme holds.

use super::{
    fact::room,
    names::{freezer, goal, oven, pieces, wait_words},
    what::what,
};
use crate::{
    planfile::Plan,
    prep::{
        Laid,
        draft::{Draft, LEVELS, Note},
        schedule::Attention,
    },
    tables::Dried,
};

/// Remarks on the whole plan, the themes first.
pub fn notes(plan: &Plan, laid: &Laid) -> Vec<String> {
    let Laid { draft, solution, .. } = laid;
    let mut notes = overview(plan);
    notes.extend(draft.notes.iter().filter_map(|one| note(plan, draft, *one)));
    for (serves, level) in draft.goals.iter().zip(&solution.levels) {
        if let Some(level @ 1..) = level {
            notes.push(format!(
                "{}: there is only time for a chance of {:.0} in 100 that it is ready.",
                goal(plan, *serves),
                100.0 * LEVELS[*level]
            ));
        }
    }
    if draft.tasks.iter().any(|task| task.attention == Attention::Watch && !task.done) {
        notes.push(
            "Your programme's rules, the oven's and freezer's manuals and local licensing come \
             before this plan."
                .to_owned(),
        );
    }
    notes
}

fn note(plan: &Plan, draft: &Draft, note: Note) -> Option<String> {
    let called = |ornament: usize| plan.ornaments[ornament].name.as_str();
    Some(match note {
        Note::UsualRoom(of) => format!(
            "The file does not say how much the {} holds: as one of its kind usually has room, \
             {} at once.",
            freezer(plan, of),
            room(plan, of),
        ),
        Note::Dried(ornament, Dried::Air) => format!(
            "“{}” is dried in the room: it is ready in time there, and nobody stands beside an \
             oven.",
            called(ornament)
        ),
        Note::Dried(ornament, Dried::Oven) => format!(
            "“{}” is dried in the oven first: in the room alone it would not be ready in time, \
             or would cost you more.",
            called(ornament)
        ),
        Note::TrayMore { ornament, oven: of, loads: [now, then], watched_h: [now_h, then_h] } => {
            format!(
                "“{}” is baked in {now} loads, {} beside the oven; with {} trays at once in the \
                 {} it would be {}, {}.",
                called(ornament),
                wait_words(now_h),
                plan.ovens[of].trays + 1,
                oven(plan, of),
                pieces(then, "load"),
                wait_words(then_h),
            )
        }
        Note::Over(serves) => format!("{} is over.", goal(plan, serves)),
        Note::DoneJustNow(task) => {
            let task = draft.tasks.get(task.0)?;
            format!(
                "“{}” counts as done only just now; say when with {}@TIME and what waits for it \
                 may be earlier.",
                what(plan, task),
                task.id
            )
        }
    })
}

/// `Winter animals: Paint on ice, Wed 2 Dec and Thu 3 Dec; …`, in the file's order.
fn overview(plan: &Plan) -> Vec<String> {
    let lines = plan.themes.iter().map(|theme| {
        let parts: Vec<String> =
            theme.activities.iter().filter_map(|name| activity(plan, name)).collect();
        format!("{}: {}.", theme.name, parts.join("; "))
    });
    lines.collect()
}

/// An activity with its days.
fn activity(plan: &Plan, name: &str) -> Option<String> {
    if let Some(ice) = plan.ice.iter().find(|ice| ice.name == name) {
        let mut days: Vec<_> = ice.sessions.iter().map(|s| s.at.date_naive()).collect();
        days.sort_unstable();
        days.dedup();
        let days: Vec<String> = days.iter().map(|day| plan.locale().day(day)).collect();
        return Some(format!("{name}, {}", days.join(" and ")));
    }
    let gift = plan.ornaments.iter().find(|ornament| ornament.name == name)?;
    Some(format!("{name}, given by {}", plan.locale().day(&gift.give)))
}
