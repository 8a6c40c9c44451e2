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
    let free = free_until(draft, solution, task, &binding);
    let bound = bound(draft, solution, &binding);
    match (free, bound) {
        (None, None) => "It could be later; nothing waits for it.".to_owned(),
        (Some(free), None) => format!("{free}."),
        (None, Some(bound)) => format!("{}.", capital(&bound)),
        (Some(free), Some(bound)) => format!("{free}; after that, {bound}."),
    }
}

/// Where the window of a task ends, when that is what binds it.
fn free_until(
    draft: &Draft,
    solution: &Solution,
    task: ActivityId,
    binding: &Binding,
) -> Option<String> {
    let activity = draft.problem.activities.get(task.0)?;
    if !binding.window {
        return None;
    }
    let start = solution.start(task)?;
    let window = activity.windows.iter().find(|w| w.start <= start && start < w.end)?;
    let fact = draft.facts.get(activity.fact.0)?;
    if window.end - window.start == activity.duration {
        return Some(capital(fact));
    }
    Some(format!("{}: until {}", capital(fact), time(draft, window.end)))
}

/// The link, shared thing or evening that forbids the next later start.
fn bound(draft: &Draft, solution: &Solution, binding: &Binding) -> Option<String> {
    if let Some((link, other)) = binding.links.first() {
        let link = draft.problem.links.get(*link)?;
        let fact = draft.facts.get(link.fact.0)?;
        let other_words = &draft.tasks.get(other.0)?.what;
        let at = time(draft, solution.start(*other)?);
        return Some(if link.fact.0 == 0 {
            format!("it must be done before “{other_words}”, {at}")
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
