//! A rule of the plan that a value breaks which is sound by itself, in words.

use std::borrow::Cow;

use chrono::{NaiveDate, NaiveTime};

use super::{
    HOME,
    key::Table,
    named::Named,
    schema::{SESSIONS_EXAMPLE, hours_example},
};
use crate::{shape::ShapeError, units::zone::Skipped};

/// A rule of the plan that a value breaks.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are the values that the words below name")]
pub enum Rule {
    /// A key that does not go with the word of another one.
    BelongsTo { other: &'static str, words: &'static [&'static str] },
    /// A key in two spellings.
    SpelledTwice(&'static str),
    /// `[hours]` lacks the place that things belong to.
    NoPlace { place: &'static str, near: Option<String> },
    /// Two things of a kind with one name.
    SameName { table: Table, name: String },
    /// Two things of a kind with names that are one in the names of steps.
    AlikeNames { table: Table, name: String, other: String },
    /// Neither ice nor ornaments.
    NothingToPrepare,
    /// An ice activity without a session.
    NoSession,
    /// A day on which class is closed.
    ClosedSession(NaiveDate),
    /// A day of giving on which class is closed.
    ClosedGiving(NaiveDate),
    /// A time at which she is away.
    Away(NaiveDate),
    /// An hour until which something holds, that is not after the first.
    NoHours { first: &'static str },
    /// Children who need longer than class is open, in minutes.
    TurnsTooLong { minutes: i64, open: i64 },
    /// Turns at blocks of which every child has one.
    NoTurns,
    /// A finish that is named before one that has to be done first.
    FinishTooEarly { early: &'static str, first: &'static str },
    /// A session of the same group at the same time as another.
    SameSession(String),
    /// A window as large as its piece, millimetres.
    NoRim { across_mm: f64 },
    /// A day on which the group does not meet.
    DoesNotMeet { group: String, day: NaiveDate, days: String },
    /// A time at which the place is not open.
    OutsideHours { time: NaiveTime, place: String },
    /// A time from or until which a group is there, at which the place is not open.
    PartOutside { time: NaiveTime, place: String },
    /// A time at which a group is not there, in a place that is open.
    NotThereThen { time: NaiveTime, group: String },
    /// A time that a clock change leaves out.
    Skipped(Skipped),
    /// A week of giving without the group.
    NoClassBefore { group: String, day: NaiveDate },
    /// What no mould has.
    Mould(MouldRule),
}

/// A rule that the sizes of a mould break.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are the values that the words below name")]
pub enum MouldRule {
    /// Water above the rim.
    FillTooDeep,
    /// A depth of the water in a mould whose own depth is not known.
    FillAlone,
    /// A depth that is more than the other sizes give.
    DepthBeyond { words: &'static str, millimetres: f64 },
    /// A depth that is not the one in the shape.
    DepthTwice { millimetres: f64 },
    /// Sizes or a volume that no mould has.
    Shape(ShapeError),
    /// A mould out of all bounds, as deep as this and holding so much.
    MouldBounds { deep_mm: f64, holds_ml: f64 },
    /// Two ways to say a shape.
    ShapeAndOutline,
    /// A volume that is not the drawing's, which holds so many millilitres.
    Volume { drawn_ml: f64 },
}

impl Rule {
    /// What is wrong, of a key that words name so.
    pub(super) fn message(&self, key: Named<'_>) -> String {
        let name = key.name();
        if let Some(words) = self.on_the_form(key) {
            return words;
        }
        match self {
            Self::BelongsTo { other, words } => {
                format!("{name} belongs to {other} “{}”", words.join("” or “"))
            }
            Self::SpelledTwice(name) => {
                format!("the file spells `{name}` in two ways, and only one is read")
            }
            Self::NoPlace { place, .. } => format!("[hours] has no `{place}`, where this belongs"),
            Self::SameName { table, name } => {
                format!("two [[{}]] are called “{name}”", table.word())
            }
            Self::AlikeNames { table, name, other } => format!(
                "two [[{}]] are called “{other}” and “{name}”, which is one name in the names of \
                 their steps",
                table.word()
            ),
            Self::NothingToPrepare => "the plan has nothing to prepare".to_owned(),
            Self::NoSession => "this `ice` has no session".to_owned(),
            Self::ClosedSession(day) | Self::ClosedGiving(day) => {
                format!("class is closed on {day}")
            }
            Self::Away(day) => format!("{day} is a day, or a part of one, that is under `away`"),
            Self::NoHours { first } => format!("{name} is not after {}", key.other(first)),
            Self::TurnsTooLong { minutes, open } => format!(
                "all children take {minutes} min in turns, and class is open for {open} min from \
                 then on"
            ),
            Self::NoTurns => format!("{name} goes with blocks that are shared"),
            Self::FinishTooEarly { early, first } => {
                format!("{name} has “{early}” before “{first}”")
            }
            Self::SameSession(group) => format!("{group} have a session then already"),
            Self::NoRim { across_mm } => {
                format!("{name} leaves no rim on a piece of {across_mm:.0} mm")
            }
            Self::DoesNotMeet { group, day, .. } => {
                format!("{group} does not meet on {}", day.format("%A %Y-%m-%d"))
            }
            Self::OutsideHours { time, place } | Self::PartOutside { time, place } => {
                format!("{} is outside the hours of {place}", time.format("%H:%M"))
            }
            Self::NotThereThen { time, group } => {
                format!("{group} is not there at {}", time.format("%H:%M"))
            }
            Self::Skipped(skipped) => skipped.to_string(),
            Self::NoClassBefore { group, day } => {
                format!("{group} has no class in the week up to {day}")
            }
            Self::Mould(rule) => rule.message(key),
        }
    }

    /// The same, where the form has other words for it than the file.
    fn on_the_form(&self, key: Named<'_>) -> Option<String> {
        Some(match self {
            _ if !key.is_label() => return None,
            Self::BelongsTo { other, words } => {
                let words = words.iter().map(|word| key.word(other, word)).collect::<Vec<_>>();
                format!("{} goes with {} “{}”", key.name(), key.other(other), words.join("” or “"))
            }
            Self::NoPlace { place, .. } => {
                format!("no hours are said for “{place}”, where this belongs")
            }
            Self::SameName { table, name } => {
                format!("another {} is called “{name}” too", table.rows().one.to_lowercase())
            }
            Self::AlikeNames { table, other, .. } => format!(
                "another {} is called “{other}”, which is one name in the names of their steps",
                table.rows().one.to_lowercase()
            ),
            Self::NoSession => "it has no session yet".to_owned(),
            Self::Away(day) => format!("you are away on {day}, or a part of it"),
            Self::Mould(MouldRule::ShapeAndOutline) => {
                "this mould is drawn in the text too, and has one shape".to_owned()
            }
            _ => return None,
        })
    }

    /// What would be right.
    pub(super) fn help(&self, key: Named<'_>) -> Cow<'static, str> {
        if let (true, Some(help)) = (key.is_label(), self.help_on_the_form()) {
            return help;
        }
        match self {
            Self::BelongsTo { .. } => "remove it".into(),
            Self::SpelledTwice(_) => "keep to one of them".into(),
            Self::NoPlace { place, near: Some(near) } => {
                format!("write `{place}` in the place of `{near}` under [hours]").into()
            }
            Self::NoPlace { place, near: None } => {
                format!("add `{place} = [\"{}\"]` under [hours]", hours_example(place)).into()
            }
            Self::SameName { name, .. } | Self::AlikeNames { name, .. } => {
                format!("give each its own name, for example “{name} 2”").into()
            }
            Self::NothingToPrepare => "add an [[ice]] or an [[ornament]]".into(),
            Self::NoSession => format!("add `session = {SESSIONS_EXAMPLE}`").into(),
            Self::ClosedSession(_) => "choose another day".into(),
            Self::ClosedGiving(_) => "choose the last day before it closes".into(),
            Self::Away(_) => "choose another day, leave it out, or shorten `away`".into(),
            Self::NoHours { first } => {
                format!("write a later hour, or an earlier one as {}", key.other(first)).into()
            }
            Self::TurnsTooLong { .. } => format!(
                "more blocks, more children at one ({}), shorter turns, or begin earlier",
                key.other("at_once")
            )
            .into(),
            Self::NoTurns => {
                let blocks = key.set("blocks", "4");
                format!("remove it, or write a number of blocks, as in {blocks}").into()
            }
            Self::FinishTooEarly { .. } => {
                "in this order: paint and photo, seal, wrap; leave out what is not done".into()
            }
            Self::SameSession(_) => "choose another time, or leave one of them out".into(),
            Self::NoRim { .. } => {
                "leave at least 5 mm and a twentieth of the piece on each side".into()
            }
            Self::DoesNotMeet { days, .. } => format!("its days are {days}").into(),
            Self::OutsideHours { place, .. } if place == HOME => {
                "say under [hours] when children are there, as in `class = [\"Mon-Fri \
                 07:30-17:30\"]`, or move the session"
                    .into()
            }
            Self::OutsideHours { .. } => "move the session, or give the place longer hours".into(),
            Self::PartOutside { .. } => {
                "say a time in them, an afternoon as 13:00 or 1:00 pm, or leave it out".into()
            }
            Self::NotThereThen { .. } => {
                "move the session, or say by `from` and `until` of the group when it is there"
                    .into()
            }
            Self::Skipped(_) => "move the session".into(),
            Self::NoClassBefore { .. } => "choose a day in a week in which the group meets".into(),
            Self::Mould(rule) => rule.help(key),
        }
    }

    /// The same, where the form has another way than the file.
    fn help_on_the_form(&self) -> Option<Cow<'static, str>> {
        Some(match self {
            Self::BelongsTo { .. } => "empty it, or choose one of these".into(),
            Self::NoPlace { place, .. } => {
                format!("say them under “Hours”, for example “{}”", hours_example(place)).into()
            }
            Self::NothingToPrepare => "add ice or ornaments".into(),
            Self::NoSession => "add one with “Another session”".into(),
            Self::Away(_) => "choose another day, or be away for less".into(),
            Self::OutsideHours { place, .. } if place == HOME => {
                "say under “Hours” when children are there, or move the session".into()
            }
            Self::NotThereThen { .. } => {
                "move the session, or say for the group when it is there".into()
            }
            _ => return None,
        })
    }
}

impl MouldRule {
    /// What is wrong, of a key that words name so.
    fn message(&self, key: Named<'_>) -> String {
        let name = key.name();
        match self {
            Self::FillTooDeep => format!("{name} is deeper than the mould"),
            Self::FillAlone => format!("{name} says nothing of a mould whose depth is not known"),
            Self::DepthBeyond { words, millimetres } => {
                format!("{name} is more than {words} of this size has: {millimetres:.1} mm")
            }
            Self::DepthTwice { millimetres } => {
                format!("{name} is not the {millimetres:.1} mm that {} says", key.other("shape"))
            }
            Self::Shape(error) => format!("{name}: {error}"),
            Self::MouldBounds { deep_mm, holds_ml } => {
                format!("this mould is {deep_mm:.1} mm deep and holds {holds_ml:.1} mL")
            }
            Self::ShapeAndOutline => "a mould has `shape` or `outline`, not both".to_owned(),
            Self::Volume { .. } => format!("{name} does not fit `size` and `depth`"),
        }
    }

    /// What would be right.
    fn help(&self, key: Named<'_>) -> Cow<'static, str> {
        match self {
            Self::FillTooDeep => format!(
                "fill to at most nine tenths of {}: ice takes a tenth more room than water",
                key.other("depth")
            )
            .into(),
            Self::FillAlone => format!("add {}", key.set("depth", "\"35 mm\"")).into(),
            Self::DepthBeyond { .. } => format!(
                "leave {} out, since the shape says it, or measure {} again",
                key.other("depth"),
                match key {
                    Named::Key(_) => "`volume`",
                    Named::Label(..) => "what it holds",
                }
            )
            .into(),
            Self::Shape(_) => "measure the mould again: what it holds, across and deep".into(),
            Self::MouldBounds { .. } => {
                "a mould is between 3 mm and 400 mm deep and takes between 1 mL and 20 L".into()
            }
            Self::ShapeAndOutline | Self::DepthTwice { .. } => "leave one of them out".into(),
            Self::Volume { drawn_ml } => format!(
                "drawn at this size and depth it holds {drawn_ml:.0} mL; measure all three again"
            )
            .into(),
        }
    }
}
