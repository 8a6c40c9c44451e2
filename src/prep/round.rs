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
    /// When the filling begins.
    pub fill: Tick,
    /// From when to when they are turned out.
    pub out: (Tick, Tick),
    /// The session that takes each of its blocks.
    pub takers: Vec<SessionAt>,
    /// How far it is.
    pub stage: Stage,
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
pub struct Followed {
    /// Rounds by session, in the order in which they were filled.
    pub rounds: BTreeMap<SessionAt, Vec<Round>>,
    /// How each batch is dried of which some step is done.
    pub ways: BTreeMap<usize, Way>,
}
