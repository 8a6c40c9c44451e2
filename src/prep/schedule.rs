//! The answer of a plan: steps in time order, shopping, what to carry, problems.
//!
//! Its JSON is the contract's; calendar, sheet and terminal print this one type.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, SecondsFormat, Utc};
use chrono_tz::Tz;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::what::Thing;
use crate::{
    answers::dough::{Risk, WeighGrams},
    planfile::edit,
    tables,
    units::{Locale, Spelling, System},
};

/// Version of the JSON document; raised when a field changes its meaning.
pub const SCHEMA: u32 = 1;

/// A whole prep, laid out on the calendar.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Schedule {
    /// Version of this document.
    #[schemars(extend("const" = SCHEMA))]
    pub schema: u32,
    /// The plan's title.
    pub title: String,
    /// The plan's zone, an IANA name.
    #[serde(serialize_with = "zone_name")]
    #[schemars(with = "String")]
    pub timezone: Tz,
    /// How its people read days and times; the JSON has them for machines.
    #[serde(skip)]
    pub locale: Locale,
    /// How words are spelled for them.
    #[serde(skip)]
    pub spelling: Spelling,
    /// When the plan was computed.
    #[serde(serialize_with = "utc_instant")]
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub computed: DateTime<Utc>,
    /// Whether every session and gift is served.
    pub feasible: bool,
    /// What came of the search.
    pub status: Status,
    /// What following it costs her, in minutes of her comfort, for what is still to come;
    /// none where there is no plan.
    pub price: Option<f64>,
    /// How likely it holds, and how long somebody stays near an oven.
    #[serde(flatten)]
    pub promise: Promise,
    /// Every step, earliest first.
    pub steps: Vec<Step>,
    /// Looks that are elsewhere than the step they are for, as steps of their own. Not part of
    /// the JSON, where that step has them.
    #[serde(skip)]
    pub looks: Vec<Step>,
    /// What to buy for the whole plan.
    pub shopping: Vec<Purchase>,
    /// What leaves the house on which morning.
    pub carry: Vec<Carry>,
    /// What comes home again as class ends.
    pub back: Vec<Carry>,
    /// What cannot be done, why, and ways out that were tried.
    pub problems: Vec<Problem>,
    /// Changes that each make several things possible, where several cannot be done.
    #[serde(flatten)]
    pub one_change: Ways,
    /// Remarks on the whole plan.
    pub notes: Vec<String>,
    /// What its sessions and gifts go without, a sentence each without its full stop. Not part of
    /// the JSON, where it is among the remarks.
    #[serde(skip)]
    pub without: Vec<String>,
}

/// What is promised of a plan as a whole.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Promise {
    /// How likely the plan holds; none where there is none.
    pub chance: Option<PlanChance>,
    /// Hours that somebody stays near an oven.
    pub watch_h: WatchHours,
}

/// How likely a plan holds in 256 kitchens, each with one freezer, one oven and one dough for
/// all of it, where what is not ready is looked at again at the times kept for it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlanChance {
    /// That every session and gift is served.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub all: f64,
    /// How likely it was wished to be.
    #[serde(skip)]
    #[schemars(skip)]
    pub wished: f64,
    /// That each is, by its words.
    pub by_goal: BTreeMap<String, f64>,
}

/// Hours near an oven.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, JsonSchema)]
pub struct WatchHours {
    /// As the kitchens go.
    pub expected: f64,
    /// Kept for it in all.
    pub reserved: f64,
}

/// What came of the search for a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// A plan for every session and gift.
    Found,
    /// It ended before it knew whether there is one.
    NotFound,
    /// It is shown that there is none.
    Impossible,
}

/// One thing to do, or one thing that happens by itself.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// Stays the same when the plan is computed again: `ice-1-otters-2026-12-09-fill-2`.
    pub id: String,
    /// The session or gift it serves, in words.
    #[serde(rename = "for")]
    pub goal: String,
    /// What to do, one line.
    pub what: String,
    /// `home`, `class`, or the room named in the plan.
    #[serde(rename = "where")]
    pub place: String,
    /// The group it is for, when it is for one.
    pub group: Option<String>,
    /// When to begin.
    #[serde(serialize_with = "instant")]
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub start: DateTime<Tz>,
    /// When it is done.
    #[serde(serialize_with = "instant")]
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub end: DateTime<Tz>,
    /// Who must be there.
    pub attention: Attention,
    /// Ovens and freezers in use meanwhile, by name: `kitchen freezer`.
    pub uses: Vec<String>,
    /// How much of what.
    pub amounts: Vec<Amount>,
    /// What to have at hand.
    pub bring: Vec<String>,
    /// What is carried away from it as class ends. Not part of the JSON, where a list of the
    /// plan says it.
    #[serde(skip)]
    pub take_back: Vec<String>,
    /// Why it is where it is, in the plan's own facts.
    pub because: String,
    /// Cautions that belong to this step.
    pub cautions: Vec<Caution>,
    /// How many hours later it could begin before something breaks.
    pub slack_h: f64,
    /// The chance that it is done in time, where that is uncertain.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub chance: Option<f64>,
    /// How it is followed.
    #[serde(flatten)]
    pub follow: Follow,
    /// What is done in it. Not part of the JSON, where the id says it.
    #[serde(skip)]
    pub kind: tables::Step,
    /// How many blocks or pieces it is done with.
    #[serde(skip)]
    pub count: u32,
    /// The ids of the steps that must be done before it. Not part of the JSON: the times say so.
    #[serde(skip)]
    pub after: Vec<String>,
    /// What goes on in it, for a picture. Not part of the JSON: it is the likeliest
    /// course and no promise, as start, end and chance are.
    #[serde(skip)]
    pub curve: Option<Curve>,
}

/// How a step is followed: what it is called, what to look at, what it is kept for.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Follow {
    /// Its name for people, the same in every plan made from the same file.
    pub short: String,
    /// Whether it is only needed where the one before was not ready, and mostly not.
    pub reserve: bool,
    /// How likely it is needed, where what is seen before decides that.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub needed: Option<f64>,
    /// When to look, at what, and what to do where it is not ready.
    pub looks: Vec<LookAt>,
    /// What one piece weighs, where a scale tells.
    pub weigh_g: Option<WeighGrams>,
    /// What can go wrong in the oven, each with the change that removes it.
    pub risks: Vec<Risk>,
}

/// A look at something that ends by itself at a time which nobody knows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LookAt {
    /// When.
    #[serde(serialize_with = "instant")]
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub at: DateTime<Tz>,
    /// Where.
    #[serde(rename = "where")]
    pub place: String,
    /// What ready looks like.
    pub see: String,
    /// The same in a few words, for people.
    #[serde(skip)]
    pub short: String,
    /// What to do where it does not.
    pub if_not: String,
    /// What one piece weighs, in grams, that does not go into the oven again.
    #[serde(skip)]
    pub ready_g: Option<f64>,
    /// What one piece weighs at the most that is ready, in grams.
    #[serde(skip)]
    pub most_g: Option<f64>,
    /// The chance that it is ready then.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub chance: f64,
}

/// The likeliest course of a step that freezes or dries something.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What the values are.
    pub kind: CurveKind,
    /// The reader's units.
    pub units: System,
    /// Hours since the step began, and values.
    pub points: Vec<[f64; 2]>,
    /// Hours from then until it is done; none when it is not done within this step.
    pub done_h: Option<f64>,
}

/// What a curve shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveKind {
    /// The warmest point of a block, °C.
    Freezing,
    /// Water left in a piece, % of that at the start.
    Drying,
}

/// Who must be there during a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Attention {
    /// Hands are busy.
    Hands,
    /// Somebody stays near: an oven in use.
    Watch,
    /// It happens by itself.
    None,
}

/// An amount of something, by weight and by the cup.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Amount {
    /// Of what.
    pub what: String,
    /// Mass in grams, where it is weighed.
    pub mass_g: Option<f64>,
    /// US cups, where it is measured by volume.
    pub cups: Option<f64>,
    /// Number of pieces, where it is counted.
    pub count: Option<u32>,
    /// The amount in the plan's own units, ready to print.
    pub text: String,
}

/// Something to buy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Purchase {
    /// How much of what.
    #[serde(flatten)]
    pub amount: Amount,
    /// The first day it is needed.
    #[serde(serialize_with = "iso_date")]
    #[schemars(with = "String", extend("format" = "date"))]
    pub needed: NaiveDate,
}

/// What leaves a place at one time, or class at its end.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Carry {
    /// When to leave.
    #[serde(serialize_with = "instant")]
    #[schemars(with = "String", extend("format" = "date-time"))]
    pub leave: DateTime<Tz>,
    /// Which place it leaves, or at the end of class, where it goes.
    pub place: String,
    /// For which session or gift.
    #[serde(rename = "for")]
    pub goal: String,
    /// Things, the frozen ones first.
    pub items: Vec<String>,
    /// The same things as such.
    #[serde(skip)]
    pub things: Vec<Thing>,
}

/// A caution with its source, as it stands in `tables/cautions.toml`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Caution {
    /// Its id in the table.
    pub id: String,
    /// What it is about, in a few words.
    pub title: String,
    /// What to mind.
    pub text: String,
    /// Where it is from.
    pub source: String,
    /// The act that is wanted, in one short line for people.
    #[serde(skip)]
    pub short: String,
    /// The text as its readers say it.
    #[serde(skip)]
    pub said: String,
}

/// Why something is not done, or less sure than wished.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Problem {
    /// What is not done.
    pub what: String,
    /// Whether no way was found or it is shown that there is none; `found` of what is only less
    /// sure.
    pub status: Status,
    /// Facts that cannot all be true; all but any one of them could.
    pub because: Vec<String>,
    /// Whether there was no time left to look for more facts and changes.
    pub cut_short: bool,
    /// What makes it possible, or as sure as wished.
    #[serde(flatten)]
    pub ways: Ways,
}

/// Changes of a plan, each by itself.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Ways {
    /// Changes that were tried: each is enough for one thing; for the whole plan each says how
    /// many things it makes possible.
    #[serde(rename = "ways_out")]
    pub words: Vec<String>,
    /// Each of them as changes of the plan file, where it is clear what to write.
    #[serde(skip)]
    pub in_file: Vec<Option<Vec<edit::Change>>>,
}

impl Problem {
    /// Nothing known of it yet.
    pub fn of(status: Status) -> Self {
        Self {
            what: String::new(),
            status,
            because: Vec::new(),
            cut_short: false,
            ways: Ways::default(),
        }
    }
}

impl Schedule {
    /// Every step, and every look elsewhere, earliest first.
    pub fn shown(&self) -> Vec<&Step> {
        let mut shown: Vec<&Step> = self.looks.iter().chain(&self.steps).collect();
        shown.sort_by_key(|step| step.start);
        shown
    }
}

impl Step {
    /// Whether it is but a look before another step, elsewhere.
    pub fn is_look(&self) -> bool {
        self.id.ends_with(LOOK)
    }

    /// What is looked at as it is done, where it is done.
    pub fn looks_there(&self) -> impl Iterator<Item = &LookAt> {
        self.follow.looks.iter().filter(|look| look.place == self.place)
    }
}

/// What the id of a look ends with that is elsewhere than its step.
pub const LOOK: &str = "#look";

/// What the id of a step ends with that stands in for another, for when that was not possible yet.
pub const STANDS_IN: &str = "-reserve";

/// Whether a step is another time for one of the plan, by its id.
pub fn stands_in(id: &str) -> bool {
    id.ends_with(STANDS_IN)
}

fn instant<S: Serializer>(at: &DateTime<Tz>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&at.to_rfc3339_opts(SecondsFormat::Secs, true))
}

fn utc_instant<S: Serializer>(at: &DateTime<Utc>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&at.to_rfc3339_opts(SecondsFormat::Secs, true))
}

fn zone_name<S: Serializer>(zone: &Tz, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(zone.name())
}

/// A date as JSON has it.
///
/// # Errors
/// What the serializer says.
pub fn iso_date<S: Serializer>(date: &NaiveDate, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&date.format("%Y-%m-%d").to_string())
}
