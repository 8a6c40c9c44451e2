//! What looks at a plan that is followed, and notes of a diary, teach of its freezers, ovens
//! and doughs.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::{
    looks::{self, Noted},
    physics::Taught,
};
use crate::{
    answers::{
        AskError,
        diary::{Dated, EveningCache, Fit, Says, Taker, fit_dough, fit_ice},
        dough::{Dough, DoughNote, OvenTold},
        ice::{FreezerTold, IceNote},
    },
    planfile::Plan,
    tables::Recipe,
    units::hours_between,
};

/// A diary: notes on a freezer or an oven, by its name.
pub trait Diary {
    /// On a freezer.
    fn ice(&self, called: &str) -> Vec<Dated<IceNote>>;
    /// On an oven.
    fn dough(&self, called: &str) -> Vec<Dated<DoughNote>>;
}

/// What was learnt of a freezer, or of an oven with a dough.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// Of what.
    pub of: Taker,
    /// Its name.
    pub called: String,
    /// How many notes count, looks among them, and what they say; none where all are on another
    /// setting.
    pub counted: Option<(usize, Says)>,
    /// How many rounds or batches of the plan were looked at.
    pub seen: usize,
}

/// What a diary, and what was seen since a plan is followed, teach of the things of a plan.
///
/// # Errors
/// [`AskError`] for a note that cannot be.
pub fn learn(
    plan: &Plan,
    diary: Option<&dyn Diary>,
    now: DateTime<Utc>,
) -> Result<(Taught, Vec<Learnt>), AskError> {
    let (mut taught, mut all) = (Taught::default(), Vec::new());
    let seen = looks::of_ice(plan);
    for freezer in &plan.freezers {
        let notes = diary.map(|diary| diary.ice(&freezer.name));
        let (notes, seen) = with_seen(notes, &seen, &freezer.name, now);
        if notes.is_empty() {
            continue;
        }
        let told = FreezerTold { kind: Some(freezer.kind), air: freezer.air, rated: freezer.rated };
        let fit = fit_ice(&notes, told, &mut EveningCache::default())?;
        let counted = fit.as_ref().map(|(fit, _)| counted(fit));
        all.push(Learnt { of: Taker::Freezer, called: freezer.name.clone(), counted, seen });
        if let Some((fit, told)) = fit {
            taught.freezer(&freezer.name, fit.posterior, told);
        }
    }
    let seen = looks::of_dough(plan);
    let recipes: BTreeMap<&str, &'static Recipe> =
        plan.ornaments.iter().map(|it| (it.recipe.name(), it.recipe)).collect();
    for (n, oven) in plan.ovens.iter().enumerate() {
        let notes = diary.map(|diary| diary.dough(&oven.name));
        let (notes, seen) = with_seen(notes, &seen, &oven.name, now);
        for recipe in recipes.values().filter(|_| !notes.is_empty()) {
            let told = OvenTold { kind: Some(oven.kind) };
            let fit = fit_dough(&notes, &Dough::Named(recipe), told)?;
            let counted = fit.as_ref().map(|(fit, _)| counted(fit));
            all.push(Learnt { of: Taker::Oven, called: oven.name.clone(), counted, seen });
            if let Some((fit, _)) = fit {
                taught.dough(n, recipe, fit.posterior);
            }
        }
    }
    Ok((taught, all))
}

fn counted(fit: &Fit) -> (usize, Says) {
    (fit.counted(), fit.says)
}

/// Notes of the diary on a freezer or an oven with what was seen of it in a plan, the oldest
/// first, and how many were seen.
fn with_seen<N: Clone>(
    diary: Option<Vec<Dated<N>>>,
    seen: &[Noted<N>],
    called: &str,
    now: DateTime<Utc>,
) -> (Vec<Dated<N>>, usize) {
    let mut all = diary.unwrap_or_default();
    let noted = all.len();
    let own = seen.iter().filter(|noted| noted.called == called);
    all.extend(own.map(|noted| Dated {
        note: noted.note.clone(),
        age_days: hours_between(noted.at, now) / 24.0,
        anew: false,
    }));
    let seen = all.len() - noted;
    all.sort_by(|a, b| b.age_days.total_cmp(&a.age_days));
    (all, seen)
}
