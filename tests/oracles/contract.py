"""A plan file read a second time, from the words of the contract and not from the program's code.

Times are ticks of five minutes since 1970 in UTC; hands take whole ticks, rounded up. Prices are quarters of a minute.
"""

import math
import tomllib
from bisect import bisect_left
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

TICK_MIN = 5
HOUR = 60 // TICK_MIN
MINUTE = 4
PACK_BEFORE = HOUR  # packing is at most an hour before she must go
STILL_CLEAN = 6  # ticks after which moulds that were turned out are washed all the same (read into "just turned out")
MOST_AHEAD = 7  # days in all, with the dates wholly away
DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
TABLES = Path(__file__).resolve().parents[2] / "tables"


@dataclass
class Work:
    """Minutes of hands: once for the step, and again for each piece."""

    once: float
    each: float

    def ticks(self, count, share=1.0):
        return ticks(self.once + self.each * share * count) if count else 0


@dataclass
class Kind:
    """Moulds of one name in one freezer, all alike; a tin's cups are counted one by one."""

    name: str
    freezer: int
    own: int
    cups: int = 1
    grams: float = 1.0
    hours: object = None  # hours to firm by the number of moulds in the freezer; None: never
    keep: int = MINUTE // 2  # for a piece and a day beyond the first night
    share: float = 1.0  # a cup's hands against a mould's

    def waits(self, count):
        """Ticks to firm with so many together, or None."""
        hours = self.hours(max(1, count))
        return None if hours is None else ticks(60 * hours)

    def together(self, grams):
        """How many of these would hold so much water, rounded up."""
        return max(1, math.ceil(grams / self.grams - 1e-3))


@dataclass
class Stretch:
    """Hands are free at home."""

    start: int
    end: int
    day: int
    seven: int  # 07:00 of its date
    nine: int  # 21:00 of its date
    earliest: int = None  # of its date, where the plan says
    latest: int = None


@dataclass
class Demand:
    """Blocks that a session takes."""

    kind: int
    count: int
    day: int
    first_day: int  # not filled before
    leave: int
    name: str = ""
    ice: str = ""
    starts: int = 0
    way: int = 0  # ticks to class


@dataclass
class Kitchen:
    """All that a planner has to know of the ice of a plan file."""

    kinds: list = field(default_factory=list)
    places: list = field(default_factory=list)  # of each freezer, in thirds of a place
    stretches: list = field(default_factory=list)
    beyond: list = field(default_factory=list)  # stretches with what lies before `earliest` and after `latest`
    home: list = field(default_factory=list)  # the same from now on, also before any ice may be filled
    demands: list = field(default_factory=list)
    work: dict = field(default_factory=dict)
    packs_first: bool = True
    pack_takes: bool = True
    zone: ZoneInfo = ZoneInfo("UTC")
    now: int = 0
    open: list = field(default_factory=list)  # when class is open: start, end

    def mornings(self):
        """(leave, [demands]) of all that leaves together: one packing for all sessions of a morning."""
        by_day = {}
        for demand in self.demands:
            by_day.setdefault(demand.day, []).append(demand)
        return [(min(d.leave for d in some), some) for _, some in sorted(by_day.items())]

    def packing(self, demands):
        if not self.pack_takes:
            return 0
        pieces = sum(d.count * self.kinds[d.kind].share for d in demands)
        return self.work["pack"].ticks(pieces)


def ticks(minutes):
    return math.ceil(minutes / TICK_MIN - 1e-9)


def tick_of(moment):
    return math.ceil(moment.timestamp() / 60 / TICK_MIN - 1e-9)


def local(zone, day, at):
    return tick_of(datetime.combine(day, at, zone))


def typical_work():
    """The minutes of tables/tasks.toml, by step; the first task of a step is the one."""
    rows = tomllib.loads((TABLES / "tasks.toml").read_text())["task"]

    def typical(value):
        return value["typical"] if isinstance(value, dict) else value

    work = {}
    for row in rows:
        work.setdefault(row["step"], Work(typical(row["once_min"]), typical(row["each_min"])))
    uses = [row for row in rows if row["name"] == "use ice"][0]
    work["use"] = Work(typical(uses["once_min"]), typical(uses["each_min"]))
    return work


def prices():
    """The prices of tables/prices.toml in quarters of a minute."""
    rows = tomllib.loads((TABLES / "prices.toml").read_text())["price"]
    return {row["name"]: round(row["minutes"] * MINUTE) for row in rows}


def clock(text):
    text = text.strip().lower()
    half = text[-2:] if text[-2:] in ("am", "pm") else ""
    hour, _, minute = text.removesuffix(half).strip().partition(":")
    hour, minute = int(hour), int(minute or 0)
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    return time(hour, minute)


def weekdays(words):
    chosen = set()
    for word in words:
        if word == "daily":
            chosen |= set(range(7))
        elif word == "weekends":
            chosen |= {5, 6}
        elif "-" in word:
            first, last = (DAYS.index(day) for day in word.split("-"))
            chosen |= {n % 7 for n in range(first, last + 1 + (7 if last < first else 0))}
        else:
            chosen.add(DAYS.index(word))
    return chosen


def opening(text):
    """`Mon-Fri 08:00-12:30` as (weekdays, from, until)."""
    *days, hours = text.split()
    first, last = hours.split("-")
    return weekdays(days), clock(first), clock(last)


PARTS = {"morning": (time(0), time(12)), "afternoon": (time(12), time(18)), "evening": (time(18), None)}


def absence(text):
    """`2026-12-09 to 2026-12-10 morning` as (first, last, from, until); until None is midnight."""
    words = text.split()
    part = PARTS.get(words[-1], (time(0), None))
    dates = [date.fromisoformat(word) for word in words if word[0].isdigit()]
    return (dates[0], dates[-1], *part)


def spans(openings, day):
    """The hours of a date, joined, as pairs of times."""
    some = sorted((a, b) for days, a, b in openings if day.weekday() in days)
    joined = []
    for a, b in some:
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    return joined


def without(span, busy):
    """What is left of a span of ticks."""
    parts = [span]
    for a, b in busy:
        parts = [(x, y) for s, e in parts for x, y in ((s, min(e, a)), (max(s, b), e)) if x < y]
    return parts


class Reader:
    """Reads one plan file; `hours` is asked for (mould, freezer) -> function of a count."""

    def __init__(self, text, now, hours):
        self.file = tomllib.loads(text)
        self.zone = ZoneInfo(self.file["timezone"])
        now = datetime.fromisoformat(now)
        self.today = now.date()
        self.now = tick_of(now.replace(tzinfo=self.zone))
        self.hours = hours
        told = self.file["hours"]
        self.home = [opening(text) for text in told.get("home", [])]
        self.class_hours = [opening(text) for text in told.get("class", [])]
        self.away = [absence(text) for text in told.get("away", [])]
        self.closed = [absence(text) for text in told.get("closed", [])]
        self.wishes = self.file.get("wishes", {})
        self.liked = clock(self.wishes.get("earliest", "06:30")), clock(self.wishes.get("latest", "21:30"))

    def kitchen(self):
        work = typical_work()
        kitchen = Kitchen(work=work, zone=self.zone, now=self.now)
        names = [freezer["name"] for freezer in self.file["freezer"]]
        kitchen.places = [3 * freezer["holds"] for freezer in self.file["freezer"]]
        moulds = {mould["name"]: mould for mould in self.file["mould"]}
        known = {}
        for ice in self.file["ice"]:
            key = (ice["mould"], ice["freezer"])
            if key not in known:
                known[key] = len(kitchen.kinds)
                freezer = self.file["freezer"][names.index(key[1])]
                kitchen.kinds.append(self.kind(moulds[key[0]], freezer, names.index(key[1])))
            kitchen.demands += self.demands(ice, known[key])
        kitchen.demands.sort(key=lambda demand: demand.leave)
        busy = [self.busy(work, leave, some) for leave, some in kitchen.mornings()]
        kitchen.home = self.stretches(kitchen, busy, time(0), time(23, 59))
        first = min(demand.first_day for demand in kitchen.demands)
        kitchen.beyond = [s for s in kitchen.home if s.day >= first]
        wished = self.stretches(kitchen, busy, *self.liked)
        kitchen.stretches = [s for s in wished if s.day >= first]
        return kitchen

    def kind(self, mould, freezer, number):
        cups = mould.get("cups", 1)
        grams, hours = self.hours(mould, freezer)
        keep = prices()["day-kept"]
        return Kind(mould["name"], number, mould["own"] * cups, cups, grams, hours, keep, 0.5 if cups > 1 else 1.0)

    def group(self, name):
        return next(group for group in self.file["group"] if group["name"] == name)

    def demands(self, ice, kind):
        found = []
        for session in ice["session"]:
            group = self.group(session["group"])
            blocks = group["children"] if ice.get("blocks", "each") == "each" else ice["blocks"]
            count = blocks + session.get("spare", ice.get("spare", 0))
            at = session["at"]
            day = at.date()
            opens = min(a for a, _ in spans(self.class_hours, day))
            way = float(ice.get("travel", "0 min").split()[0])
            leave = math.floor(local(self.zone, day, opens) - way / TICK_MIN + 1e-9)
            name = f"{ice['name']} for {group['name']} on {day}"
            first = self.first_day(day).toordinal()
            starts = tick_of(at.replace(tzinfo=self.zone))
            found.append(Demand(kind, count, day.toordinal(), first, leave, name, ice["name"], starts, ticks(way)))
        return found

    def first_day(self, day):
        """`ahead` counts dates; those wholly away do not count, up to seven days in all."""
        left = int(self.wishes.get("ahead", "3 days").split()[0])
        first = day
        for back in range(1, MOST_AHEAD + 1):
            earlier = day - timedelta(days=back)
            if any(a <= earlier <= b and until is None and start == time(0) for a, b, start, until in self.away):
                continue
            if left == 0:
                break
            left, first = left - 1, earlier
        return first

    def busy(self, work, leave, demands):
        """From leaving until the last session of the day is wiped up."""
        last = max(demands, key=lambda demand: demand.starts)
        children = max(group["children"] for group in self.file["group"])
        return (leave, last.starts + work["use"].ticks(1) + work["rinse"].ticks(children))

    def stretches(self, kitchen, busy, earliest, latest):
        last = max(demand.day for demand in kitchen.demands)
        found = []
        for number in range(self.today.toordinal(), last + 1):
            day = date.fromordinal(number)
            for a, b in spans(self.home, day):
                a, b = max(a, earliest), min(b, latest)
                if a >= b:
                    continue
                span = (max(local(self.zone, day, a), self.now), local(self.zone, day, b))
                for start, end in without(span, busy + self.absent(day)):
                    edges = (time(7), time(21), *self.liked)
                    found.append(Stretch(start, end, number, *(local(self.zone, day, edge) for edge in edges)))
        return found

    def absent(self, day):
        spans = []
        for first, last, start, until in self.away:
            if first <= day <= last:
                end = day + timedelta(days=1) if until is None else day
                spans.append((local(self.zone, day, start), local(self.zone, end, until or time(0))))
        return spans


def read(text, now, hours):
    return Reader(text, now, hours).kitchen()


def table(points):
    """Hours straight between points (count, hours), as a function; level below the first."""

    def hours(count):
        if count <= points[0][0] or len(points) == 1:
            return points[0][1]
        right = min(max(1, bisect_left([p[0] for p in points], count)), len(points) - 1)
        (a, x), (b, y) = points[right - 1], points[right]
        return x + (y - x) * (count - a) / (b - a)

    return hours if points else lambda count: None
