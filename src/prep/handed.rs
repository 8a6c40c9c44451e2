//! From a plan of the search to rounds: who takes which block, what each round is called, when
//! what leaves is packed.

use std::collections::BTreeMap;

use super::{
    clock::{Tick, ticks_up},
    cost::cost,
    round::{Begun, Round, Stage},
    rounds::Rounds,
    trips::SessionAt,
};
use crate::{
    scheduler::sittings::{self, Act, Filling, Kept, Turn},
    tables::Term,
};

/// A round that is filled at most so long earlier or later is the same one, in hours.
const HALF_DAY_H: f64 = 6.0;

/// When packing begins before a refill, by the first session of each trip.
pub fn packed(rounds: &Rounds<'_>, plan: &sittings::Plan) -> BTreeMap<SessionAt, Tick> {
    let mut packed = BTreeMap::new();
    for act in &plan.acts {
        let Act::Turn(Turn { kind, pack: Some(pack), .. }) = act else { continue };
        let store = rounds.problem.kinds[*kind].store;
        let mut at = pack.start;
        for (demand, session) in rounds.problem.demands.iter().zip(&rounds.demands) {
            let same = rounds.problem.kinds[demand.kind].store == store;
            if same && demand.pack > 0 && (demand.pack_from..demand.leave).contains(&pack.start) {
                packed.insert(*session, at);
                at += demand.pack;
            }
        }
    }
    packed
}

/// Hands each filling to the session that takes its first block, the oldest
/// blocks to the session that leaves first; what was begun stays with its own.
pub fn by_session(
    rounds: &Rounds<'_>,
    begun: &[(SessionAt, Round)],
    (plan, lots): (&sittings::Plan, &[Filling<'_>]),
) -> BTreeMap<SessionAt, Vec<Round>> {
    let mut chosen: BTreeMap<SessionAt, Vec<Round>> = BTreeMap::new();
    let mut next: Vec<std::vec::IntoIter<SessionAt>> =
        (0..rounds.kinds.len()).map(|kind| takers(rounds, kind).into_iter()).collect();
    let begun_out = plan.begun_out(&rounds.problem);
    let turns = Turns::of(&begun_out, lots);
    let mut outs = begun_out.into_iter();
    for (at, round) in begun {
        let kind = rounds.kind_of(*at);
        let left = rounds.left_of(round) as usize;
        let mut round = Round {
            takers: kind.map_or_else(Vec::new, |kind| next[kind].by_ref().take(left).collect()),
            ..round.clone()
        };
        let out = if left > 0 && round.stage != Stage::Out { outs.next().flatten() } else { None };
        if let Some((turn, first)) = out {
            round.out = turns.turned_out(rounds, turn, first);
        }
        chosen.entry(*at).or_default().push(round);
    }
    for lot in lots {
        let blocks = next[lot.fill.kind].by_ref().take(lot.part.len());
        let own: Vec<SessionAt> = blocks.collect();
        let Some(first) = own.first().copied() else { continue };
        chosen.entry(first).or_default().push(round(rounds, (plan, &turns), lot, own));
    }
    chosen
}

/// Numbers the rounds that are to come. Where a plan is kept, one that is filled when it had
/// one of the same kind is still that one, also where others take its first block now.
pub fn keep_names(
    rounds: &Rounds<'_>,
    kept: &BTreeMap<SessionAt, Vec<Round>>,
    chosen: &mut BTreeMap<SessionAt, Vec<Round>>,
) {
    let to_come = |round: &Round| round.stage == Stage::ToCome;
    let mut free: Vec<(SessionAt, &Round)> = kept
        .iter()
        .flat_map(|(at, own)| own.iter().map(move |round| (*at, round)))
        .filter(|(at, round)| to_come(round) && rounds.kind_of(*at).is_some())
        .collect();
    let mut named: BTreeMap<SessionAt, Vec<Round>> = BTreeMap::new();
    for (at, round) in flat(std::mem::take(chosen)) {
        let claimed = match to_come(&round) {
            true => claimed(rounds, &mut free, (at, &round)),
            false => Some((at, round.number)),
        };
        // A number is found for it below.
        let (at, number) = claimed.unwrap_or((at, 0));
        named.entry(at).or_default().push(Round { number, ..round });
    }
    for own in named.values_mut() {
        // What was begun stays in its order, whatever is said of when.
        own.sort_by_key(|round| Some(round.fill).filter(|_| to_come(round)));
        for place in 0..own.len() {
            if own[place].number == 0 {
                let taken = |number: &u32| own.iter().any(|round| round.number == *number);
                own[place].number = (1..).find(|number| !taken(number)).unwrap_or(0);
            }
        }
    }
    *chosen = named;
}

fn flat(rounds: BTreeMap<SessionAt, Vec<Round>>) -> impl Iterator<Item = (SessionAt, Round)> {
    rounds.into_iter().flat_map(|(at, own)| own.into_iter().map(move |round| (at, round)))
}

/// The session and the number of the round of the kept plan that a round still is, if one is;
/// no other one is that any more.
fn claimed(
    rounds: &Rounds<'_>,
    free: &mut Vec<(SessionAt, &Round)>,
    (at, round): (SessionAt, &Round),
) -> Option<(SessionAt, u32)> {
    let apart = |own: &Round| (own.fill.0 - round.fill.0).abs();
    let same = |(other, own): &(SessionAt, &Round)| {
        rounds.kind_of(*other) == rounds.kind_of(at)
            && round.takers.contains(other)
            && apart(own) <= ticks_up(HALF_DAY_H)
    };
    let near = free.iter().enumerate().filter(|(_, one)| same(one));
    let (place, _) = near.min_by_key(|(_, (_, own))| apart(own))?;
    let (at, own) = free.swap_remove(place);
    Some((at, own.number))
}

/// What is turned out in each turn: for each filling, how many pieces of others come before it.
struct Turns(BTreeMap<(Tick, usize), Vec<u32>>);

impl Turns {
    fn of(begun: &[Option<(&Turn, u32)>], lots: &[Filling<'_>]) -> Self {
        let begun = begun.iter().flatten().copied();
        let lots = lots.iter().map(|lot| (lot.empty, lot.first));
        let mut turns: BTreeMap<_, Vec<u32>> = BTreeMap::new();
        for (turn, first) in begun.chain(lots) {
            turns.entry((turn.start, turn.kind)).or_default().push(first);
        }
        for firsts in turns.values_mut() {
            firsts.sort_unstable();
            firsts.dedup();
        }
        Self(turns)
    }

    /// From when to when the pieces of one filling are turned out in a turn.
    fn turned_out(&self, rounds: &Rounds<'_>, turn: &Turn, first: u32) -> (Tick, Tick) {
        let firsts = self.0.get(&(turn.start, turn.kind)).map_or(&[][..], Vec::as_slice);
        let empty = &rounds.problem.kinds[turn.kind].empty;
        let mut starts = starts(empty, firsts, empty[turn.empty as usize]);
        starts.push(empty[turn.empty as usize]);
        let place = firsts.partition_point(|other| *other < first);
        let from = turn.empties_from();
        (from + starts[place], from + starts[place + 1])
    }
}

/// When the pieces of each filling begin to be turned out, by how many come before them: as late
/// as those take, and each of them for a tick at the least where the turn has so many.
fn starts(empty: &[Tick], firsts: &[u32], all: Tick) -> Vec<Tick> {
    let mut starts: Vec<Tick> = firsts.iter().map(|first| empty[*first as usize]).collect();
    for place in 1..starts.len() {
        starts[place] = starts[place].max(starts[place - 1] + 1);
    }
    let mut end = all;
    for start in starts.iter_mut().rev() {
        *start = (*start).min(end - 1).max(0);
        end = *start;
    }
    starts
}

/// The session that takes each block of a kind, in the order of filling.
fn takers(rounds: &Rounds<'_>, kind: usize) -> Vec<SessionAt> {
    let demands = rounds.problem.demands.iter().zip(&rounds.demands);
    let mut own: Vec<_> = demands.filter(|(demand, _)| demand.kind == kind).collect();
    own.sort_by_key(|(demand, _)| (demand.leave, demand.by));
    let each = own.into_iter().flat_map(|(demand, at)| (0..demand.count).map(|_| *at));
    each.collect()
}

/// Moulds that are clean before a turn, as turns of the same sitting turned them out of another
/// freezer or washed them for it and did not fill them again.
fn left_clean(rounds: &Rounds<'_>, plan: &sittings::Plan, of: &Turn) -> u32 {
    let kinds = &rounds.problem.kinds;
    let mould = &rounds.plan.moulds[rounds.kinds[of.kind].mould];
    let earlier = plan.turns().take_while(|turn| turn.start < of.start);
    let alike =
        |turn: &&Turn| turn.stretch == of.stretch && kinds[turn.kind].pool == kinds[of.kind].pool;
    let others = earlier.filter(alike).filter(|turn| turn.kind != of.kind);
    others.fold(0, |clean, turn| {
        // A tin is washed as one.
        let washed = mould.tins(turn.wash) * mould.cups;
        (clean + turn.empty + washed).saturating_sub(turn.fill)
    })
}

fn round(
    rounds: &Rounds<'_>,
    (plan, turns): (&sittings::Plan, &Turns),
    lot: &Filling<'_>,
    takers: Vec<SessionAt>,
) -> Round {
    let beside = rounds.moulds_for(lot.fill.kind, lot.load);
    let kind = &rounds.problem.kinds[lot.fill.kind];
    let fill = lot.fill;
    let filling = fill.end - kind.fill[fill.fill as usize];
    let begins = |part: u32| match part {
        0 => filling,
        // Each part takes a tick at the least.
        _ => filling + kind.fill[part as usize].min(kind.fill[fill.fill as usize] - 1),
    };
    let ends = if lot.part.end == fill.fill { fill.end } else { begins(lot.part.end) };
    // The vessels of all parts are washed before the first.
    let of_all = fill.wash.saturating_sub(left_clean(rounds, plan, fill));
    let wash = if lot.part.start == 0 { of_all } else { 0 };
    let washing = filling - kind.wash[wash as usize];
    Round {
        count: lot.part.len() as u32,
        beside,
        wash: (wash > 0).then_some((washing, wash)),
        fill: (begins(lot.part.start), ends),
        out: turns.turned_out(rounds, lot.empty, lot.first),
        takers,
        stage: Stage::ToCome,
        number: 0,
        rest: false,
        wet_at: None,
    }
}

/// What is still to come of the ice of a plan that is kept; none where none is.
pub fn kept_turns(rounds: &Rounds<'_>, followed: &Begun) -> Option<Kept> {
    rounds.plan.kept.as_ref()?;
    let mut kept = Kept {
        moved: cost(Term::Moved),
        far: cost(Term::MovedHalfDay),
        near: ticks_up(HALF_DAY_H),
        ..Kept::default()
    };
    for (at, round) in followed.kept.iter().flat_map(|(at, own)| own.iter().map(move |it| (at, it)))
    {
        let Some(kind) = rounds.kind_of(*at) else { continue };
        if round.stage == Stage::ToCome {
            kept.fills.push((kind, round.fill.0));
        }
        if round.stage != Stage::Out {
            kept.outs.push((kind, round.out.0));
        }
    }
    Some(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten minutes for two pieces and for three, in ticks of five.
    const EMPTY: [Tick; 6] = [0, 1, 2, 2, 3, 3];

    #[test]
    fn each_filling_of_a_turn_is_turned_out_in_its_own_time() {
        assert_eq!(starts(&EMPTY, &[0], EMPTY[5]), [0]);
        assert_eq!(starts(&EMPTY, &[0, 1], EMPTY[5]), [0, 1]);
        assert_eq!(starts(&EMPTY, &[0, 2], EMPTY[3]), [0, 1], "the last takes no longer by itself");
        assert_eq!(starts(&EMPTY, &[0, 2, 3], EMPTY[5]), [0, 1, 2]);
        assert_eq!(starts(&EMPTY, &[0, 1, 2], EMPTY[3]), [0, 0, 1], "more fillings than ticks");
    }
}
