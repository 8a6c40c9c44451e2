//! The answer on ice in words: will it be solid, when, what to do, what would help.

use chrono::DateTime;

use super::{
    answers::{self, Length, Row, Said, about, band, cares, clock_after, time, yes_or_no},
    faults::Reader,
    phrase,
};
use crate::{
    answers::{
        Help,
        ice::{AtOnce, IceAnswer, IceQuestion, LookAt},
    },
    tables,
    uncertainty::{Band, Verdict},
    units::{Locale, in_hours, kilograms, show_mass, zone::Zone},
};

/// When it is asked, when it is filled and when it must be solid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    /// Asked.
    pub now: DateTime<Zone>,
    /// Filled.
    pub filled: DateTime<Zone>,
    /// Needed, where that was asked.
    pub by: Option<DateTime<Zone>>,
    /// Seen to be still wet.
    pub wet_at: Option<DateTime<Zone>>,
}

/// A question on ice answered, with what words and pictures of it need.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The answer.
    pub answer: IceAnswer,
    /// What was asked, with what a diary knows of it.
    pub question: IceQuestion,
    /// When it is filled and when needed.
    pub times: Times,
    /// How its reader says units and times.
    pub locale: Locale,
}

impl Answered {
    /// Whether the blocks are in the freezer already.
    fn is_filled(&self) -> bool {
        self.times.filled < self.times.now || self.times.wet_at.is_some()
    }
}

/// The answer of `solidby ice`.
pub fn ice(answered: &Answered, width: usize, length: Length) -> String {
    said(answered, Reader::Terminal).lines(12, width, length)
}

/// The answer of `solidby ice` in words, for who reads it.
pub fn said(answered: &Answered, reader: Reader<'_>) -> Said {
    let Answered { answer, question, locale, .. } = answered;
    let mut rows = to_do(answered);
    rows.extend(when(answered));
    let each = show_mass(kilograms(answer.mass_kg), locale.units);
    let plural = if question.count == 1 { "" } else { "s" };
    rows.push(Row::aside("water", format!("{each} a block, {} block{plural}", question.count)));
    let words = |first: bool| -> Vec<String> {
        answer.notes.iter().filter(|note| note.first == first).map(|it| reader.note(it)).collect()
    };
    Said {
        headline: headline(answered),
        taken: words(true),
        rows,
        helps: if answered.is_filled() { Vec::new() } else { helps(answered) },
        next: "--more says all there is to say; --wet-at how long the rest takes, if still wet.",
        well: answer.verdict == Some(Verdict::Sure) && !answer.rough,
        unsure: answers::unsure(&answer.unsure, reader),
        cautions: cares(&answer.cautions, *locale),
        notes: words(false),
        ..Said::default()
    }
    .spelled(*locale)
}

/// What would help; where it is asked whether they are ready in time, only what makes that
/// likely, if anything does: else fewer at once. A rough guess has no chances.
fn helps(Answered { answer, question, .. }: &Answered) -> Vec<String> {
    if answer.rough {
        let without = |help: &Help| Help { chance: None, ..help.clone() };
        return answers::helps(&answer.helps.iter().map(without).collect::<Vec<_>>());
    }
    let enough = |chance: f64| phrase::verdict(chance) >= Verdict::Likely;
    let likely: Vec<_> =
        answer.helps.iter().filter(|help| help.chance.is_none_or(enough)).cloned().collect();
    if !likely.is_empty() {
        return answers::helps(&likely);
    }
    let fewer = answer.counts.iter().rev();
    let fewer = fewer.filter(|it| it.count < question.count && enough(it.chance)).take(1);
    let fewer = fewer.map(|AtOnce { count, chance, .. }| {
        format!("freeze {count} at a time: then {}", phrase::chance(*chance))
    });
    fewer.chain(answers::helps(&answer.helps)).collect()
}

/// When to fill, how many, what to look at.
fn to_do(answered: &Answered) -> Vec<Row> {
    let Answered { answer, times, locale, .. } = answered;
    let mut rows = Vec::new();
    if let (true, false) = (times.by.is_some(), answered.is_filled()) {
        let words = match fill_by(answer, *times) {
            Some(last) => {
                let spare = last.timestamp().rem_euclid(300);
                let last = last - chrono::Duration::seconds(spare);
                let last = locale.from_day(&times.now, &last);
                let sure = if answer.rough { "by a rough guess" } else { "to be sure" };
                format!("{last} at the latest, {sure}")
            }
            None if answer.rough => "it is too late, by a rough guess".to_owned(),
            None => "it is too late to be sure of it".to_owned(),
        };
        rows.push(Row::of("fill by", words));
    }
    if let ([_, _, ..], false) = (&answer.counts[..], answered.is_filled() || answer.rough) {
        rows.push(Row::of("at once", at_once(&answer.counts)));
    }
    rows.extend(look(answered));
    rows.extend(teaches(answered));
    rows
}

/// What to look at, and when.
fn look(answered: &Answered) -> Option<Row> {
    let Answered { answer, times, locale, .. } = answered;
    let ready = answer.ready_h.filter(|ready| ready.p95.is_finite())?;
    let at = |h: f64, round| clock_after(times.filled, h, round, *locale);
    if times.wet_at.is_some() {
        let first = if answer.rough { "check the freezer first; " } else { "" };
        let again = at(ready.p50, f64::ceil);
        let words = format!("{first}leave them in, and look again at {again}");
        return Some(Row::of("look", words));
    }
    if answer.chance.is_some_and(|chance| phrase::verdict(chance) == Verdict::No) {
        return None;
    }
    let at = match times.by {
        Some(by) => locale.from_day(&times.filled, &by),
        None => at(ready.p95, f64::ceil),
    };
    let see = &tables::look_before(tables::Step::TurnOut)?.see;
    Some(Row::of("look", format!("{at}. {see}")))
}

/// At what waking hour a look teaches the diary most.
fn teaches(Answered { answer, times, locale, .. }: &Answered) -> Option<Row> {
    let last = answer.looks.last()?;
    let at = |look: &LookAt| clock_after(times.filled, look.look.after_h, f64::round, *locale);
    let looks = answer.looks.iter().map(at).collect::<Vec<_>>().join(" and ");
    let share = 100.0 * last.look.teaches;
    let words =
        format!("{looks}: noted in the diary, it teaches most ({share:.0} % of what is open)");
    Some(Row::aside("teaches", words))
}

/// `2: very likely (about 97 %); 6: unlikely (about 20 %)`.
fn at_once(counts: &[AtOnce]) -> String {
    let one = |it: &AtOnce| format!("{}: {}", it.count, phrase::chance(it.chance));
    counts.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// When it is solid and when ready.
fn when(Answered { answer, times, locale, .. }: &Answered) -> Vec<Row> {
    let (Some(solid), Some(ready)) = (&answer.solid_h, &answer.ready_h) else {
        return vec![
            Row::of("solid", time(answer.nominal.solid_h)),
            Row::of("ready", time(answer.nominal.ready_h)),
        ];
    };
    if solid.p05.is_infinite() {
        return vec![Row::of("solid", "never".to_owned())];
    }
    let about = |band: &Band| match band.p50.is_finite() {
        true => about(times.filled, band, *locale),
        false if band.p05.is_infinite() => "never".to_owned(),
        false => {
            let soonest = clock_after(times.filled, band.p05, f64::floor, *locale);
            format!("most likely never, {soonest} at the soonest")
        }
    };
    let after = match solid.p50.is_finite() {
        true => format!(", {} after filling", time(solid.p50)),
        false => String::new(),
    };
    vec![
        Row::of("solid", format!("{}{after}", about(solid))),
        Row::of("ready", format!("{}: firm to turn out", about(ready))),
        Row::aside("takes", format!("{} until solid; {} until ready", band(solid), band(ready))),
    ]
}

pub(super) fn headline(answered: &Answered) -> String {
    let Answered { answer, times, locale, .. } = answered;
    let said = |at: DateTime<Zone>| locale.day_and_time(&at);
    let mut filled = format!("filled {}", said(times.filled));
    if !answered.is_filled() {
        filled.insert_str(0, "if ");
    }
    let wet = times.wet_at.map(|at| format!("Still wet {}: ", locale.from_day(&times.filled, &at)));
    let wet = wet.unwrap_or_default();
    let after = |h: f64, round| clock_after(times.filled, h, round, *locale);
    let words = match (times.by, answer.chance) {
        (Some(by), Some(chance)) => format!(
            "{}. {}: {}.",
            yes_or_no(chance, answer.rough),
            phrase::capital(&format!("{wet}firm by {}, {filled}", said(by))),
            phrase::chance_or_guess(chance, answer.rough)
        ),
        _ => match (answer.solid_h, answer.ready_h) {
            (Some(solid), Some(ready)) if ready.p95.is_finite() => format!(
                "{wet}solid about {}, firm by {} {}, {filled}.",
                after(solid.p50, f64::round),
                after(ready.p95, f64::ceil),
                if answer.rough { "by a rough guess" } else { "to be sure" }
            ),
            (Some(solid), _) if solid.p50.is_finite() => format!(
                "{wet}solid about {}, {filled}, but not for sure at all.",
                after(solid.p50, f64::round)
            ),
            (Some(_), _) => "No. It is most likely never solid in this freezer.".to_owned(),
            _ => format!("Solid after {} in these conditions.", time(answer.nominal.solid_h)),
        },
    };
    phrase::capital(&words)
}

/// The latest filling for a chance of 0.95, unless that is past.
pub fn fill_by(answer: &IceAnswer, times: Times) -> Option<DateTime<Zone>> {
    let (by, lead) = (times.by?, answer.lead()?);
    let last = by - chrono::Duration::seconds((in_hours(lead) * 3600.0) as i64);
    (times.wet_at.is_none() && last >= times.now).then_some(last)
}
