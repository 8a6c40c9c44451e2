"""Judges printed plans of ice: by the contract's rules, by their price, and against a second planner.

Usage: judge.py PROGRAM WORK_FOLDER [--all] [--number N] [--first SEED] [--effort E] [--jobs N] [PLAN.toml ...]
Plans each class by the program and by CP-SAT, prints a table, names every fault in a sentence. Exit 1 where there is one.
Effort is CP-SAT's own count of its work for each class, about seconds, so that the answer does not hang on the load of
the machine; 0 asks the second planner only whether hands before `earliest` were needed, or less than 95 %: else the rules
and the price alone.
"""

import argparse
import json
import re
import resource
import signal
import subprocess
import sys
import tomllib
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

import classes
import contract
import planner
from contract import MINUTE, PACK_BEFORE, STILL_CLEAN, TICK_MIN, prices
from crafts import Crafts, ornaments
from hours import Hours
from things import Things

STEP = re.compile(r"-(wash|fill|freeze|turn-out|pack|carry|set-out|temper|use|drain)(-\d+)?$")
NEAR = 0.01
LOOK = 2.0  # the effort for whether anything does within `earliest` and `latest`
PATIENCE_S = 40  # of the processor, on any machine, however busy
WISHED = 0.95  # that a whole plan holds, where its file says nothing else
BEYOND = "is before `earliest` or after `latest`."  # a fault where there is another way


@dataclass
class Act:
    """A step of a printed plan."""

    what: str
    kind: int
    ice: str
    count: int
    start: float
    end: float
    id: str
    where: str


@dataclass
class Lot:
    """Pieces of one kind that were filled together."""

    kind: int
    count: int
    filled: float
    day: int
    ripe: float = 0.0
    load: float = 0.0


class Printed:
    """A printed plan with the kitchen it is for."""

    def __init__(self, plan, kitchen, others=()):
        """Others: the names of what is not ice, whose steps are judged elsewhere."""
        # What is only kept for what may not be ready is no part of the plan that is priced.
        plan = dict(plan, steps=[step for step in plan["steps"] if not step["reserve"]])
        self.k, self.plan, self.others = kitchen, plan, others
        self.faults = []
        self.acts = [act for act in map(self.act, plan["steps"]) if act]
        self.acts.sort(key=lambda act: (act.start, act.end))

    def act(self, step):
        if step["for"] in self.others:
            return None
        told = STEP.search(step["id"])
        names = [d for d in self.k.demands if step["for"] == d.ice or step["for"].startswith(d.ice + " ")]
        if not told or not names:
            self.faults.append(f"A step is of no session that the file names: {step['id']}.")
            return None
        named = max(names, key=lambda d: len(d.ice))
        counts = [amount["count"] for amount in step["amounts"] if amount.get("count")]
        number = re.search(r"\d+", step["what"])
        count = counts[0] if counts else int(number.group()) if number else 0
        start, end = (datetime.fromisoformat(step[key]).timestamp() / 60 / TICK_MIN for key in ("start", "end"))
        return Act(told.group(1), named.kind, named.ice, count, start, end, step["id"], step["where"])

    def of(self, *whats, kind=None):
        return [act for act in self.acts if act.what in whats and kind in (None, act.kind)]

    def at(self, tick):
        return datetime.fromtimestamp(tick * TICK_MIN * 60, self.k.zone).strftime("%a %d %b %H:%M")

    def day(self, tick):
        return datetime.fromtimestamp(tick * TICK_MIN * 60, self.k.zone).date().toordinal()

    def fault(self, act, text):
        self.faults.append(f"{act.id} ({self.at(act.start)}): {text}")

    def judge(self):
        """Every rule, one by one."""
        for rule in (self.times, self.hours, self.hands, self.minutes, self.washing, self.tins, self.counts, self.moulds, self.room,
                     self.firm, self.ages, self.packing, self.leaving, self.sessions):
            rule()
        return self.faults

    def times(self):
        """In time order, and each with the offset that its zone has then."""
        starts = [datetime.fromisoformat(step["start"]) for step in self.plan["steps"]]
        for before, after, step in zip(starts, starts[1:], self.plan["steps"][1:]):
            if after < before:
                self.faults.append(f"{step['id']}: stands after a step that begins later.")
        for start, step in zip(starts, self.plan["steps"]):
            if start.utcoffset() != start.astimezone(self.k.zone).utcoffset():
                self.faults.append(f"{step['id']}: {step['start']} is not the time of {self.k.zone}.")

    def hours(self):
        for act in self.of("wash", "fill", "turn-out"):
            if act.start < self.k.now:
                self.fault(act, "begins before now.")
            if not any(s.start <= act.start and act.end <= s.end for s in self.k.home):
                self.fault(act, "is not within her hours at home.")
            elif not any(s.start <= act.start and act.end <= s.end for s in self.k.stretches):
                self.fault(act, BEYOND)

    def hands(self):
        busy = self.of("wash", "fill", "turn-out", "pack", "carry", "set-out", "use", "drain")
        for one, two in zip(busy, busy[1:]):
            shared = one.what == two.what in ("carry", "pack") and (one.start, one.end) == (two.start, two.end)
            if two.start < one.end - 1e-6 and not shared:
                self.fault(two, f"begins while her hands are at {one.id}, which ends {self.at(one.end)}.")

    def sittings(self):
        """Home work in the order of time, cut where beginning anew costs no more than waiting."""
        groups = []
        for act in self.of("wash", "fill", "turn-out"):
            if groups and self.wait(groups[-1][-1], act) is not None:
                groups[-1].append(act)
            else:
                groups.append([act])
        return groups

    def wait(self, one, two):
        """What waiting between two steps costs, where it is less than a new sitting."""
        stretch = [s for s in self.k.home if s.start <= one.start and two.end <= s.end]
        if not stretch:
            return None
        packing = sum(max(0, min(p.end, two.start) - max(p.start, one.end)) for p in self.of("pack"))
        idle = max(0, two.start - one.end - packing)
        cost = prices()["hands"] * TICK_MIN * idle + self.odd(stretch[0], one.end, max(one.end, two.start))
        return cost if cost < prices()["sitting"] else None

    def odd(self, stretch, start, end):
        early = max(0, min(end, stretch.seven) - min(start, stretch.seven))
        late = max(0, max(end, stretch.nine) - max(start, stretch.nine))
        return prices()["odd-hour"] * TICK_MIN * (early + late)

    def minutes(self):
        """Each step takes the hands that the table says; what is turned out in a sitting is one step in parts."""
        work = self.k.work
        for sitting in self.sittings():
            for kind in {act.kind for act in sitting}:
                share, cups = self.k.kinds[kind].share, self.k.kinds[kind].cups
                for what in ("fill", "turn-out"):
                    some = [act for act in sitting if act.kind == kind and act.what == what]
                    need = work[what].ticks(sum(act.count for act in some), share)
                    if some and sum(act.end - act.start for act in some) < need - 1e-6:
                        self.fault(some[0], f"takes less than the {need * TICK_MIN} min of hands of its table.")
                for act in sitting:
                    need = work["wash"].ticks(-(-act.count // cups))
                    if act.kind == kind and act.what == "wash" and act.end - act.start < need - 1e-6:
                        self.fault(act, f"takes less than the {need * TICK_MIN} min of hands of its table.")

    def washing(self):
        for fill in self.of("fill"):
            clean = self.of("wash", "turn-out", "fill", kind=fill.kind)
            if not any(0 <= fill.start - act.end <= STILL_CLEAN for act in clean):
                self.fault(fill, "fills moulds that were neither washed nor just turned out.")

        for wash in self.of("wash"):
            own = self.k.kinds[wash.kind]
            tins = -(-self.inside(wash.kind, wash.start) // own.cups) + -(-wash.count // own.cups)
            if tins > own.own // own.cups:
                self.fault(wash, "washes moulds that water freezes in.")

    def tins(self):
        """The cups of a tin are filled and turned out together."""
        for kind, own in enumerate(self.k.kinds):
            if own.cups == 1:
                continue
            for fill in self.of("fill", kind=kind):
                before = sum(a.count for a in self.of("turn-out", kind=kind) if a.end <= fill.start + 1e-6)
                taken = 0
                for lot in self.of("fill", kind=kind):
                    if lot.start <= fill.start:
                        taken += -(-max(0, lot.count - before) // own.cups)
                        before = max(0, before - lot.count)
                if taken > own.own // own.cups:
                    self.fault(fill, "fills cups of a tin in which others are still freezing.")

    def inside(self, kind, at):
        """Pieces in their moulds at a moment, those included whose filling begins then."""
        inside = sum(a.count for a in self.of("fill", kind=kind) if a.start <= at)
        return inside - sum(a.count for a in self.of("turn-out", kind=kind) if a.end <= at + 1e-6)

    def counts(self):
        for kind, own in enumerate(self.k.kinds):
            wanted = sum(d.count for d in self.k.demands if d.kind == kind)
            for what in ("fill", "turn-out"):
                made = sum(act.count for act in self.of(what, kind=kind))
                if made != wanted:
                    self.faults.append(f"{own.name}: {made} pieces in the steps “{what}”, where {wanted} are needed.")
            for leave, demands in self.k.mornings():
                need = sum(d.count for d in self.k.demands if d.kind == kind and d.leave <= leave)
                if not any(d.kind == kind for d in demands):
                    continue
                packs = [p for p in self.of("pack") if self.day(p.start) == demands[0].day]
                by = min((p.start for p in packs if p.kind == kind), default=leave)
                out = sum(act.count for act in self.of("turn-out", kind=kind) if act.end <= by + 1e-6)
                if out < need:
                    self.faults.append(f"{own.name}: {out} are out by {self.at(by)}, where {need} are needed so far.")

    def moulds(self):
        """A mould is in use from the start of its filling until its piece is out."""
        for kind, own in enumerate(self.k.kinds):
            for fill in self.of("fill", kind=kind):
                inside = self.inside(kind, fill.start)
                if inside > own.own:
                    self.fault(fill, f"needs {inside} {own.name} moulds at once, and she has {own.own}.")

    def room(self):
        for fill in self.of("fill"):
            freezer = self.k.kinds[fill.kind].freezer
            taken = 0
            for kind, own in enumerate(self.k.kinds):
                if own.freezer != freezer:
                    continue
                filled = sum(a.count for a in self.of("fill", kind=kind) if a.end <= fill.end)
                out = sum(a.count for a in self.of("turn-out", kind=kind) if a.end <= fill.end)
                gone = sum(p.count for p in self.of("pack", kind=kind) if p.end <= fill.end)
                taken += 3 * -(-(filled - out) // own.cups) + max(0, -(-(out - gone) // own.cups))
            if taken > self.k.places[freezer]:
                self.fault(fill, f"leaves {taken} thirds of a place taken in a freezer that has {self.k.places[freezer]}.")

    def lots(self):
        """What froze together, and when each was firm: with all that froze beside it, from its filling to its end."""
        lots = [Lot(a.kind, a.count, a.end, self.day(a.start)) for a in self.of("fill")]
        lots.sort(key=lambda lot: lot.filled)
        for lot in lots:
            lot.load = lot.count * self.k.kinds[lot.kind].grams
        changed = True
        while changed:
            changed = False
            for lot in lots:
                own = self.k.kinds[lot.kind]
                wait = own.waits(own.together(lot.load))
                lot.ripe = float("inf") if wait is None else lot.filled + wait
            for lot in lots:
                beside = [x for x in lots if self.k.kinds[x.kind].freezer == self.k.kinds[lot.kind].freezer
                          and x.filled < lot.ripe - 1e-6 and lot.filled < x.ripe - 1e-6]
                load = sum(x.count * self.k.kinds[x.kind].grams for x in beside)
                changed |= load > lot.load + 1e-6
                lot.load = max(load, lot.load)
        return lots

    def firm(self):
        """What is turned out is firm by then, the oldest first."""
        lots = self.lots()
        for kind, own in enumerate(self.k.kinds):
            mine = [lot for lot in lots if lot.kind == kind]
            out = 0
            for act in self.of("turn-out", kind=kind):
                out += act.count
                before = 0
                for lot in mine:
                    if before < out and before + lot.count > out - act.count and lot.ripe > act.start + 1e-6:
                        late = (lot.ripe - act.start) * TICK_MIN
                        beside = own.together(lot.load)
                        self.fault(act, f"is {late:.0f} min before the {lot.count} of {self.at(lot.filled)} are firm, with "
                                        f"the water of {beside} {own.name} freezing.")
                    before += lot.count

    def takers(self, kind):
        """(lot, demand, pieces): the oldest pieces go to the next session."""
        demands = [[d, d.count] for d in self.k.demands if d.kind == kind]
        for lot in [lot for lot in self.lots() if lot.kind == kind]:
            left = lot.count
            while left and demands:
                some = min(left, demands[0][1])
                yield lot, demands[0][0], some
                left -= some
                demands[0][1] -= some
                if not demands[0][1]:
                    demands.pop(0)

    def ages(self):
        for kind in range(len(self.k.kinds)):
            for lot, demand, some in self.takers(kind):
                if lot.day < demand.first_day:
                    self.faults.append(f"{some} pieces filled {self.at(lot.filled)} are too old for {demand.name}.")

    def packing(self):
        """At most an hour before she must go, one packing for all sessions of a morning."""
        for leave, demands in self.k.mornings():
            packs = [p for p in self.of("pack") if self.day(p.start) == demands[0].day]
            carries = [c for c in self.of("carry") if self.day(c.start) == demands[0].day]
            if not packs or not carries:
                self.faults.append(f"Nothing is packed or carried for {demands[0].name}.")
                continue
            go = min(c.start for c in carries)
            if go > leave + 1e-6:
                self.fault(carries[0], f"leaves later than {self.at(leave)}, when class opens less the way.")
            for pack in packs:
                if pack.start < min(go, leave) - PACK_BEFORE - 1e-6:
                    self.fault(pack, f"packs more than an hour before leaving at {self.at(go)}.")
                if pack.end > go + 1e-6:
                    self.fault(pack, f"packs until after leaving at {self.at(go)}.")
            need = self.k.packing(demands)
            if sum(p.end - p.start for p in packs) < need - 1e-6:
                self.fault(packs[0], f"takes less than the {need * TICK_MIN} min of hands of its table.")
            for one, two in zip(packs, packs[1:]):
                if two.start > one.end + 1e-6:
                    self.fault(two, f"is a second packing of the morning, apart from {one.id}.")

    def leaving(self):
        """What is used was carried there before, and set out after that; what leaves is listed."""
        lists = [datetime.fromisoformat(some["leave"]).timestamp() / 60 / TICK_MIN for some in self.plan["carry"]]
        for carry in self.of("carry"):
            way = next(d.way for d in self.k.demands if d.ice == carry.ice)
            if carry.end - carry.start < way - 1e-6:
                self.fault(carry, f"takes less than the {way * TICK_MIN} min of the way.")
            if not any(abs(leave - carry.start) < 1e-6 for leave in lists):
                self.fault(carry, "is in no list of what leaves the house.")
        for use in self.of("use"):
            same = [a for a in self.acts if a.ice == use.ice and self.day(a.start) == self.day(use.start)]
            there = [c.end for c in same if c.what == "carry" and c.end <= use.start + 1e-6]
            if not there:
                self.fault(use, "needs blocks that were not carried there before.")
            for act in same:
                late = act.end > use.start + 1e-6 or there and act.start < min(there) - 1e-6
                if act.what in ("set-out", "temper") and late:
                    self.fault(act, "is not between the way there and the session.")

    def sessions(self):
        for demand in self.k.demands:
            uses = [u for u in self.of("use") if u.ice == demand.ice and abs(u.start - demand.starts) < 1e-6]
            if not uses:
                self.faults.append(f"No step “use” begins when {demand.name} does.")
                continue
            wiped = [d for d in self.of("drain") if d.ice == demand.ice and abs(d.start - uses[0].end) < 1e-6]
            if not wiped:
                self.fault(uses[0], "the floor is not wiped as the session ends.")

    def price(self):
        """Minutes of comfort, by the table of prices."""
        price, total, groups = prices(), 0.0, self.sittings()
        for sitting in groups:
            total += price["sitting"]
            for act in sitting:
                stretch = [s for s in self.k.home if s.start <= act.start < s.end]
                total += price["hands"] * TICK_MIN * (act.end - act.start)
                total += self.odd(stretch[0], act.start, act.end) if stretch else 0
            total += sum(self.wait(one, two) for one, two in zip(sitting, sitting[1:]))
            total += price["round"] * self.fillings(sitting)
        for kind, own in enumerate(self.k.kinds):
            for lot, demand, some in self.takers(kind):
                total += own.keep * some * max(0, demand.day - lot.day - 1)
        return total / MINUTE

    def fillings(self, sitting):
        """How often something is filled in a sitting: what is filled right after moulds of its kind is one filling."""
        fills = [act for act in sitting if act.what == "fill"]
        right_after = [act for act in fills if any(a.kind == act.kind and abs(a.end - act.start) < 1e-6 for a in fills)]
        return len(fills) - len(right_after)

    def turns(self):
        """(kind, out, fill, out start, out end, fill start, fill end) of each sitting, for the second planner."""
        found = []
        for sitting in self.sittings():
            for kind in sorted({act.kind for act in sitting}):
                outs = [a for a in sitting if a.kind == kind and a.what == "turn-out"]
                fills = [a for a in sitting if a.kind == kind and a.what in ("fill", "wash")]
                count = sum(a.count for a in fills if a.what == "fill")
                times = [f(t) for some in (outs, fills) for f, t in
                         ((min, [a.start for a in some] or [0]), (max, [a.end for a in some] or [0]))]
                found.append((kind, sum(a.count for a in outs), count, *map(round, times)))
        return found


def steps_of(kitchen, answer):
    """The second planner's plan as the program would print it, so that the same rules judge it."""
    steps = []

    def add(what, demand, count, start, end):
        times = [datetime.fromtimestamp(tick * TICK_MIN * 60, kitchen.zone).isoformat() for tick in (start, end)]
        steps.append({"id": f"{demand.ice}-{what}", "for": demand.ice, "what": f"{count}", "where": "", "amounts": [],
                      "reserve": False, "start": times[0], "end": times[1]})

    own = {d.kind: d for d in kitchen.demands}
    for kind, out, fill, *times in answer.acts:
        washed = kitchen.work["wash"].ticks(-(-fill // kitchen.kinds[kind].cups)) if fill and not out else 0
        if out:
            add("turn-out", own[kind], out, times[0], times[1])
        if washed:
            add("wash", own[kind], fill, times[2], times[2] + washed)
        if fill:
            add("fill", own[kind], fill, times[2] + washed, times[3])
    for (leave, demands), packed in zip(kitchen.mornings(), answer.packs):
        takes = kitchen.packing(demands)
        for n, demand in enumerate(demands):
            add("pack", demand, demand.count, packed if n == 0 else packed + takes, packed + takes)
            add("carry", demand, demand.count, leave, leave + demand.way)
            ends = demand.starts + kitchen.work["use"].ticks(1)
            add("use", demand, demand.count, demand.starts, ends)
            add("drain", demand, demand.count, ends, ends)
    steps.sort(key=lambda step: datetime.fromisoformat(step["start"]))
    leaves = [{"leave": step["start"]} for step in steps if step["id"].endswith("-carry")]
    return {"steps": steps, "carry": leaves}


def own_faults(kitchen, answer):
    """Where the second planner breaks the rules that it is to judge by."""
    if answer.price is None:
        return
    printed = Printed(steps_of(kitchen, answer), kitchen)
    for fault in printed.judge():
        if not (fault.endswith(BEYOND) and answer.beyond):
            yield f"The second planner's own plan: {fault}"
    price = printed.price()
    if price > answer.price + 0.01 or answer.status == "best" and price < answer.price - 0.01:
        yield f"The second planner's own plan costs {price:.2f} by its steps, {answer.price:.2f} by itself."
    answer.price = price


@dataclass
class Row:
    """What came out for one class."""

    name: str
    sessions: int = 0
    steps: int = 0
    status: str = "-"
    seconds: float = 0.0  # of the processor
    price: float = None
    told: float = None
    oracle: planner.Answer = None
    faults: list = None
    ornaments: list = None  # by the rules alone: the second planner knows only ice
    chance: str = "p95"  # by which a block is firm as the plan was laid
    sure: float = None  # the chance that the whole plan holds, as it says itself
    outside: float = 0.0  # what work before `earliest` or after `latest` weighs, where nothing else does
    waits: bool = False  # the program prints no price: its plans are not compared


def worked():
    """Seconds of the processor that the programs run so far have taken."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def run(program, path, now):
    """The printed plan, what the program says of it, and how long the processor worked at it."""
    begun = worked()
    command = [program, "plan", str(path), "--now", now, "--json", "--no-diary"]
    patience = partial(resource.setrlimit, resource.RLIMIT_CPU, (PATIENCE_S, PATIENCE_S))
    done = subprocess.run(command, capture_output=True, text=True, preexec_fn=patience)
    if done.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        return {"steps": [], "status": "no answer"}, "no answer", PATIENCE_S
    seconds = worked() - begun
    if done.returncode not in (0, 3):
        raise RuntimeError(f"{path}: exit {done.returncode}: {done.stderr.strip()[:300]}")
    plan = json.loads(done.stdout)
    status = plan.get("status") or ("found" if plan["feasible"] else "impossible")
    if (status == "found") != (done.returncode == 0) or (status == "found") != plan["feasible"]:
        raise RuntimeError(f"{path}: status {status}, feasible {plan['feasible']}, exit {done.returncode}")
    return plan, status, seconds


def laid_for(plan, kitchens, others):
    """The chance by which its blocks are firm, with all faults by that: 95 %, or where it says less of one of them, the
    surest by which all of them are in time. Kitchens: by chance, the surest first."""
    frozen = [step["chance"] for step in plan["steps"] if re.search(r"-freeze(-\d+)?$", step["id"])]
    least = min((chance for chance in frozen if chance is not None), default=1.0)
    told = []
    for chance, kitchen in kitchens[:1] if least >= WISHED else kitchens:
        printed = Printed(plan, kitchen, others)
        told.append((chance, printed, printed.judge()))
    in_time = [one for one in told if not any(" are firm, with the water of " in fault for fault in one[2])]
    return (in_time or told)[0]


def outside(turns, kitchen):
    """Ticks of work in printed turns before `earliest` or after `latest`."""
    spans = [span for _, out, fill, *times in turns
             for number, span in ((out, times[:2]), (fill, times[2:])) if number]
    inside = sum(max(0, min(end, s.end) - max(start, s.start)) for start, end in spans for s in kitchen.stretches)
    return sum(end - start for start, end in spans) - inside


def judge(program, folder, path, effort, wanted):
    """One class: validated, priced and compared."""
    text = Path(path).read_text()
    now = classes.now_of(text)
    hours = Hours(program, folder)
    kitchen = contract.read(text, now, hours.of)
    row = Row(Path(path).stem, len(kitchen.demands), faults=[], ornaments=ornaments(text))
    plan, row.status, row.seconds = run(program, path, now)
    row.steps = sum(not step["reserve"] for step in plan["steps"])
    row.told = plan.get("price")
    row.waits = row.told is None and not wanted and (row.status == "found" or "status" not in plan)
    turns = None
    if row.status == "found":
        row.sure = plan["chance"]["all"]
        less = [(chance, contract.read(text, now, partial(hours.of, chance=chance))) for chance in ("p95", "p50", "p05")]
        row.chance, printed, faults = laid_for(plan, less, row.ornaments)
        row.faults += faults
        row.faults += Things(plan, tomllib.loads(text)).judge()
        row.price, turns = printed.price(), printed.turns()
        if row.ornaments:
            row.price = row.told
            row.faults += Crafts(plan, text, now, hours).judge()
        elif row.told is not None and abs(row.told - row.price) > NEAR * row.price:
            row.faults.append(f"The price printed is {row.told:.1f}; by its steps it is {row.price:.1f}.")
    beyond = [fault for fault in row.faults if fault.endswith(BEYOND)]
    sound = turns if len(beyond) == len(row.faults) and not row.ornaments else None
    row.oracle = planner.Answer("-")
    sound = sound if row.chance == "p95" else None
    if effort or beyond or row.chance != "p95":
        row.oracle = planner.plan(kitchen, 60 + 4 * effort, effort or LOOK, None if beyond else sound, sound)
    if row.oracle.beyond and turns:
        row.outside = planner.BEYOND_MINUTE * TICK_MIN * outside(turns, kitchen)
    if row.oracle.beyond:
        row.faults = [fault for fault in row.faults if not fault.endswith(BEYOND)]
    hours.keep()
    row.faults += own_faults(kitchen, row.oracle)
    row.faults += compared(row)
    return row


def compared(row):
    """How a program's answer stands against the second planner's."""
    oracle = row.oracle
    served = oracle.price is not None
    if row.status == "no answer":
        yield f"The program has no answer after {PATIENCE_S} s."
    if row.ornaments:
        return
    if row.status in ("impossible", "not-found") and served:
        yield f"The program says {row.status}; a plan of {oracle.price:.1f} exists."
    if row.chance != "p95":
        if served and row.sure < WISHED:
            yield f"The plan holds with {row.sure:.3f}; one of {oracle.price:.1f} with every block at 95 % exists."
        elif served and row.price + row.outside > (1 + NEAR) * oracle.price + oracle.outside:
            # Blocks that are less sure have another look: it may cost less than surer ones, and not more.
            yield f"The plan costs {row.price:.1f}; one of {oracle.price:.1f} with every block at 95 % exists."
        return
    if row.status == "found" and oracle.status == "none":
        yield "The program prints a plan where the second planner shows that none exists."
    if row.status != "found" or row.price is None:
        return
    if oracle.refused:
        yield "The rules find no fault, and the second planner does not take the plan as it is printed."
    if served and row.price + row.outside > (1 + NEAR) * oracle.price + oracle.outside:
        yield f"The plan costs {row.price:.1f}; one of {oracle.price:.1f} exists ({oracle.status})."
    if any(fault.endswith(BEYOND) for fault in row.faults):
        return
    if oracle.bound is not None and row.price + row.outside < oracle.bound - 0.01:
        yield f"The plan costs {row.price:.1f}, less than the bound {oracle.bound:.1f}."


def show(row):
    def number(value):
        return f"{value:8.1f}" if value is not None else f"{'-':>8}"

    oracle = row.oracle
    print(f"{row.name:14} {row.sessions:4} {row.steps:5}  {row.status:11} {number(row.price)} {row.seconds:6.2f}   "
          f"{oracle.status:8} {number(oracle.price)} {number(oracle.bound)} {oracle.seconds:6.1f}"
          f"{'  with ornaments, by the rules alone' if row.ornaments else ''}"
          f"{f'  {len(row.faults)} faults' if row.faults else ''}", flush=True)
    for fault in row.faults or []:
        print(f"    {fault}", flush=True)


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("program")
    ask.add_argument("folder")
    ask.add_argument("plans", nargs="*")
    ask.add_argument("--number", type=int, default=60)
    ask.add_argument("--first", type=int, default=1)
    ask.add_argument("--effort", type=float, default=2.0)
    ask.add_argument("--jobs", type=int, default=2)
    ask.add_argument("--faults", action="store_true", help="also where the program prints no price of its plan")
    told = ask.parse_intermixed_args()
    plans = told.plans or classes.write(Path(told.folder) / "classes", told.number, told.first)
    print(f"{'class':14} {'sess':>4} {'steps':>5}  {'program':11} {'price':>8} {'s':>6}   "
          f"{'CP-SAT':8} {'price':>8} {'bound':>8} {'s':>6}")
    with ProcessPoolExecutor(told.jobs) as pool:
        jobs = [pool.submit(judge, told.program, told.folder, path, told.effort, told.faults) for path in plans]
        rows = [job.result() for job in jobs if show(job.result()) is None]
    sys.exit(report(rows))


# Classes in which the program is known to fall short, each with what it misses.
KNOWN = Path(__file__).with_name("known.txt")


def report(rows):
    """The faults in sentences; 1 where there is one that counts."""
    waiting = [row for row in rows if row.waits]
    faulty = [row for row in rows if row.faults and not row.waits]
    known = dict(line.split(None, 1) for line in KNOWN.read_text().splitlines() if line and line[0] != "#")
    for row in faulty:
        for fault in row.faults:
            print(f"{row.name}{' (known)' if row.name in known else ''}: {fault}")
    counted = [row for row in faulty if row.name not in known]
    done = sum(row.oracle.price is not None for row in rows)
    seconds = sorted(row.seconds for row in rows)
    print("; ".join(f"{share:.0%} of the plans within {seconds[round(share * (len(seconds) - 1))]:.2f} s of the processor"
                    for share in (0.5, 0.9, 0.99, 1)) + ".")
    print(", ".join(f"{status}: {sum(row.status == status for row in rows)}"
                    for status in sorted({row.status for row in rows})) + ".")
    print(f"{len(rows)} classes, {done} of them with a plan by CP-SAT, "
          f"{sum(row.status == 'found' for row in rows)} by the program; {len(faulty)} with faults, "
          f"{len(faulty) - len(counted)} of them known.")
    if waiting:
        faulty = sum(bool(row.faults) for row in waiting)
        print(f"{len(waiting)} plans were not judged: the program prints no price of them yet ({faulty} would have faults).")
    return 1 if counted else 0


if __name__ == "__main__":
    main()
