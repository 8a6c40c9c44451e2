//! A piece of dough while it dries: its moisture, its temperature, when it is firm and dry.

use super::ice::{degrees, unit};
use super::{Chart, Dash, Filling, Hours, Line, Mark, Panel, Span, end_of};
use crate::answers::dough::{DoughAnswer, DoughQuestion, Method};
use crate::drying::solver::Point;
use crate::report::answers::time;
use crate::report::dough::{Answered, dough_headline};
use crate::report::sheet::palette::{CLAY, ICE, INK};
use crate::uncertainty::Band;
use crate::units::{Ratio, in_celsius, in_hours, in_percents, show_temperature, show_thickness};

/// The chart of `solidby dough`, from the central course.
pub fn dough(answered: &Answered, course: &[Point]) -> Chart {
    let (answer, question) = (&answered.both.answer, &answered.question);
    let needed = answered.available().map(in_hours);
    let end = end(answer, course, needed);
    let line = |name: &str, value: fn(&Point) -> Ratio, dash, colour| Line {
        name: name.to_owned(),
        points: course.iter().map(|p| [in_hours(p.time), in_percents(value(p))]).collect(),
        dash,
        colour,
    };
    let units = question.units;
    let warmth = |point: &Point| degrees(in_celsius(point.temperature), units);
    let temperature = Line {
        name: String::new(),
        points: course.iter().map(|point| [in_hours(point.time), warmth(point)]).collect(),
        dash: Dash::Solid,
        colour: CLAY,
    };
    Chart {
        id: "dough".to_owned(),
        title: title(question),
        finding: finding(answered),
        time: Hours::since(end, 8),
        panels: vec![
            Panel {
                values: "water, % of the dry mass".to_owned(),
                lines: vec![
                    line("middle", |point| point.core, Dash::Solid, ICE),
                    line("mean", |point| point.mean, Dash::Long, INK),
                    line("face", |point| point.face, Dash::Dots, CLAY),
                ],
                levels: Vec::new(),
            },
            Panel {
                values: format!("temperature of the piece, {}", unit(units)),
                lines: vec![temperature],
                levels: Vec::new(),
            },
        ],
        spans: spans(answer),
        marks: marks(answer, question, (needed, end)),
    }
}

/// All of the course, of the bands as far as they are finite, and the time there is.
fn end(answer: &DoughAnswer, course: &[Point], needed: Option<f64>) -> f64 {
    let line = course.last().map_or(1.0, |point| in_hours(point.time));
    let bands = [&answer.hard_h, &answer.dry_h].into_iter().flatten().map(|band| {
        let last = [band.p95, 1.4 * band.p50, 1.4 * band.p05].into_iter().find(|h| h.is_finite());
        last.unwrap_or(line)
    });
    end_of(bands.fold(line, f64::max), needed)
}

/// When it is firm and when it is dry; one span where these are the same.
fn spans(answer: &DoughAnswer) -> Vec<Span> {
    let words = |band: &Band| match band.p05 < band.p95 {
        true => format!("{} ({} to {})", time(band.p50), time(band.p05), time(band.p95)),
        false => time(band.p50),
    };
    let span = |band: Option<Band>, name: &str, filling| {
        let band = band.filter(|band| band.p50.is_finite())?;
        let name = format!("{name} {}", words(&band));
        Some(Span { from: band.p05, middle: band.p50, to: band.p95, name, filling })
    };
    if matched(answer) {
        return span(answer.dry_h, "firm and dry", Filling::Plain).into_iter().collect();
    }
    let hard = span(answer.hard_h, "firm", Filling::Plain);
    hard.into_iter().chain(span(answer.dry_h, "dry", Filling::Hatched)).collect()
}

/// Whether firm and dry are the same in words.
fn matched(answer: &DoughAnswer) -> bool {
    let words = |band: Option<Band>| band.map(|b| [b.p05, b.p50, b.p95].map(time));
    words(answer.hard_h) == words(answer.dry_h)
}

fn marks(
    answer: &DoughAnswer,
    question: &DoughQuestion,
    (needed, end): (Option<f64>, f64),
) -> Vec<Mark> {
    let turn = answer.turn_h.map(|at| Mark { at, name: "turn".to_owned() });
    let mut start = question.pre_dry.map_or(0.0, in_hours);
    let settings = question.oven_steps.iter().map(|(at, lasts)| (*at, in_hours(*lasts)));
    let last = match question.method {
        Method::Oven(at, _) => Some((at, 0.0)),
        Method::Air => None,
    };
    let mut stages = Vec::new();
    for (at, lasts) in settings.chain(last) {
        let name = format!("oven {}", show_temperature(at, question.units));
        stages.push(Mark { at: start, name });
        start += lasts;
    }
    if let Some(bake_for) = question.bake_for {
        stages.push(Mark { at: start + in_hours(bake_for), name: "room".to_owned() });
    }
    // What holds from the beginning is said in the title.
    let stages = stages.into_iter().filter(|mark| mark.at > 0.0);
    let needed = needed.map(|at| Mark::needed(at, &format!("after {}", time(at)), end));
    turn.into_iter().chain(stages).chain(needed).collect()
}

fn title(question: &DoughQuestion) -> String {
    let thickness = show_thickness(question.thickness, question.units);
    match (&question.method, question.pre_dry) {
        (Method::Air, _) => format!("Salt dough {thickness} thick, drying in the room"),
        (Method::Oven(at, _), None) => {
            let at = show_temperature(*at, question.units);
            let then = if question.bake_for.is_some() { ", then in the room" } else { "" };
            format!("Salt dough {thickness} thick, in the oven at {at}{then}")
        }
        (Method::Oven(..), Some(_)) => {
            format!("Salt dough {thickness} thick, in the room, then the oven")
        }
    }
}

fn finding(answered: &Answered) -> String {
    let answer = &answered.both.answer;
    let band = match answer.dry_h {
        Some(band) if band.p05 < band.p95 && matched(answer) => " Shaded: 9 of 10 cases.",
        Some(band) if band.p05 < band.p95 => {
            " Shaded: firm in 9 of 10 cases; hatched: dry in 9 of 10."
        }
        _ => "",
    };
    format!("{}{band}", dough_headline(answered))
}
