//! What families are given: a slip for each child before, with the day the photo is needed,
//! and a card for each gift. One HTML file, eight to a page to cut; no child is named.

use chrono::NaiveDate;
use minijinja::{context, value::Serde};
use serde::Serialize;

use super::clean::{named, one_line};
use super::sheet::{SheetError, environment, palette};
use crate::planfile::{Finish, Group, Ornament, Plan};
use crate::prep::schedule::{Schedule, Step};
use crate::tables::{self, ForFamilies, Needs, Paper, Step as Kind};
use crate::units::show_length;

/// The writer's name in every such file.
const GENERATOR: &str = "solidby notes for families";
/// Days within which a group meets again, holidays included.
const MOST_DAYS: usize = 100;
/// Slips or cards on one side of paper.
const TO_A_PAGE: usize = 8;

/// One slip or card.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Note {
    /// What it is about.
    head: String,
    lines: Vec<String>,
}

/// Notes of one kind for one group: as many as there are children, or gifts.
#[derive(Debug, Serialize)]
struct Pile {
    /// What lies here, for the heading of its pages.
    name: String,
    card: bool,
    /// The notes of each page.
    pages: Vec<Vec<Note>>,
}

/// The slips and cards of a plan as one HTML file; none where it has no gifts.
///
/// # Errors
/// [`SheetError`] when the template asks for a value that is not there.
pub fn write(plan: &Plan, schedule: &Schedule) -> Result<Option<String>, SheetError> {
    let piles: Vec<Pile> = [Paper::Slip, Paper::Card]
        .into_iter()
        .flat_map(|paper| (0..plan.ornaments.len()).map(move |ornament| (paper, ornament)))
        .flat_map(|(paper, ornament)| {
            let groups = plan.ornaments[ornament].groups.iter();
            groups.map(move |group| pile(plan, schedule, paper, (ornament, *group)))
        })
        .collect();
    if piles.is_empty() {
        return Ok(None);
    }
    let css = palette::css() + include_str!("notes.css");
    let title = named(&schedule.title);
    let values = context! { css, title, piles => Serde(piles), generator => GENERATOR };
    let page = environment()?
        .template_from_named_str("notes.html", include_str!("notes.html"))?
        .render(values)?;
    Ok(Some(schedule.spelling.words(&page)))
}

/// Whether a file is one that this program wrote, so that it may be replaced.
pub fn is_ours(file: &str) -> bool {
    let marker = format!("<meta name=\"generator\" content=\"{GENERATOR}\">");
    file.split("</head>").next().is_some_and(|head| head.contains(&marker))
}

fn pile(plan: &Plan, schedule: &Schedule, paper: Paper, (number, group): (usize, usize)) -> Pile {
    let ornament = &plan.ornaments[number];
    let (name, count) = match paper {
        Paper::Slip => ("Slips", ornament.children_of(plan, group)),
        Paper::Card => ("Cards", ornament.given_to(plan, group)),
    };
    let group = &plan.groups[group];
    // To families it is what the file calls it.
    let called = one_line(&plan.ornaments[plan.in_file(number)].name);
    let gift = Gift { plan, schedule, ornament, called: &called, group };
    let note =
        Note { head: format!("{called} · {}", one_line(&group.name)), lines: gift.lines(paper) };
    let all = vec![note; count as usize];
    Pile {
        name: format!("{name}: {}, {}", one_line(&ornament.name), one_line(&group.name)),
        card: paper == Paper::Card,
        pages: all.chunks(TO_A_PAGE).map(<[Note]>::to_vec).collect(),
    }
}

/// A batch of gifts for one group.
struct Gift<'a> {
    plan: &'a Plan,
    schedule: &'a Schedule,
    ornament: &'a Ornament,
    called: &'a str,
    group: &'a Group,
}

impl Gift<'_> {
    fn lines(&self, paper: Paper) -> Vec<String> {
        let rows = tables::families().iter().filter(|row| row.on == paper && self.has(row));
        rows.filter_map(|row| self.filled(&row.text)).collect()
    }

    /// Whether a sentence holds for these gifts.
    fn has(&self, row: &ForFamilies) -> bool {
        let photo = self.ornament.finish.contains(&Finish::Photo);
        let given = self.steps().filter(|step| step.kind == Kind::Give);
        let mut cautions = given.flat_map(|step| &step.cautions);
        let minded = match (row.on, &row.caution) {
            (Paper::Card, Some(id)) => cautions.any(|caution| caution.id == *id),
            _ => true,
        };
        minded && (photo || row.needs != Some(Needs::Photo))
    }

    /// The sentence with its names filled in; none where one is not known.
    fn filled(&self, text: &str) -> Option<String> {
        let locale = self.schedule.locale;
        let day = |step: &Step| locale.long_day(&step.start);
        let mut words = text.to_owned();
        for name in ["group", "ornament", "give", "photo", "back", "opening"] {
            let place = format!("{{{name}}}");
            if !words.contains(&place) {
                continue;
            }
            let known = match name {
                "group" => Some(one_line(&self.group.name)),
                "ornament" => Some(format!("“{}”", self.called)),
                "give" => self.of_group(Kind::Give).last().map(day),
                "photo" => self.of_group(Kind::Gather).last().map(day),
                "back" => self.back(),
                _ => self.ornament.opening.map(|size| show_length(size, self.plan.units)),
            };
            words = words.replace(&place, &known?);
        }
        Some(words)
    }

    /// The first day after the slips go home on which these children have dough or photos, or
    /// their last day of class before it; their next one where there is none between. Where
    /// nothing says when they go home, it is a day in class, and not the evening of the mixing.
    fn back(&self) -> Option<String> {
        let touched = [Kind::Mix, Kind::Roll, Kind::Paint, Kind::Gather];
        let home = self.of_group(Kind::Gather).next().map(|step| step.start.date_naive());
        let first = self.steps().find(|step| {
            let own = match &step.group {
                Some(group) => *group == self.group.name,
                None => home.is_some(),
            };
            let later = home.is_none_or(|home| step.start.date_naive() > home);
            touched.contains(&step.kind) && own && later
        })?;
        let due = first.start.date_naive();
        let meets = |day: &NaiveDate| self.plan.meets(self.group, *day);
        let back = home.and_then(|home| {
            let mut next = home.iter_days().skip(1).take(MOST_DAYS);
            let days: Vec<NaiveDate> = next.by_ref().take_while(|day| *day <= due).collect();
            days.into_iter()
                .rev()
                .find(meets)
                .or_else(|| due.iter_days().take(MOST_DAYS).find(meets))
        });
        Some(self.schedule.locale.long_day(&back.unwrap_or(due)))
    }

    fn of_group(&self, kind: Kind) -> impl Iterator<Item = &Step> {
        let own = move |step: &&Step| {
            step.kind == kind && step.group.as_ref().is_none_or(|group| *group == self.group.name)
        };
        self.steps().filter(own)
    }

    fn steps(&self) -> impl Iterator<Item = &Step> {
        self.schedule.steps.iter().filter(|step| step.goal == self.ornament.name)
    }
}
