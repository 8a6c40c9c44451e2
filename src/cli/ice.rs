//! `solidby ice`: will these blocks be solid by then.

use chrono::{DateTime, FixedOffset, Timelike};

use super::{
    Reply,
    args::{Common, IceArgs, IceMade},
    diary,
    failure::Failure,
    files,
    moment::{Moment, hours_between, later},
    shape::{Typed, block},
};
use crate::{
    answers::{
        AskError, Field, Look,
        ice::{IceAnswer, IceQuestion, LookAt, answer, answer_in_constant_films},
    },
    freezing::{mesh::Resolution, shape::ShapeError},
    report::{
        chart,
        ice::{Answered, Times, ice},
    },
    tables::{self, UnknownName, Wall},
    units::{Length, Ratio, fraction, hours, in_fraction, length},
};

/// Hours of the day in which somebody may look (common practice, no source).
const UP: std::ops::Range<u32> = 6..23;

/// Answers `solidby ice`.
///
/// # Errors
/// An input failure for names no table knows, times that are none, and values
/// out of range.
pub fn run(args: &IceArgs, common: &Common) -> Result<Reply, Failure> {
    let answered = answered(args, common)?;
    if let Some(out) = &args.chart {
        files::write_chart(out, &chart::ice(&answered), args.force)?;
    }
    super::reply(&answered.answer, common, || ice(&answered, super::width()))
}

/// The question answered, with what the diary knows.
///
/// # Errors
/// As [`run`].
pub fn answered(args: &IceArgs, common: &Common) -> Result<Answered, Failure> {
    let times = times(args, common)?;
    let mut question = question(&args.made)?;
    let taught = match args.film {
        Some(_) => None,
        None => diary::teach_ice(&args.learning, &args.made, &mut question, common)?,
    };
    question.by = times.by.map(|by| hours(hours_between(times.filled, by)));
    let mut answer = match args.film {
        Some(films) => {
            let faces = [films.top, films.side, films.base];
            answer_in_constant_films(&question, faces, Resolution::Converged)
        }
        None => answer(&question),
    }
    .map_err(|error| wrong(&error))?;
    answer.fill_by = fill_by(&answer, times.by);
    if let Some(words) = taught {
        answer.notes.insert(0, words);
        answer.looks = looks(&answer, times.filled);
    }
    Ok(Answered { answer, question, times, units: common.units.unwrap_or_default() })
}

/// What was typed wrong, by what the question cannot be answered for.
fn wrong(error: &AskError) -> Failure {
    let option = match error {
        AskError::OutOfRange(out) => match out.field {
            Field::Air => "air",
            Field::Start => "start",
            Field::Count => "count",
            Field::Rated => "rated",
            Field::Wall => "wall",
            _ => "by",
        },
        AskError::TooMuchWork { .. } => "count",
        AskError::Shape(ShapeError::TooDeep { .. }) => "fill",
        AskError::Shape(_) | AskError::Size(_) => "size",
        AskError::Medium(_) => "salt",
        _ => return Failure::other(error.to_string()),
    };
    Failure::of(option, error.to_string())
}

/// When to open the door, among the quarter hours in which people are up.
pub(super) fn looks(answer: &IceAnswer, filled: DateTime<FixedOffset>) -> Vec<LookAt> {
    let up = |h: &f64| UP.contains(&later(filled, *h).hour());
    let times: Vec<f64> = (1..200).map(|quarter| 0.25 * f64::from(quarter)).filter(up).collect();
    let said = |look: Look| LookAt { at: later(filled, look.after_h).to_rfc3339(), look };
    answer.teaching.looks(&times).into_iter().map(said).collect()
}

/// The latest time to fill for a chance of 0.95.
fn fill_by(answer: &IceAnswer, by: Option<DateTime<FixedOffset>>) -> Option<String> {
    let (by, lead) = (by?, answer.lead()?);
    Some(later(by, -crate::units::in_hours(lead)).to_rfc3339())
}

fn times(args: &IceArgs, common: &Common) -> Result<Times, Failure> {
    let moment = Moment::new(common.now.as_deref())?;
    let filled = match &args.at {
        Some(text) => moment.read("--at", text, moment.now())?,
        None => moment.now(),
    };
    let by = args.by.as_ref().map(|text| moment.read("--by", text, filled)).transpose()?;
    if by.is_some_and(|by| by <= filled) {
        return Err(Failure::input("--by is not after --at; for example --at 20:00 --by 07:00"));
    }
    Ok(Times { filled, by })
}

pub(super) fn question(args: &IceMade) -> Result<IceQuestion, Failure> {
    let named = |error: UnknownName| Failure::of(error.what, error.to_string());
    let Typed { block, mould, measured } = block(&args.shape, &args.filled)?;
    let usual_wall = mould.map_or("plastic", tables::Mould::wall);
    let (wall, thickness) = wall(args.wall.as_deref().unwrap_or(usual_wall))?;
    let base = IceQuestion::of(block).map_err(|error| Failure::other(error.to_string()))?;
    let freezer = match &args.freezer {
        Some(kind) => tables::freezer(kind).map_err(named)?,
        None => base.freezer,
    };
    let stand = args.stand.as_deref().map(tables::stand).transpose().map_err(named)?;
    Ok(IceQuestion {
        measured,
        fill: args.filled.fill,
        count: args.count,
        cells: mould.map_or(1, tables::Mould::cavities),
        wall,
        thickness,
        covered: args.covered,
        start: args.start,
        freezer,
        air: args.air,
        rated: args.rated,
        stand,
        salt: args.salt.map_or(Ok(base.salt), salt)?,
        ..base
    })
}

/// Salt by the water's mass, as a share of the solution.
fn salt(by_water: Ratio) -> Result<Ratio, Failure> {
    let by_water = in_fraction(by_water);
    if !(0.0..=0.2).contains(&by_water) {
        return Err(Failure::input(
            "--salt is between 0 % and 20 % of the water's mass; for example “3 %”",
        ));
    }
    Ok(fraction(by_water / (1.0 + by_water)))
}

/// `silicone` or `silicone:2mm`.
fn wall(text: &str) -> Result<(&'static Wall, Option<Length>), Failure> {
    let (name, thickness) = match text.split_once(':') {
        Some((name, thickness)) => {
            let thickness =
                length(thickness).map_err(|error| Failure::input(format!("--wall: {error}")))?;
            (name, Some(thickness))
        }
        None => (text, None),
    };
    let wall = tables::wall(name).map_err(|error| Failure::input(format!("--wall: {error}")))?;
    Ok((wall, thickness))
}
