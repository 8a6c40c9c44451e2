//! What ready looks like, in words.

use crate::{
    answers::dough::WeighGrams,
    planfile::Plan,
    prep::{
        schedule::{Follow, LOOK, LookAt, Step},
        tell::{IfNot, Look},
    },
    report::words::names::moment_words,
    units::{grams, show_piece},
};

/// A look elsewhere that finds it ready oftener than this is no step of its own (a choice of ours).
const ALL_BUT_SURE: f64 = 0.98;

/// A look.
pub fn look(plan: &Plan, look: &Look) -> LookAt {
    let row = look.row;
    // On a scale first of all, where one says it.
    let see = match in_grams(row.weighed.as_ref(), look) {
        Some(words) => format!("{words}. {}", row.see),
        None => row.see.clone(),
    };
    let short = match look.if_not {
        IfNot::Again => in_grams(row.short_again.as_ref(), look),
        IfNot::StaysOut => in_grams(row.short_weighed.as_ref(), look),
        IfNot::Waits { .. } => None,
    };
    LookAt {
        at: look.at,
        place: look.place.clone(),
        see,
        short: short.unwrap_or_else(|| row.short.clone()),
        if_not: if_not(plan, look),
        ready_g: look.ready_g.filter(|_| look.if_not == IfNot::Again),
        most_g: look.ready_g,
        chance: look.chance,
    }
}

/// Looks elsewhere than the step that they are for, where one may well find it not ready, as steps
/// of their own.
pub fn elsewhere(step: &Step) -> impl Iterator<Item = Step> {
    let away = step.follow.looks.iter().filter(|look| look.place != step.place);
    away.filter(|look| look.chance < ALL_BUT_SURE).map(|look| Step {
        id: format!("{}{LOOK}", step.id),
        what: format!("Look before: {}", step.what),
        place: look.place.clone(),
        group: None,
        start: look.at,
        end: look.at,
        amounts: Vec::new(),
        bring: Vec::new(),
        take_back: Vec::new(),
        because: String::new(),
        cautions: Vec::new(),
        chance: None,
        follow: Follow {
            looks: vec![look.clone()],
            risks: Vec::new(),
            needed: None,
            ..step.follow.clone()
        },
        curve: None,
        ..step.clone()
    })
}

/// What to do where it is not ready.
fn if_not(plan: &Plan, look: &Look) -> String {
    let row = look.row;
    match look.if_not {
        IfNot::Again => row.if_again.as_ref().unwrap_or(&row.if_not).clone(),
        IfNot::StaysOut => row.if_not.clone(),
        IfNot::Waits { kept, others_late } => {
            let mut words = row.if_not.clone();
            if let Some(kept) = kept {
                let kept = moment_words(look.at, kept, plan.locale());
                words += &format!(" A time is kept for it {kept}.");
            }
            if others_late {
                words += " The later rounds will then probably be late too: say what you saw, and they are planned anew.";
            }
            words
        }
    }
}

/// Words with weights in them; none where one is not known.
fn in_grams(words: Option<&String>, look: &Look) -> Option<String> {
    // An ounce is too coarse for one piece.
    let show = |mass: f64| show_piece(grams(mass));
    let (words, WeighGrams { wet, firm, dry }) = words.zip(look.weigh_g)?;
    let of = [("{ready}", look.ready_g), ("{wet}", Some(wet)), ("{firm}", firm), ("{dry}", dry)];
    let known = of.iter().filter_map(|(name, mass)| Some((name, show((*mass)?))));
    let words = known.fold(words.clone(), |words, (name, mass)| words.replace(name, &mass));
    Some(words).filter(|words| !words.contains('{'))
}
