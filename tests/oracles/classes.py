"""Invented plan files of ice: many zones, groups, hours, moulds and freezers, each from a seed; one in ten with ornaments.

Usage: classes.py FOLDER [NUMBER [FIRST SEED]]. Each file begins with the moment at which it is planned. Some cannot be
done (too warm, too few hours or moulds), by chance.
"""

import random
import sys
from datetime import date, timedelta
from pathlib import Path

ZONES = [
    "America/New_York", "America/Chicago", "America/Denver", "America/Phoenix", "America/St_Johns", "America/Sao_Paulo",
    "Europe/Vienna", "Europe/Lisbon", "Europe/Helsinki", "Africa/Nairobi", "Asia/Kathmandu", "Asia/Tokyo",
    "Australia/Lord_Howe", "Australia/Adelaide", "Pacific/Auckland", "Pacific/Chatham",
]
# The first day of each; some fortnights hold a change of the clock in some of the zones.
SEASONS = ["2026-10-19", "2026-11-30", "2027-01-11", "2027-03-08", "2027-03-22", "2027-04-05", "2026-09-21", "2026-10-26"]
HOMES = [
    ["daily 06:15-07:15", "daily 18:30-21:30", "Sat-Sun 09:00-21:30"],
    ["Mon-Fri 06:15-07:00", "Mon-Fri 18:00-21:30", "Sat-Sun 08:30-20:00"],
    ["daily 19:00-22:00"],
    ["daily 06:00-07:00", "daily 19:00-21:30"],
    ["Mon-Fri 5pm-9pm", "weekends 10:00-16:00"],
    ["Mon-Fri 16:30-18:30", "Mon-Fri 20:00-21:00", "Sat 09:00-12:00"],
    ["daily 05:45-06:45", "Mon Wed Fri 20:00-22:30"],
    ["Sat-Sun 08:00-18:00", "Tue Thu 18:00-20:00"],
    ["daily 17:30-20:30"],
]
CLASSES = [("07:30", "13:00"), ("08:00", "12:30"), ("08:30", "12:00"), ("08:15", "14:00")]
PLANTS_AND_ANIMALS = [
    "Otters", "Wrens", "Larches", "Puffins", "Badgers", "Ferns", "Newts", "Swifts", "Clovers", "Hazels", "Moths", "Voles",
]
# Name, lines of the mould (depth of the water said, so that a question of the command line asks the same), wall, cups.
MOULDS = [
    ("block", 'shape = "box 10 x 8 x 4 cm"\nfill = "36 mm"', "silicone", 1),
    ("brick", 'shape = "box 6 x 3 x 1 1/2 in"\nfill = "1 1/4 in"', "plastic", 1),
    ("puck", 'shape = "round 75 x 35 mm"\nfill = "30 mm"', "silicone", 1),
    ("fish", 'shape = "fish 5 in"\ndepth = "1 1/4 in"\nfill = "1 1/8 in"', "silicone", 1),
    ("hen", 'shape = "bird 8 in"\ndepth = "1 in"\nfill = "0.9 in"', "aluminium", 1),
    ("bear", 'shape = "bear 12 cm"\ndepth = "40 mm"\nfill = "36 mm"', "silicone", 1),
    ("lump", 'volume = "1 cup"', "plastic", 1),
    ("cup", 'shape = "cup 70 x 50 x 32 mm"\nfill = "28 mm"', "steel", 12),
    ("bun", 'shape = "cup 2 3/4 x 2 x 1 1/4 in"\nfill = "1 in"', "aluminium", 6),
]
FREEZERS = [
    ("fridge-freezer", 'air = "0 F"', 10), ("fridge-freezer", 'air = "-18 C"\nrated = "3 kg/day"', 8),
    ("fridge-freezer", "", 6), ("chest", 'air = "-20 C"', 12), ("chest", "", 16), ("upright", 'air = "-2 F"', 12),
    ("drawer", 'air = "-18 C"', 6), ("fridge-freezer-still", "", 8), ("ice-box", "", 4), ("drawer", 'air = "20 F"', 6),
]
NAMES = ["Blocks to paint", "Cold shapes", "Ice on the table", "Melting things"]


class Maker:
    """One plan file from one seed."""

    def __init__(self, seed):
        self.seed = seed
        self.dice = random.Random(f"ice {seed}")
        self.first = date.fromisoformat(self.dice.choice(SEASONS))
        self.now = self.first - timedelta(days=self.dice.randint(4, 9))
        self.opens, self.closes = self.dice.choice(CLASSES)
        self.sessions = 2 + min(14, int(self.dice.expovariate(1 / 5)))
        self.groups = []
        self.taken = set()
        self.closed = []
        self.away = set()

    def days(self):
        """Weekdays from the first day on, with a pause now and then."""
        day, found = self.first, []
        each = self.dice.choice([0.35, 0.6, 0.95])
        while len(found) < self.sessions:
            if day.weekday() < 5 and self.dice.random() < each:
                found.append(day)
            day += timedelta(days=1)
        return found

    def group_lines(self, days):
        number = min(self.dice.choice([1, 1, 2, 3]), len(days))
        names = self.dice.sample(PLANTS_AND_ANIMALS, number)
        self.groups = [(name, self.dice.randint(4, 18)) for name in names]
        self.of = {day: self.groups[day.weekday() % number] for day in days}
        for n, (name, children) in enumerate(self.groups):
            week = [d for k, d in enumerate(["Mon", "Tue", "Wed", "Thu", "Fri"]) if k % number == n]
            yield f'[[group]]\nname = "{name}"\ndays = "{" ".join(week)}"\nchildren = {children}\nyoungest = "3 years"\n'

    def hours_lines(self, days):
        home = ", ".join(f'"{text}"' for text in self.dice.choice(HOMES + 2 * HOMES[:4]))
        yield f'[hours]\nhome = [{home}]\nclass = ["Mon-Fri {self.opens}-{self.closes}"]'
        free = [self.first + timedelta(days=n) for n in range(-4, (days[-1] - self.first).days + 5)]
        free = [day for day in free if day not in days]
        self.closed = [day for day in free if self.dice.random() < 0.1]
        if self.closed:
            yield "closed = [" + ", ".join(f'"{day}"' for day in self.closed) + "]"
        away = []
        for day in free:
            if self.dice.random() < 0.08:
                part = self.dice.choice(["", "", " evening", " morning"])
                away.append(f'"{day}{part}"')
                self.away |= set() if part else {day}
        if away:
            yield f"away = [{', '.join(away)}]"
        yield ""

    def wanted(self, days, cups):
        """Blocks of a session, and moulds owned: enough for one to three rounds of the largest group."""
        most = max(self.of[day][1] for day in days)
        blocks = '"each"'
        if self.dice.random() < 0.5:
            blocks = most = self.dice.randint(2, 10)
        own = max(2, round(most / self.dice.choice([0.9, 1.0, 1.3, 1.8, 2.4])))
        return blocks, min(4, -(-own // cups)) if cups > 1 else own

    def ice_lines(self, days):
        number = min(self.dice.choice([1, 1, 1, 2, 2, 3]), len(days))
        moulds = self.dice.sample(MOULDS, number)
        odd = self.dice.random() < 0.12
        freezers = self.dice.sample(FREEZERS[-2:] if odd else FREEZERS[:-2], self.dice.choice([1, 1, 2]))
        for n, (kind, more, holds) in enumerate(freezers):
            holds = max(2, holds + self.dice.randint(-2, 6))
            yield f'[[freezer]]\nname = "freezer {n + 1}"\nkind = "{kind}"\n{more}\nholds = {holds}\n'.replace("\n\n", "\n")
        blocks = []
        for n, (name, lines, wall, cups) in enumerate(moulds):
            wanted, own = self.wanted(days[n::number], cups)
            tin = f"cups = {cups}\n" if cups > 1 else ""
            yield f'[[mould]]\nname = "{name}"\n{lines}\nwall = "{wall}"\n{tin}own = {own}\n'
            blocks.append(wanted)
        way = self.dice.choice([0, 5, 15, 20, 35])
        for n, mould in enumerate(moulds):
            own = days[n::number]
            freezer = freezers.index(self.dice.choice(freezers)) + 1
            yield f'[[ice]]\nname = "{NAMES[n]}"\nmould = "{mould[0]}"\nfreezer = "freezer {freezer}"\nblocks = {blocks[n]}'
            yield f'spare = {self.dice.choice([0, 0, 1, 2])}\ntravel = "{way} min"\nsession = ['
            for day in own:
                hour, minute = self.opens.split(":")
                at = f"{int(hour) + 1 + self.dice.randint(0, 1):02}:{minute}:00"
                yield f'  {{ group = "{self.of[day][0]}", at = {day}T{at} }},'
            yield "]\n"

    def meets(self, group, day):
        """Whether a group, by its place among them, has class on a day."""
        return day.weekday() < 5 and day.weekday() % len(self.groups) == group and day not in self.closed

    def given(self, day):
        """Whether something may be given by a day: class is open, she is there, and each group meets in the week up to it."""
        week = [day - timedelta(days=n) for n in range(7)]
        all_meet = all(any(self.meets(group, day) for day in week) for group in range(len(self.groups)))
        return day.weekday() < 5 and day not in self.closed and day not in self.away and all_meet

    def ornament_lines(self, days):
        """A batch of ornaments, given one to three weeks after the first session."""
        give = days[0] + timedelta(days=self.dice.randint(12, 24))
        while not self.given(give):
            give += timedelta(days=1)
        names = ", ".join(f'"{name}"' for name, _ in self.groups)
        method = self.dice.choice(["air", "oven", "oven then air", "any"])
        if method != "air":
            yield '[[oven]]\nname = "oven"\nkind = "still"\ntrays = 2\ntray = "13 x 18 in"\n'
        yield '[[ornament]]\nname = "Hangings"\nshape = "round 70 mm"\nthickness = "5 mm"\nrecipe = "two-one-one"'
        yield f'groups = [{names}]\neach = 1\nspare = 2\nmethod = "{method}"'
        if method != "air":
            yield 'oven = "oven"\nat = "200 F"'
        finish = self.dice.choice(['"paint", "seal", "wrap"', '"paint", "photo", "seal", "wrap"', '"paint", "wrap"'])
        yield f"finish = [{finish}]\ngive = {give}\n"

    def text(self):
        days = self.days()
        units = self.dice.choice(["us", "metric"])
        lines = [
            f"# Invented by a generator from seed {self.seed}.",
            f"# --now {self.now}T{self.dice.choice(['08:00', '12:00', '20:10'])}:00",
            f'title = "Class {self.seed}"\ntimezone = "{self.dice.choice(ZONES)}"\nunits = "{units}"\n',
            *self.hours_lines(days),
            '[room]\ntemperature = "20 C"\nhumidity = "50 %"\n',
            *self.group_lines(days),
            *self.ice_lines(days),
        ]
        if self.seed % 10 == 5:
            lines += self.ornament_lines(days)
        wishes = [f'ahead = "{self.dice.choice([2, 4, 5])} days"'] if self.dice.random() < 0.25 else []
        wishes += ['earliest = "06:00"'] if self.dice.random() < 0.15 else []
        if wishes:
            lines.append("[wishes]\n" + "\n".join(wishes) + "\n")
        return "\n".join(lines)


def now_of(text):
    """The moment at which a class is planned."""
    return text.split("--now ", 1)[1].split()[0]


def write(folder, number, first):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for seed in range(first, first + number):
        paths.append(folder / f"class-{seed:04}.toml")
        paths[-1].write_text(Maker(seed).text())
    return paths


if __name__ == "__main__":
    write(sys.argv[1], *(int(word) for word in (sys.argv[2:] + ["60", "1"][len(sys.argv[2:]):])))
