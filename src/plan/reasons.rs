//! Why a step is where it is, in the plan's own facts.

use super::{
    draft::Draft,
    engine::{self, ActivityId, Binding, Solution, Tick},
    steps::time_words,
};

/// One sentence: what keeps a task from being later.
pub fn because(draft: &Draft, solution: &Solution, task: ActivityId) -> String {
    let Some(binding) = engine::binding(&draft.problem, solution, task) else {
        return String::new();
    };
    let words = match (ends(draft, solution, task, &binding), bound(draft, solution, &binding)) {
        (None, None) => "nothing waits for it; it could be later".to_owned(),
        (Some(ends), None) => ends,
        (None, Some(bound)) => bound,
        (Some(ends), Some(bound)) => format!("{ends}; the next hours are too late, since {bound}"),
    };
    format!("{}.", capital(&words))
}

/// Where the window of a task ends, when that is what binds it.
fn ends(draft: &Draft, solution: &Solution, task: ActivityId, binding: &Binding) -> Option<String> {
    let activity = draft.problem.activities.get(task.0)?;
    if !binding.window {
        return None;
    }
    let start = solution.start(task)?;
    let window = activity.windows.iter().find(|w| w.start <= start && start < w.end)?;
    if window.end - window.start == activity.duration {
        return draft.facts.get(activity.fact.0).cloned();
    }
    Some(format!("{} {}", draft.ends.get(task.0)?, time(draft, window.end)))
}

/// The link, shared thing or evening that forbids the next later start.
fn bound(draft: &Draft, solution: &Solution, binding: &Binding) -> Option<String> {
    if let Some((link, other)) = binding.links.first() {
        let link = draft.problem.links.get(*link)?;
        let fact = draft.facts.get(link.fact.0)?;
        let other_words = &draft.tasks.get(other.0)?.what;
        let at = time(draft, solution.start(*other)?);
        return Some(if link.fact.0 == 0 {
            format!("it comes before “{other_words}”, {at}")
        } else {
            format!("{fact}, and “{other_words}” is {at}")
        });
    }
    if let Some((resource, others)) = binding.resources.first() {
        let resource = draft.resources.get(resource.0)?;
        let other = draft.tasks.get(others.first()?.0)?;
        return Some(format!("the {resource} would be in use for “{}”", other.what));
    }
    binding.evening.map(|_| "it would take one more sitting of work".to_owned())
}

fn time(draft: &Draft, tick: Tick) -> String {
    time_words(draft.clock.instant(tick))
}

/// The sentence with a capital first letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
