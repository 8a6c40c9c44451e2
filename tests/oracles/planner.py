"""A second planner of ice, as a constraint program for CP-SAT, written from the contract.

Sittings are the unit: each stretch of home hours has one, two or three slots that may be used or not. In a slot, each
kind of mould is turned out and then filled, with numbers that the solver chooses. Pieces of a kind are alike and leave
oldest first, so what was filled and turned out so far are two staircases. What was filled together is turned out
together, a choice of ours: a block left in its mould saves a few minutes at most, and is one thing more to remember.
"""

from dataclasses import dataclass
from datetime import datetime

from ortools.sat.python import cp_model

from contract import HOUR, MINUTE, PACK_BEFORE, STILL_CLEAN, TICK_MIN, prices

# What a minute of work weighs in hours that are used only where nothing else does, in minutes of price: as in
# src/scheduler/sittings/problem.rs, from which it is not read.
BEYOND_MINUTE = 10

STATUS = {
    cp_model.OPTIMAL: "best",
    cp_model.FEASIBLE: "found",
    cp_model.INFEASIBLE: "none",
    cp_model.UNKNOWN: "unknown",
    cp_model.MODEL_INVALID: "invalid",
}


@dataclass
class Slot:
    stretch: object
    first: bool  # of its stretch
    used: object = None
    start: object = None
    end: object = None


@dataclass
class Turn:
    """What is done to one kind in one slot."""

    out: object
    fill: object
    outs: object  # whether any
    fills: object
    out_start: object
    out_end: object
    fill_start: object
    fill_end: object
    filled: object = None  # so far, this slot included
    emptied: object = None
    ripe: object = None


@dataclass
class Answer:
    status: str
    price: float = None  # minutes
    bound: float = None  # of price and what lies outside
    outside: float = 0.0  # what work before `earliest` or after `latest` weighs
    seconds: float = 0.0
    acts: list = None  # (kind, out, fill, out start, out end, fill start, fill end), in time order
    packs: list = None  # when packing begins, of each morning
    beyond: bool = False  # before `earliest` or after `latest`, since nothing else does
    refused: bool = False  # a printed plan was given, and is none of this program


def places_for_sittings(stretch):
    hours = (stretch.end - stretch.start) / HOUR
    return 1 if hours < 2 else 2 if hours < 8 else 3


class Planner:
    """The constraint program of a kitchen."""

    def __init__(self, kitchen, stretches, parts):
        """Parts: whether some of what was filled together may be turned out without the rest."""
        self.k, self.parts = kitchen, parts
        self.m = cp_model.CpModel()
        self.price = prices()
        self.kinds = range(len(kitchen.kinds))
        self.slots = [Slot(s, n == 0) for s in stretches for n in range(places_for_sittings(s))]
        self.demands = [[d for d in kitchen.demands if d.kind == kind] for kind in self.kinds]
        self.most = [sum(d.count for d in some) for some in self.demands]
        self.cost = []
        self.beyond = []  # parts of turns before `earliest` or after `latest`
        self.packs = []  # (leave, ticks, start, demands, {slot number: packed before its fillings})
        self.turns = []
        self.possible = all(self.k.kinds[k].waits(1) is not None for k in self.kinds if self.most[k])
        if self.possible:
            self.build()

    def flag(self):
        return self.m.new_bool_var("")

    def number(self, low, high):
        return self.m.new_int_var(low, max(low, high), "")

    def build(self):
        for slot in self.slots:
            self.sitting(slot)
        self.turns = [[self.turn(n, kind) for kind in self.kinds] for n in range(len(self.slots))]
        for before, after in zip(self.slots, self.slots[1:]):
            if not after.first:
                self.m.add(after.start >= before.end)
                self.m.add_implication(after.used, before.used)
        for leave, demands in self.k.mornings():
            self.pack(leave, demands)
        for kind in self.kinds:
            self.staircases(kind)
            self.ages(kind)
        for n in range(len(self.slots)):
            self.order(n)
            self.room(n)
        self.ripening()
        self.counting()
        self.sum_up()

    def sitting(self, slot):
        s = slot.stretch
        slot.used = self.flag()
        slot.start, slot.end = self.number(s.start, s.end), self.number(s.start, s.end)
        self.m.add(slot.end >= slot.start)
        self.m.add(slot.end == slot.start).only_enforce_if(slot.used.negated())
        self.cost.append(self.price["sitting"] * slot.used)
        self.cost.append(self.price["hands"] * TICK_MIN * (slot.end - slot.start))
        odd = self.price["odd-hour"] * TICK_MIN
        self.cost += [odd * part for part in self.outside(s, (slot.start, slot.end), (s.seven, s.nine))]

    def outside(self, s, work, edges):
        """The parts of work within a stretch that lie before the first of two edges and after the second."""
        for edge, early in zip(edges, (True, False)):
            if edge is None or (s.start >= edge if early else s.end <= edge):
                continue
            a, b = self.number(s.start, s.end), self.number(s.start, s.end)
            for clipped, moment in ((a, work[0]), (b, work[1])):
                (self.m.add_min_equality if early else self.m.add_max_equality)(clipped, [moment, edge])
            part = self.number(0, s.end - s.start)
            self.m.add(part == b - a)
            yield part

    def turn(self, n, kind):
        slot, own = self.slots[n], self.k.kinds[kind].own
        s = slot.stretch
        most = min(own, self.most[kind])
        turn = Turn(self.number(0, most), self.number(0, most), self.flag(), self.flag(),
                    *(self.number(s.start, s.end) for _ in range(4)))
        for some, any_ in ((turn.out, turn.outs), (turn.fill, turn.fills)):
            self.m.add(some >= 1).only_enforce_if(any_)
            self.m.add(some == 0).only_enforce_if(any_.negated())
            self.m.add_implication(any_, slot.used)
        work, share = self.k.work, self.k.kinds[kind].share
        hands = self.number(0, s.end - s.start)
        self.m.add_element(turn.out, [work["turn-out"].ticks(c, share) for c in range(most + 1)], hands)
        self.m.add(turn.out_end == turn.out_start + hands)
        filling = self.number(0, s.end - s.start)
        rows = []
        for outs in (0, 1):
            for c in range(most + 1):
                wash = work["wash"].ticks(-(-c // self.k.kinds[kind].cups))
                rows.append((outs, c, work["fill"].ticks(c, share) + (wash if c and not outs else 0)))
        rows = [row for row in rows if row[2] <= s.end - s.start]
        self.m.add_allowed_assignments([turn.outs, turn.fill, filling], rows)
        self.m.add(turn.fill_end == turn.fill_start + filling)
        self.m.add(turn.fill_start >= turn.out_end)
        self.m.add(turn.fill_start <= turn.out_end + STILL_CLEAN).only_enforce_if(turn.outs, turn.fills)
        self.m.add(turn.out_start >= slot.start)
        self.m.add(turn.fill_end <= slot.end)
        turn.hands, turn.filling = hands, filling
        for work in ((turn.out_start, turn.out_end), (turn.fill_start, turn.fill_end)):
            self.beyond += self.outside(s, work, (s.earliest, s.latest))
        self.cost.append(self.price["round"] * turn.fills)
        return turn

    def intervals(self, n):
        some = []
        for turn in self.turns[n]:
            some.append(self.m.new_optional_interval_var(turn.out_start, turn.hands, turn.out_end, turn.outs, ""))
            some.append(self.m.new_optional_interval_var(turn.fill_start, turn.filling, turn.fill_end, turn.fills, ""))
        return some

    def pack(self, leave, demands):
        """Packing in the hour before leaving; it is no sitting and its time is not paid."""
        takes = self.k.packing(demands)
        first = leave - PACK_BEFORE if self.k.packs_first else leave - takes
        start = self.number(min(first, leave - takes), leave - takes)
        before = {}
        for n, slot in enumerate(self.slots):
            s = slot.stretch
            if s.day != demands[0].day or s.end <= first or s.start >= leave:
                continue
            if s.end > leave - takes or self.k.packs_first:
                before[n] = self.flag()
                # What is packed for the sake of a refill is a part of that sitting, and within its hours.
                self.m.add(start >= s.start).only_enforce_if(before[n])
            if takes and n in before:
                self.beside_packing(n, start, takes)
        self.packs.append((leave, takes, start, demands, before))

    def beside_packing(self, n, start, takes):
        slot = self.slots[n]
        packing = self.m.new_fixed_size_interval_var(start, takes, "")
        self.m.add_no_overlap([packing] + self.intervals(n))
        within = self.flag()
        self.m.add(slot.start <= start).only_enforce_if(within)
        self.m.add(slot.end >= start + takes).only_enforce_if(within)
        self.cost.append(-self.price["hands"] * TICK_MIN * takes * within)

    def staircases(self, kind):
        """What was filled and turned out so far, and the moulds in use."""
        own, most = self.k.kinds[kind].own, self.most[kind]
        filled = emptied = 0
        for n in range(len(self.slots)):
            turn = self.turns[n][kind]
            self.m.add(emptied + turn.out <= filled)
            turn.before = filled
            turn.filled, turn.emptied = self.number(0, most), self.number(0, most)
            self.m.add(turn.filled == filled + turn.fill)
            self.m.add(turn.emptied == emptied + turn.out)
            filled, emptied = turn.filled, turn.emptied
            self.m.add(filled - emptied <= own)
        self.m.add(filled == most)
        self.m.add(emptied == most)
        if not self.parts:
            self.whole(kind)

    def whole(self, kind):
        """What is out so far is all of some fillings: nobody counts what is left in its moulds."""
        own = self.k.kinds[kind]
        stairs, tins = [0], [0]
        for turns in self.turns:
            last = self.number(0, len(stairs) - 1)
            self.m.add_element(last, list(stairs), turns[kind].emptied)
            stairs.append(turns[kind].filled)
            if own.cups > 1:
                self.tins(own, turns[kind], tins, last)

    def tins(self, own, turn, tins, last):
        """The cups of a tin are filled and turned out together: what one filling has in it, no other adds to."""
        some = self.number(0, own.own // own.cups)
        self.m.add(own.cups * some >= turn.fill)
        emptied, filled = self.number(0, len(self.turns) * own.own), self.number(0, len(self.turns) * own.own)
        self.m.add_element(last, list(tins), emptied)
        self.m.add(filled == tins[-1] + some)
        self.m.add(filled - emptied <= own.own // own.cups)
        tins.append(filled)

    def ages(self, kind):
        """What each session takes is filled neither too early nor too late, and is out when it is packed."""
        gone = 0
        for demand in self.demands[kind]:
            old = [n for n, slot in enumerate(self.slots) if slot.stretch.day < demand.first_day]
            if old:
                self.m.add(self.turns[old[-1]][kind].filled <= gone)
            gone += demand.count
            self.cost.append(self.k.kinds[kind].keep * demand.count * (demand.day - 1))
        for n, slot in enumerate(self.slots):
            self.cost.append(-self.k.kinds[kind].keep * slot.stretch.day * self.turns[n][kind].fill)
        gone = 0
        for leave, _, start, demands, before in self.packs:
            own = sum(d.count for d in demands if d.kind == kind)
            gone += own
            if not own:
                continue
            whole = [n for n, slot in enumerate(self.slots) if slot.stretch.start < leave and n not in before]
            out = [self.turns[whole[-1]][kind].emptied] if whole else []
            for n in before:
                out.append(self.in_time(self.turns[n][kind], start))
            self.m.add(sum(out) >= gone)

    def in_time(self, turn, start):
        """How many of a slot beside a packing are out before it."""
        some, early = self.number(0, max(self.most)), self.flag()
        self.m.add(some <= turn.out)
        self.m.add(turn.out_end <= start).only_enforce_if(early)
        self.m.add(some == 0).only_enforce_if(early.negated())
        return some

    def order(self, n):
        if len(self.kinds) > 1:
            self.m.add_no_overlap(self.intervals(n))
        for _, takes, start, _, before in self.packs:
            if n in before:
                for turn in self.turns[n]:
                    self.m.add(turn.fill_start >= start + takes).only_enforce_if(before[n])

    def left(self, n, kind):
        """Pieces that have gone, or are packed, before the fillings of a slot."""
        left = 0
        for leave, _, _, demands, before in self.packs:
            some = sum(d.count for d in demands if d.kind == kind)
            if n in before:
                left += some * before[n]
            elif leave <= self.slots[n].stretch.start:
                left += some
        return left

    def taken_room(self, n, kind, filled, emptied):
        """Thirds of a place: a mould or a tin takes three, the pieces of one in bags one."""
        own = self.k.kinds[kind]
        tins, bags = self.number(0, own.own // own.cups), self.number(0, self.most[kind])
        self.m.add(tins * own.cups >= filled - emptied)
        self.m.add(bags * own.cups >= emptied - self.left(n, kind))
        return 3 * tins + bags

    def room(self, n):
        """Places in each freezer after each filling of a slot."""
        for freezer, capacity in enumerate(self.k.places):
            kinds = [kind for kind in self.kinds if self.k.kinds[kind].freezer == freezer]
            if not kinds:
                continue
            turns = {kind: self.turns[n][kind] for kind in kinds}
            after = {kind: self.taken_room(n, kind, turn.filled, turn.emptied) for kind, turn in turns.items()}
            self.m.add(sum(after.values()) <= capacity)
            for kind in kinds if len(kinds) > 1 else ():
                beside = [self.beside(n, kind, other) for other in kinds if other != kind]
                self.m.add(after[kind] + sum(beside) <= capacity).only_enforce_if(turns[kind].fills)

    def beside(self, n, kind, other):
        """Room of another kind as one is filled: before that is turned out, after, or filled again."""
        one, two = self.turns[n][kind], self.turns[n][other]
        taken, waits, later = self.number(0, 3 * self.most[other] + 3), self.flag(), self.flag()
        self.m.add(taken >= self.taken_room(n, other, two.before, two.emptied))
        self.m.add(taken >= self.taken_room(n, other, two.filled, two.emptied)).only_enforce_if(later.negated())
        self.m.add(two.fill_start >= one.fill_end).only_enforce_if(later)
        before = self.taken_room(n, other, two.before, two.emptied - two.out)
        self.m.add(taken >= before).only_enforce_if(waits)
        self.m.add(two.out_end <= one.fill_start).only_enforce_if(waits.negated(), two.outs)
        return taken

    def ripening(self):
        """Time to firm by the load of all that freezes together, whether it came before or comes after."""
        for freezer in range(len(self.k.places)):
            kinds = [kind for kind in self.kinds if self.k.kinds[kind].freezer == freezer and self.most[kind]]
            lots = [(n, kind) for n in range(len(self.slots)) for kind in kinds]
            loads = {lot: [] for lot in lots}
            for (n, kind) in lots:
                self.turns[n][kind].ripe = self.number(self.slots[n].stretch.start, self.slots[-1].stretch.end + 1000)
            for a, (n, kind) in enumerate(lots):
                for (later, other) in lots[a + 1:]:
                    self.overlap(loads, (n, kind), (later, other))
            for (n, kind) in lots:
                self.firm(n, kind, loads[n, kind])
                self.out_when_firm(n, kind)

    def together(self, kind):
        """How many of a kind would hold all the water that its freezer ever gets at once."""
        own = self.k.kinds[kind]
        same = [k for k in self.kinds if self.k.kinds[k].freezer == own.freezer]
        return own.together(sum(self.k.kinds[k].grams * min(self.k.kinds[k].own, self.most[k]) for k in same))

    def longest(self, kind):
        """Ticks that a lot of a kind freezes at least and at most, and with how many that is."""
        own, last = self.k.kinds[kind], self.slots[-1].stretch.end
        count = 1
        while count < self.together(kind):
            wait = own.waits(count + 1)
            if wait is None or wait > last - self.slots[0].stretch.start:
                break
            count += 1
        return own.waits(1), own.waits(count), count

    def overlap(self, loads, one, two):
        (n, kind), (later, other) = one, two
        shortest, longest, _ = self.spans[kind]
        a, b = self.slots[n].stretch, self.slots[later].stretch
        first, second = self.turns[n][kind], self.turns[later][other]
        if n != later and b.start - a.end >= longest:
            return
        if n == later or b.end - a.start < shortest:
            together = True
        else:
            together = self.flag()
            self.m.add(second.fill_end >= first.ripe).only_enforce_if(together.negated())
        for lot, beside, of in ((one, second, other), (two, first, kind)):
            if together is True:
                load = beside.fill
            else:
                most = min(self.k.kinds[of].own, self.most[of])
                load = self.number(0, most)
                self.m.add(load >= beside.fill - most * (1 - together))
            loads[lot].append((of, load))

    def firm(self, n, kind, beside):
        own, turn = self.k.kinds[kind], self.turns[n][kind]
        same = all(of == kind for of, _ in beside)
        finite = self.spans[kind][2]
        count, wait = self.number(0, finite), self.number(0, own.waits(finite))
        if same:
            self.m.add(count >= turn.fill + sum(load for _, load in beside)).only_enforce_if(turn.fills)
        else:
            scale = 1000
            grams = [round(scale * k.grams / own.grams) for k in self.k.kinds]
            total = grams[kind] * turn.fill + sum(grams[of] * load for of, load in beside)
            self.m.add(scale * count + 1 >= total).only_enforce_if(turn.fills)
        self.m.add_element(count, [0] + [own.waits(c) for c in range(1, finite + 1)], wait)
        self.m.add(turn.ripe >= turn.fill_end + wait)

    def out_when_firm(self, n, kind):
        shortest, longest, _ = self.spans[kind]
        first = self.turns[n][kind]
        for later in range(n + 1, len(self.slots)):
            a, b = self.slots[n].stretch, self.slots[later].stretch
            turn = self.turns[later][kind]
            if b.end - a.start < shortest:
                self.m.add(turn.emptied <= first.before)
                continue
            if b.start - a.end >= longest:
                break
            taken = self.flag()
            self.m.add(turn.emptied <= first.before).only_enforce_if(taken.negated())
            self.m.add(turn.out_start >= first.ripe).only_enforce_if([taken, first.fills, turn.outs])

    def counting(self):
        """Bounds that the solver does not see by itself: fillings, turnings out and sittings of runs of sessions."""
        for kind in self.kinds:
            some = self.demands[kind]
            for i in range(len(some)):
                for j in range(i, len(some)):
                    times = -(-sum(d.count for d in some[i:j + 1]) // self.k.kinds[kind].own)
                    window = [n for n, slot in enumerate(self.slots)
                              if slot.stretch.day >= some[i].first_day and slot.stretch.start < some[j].leave]
                    self.m.add(sum(self.turns[n][kind].fills for n in window) >= times)
                    self.m.add(sum(self.turns[n][kind].outs for n in window) >= times)
                    self.m.add(sum(self.slots[n].used for n in window) >= times + 1)

    def sum_up(self):
        for n, slot in enumerate(self.slots):
            hands = sum(turn.hands + turn.filling for turn in self.turns[n])
            self.m.add(slot.end - slot.start >= hands)
        self.m.minimize(sum(self.cost) + BEYOND_MINUTE * MINUTE * TICK_MIN * sum(self.beyond))

    @property
    def spans(self):
        if not hasattr(self, "_spans"):
            self._spans = [self.longest(kind) for kind in self.kinds]
        return self._spans

    def solve(self, seconds, effort, turns=None):
        if not self.possible:
            return Answer("none")
        known = self.taken(turns) if turns else None
        if known:
            for number, value in enumerate(known):
                self.m.add_hint(self.m.get_int_var_from_proto_index(number), value)
        solver = self.solver(seconds, effort)
        status = STATUS[solver.solve(self.m)]
        answer = Answer(status, seconds=solver.wall_time, refused=bool(turns) and known is None)
        if status in ("best", "found"):
            answer.outside = BEYOND_MINUTE * TICK_MIN * sum(solver.value(part) for part in self.beyond)
            answer.price = solver.objective_value / MINUTE - answer.outside
            answer.acts = self.acts(solver)
            answer.packs = [solver.value(start) for _, _, start, _, _ in self.packs]
        if status != "none":
            answer.bound = max(0.0, solver.best_objective_bound / MINUTE)
        return answer

    def solver(self, seconds, effort):
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.max_deterministic_time = effort
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        return solver

    def taken(self, turns):
        """All values of the program with a printed plan in it, or None where it is none."""
        fixed = self.m.clone()
        left = {}
        for turn in turns:
            moment = turn[3] if turn[1] else turn[5]
            left.setdefault(next((n for n, slot in enumerate(self.slots) if slot.first and
                                  slot.stretch.start <= moment < slot.stretch.end), None), []).append(turn)
        if None in left:
            return None
        for first in [n for n, slot in enumerate(self.slots) if slot.first]:
            mine = left.get(first, [])
            last = first + places_for_sittings(self.slots[first].stretch)
            for kind in self.kinds:
                some = [turn for turn in mine if turn[0] == kind]
                out, fill = sum(turn[1] for turn in some), sum(turn[2] for turn in some)
                fixed.add(sum(self.turns[n][kind].out for n in range(first, last)) == out)
                fixed.add(sum(self.turns[n][kind].fill for n in range(first, last)) == fill)
        solver = self.solver(60, 10)
        if STATUS[solver.solve(fixed)] not in ("best", "found"):
            return None
        return list(solver.response_proto.solution)

    def acts(self, solver):
        found = []
        for turns in self.turns:
            for kind, turn in enumerate(turns):
                out, fill = solver.value(turn.out), solver.value(turn.fill)
                if out or fill:
                    times = [solver.value(t) for t in (turn.out_start, turn.out_end, turn.fill_start, turn.fill_end)]
                    found.append((kind, out, fill, *times))
        return sorted(found, key=lambda act: act[3])


def plan(kitchen, seconds, effort, turns=None, turns_beyond=None):
    """Within `earliest` and `latest`, and all that was filled together turned out together; otherwise only where nothing
    else does. Turns: a plan to begin from."""
    def tried(stretches, own):
        answer = Planner(kitchen, stretches, False).solve(seconds, effort, own)
        if answer.status == "none" or answer.status == "unknown" and answer.refused:
            answer = Planner(kitchen, stretches, True).solve(seconds, effort, own)
        return answer

    answer = tried(kitchen.stretches, turns)
    if answer.status == "none" and kitchen.beyond and kitchen.beyond != kitchen.stretches:
        answer = tried(kitchen.beyond, turns_beyond)
        answer.beyond = True
    return answer


def words(kitchen, answer):
    def at(tick):
        return datetime.fromtimestamp(tick * TICK_MIN * 60, kitchen.zone).strftime("%a %d %H:%M")

    for kind, out, fill, a, b, c, d in answer.acts or []:
        parts = [f"out {out} {at(a)}-{at(b)}"] if out else []
        parts += [f"fill {fill} {at(c)}-{at(d)}"] if fill else []
        yield f"{kitchen.kinds[kind].name}: " + ", ".join(parts)
