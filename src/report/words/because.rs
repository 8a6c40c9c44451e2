//! Why a step is where it is, in plain words:
//! `Sunday 18:30, since freezing needs 9 h 40 min to be sure and Monday evening
//! is too late for turning out on Tuesday at 06:45.`

use chrono::DateTime;
use chrono_tz::Tz;

use super::{
    fact::{fact, hours, taken},
    names::{day_part, moment_words, served},
    what::{doing, what},
};
use crate::{
    planfile::Plan,
    prep::{
        Laid,
        reasons::{Because, Cause},
        tell::TimedStep,
    },
    report::phrase::capital,
    scheduler::{ActivityId, Tick},
};

/// A step that is being explained.
pub struct Explained<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// As it was laid out.
    pub laid: &'a Laid,
    /// The step.
    pub step: &'a TimedStep<'a>,
}

impl Explained<'_> {
    /// Why it is where it is, in one sentence; nothing where that is not known.
    pub fn because(&self) -> String {
        let words = self.step.because.and_then(|because| self.words(because));
        words.map_or_else(String::new, |words| format!("{words}."))
    }

    fn words(&self, because: Because) -> Option<String> {
        let when = self.plan.locale().weekday_and_time(&self.step.start);
        let as_late_as = |fact| format!("{when}, as late as {}", hours(self.plan, fact));
        let named = |other: ActivityId| self.laid.draft.tasks.get(other.0).map(doing);
        Some(match because {
            Because::Given(of) => capital(&fact(self.plan, of)),
            Because::AtOnce(cause) => format!("{when}, since {}", self.at_once(cause)?),
            Because::NextHours(hours, next, cause) => {
                let slot = day_part(self.step.start, self.instant(next), self.plan.locale());
                self.next_hours(cause, (&when, &as_late_as(hours)), &slot)?
            }
            Because::HoursEnd(hours) => as_late_as(hours),
            Because::RightAfter(other) => {
                format!("{when}, right after {}: it begins no sitting of its own", named(other)?)
            }
            Because::CostsLeast => {
                format!("{when}: of all times that do, this one costs the least trouble")
            }
            Because::Waited(next) => {
                let next = named(next)?;
                format!("It begins when the step before it is done; {next} waits for it")
            }
            Because::EndsWith(next) => format!("It ends when {} begins", named(next)?),
            Because::StandsIn => {
                let what = what(self.plan, self.step.task);
                format!("It is kept for when “{what}” was not possible yet")
            }
        })
    }

    fn instant(&self, tick: Tick) -> DateTime<Tz> {
        self.laid.draft.clock.instant(tick)
    }

    /// `turning out on Tuesday at 06:45`.
    fn doing(&self, other: ActivityId) -> Option<String> {
        let (name, at) = self.parted(other)?;
        Some(format!("{name} {at}"))
    }

    /// The same in two parts.
    fn parted(&self, other: ActivityId) -> Option<(String, String)> {
        let Laid { draft, solution, .. } = self.laid;
        let mut name = doing(draft.tasks.get(other.0)?).to_owned();
        let goal = draft.goals.get(draft.problem.activities.get(other.0)?.goal.0)?;
        let [its, own] = [*goal, self.step.goal].map(|goal| served(self.plan, goal));
        if its != own {
            name += &format!(" for “{its}”");
        }
        let start = self.instant(solution.start(other)?);
        Some((name, moment_words(self.step.start, start, self.plan.locale())))
    }

    /// What forbids the next tick in the same hours.
    fn at_once(&self, cause: Cause) -> Option<String> {
        Some(match cause {
            Cause::Wait(of, other) | Cause::Limit(of, other) => {
                let (name, at) = self.parted(other)?;
                format!("{} and {name} is {at}", fact(self.plan, of))
            }
            Cause::Order(other) => {
                let (name, at) = self.parted(other)?;
                format!("{name} follows {at}")
            }
            Cause::Taken(of, other) => format!("{} {}", taken(self.plan, of), self.by(other)?),
            Cause::Sitting => "later would be one more sitting of work".to_owned(),
        })
    }

    /// What forbids the next open hours, where these end.
    fn next_hours(&self, cause: Cause, (when, limit): (&str, &str), slot: &str) -> Option<String> {
        Some(match cause {
            Cause::Wait(of, other) => {
                let (fact, doing) = (fact(self.plan, of), self.doing(other)?);
                format!("{when}, since {fact} and {slot} is too late for {doing}")
            }
            Cause::Limit(of, _) => {
                format!("{limit}: {}, and {slot} is too late", fact(self.plan, of))
            }
            Cause::Order(other) => {
                format!("{limit}: {slot} is too late for {}", self.doing(other)?)
            }
            Cause::Taken(of, other) => {
                format!("{limit}: after that, {} {}", taken(self.plan, of), self.by(other)?)
            }
            Cause::Sitting => format!("{limit}; {slot} would be one more sitting of work"),
        })
    }

    /// The work that takes what there is only so much of.
    fn by(&self, other: Option<ActivityId>) -> Option<String> {
        other.map_or(Some("other work".to_owned()), |other| self.doing(other))
    }
}
