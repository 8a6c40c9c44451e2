//! Remarks on a plan in words, and what each theme holds.

use std::collections::BTreeMap;

use super::{
    fact::room,
    names::{freezer, goal, oven, pieces, wait_words},
    what::what,
};
use crate::{
    planfile::{Blocks, Plan},
    prep::{
        Laid, ShortBuffer,
        draft::{Draft, LEVELS, Note, Serves},
        schedule::Attention,
        short_buffers,
        tell::Timetable,
        what::What,
    },
    report::phrase,
    scheduler::GoalId,
    tables::Dried,
    units::in_hours,
};

/// Remarks on the whole plan, the themes first.
pub fn notes(plan: &Plan, laid: &Laid, timetable: &Timetable<'_>) -> Vec<String> {
    let draft = &laid.draft;
    let mut notes = overview(plan);
    let told = draft.notes.iter().filter(|one| is_planned(laid, one));
    notes.extend(told.filter_map(|one| note(plan, draft, *one)));
    notes.extend(short_of_time(plan, laid, timetable));
    notes.extend(older(plan, laid));
    notes.extend(late_gifts(plan, laid));
    notes.extend(before_class(plan, timetable));
    if draft.tasks.iter().any(|task| task.attention == Attention::Watch && !task.done) {
        notes.push(
            "Your programme's rules, the oven's and freezer's manuals and local licensing come \
             before this plan."
                .to_owned(),
        );
    }
    notes
}

/// What sessions and gifts go without, sessions since it was seen to be wet: `Paint on ice for
/// Otters on Wed Dec 9: 11 blocks for 11 children; 1 still wet`
pub fn without(plan: &Plan) -> Vec<String> {
    let lacking = plan.sessions().filter(|at| plan.ice[at.0].sessions[at.1].without > 0);
    let words = lacking.map(|(number, session)| {
        let goal = goal(plan, Serves::Session { ice: number, session });
        let ice = &plan.ice[number];
        let session = &ice.sessions[session];
        let group = &plan.groups[session.group];
        let there = ice.wanted(session, group);
        let (blocks, wet) = (pieces(there, "block"), session.without);
        let enough = match ice.blocks {
            Blocks::Each if group.children == 1 => format!("{blocks} for 1 child"),
            Blocks::Each => format!("{blocks} for {} children", group.children),
            Blocks::Number(_) => format!("{blocks} instead of {}", there + wet),
        };
        let missing = match (ice.blocks, group.children.saturating_sub(there)) {
            (Blocks::Each, 1..) => format!(", {} too few", group.children - there),
            _ => String::new(),
        };
        format!("{goal}: {enough}{missing}; {wet} still wet")
    });
    words.chain(lacking_pieces(plan).map(|(_, words)| words)).chain(unpainted(plan)).collect()
}

/// Spare pieces of children who came after the others had painted: `Trees for Elks: 1 spare piece
/// is for a child who came after the others had painted; let that child paint it before the next
/// step`
fn unpainted(plan: &Plan) -> impl Iterator<Item = String> {
    plan.ornaments.iter().enumerate().filter_map(|(ornament, own)| {
        let goal = goal(plan, Serves::Gift { ornament });
        let unpainted = own.pieces.as_ref()?.unpainted;
        let (spare, them) = match unpainted {
            0 => return None,
            1 => ("1 spare piece is".to_owned(), "it"),
            more => (format!("{more} spare pieces are"), "them"),
        };
        let (a_child, that_child) = match unpainted.div_ceil(own.each.max(1)) {
            1 => ("a child", "that child"),
            _ => ("children", "those children"),
        };
        Some(format!(
            "{goal}: {spare} for {a_child} who came after the others had painted; let {that_child} \
             paint {them} before the next step"
        ))
    })
}

/// What batches lack, each by its position, since children came after their dough was cut: `Trees
/// for Elks: 11 pieces are cut for 13 children, 2 too few; those are “More Trees”`
pub fn lacking_pieces(plan: &Plan) -> impl Iterator<Item = (usize, String)> {
    plan.ornaments.iter().enumerate().filter_map(|(ornament, own)| {
        let known = own.pieces.as_ref().filter(|known| known.lacking > 0)?;
        let (there, lacking) = (own.given(plan), known.lacking);
        let wanted = match own.each {
            1 => format!("for {} children", there + lacking),
            _ => format!("of {}", there + lacking),
        };
        let more = plan.name_of_more(ornament);
        let made = match plan.ornaments.iter().any(|own| own.name == more) {
            true => format!("those are “{more}”"),
            false => "make them".to_owned(),
        };
        let goal = goal(plan, Serves::Gift { ornament });
        let are = if there == 1 { "is" } else { "are" };
        let there = pieces(there, "piece");
        Some((ornament, format!("{goal}: {there} {are} cut {wanted}, {lacking} too few; {made}")))
    })
}

/// Whether a remark is not about loads of pieces that the plan leaves out.
fn is_planned(laid: &Laid, note: &Note) -> bool {
    let Note::TrayMore { ornament, .. } = *note else { return true };
    let gift = Serves::Gift { ornament };
    let goal = laid.draft.goals.iter().position(|goal| *goal == gift);
    goal.is_none_or(|goal| laid.solution.level(GoalId(goal)).is_some())
}

/// Which goals there is too little time for to wait until all is surely ready: what becomes of
/// them, and those that may fail even so.
fn short_of_time(plan: &Plan, laid: &Laid, timetable: &Timetable<'_>) -> Vec<String> {
    let Laid { draft, solution, .. } = laid;
    let goals = draft.goals.iter().zip(&solution.levels).zip(&timetable.chances.goals);
    let short = goals.filter(|((_, level), _)| matches!(level, Some(1..)));
    let named = short.map(|((serves, _), chance)| (goal(plan, *serves), *chance));
    let (held, open): (Vec<_>, Vec<_>) = named.partition(|(_, chance)| *chance >= LEVELS[0]);
    let mut notes = Vec::new();
    if !held.is_empty() {
        let names: Vec<String> = held.into_iter().map(|(name, _)| name).collect();
        let kept = match timetable.reserves.is_empty() {
            true => "",
            false => "; what is not ready then has its time, marked “only if needed”",
        };
        notes.push(format!(
            "Tight: {}. Some steps end before all is surely ready, so look where the plan says \
             to{kept}.",
            names.join("; ")
        ));
    }
    notes.extend(open.into_iter().map(|(name, chance)| {
        let kitchens = phrase::in_hundred(chance, LEVELS[0]);
        format!(
            "{name}: ready in {kitchens} kitchens of 100; no plan was found in which it is oftener."
        )
    }));
    notes
}

/// Ice that is filled earlier than was wished, since she is away in between.
fn older(plan: &Plan, laid: &Laid) -> Vec<String> {
    let Laid { draft, solution, .. } = laid;
    let fillings = draft.fillings.iter().filter(|filling| !draft.tasks[filling.fill.0].done);
    let filled = fillings.filter_map(|own| Some((solution.start(own.fill)?, &own.round.takers)));
    let mut oldest: BTreeMap<(usize, usize), i64> = BTreeMap::new();
    for (start, takers) in filled {
        let day = draft.clock.instant(start).date_naive();
        for at in takers {
            let used = plan.ice[at.0].sessions[at.1].at.date_naive();
            let days = oldest.entry(*at).or_default();
            *days = (*days).max((used - day).num_days());
        }
    }
    let long = oldest.into_iter().filter(|(_, days)| *days > i64::from(plan.wishes.ahead));
    long.map(|((ice, session), days)| {
        let goal = goal(plan, Serves::Session { ice, session });
        format!("{goal}: some of its ice is filled {days} days before, since you are away between.")
    })
    .collect()
}

/// Gifts that are finished later before they are given than was wished.
fn late_gifts(plan: &Plan, laid: &Laid) -> Vec<String> {
    let locale = plan.locale();
    let late = short_buffers(plan, laid).into_iter();
    late.map(|ShortBuffer { ornament, finished, given, days }| {
        let between = if days == 0 { "no class day".to_owned() } else { pieces(days, "class day") };
        format!(
            "“{}” is finished {} and first given {}: {between} between, and {} wished (buffer).",
            plan.ornaments[ornament].name,
            locale.day(&finished),
            locale.day(&given),
            if plan.wishes.buffer == 1 {
                "1 is".to_owned()
            } else {
                format!("{} are", plan.wishes.buffer)
            },
        )
    })
    .collect()
}

/// Ice that is set out before anybody else may be in.
fn before_class(plan: &Plan, timetable: &Timetable<'_>) -> Option<String> {
    let set_out = timetable.steps.iter().filter(|it| matches!(it.task.what, What::SetOut(_)));
    let early = set_out.filter_map(|step| {
        let Serves::Session { ice, session } = step.goal else { return None };
        let room = plan.groups[plan.ice[ice].sessions[session].group].place;
        let (day, time) = (step.start.date_naive(), step.start.time());
        let hours = plan.class_hours(room).iter().filter(|open| open.on(day) && open.until > time);
        let opens = hours.map(|open| open.from).min().filter(|_| !plan.is_home(room))?;
        (time < opens).then(|| plan.locale().day_and_time(&step.start))
    });
    let early: Vec<String> = early.collect();
    (!early.is_empty()).then(|| {
        let days = early.join("; ");
        format!("Set out before class opens: {days}. Be in by then, or begin the session later.")
    })
}

fn note(plan: &Plan, draft: &Draft, note: Note) -> Option<String> {
    let called = |ornament: usize| plan.ornaments[ornament].name.as_str();
    Some(match note {
        Note::UsualRoom(of) => format!(
            "The file does not say how much the {} holds: as one of its kind usually has room, \
             {} at once{}.",
            freezer(plan, of),
            room(plan, of),
            if plan.freezers[of].bags > 0 { ", and bags beside the last of them" } else { "" },
        ),
        Note::SameWay(of) => format!(
            "The file does not say how long the way to class is with “{}”: as with your other ice, \
             {}.",
            plan.ice[of].name,
            wait_words(in_hours(plan.ice[of].travel)),
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
