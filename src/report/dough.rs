//! The answers on dough in words: how long, what to weigh, what can go wrong; and
//! when a baked piece may be touched.

use chrono::DateTime;

use super::{
    answers::{self, Length, Row, Said, about, cares, clock_after, time, yes_or_no},
    faults::Reader,
    phrase,
};
use crate::{
    answers::{
        Note,
        cool::CoolAnswer,
        dough::{Coat, DoughAndWays, DoughAnswer, DoughQuestion, Method, RiskId, Way},
    },
    uncertainty::{Band, Verdict, chance},
    units::{
        Locale, System, Time, grams, hours, in_hours, millimetres, show_mass, show_piece,
        show_thickness, zone::Zone,
    },
};

/// Two weights that a kitchen scale in ounces tells apart, in grams: three of its tenths.
const TOLD_APART_G: f64 = 8.5;

/// A damp piece that cools so much later than a dry one is told apart, min.
const DAMP_MATTERS_MIN: f64 = 3.0;

/// Nobody stays beside an oven for longer than this, h (common practice, no source).
const MOST_WATCHED_H: f64 = 12.0;

/// What is cool enough within this is so now, min.
const NOW_MIN: f64 = 0.5;

/// When it goes in and when it must be dry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    /// In.
    pub from: DateTime<Zone>,
    /// Needed.
    pub by: DateTime<Zone>,
}

/// A question on dough answered, with what words and pictures of it need.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The answer, and ways where there is a time to keep.
    pub both: DoughAndWays,
    /// What was asked, with what a diary knows of it.
    pub question: DoughQuestion,
    /// When it goes in and when it is needed, where that was asked.
    pub times: Option<Times>,
    /// Whether neither oven nor air was said, so that it dries in the room.
    pub no_oven_said: bool,
    /// How its reader says units and times.
    pub locale: Locale,
}

impl Answered {
    /// From when it goes in to when it must be dry.
    pub fn available(&self) -> Option<Time> {
        let Times { from, by } = self.times?;
        Some(hours((by - from).num_seconds() as f64 / 3600.0))
    }
}

/// The answer of `solidby dough`.
pub fn dough(answered: &Answered, width: usize, length: Length) -> String {
    said(answered, Reader::Terminal).lines(10, width, length)
}

/// The answer of `solidby dough` in words, for who reads it.
pub fn said(answered: &Answered, reader: Reader<'_>) -> Said {
    let DoughAndWays { answer, ways } = &answered.both;
    let mut rows = when(answered);
    rows.extend(weighed(answered));
    rows.extend(answer.risks.iter().map(|risk| Row {
        care: true,
        brief: Some(risk.short.clone()),
        ..Row::of("risk", phrase::risk(risk))
    }));
    rows.push(Row::aside("coats", coats(&answer.coats)));
    let thickest = ways.as_ref().and_then(|ways| ways.thickest_mm).map(|thickest| {
        let thickest = show_thickness(millimetres(thickest), answered.question.units);
        format!("The thickest piece ready in time this way is {thickest}.")
    });
    let (taught, notes): (Vec<&Note>, Vec<&Note>) =
        answer.notes.iter().partition(|note| note.first);
    let no_oven =
        answered.no_oven_said.then(|| "No oven is said: it dries in the room.".to_owned());
    Said {
        headline: dough_headline(answered),
        taken: no_oven.into_iter().chain(taught.into_iter().map(|it| reader.note(it))).collect(),
        rows,
        ways: ways.iter().flat_map(|ways| &ways.ways).map(|way| way_words(way, answered)).collect(),
        of_ways: thickest,
        helps: if ways.is_some() { Vec::new() } else { answers::helps(&answer.helps) },
        well: false,
        next: "",
        unsure: answers::unsure(&answer.unsure, reader),
        cautions: cares(&answer.cautions, answered.locale),
        notes: notes.into_iter().map(|note| reader.note(note)).collect(),
    }
    .spelled(answered.locale)
}

/// When it is firm, dry and to be turned; as times of day where it is known when it goes in.
fn when(answered: &Answered) -> Vec<Row> {
    let answer = &answered.both.answer;
    let words = |band: &Band| match answered.times {
        Some(times) if band.p50.is_finite() => about(times.from, band, answered.locale),
        _ => answers::band(band),
    };
    let mut rows = Vec::new();
    if let Some(hard) = &answer.hard_h {
        rows.push(Row::of("firm", format!("{}: holds its shape, may be painted", words(hard))));
    }
    if let Some(dry) = &answer.dry_h {
        let question = &answered.question;
        let watched = match (&question.method, question.bake_for) {
            (Method::Oven(..), None) if too_long_beside_an_oven(answered) => {
                let fewer = if question.count > 1 { " or fewer at once" } else { "" };
                &*format!(
                    "; too long beside an oven: roll it thinner{fewer}, or let it lie in the air \
                     first and finish it in the oven"
                )
            }
            (Method::Oven(..), None) => "; somebody stays with the oven until then",
            _ => "",
        };
        let words = format!("{}: no damp core, may be sealed{watched}", words(dry));
        rows.push(Row::of("dry", words));
    }
    rows.extend(answer.turn_h.map(|turn| Row::of("turn", format!("after {}", time(turn)))));
    rows
}

/// Whether it takes longer in an oven than anybody stays beside one.
fn too_long_beside_an_oven(answered: &Answered) -> bool {
    let DoughQuestion { method, bake_for, .. } = &answered.question;
    let likeliest = answered.both.answer.dry_h.map_or(0.0, |dry| dry.p50);
    matches!(method, Method::Oven(..)) && bake_for.is_none() && likeliest > MOST_WATCHED_H
}

fn weighed(answered: &Answered) -> Option<Row> {
    let weigh = &answered.both.answer.weigh_g;
    let (firm, dry) = (weigh.firm?, weigh.dry?);
    // A scale that shows tenths of ounces does not tell apart what lies so near.
    let ounces = answered.question.units == System::Us && firm - dry >= TOLD_APART_G;
    let show = |g| if ounces { show_mass(grams(g), System::Us) } else { show_piece(grams(g)) };
    let [wet, firm, dry] = [weigh.wet, firm, dry].map(show);
    let words = format!("one piece is {wet} wet, firm at {firm}, and {dry} when it is dry");
    Some(Row::of("weigh", words))
}

/// The answer in a sentence: with a time to keep whether it is kept.
pub(super) fn dough_headline(answered: &Answered) -> String {
    let answer = &answered.both.answer;
    let (Some(times), Some(available)) = (answered.times, answered.available()) else {
        let impracticable = match too_long_beside_an_oven(answered) {
            true => "Too long for an oven, beside which somebody stays. ",
            false => "",
        };
        return format!("{impracticable}{}", how_long(answer));
    };
    let by = answered.locale.day_and_time(&times.by);
    let Some(dry) = answer.dry_h.filter(|dry| dry.p50.is_finite()) else {
        return format!("No, not by {by} this way. {}", how_long(answer));
    };
    let in_time = match answer.dry_runs.is_empty() {
        true => f64::from(dry.p95 <= in_hours(available)),
        false => chance(&answer.dry_runs, in_hours(available)),
    };
    let late = if Verdict::from(in_time) <= Verdict::Unlikely { ", too late" } else { "" };
    format!(
        "{}{late}. Dry by {by}, begun {}: {}.",
        yes_or_no(in_time, answer.rough),
        answered.locale.day_and_time(&times.from),
        phrase::chance_or_guess(in_time, answer.rough)
    )
}

fn how_long(answer: &DoughAnswer) -> String {
    let firm = answer.hard_h.filter(|firm| firm.p50.is_finite());
    match (&answer.dry_h, &answer.reason) {
        (Some(dry), _) if answer.rough && dry.p95.is_finite() => format!(
            "By a rough guess firm in {}, dry in {}; it may take {}.",
            time(firm.map_or(dry.p50, |firm| firm.p50)),
            time(dry.p50),
            time(dry.p95)
        ),
        (Some(dry), _) if dry.p95.is_finite() && differ(firm, dry) => format!(
            "Firm in {}, dry in {}, most likely; allow {} to be sure that it is dry.",
            time(firm.map_or(dry.p50, |firm| firm.p50)),
            time(dry.p50),
            time(dry.p95)
        ),
        (Some(dry), _) if dry.p95.is_finite() => {
            format!("Dry in {}, most likely; allow {} to be sure.", time(dry.p50), time(dry.p95))
        }
        (Some(dry), _) => {
            format!("Dry in {} at best; in some rooms like yours never.", time(dry.p05))
        }
        (None, Some(reason)) => match firm {
            Some(firm) => format!("Firm in {}, but never dry. {reason}", time(firm.p50)),
            None => format!("Never dries. {reason}"),
        },
        (None, None) => "Never dries.".to_owned(),
    }
}

/// Whether firm and dry are two times in words.
fn differ(firm: Option<Band>, dry: &Band) -> bool {
    firm.is_some_and(|firm| time(firm.p50) != time(dry.p50))
}

/// A way to have it dry in time.
fn way_words(way: &Way, answered: &Answered) -> String {
    let in_time = if way.in_time == Some(true) { "in time" } else { "too late" };
    let sure = if answered.both.answer.rough { "by a rough guess" } else { "to be sure" };
    let dry = match (way.dry_h.map(|band| band.p95).filter(|h| h.is_finite()), answered.times) {
        (None, _) => "never dry for sure".to_owned(),
        (Some(h), Some(times)) => {
            format!("dry by {} {sure}", clock_after(times.from, h, f64::ceil, answered.locale))
        }
        (Some(h), None) => format!("{} {sure}", time(h)),
    };
    let watched = match way.watched_h {
        h if h > 0.0 => format!(", oven watched {}", time(h)),
        _ => String::new(),
    };
    let risks: Vec<&str> = way.risks.iter().map(|risk| risk_word(risk.id)).collect();
    let risks =
        if risks.is_empty() { String::new() } else { format!("; mind: {}", risks.join(", ")) };
    format!("{}: {in_time}, {dry}{watched}{risks}", way.change)
}

fn risk_word(id: RiskId) -> &'static str {
    match id {
        RiskId::Puff => "may puff",
        RiskId::Brown => "may brown",
        RiskId::Crack => "may crack",
        RiskId::Humid => "humid room",
    }
}

/// How long each coat dries afterwards.
fn coats(coats: &[Coat]) -> String {
    let words: Vec<String> = coats
        .iter()
        .map(|coat| match (coat.next_h, coat.again_h) {
            (Some(next), Some(again)) if coat.coats > 1 => {
                let Coat { finish, coats, .. } = coat;
                format!("{finish} {} ({coats} coats, {} apart)", time(next), time(again))
            }
            (Some(next), _) => format!("{} {}", coat.finish, time(next)),
            (None, _) => format!("{} never in this room", coat.finish),
        })
        .collect();
    format!("{} until the next step", words.join(", "))
}

/// The answer of `solidby cool`.
pub fn cool(answer: &CoolAnswer, locale: Locale, width: usize, length: Length) -> String {
    cool_said(answer, locale).lines(16, width, length)
}

/// The same before it is set as lines or as a page.
pub fn cool_said(answer: &CoolAnswer, locale: Locale) -> Said {
    let bands = &answer.bands;
    let rows = [
        ("piece, child", &bands.piece_child_min),
        ("damp, child", &bands.damp_piece_child_min),
        ("tray, child", &bands.tray_child_min),
        ("piece, adult", &bands.piece_adult_min),
        ("tray, adult", &bands.tray_adult_min),
    ]
    .map(|(what, Band { p50, p95, .. })| {
        let words = match *p95 < NOW_MIN {
            true => "now".to_owned(),
            false => {
                format!("{} most likely, {} to be sure", time(p50 / 60.0), time(p95 / 60.0))
            }
        };
        Row::of(what, words)
    });
    let said = Said {
        headline: touched(answer),
        rows: rows.to_vec(),
        cautions: cares(&answer.cautions, locale),
        notes: answer.notes.clone(),
        ..Said::default()
    };
    said.spelled(locale)
}

/// From when on a child may touch it; a damp piece is told apart where that matters.
fn touched(answer: &CoolAnswer) -> String {
    let [dry, damp] = [answer.piece_child_min, answer.damp_piece_child_min]
        .map(|piece| piece.max(answer.tray_child_min));
    if damp < NOW_MIN {
        return "A child may touch it now.".to_owned();
    }
    let after = if damp - dry < DAMP_MATTERS_MIN {
        time(damp / 60.0)
    } else {
        format!(
            "{} if it is dry through, {} if its middle may be damp",
            time(dry / 60.0),
            time(damp / 60.0)
        )
    };
    format!("A child may touch it after {after}; until then keep piece and tray out of reach.")
}
