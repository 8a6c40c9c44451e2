//! What stands in the way of a plan, in words for the terminal, the sheet and the page.

use serde::Serialize;

use crate::prep::schedule::{Problem, Status};

/// What stands above changes that each serve several things at once.
pub const ONE_CHANGE: &str = "What one change makes possible, each tried:";

/// Problems with the same facts and the same ways out, told as one.
#[derive(Debug, Serialize)]
pub struct InTheWay<'a> {
    /// What is not done, or less sure than wished, a sentence each without its full stop.
    pub headings: Vec<String>,
    /// What the facts below are.
    pub reason: &'static str,
    /// They.
    pub because: &'a [String],
    /// What the changes below do.
    pub try_this: &'static str,
    /// Changes that were tried and are enough.
    pub ways: &'a [String],
    /// What is said where there are none.
    pub no_ways: &'static str,
}

impl<'a> InTheWay<'a> {
    /// One of them.
    pub fn of(problem: &'a Problem) -> Self {
        Self {
            headings: vec![heading(problem)],
            reason: reason(problem),
            because: &problem.because,
            try_this: try_this(problem),
            ways: &problem.ways.words,
            no_ways: no_ways(problem),
        }
    }

    /// All of a plan, each reason once, in the order of the first of each.
    pub fn all(problems: &'a [Problem]) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for own in problems.iter().map(Self::of) {
            match all.iter_mut().find(|other| other.body() == own.body()) {
                Some(other) => other.headings.extend(own.headings),
                None => all.push(own),
            }
        }
        all
    }

    /// All but the headings.
    fn body(&self) -> (&str, &[String], &[String], &str) {
        (self.reason, self.because, self.ways, self.no_ways)
    }
}

/// What is not done, and how sure that is.
pub fn heading(problem: &Problem) -> String {
    let what = &problem.what;
    match problem.status {
        Status::Found => what.clone(),
        Status::NotFound => format!("{what}: no way was found"),
        Status::Impossible => format!("{what} cannot be done"),
    }
}

fn reason(problem: &Problem) -> &'static str {
    match (problem.status, problem.because.len(), problem.cut_short) {
        (Status::Found, ..) => "Least sure of:",
        (_, 0, true) => "What is in the way was not found in the time there was.",
        (_, 0, false) => "What is in the way was not found.",
        (.., true) => "In the way, as far as there was time to look:",
        (_, 1, _) => "This is in the way:",
        _ => "These do not go together, so one of them has to give:",
    }
}

fn try_this(problem: &Problem) -> &'static str {
    match problem.status {
        Status::Found => "As sure as wished with any one of these, each tried:",
        Status::NotFound | Status::Impossible => "Ways out, each tried:",
    }
}

fn no_ways(problem: &Problem) -> &'static str {
    match (problem.status, problem.cut_short) {
        (Status::Found, _) => "",
        (_, true) => "No change that helps was found in the time there was.",
        (_, false) => "None of the changes tried was enough.",
    }
}

/// How many sessions and gifts of a plan are not served, and how sure that is.
pub fn undone(problems: &[Problem]) -> String {
    let number = match problems.len() {
        1 => "one thing".to_owned(),
        more => format!("{more} things"),
    };
    match problems.iter().all(|problem| problem.status == Status::Impossible) {
        true => format!("{number} in this plan cannot be done"),
        false => format!("no way was found for {number} in this plan"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prep::schedule::Ways;

    #[test]
    fn what_stands_in_the_way_of_several_is_said_once() {
        let problem = |what: &str, because: &str, status: Status| Problem {
            what: what.to_owned(),
            because: vec![because.to_owned()],
            ways: Ways { words: vec!["the freezer at −18 °C".to_owned()], ..Ways::default() },
            ..Problem::of(status)
        };
        let problems = [
            problem("Monday", "too warm", Status::Impossible),
            problem("Tuesday", "too few moulds", Status::Impossible),
            problem("Friday", "too warm", Status::NotFound),
        ];
        let headings: Vec<Vec<String>> =
            InTheWay::all(&problems).into_iter().map(|one| one.headings).collect();
        assert_eq!(
            headings,
            [
                vec!["Monday cannot be done", "Friday: no way was found"],
                vec!["Tuesday cannot be done"]
            ]
        );
        assert_eq!(undone(&problems), "no way was found for 3 things in this plan");
        assert_eq!(undone(&problems[..1]), "one thing in this plan cannot be done");
    }

    /// Where nothing was found in the time there was, nothing is claimed.
    #[test]
    fn no_reason_is_claimed_that_was_not_found() {
        let mut problem = Problem { cut_short: true, ..Problem::of(Status::NotFound) };
        let told = InTheWay::of(&problem);
        assert_eq!(told.reason, "What is in the way was not found in the time there was.");
        assert_eq!(told.no_ways, "No change that helps was found in the time there was.");
        let whole = Problem { cut_short: false, ..problem.clone() };
        assert_eq!(InTheWay::of(&whole).reason, "What is in the way was not found.");
        problem.because.push("the freezer is too warm".to_owned());
        assert_eq!(InTheWay::of(&problem).reason, "In the way, as far as there was time to look:");
        problem.cut_short = false;
        assert_eq!(InTheWay::of(&problem).reason, "This is in the way:");
    }
}
