//! A filling: how many moulds, when, and who takes what comes of it.

use std::collections::BTreeMap;

use super::{clock::Tick, trips::SessionAt, ways::Way};

/// One filling.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Round {
    /// Moulds filled.
    pub count: u32,
    /// Moulds whose water would be all that freezes beside it, itself included.
    pub beside: u32,
    /// When moulds are washed for it, and how many.
    pub wash: Option<(Tick, u32)>,
    /// From when to when they are filled.
    pub fill: (Tick, Tick),
    /// From when to when they are turned out.
    pub out: (Tick, Tick),
    /// The session that takes each of its blocks.
    pub takers: Vec<SessionAt>,
    /// How far it is.
    pub stage: Stage,
    /// Which it is of its session, from one.
    pub number: u32,
    /// Whether it is what was still wet of that one.
    pub rest: bool,
    /// When it was last seen to be wet.
    pub wet_at: Option<Tick>,
}

/// How far a round is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// It is to come.
    ToCome,
    /// It is in the freezer.
    Filled,
    /// It is in its moulds, and known to be firm.
    Firm,
    /// It is turned out.
    Out,
}

impl Round {
    /// Whether it was seen to be wet and is in its moulds.
    pub fn is_wet(&self) -> bool {
        self.stage == Stage::Filled && self.wet_at.is_some()
    }

    /// Whether it was seen to be wet and no session takes any of it.
    pub fn is_left_behind(&self) -> bool {
        self.is_wet() && self.takers.is_empty()
    }

    /// The sessions but one that take some of its blocks.
    pub fn others(&self, own: SessionAt) -> impl Iterator<Item = &SessionAt> {
        let mut before = None;
        self.takers.iter().filter(move |taker| {
            let new = before != Some(**taker);
            before = Some(**taker);
            new && **taker != own
        })
    }
}

/// What was begun before now.
#[derive(Debug, Clone, Default)]
pub struct Begun {
    /// Rounds by session, in the order in which they were filled.
    pub rounds: BTreeMap<SessionAt, Vec<Round>>,
    /// How each batch is dried of which some step is done.
    pub ways: BTreeMap<usize, Way>,
    /// All rounds of the plan that is kept, by which those that are not begun keep their names.
    pub kept: BTreeMap<SessionAt, Vec<Round>>,
    /// Sessions to come for which it is too late to leave.
    pub missed: Vec<SessionAt>,
}
