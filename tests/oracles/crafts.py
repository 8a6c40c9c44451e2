"""The contract's rules for ornaments, one by one, on a printed plan: dough, oven, coats, class days and hands."""

import re
from datetime import datetime, time, timedelta

from contract import Reader, absence, clock, opening, spans, without

LONGEST_BAKE_H = 4
NEXT = {"paint": "paint", "photo": "photo", "seal": "seal"}
STEP = re.compile(r"-(dry-through|(?:paint|photo|seal)-dry(?:-\d+)?|coat-\d-dry|coat-\d|put-in|take-out|ask-photos|gather-photos|mix|roll|bake"
                  r"|turn|cool|dry|paint|photo|seal|wrap|give)(?:-(\d+|[a-z][a-z-]*\d*))?$")


class Step:
    def __init__(self, step):
        told = STEP.search(step["id"])
        self.id, self.what, self.group = step["id"], told.group(1) if told else "", step["group"]
        self.start, self.end = (datetime.fromisoformat(step[key]) for key in ("start", "end"))
        self.where, self.attention, self.of, self.words = step["where"], step["attention"], step["for"], step["what"]

    def __str__(self):
        return f"{self.id} ({self.start:%a %d %b %H:%M})"


class Crafts:
    """The ornaments of a plan file and a printed plan of it; `hours` answers questions of dough."""

    def __init__(self, plan, text, now, hours):
        self.reader = Reader(text, now, None)
        self.file, self.zone, self.hours = self.reader.file, self.reader.zone, hours
        self.plan, self.faults = plan, []
        self.steps = [Step(step) for step in plan["steps"] if not step["reserve"]]

    def judge(self):
        self.hands()
        for ornament in self.file.get("ornament", []):
            self.mine = [step for step in self.steps if step.of == ornament["name"]]
            for step in self.mine:
                if not step.what:
                    self.faults.append(f"{step}: a step that no rule knows.")
            if not self.some("roll"):
                self.faults.append(f"{ornament['name']}: nothing is rolled.")
                continue
            for rule in (self.same_day, self.baking, self.firm, self.coats, self.class_days, self.giving, self.hours_of_places):
                rule(ornament)
        return self.faults

    def some(self, *whats):
        return [step for step in self.mine if step.what in whats]

    def hands(self):
        """One pair of hands, but for the places that name their own."""
        own = self.file.get("hands", {})
        busy = [s for s in self.steps if s.attention == "hands" and s.where not in own and s.end > s.start]
        busy.sort(key=lambda step: step.start)
        last = None
        for step in busy:
            if last and step.start < last.end and (step.start, step.end) != (last.start, last.end):
                self.faults.append(f"{step} begins while her hands are at {last}.")
            last = step if last is None or step.end > last.end else last

    def windows(self, place, day, group=None):
        """When hands may work at a place on a date, as instants."""
        told = [opening(text) for text in self.file["hours"].get(place, [])]
        class_rooms = {g.get("room", "class") for g in self.file["group"]}
        closed = [absence(text) for text in self.file["hours"].get("closed", [])]
        if place in class_rooms and any(a <= day <= b for a, b, *_ in closed):
            return []
        if group and day.weekday() not in opening(f"{group['days']} 00:00-01:00")[0]:
            return []
        comes, goes = ([clock(group[key])] if group and key in group else [] for key in ("from", "until"))
        open_now = [(max([a, *comes]), min([b, *goes])) for a, b in spans(told, day)]
        parts = [(datetime.combine(day, a, self.zone), datetime.combine(day, b, self.zone)) for a, b in open_now if a < b]
        for first, last, start, until in self.reader.away:
            if first <= day <= last:
                end = day + timedelta(days=1) if until is None else day
                gone = (datetime.combine(day, start, self.zone), datetime.combine(end, until or time(0), self.zone))
                parts = [left for part in parts for left in without(part, [gone])]
        return parts

    def within(self, step, group=None):
        return any(a <= step.start and step.end <= b for a, b in self.windows(step.where, step.start.date(), group))

    def same_day(self, ornament):
        """Cut dough goes into the oven or onto the rack the same day."""
        begun = self.some("mix", "roll", "put-in", "bake", "dry")
        heat = [step for step in begun if step.what in ("bake", "dry")]
        first = min(begun, key=lambda step: step.start)
        if not heat:
            self.faults.append(f"{ornament['name']}: cut pieces go neither into an oven nor onto a rack.")
        for step in begun:
            early = step.what != "bake" or step is heat[0]
            if early and step.start.date() != first.start.date():
                self.faults.append(f"{step} is not on the day of {first}.")

    def baking(self, _):
        """An oven in use is watched, at most four hours at a stretch, and serves one batch."""
        bakes = [step for step in self.steps if step.what == "bake"]
        for step in self.some("bake"):
            if step.attention != "watch":
                self.faults.append(f"{step}: nobody watches the oven.")
            if step.end - step.start > timedelta(hours=LONGEST_BAKE_H):
                self.faults.append(f"{step}: more than {LONGEST_BAKE_H} h beside an oven.")
            if not self.within(step):
                self.faults.append(f"{step}: she is not at home all the while.")
            for other in bakes:
                if other is not step and other.start < step.end and step.start < other.end:
                    self.faults.append(f"{step}: the oven holds {other.of} then.")

    def answer(self, ornament):
        """What the program's own dough command says of this batch, dried as the plan dries it."""
        pieces = re.search(r"cut (\d+)", self.some("roll")[0].words)
        room = self.file.get("room", {})
        words = ["--thickness", ornament["thickness"], "--size", ornament["shape"].split(" ", 1)[1], "--faces", "two",
                 "--count", pieces.group(1), "--recipe", ornament["recipe"], "--room", room.get("temperature", "20 C"),
                 "--humidity", room.get("humidity", "50 %"), "--altitude", room.get("altitude", "0 m")]
        words += ["--opening", ornament["opening"]] if "opening" in ornament else []
        bakes = self.some("bake")
        if not bakes:
            return self.hours.dough([*words, "--air-dry"])
        oven = next(oven for oven in self.file["oven"] if oven["name"] == ornament["oven"])
        minutes = round((bakes[0].end - bakes[0].start).total_seconds() / 60)
        return self.hours.dough([*words, "--oven", ornament["at"], "--oven-kind", oven.get("kind", "still"),
                                 "--bake-for", f"{minutes} min"])

    def firm(self, ornament):
        """Paint and glue after firm, sealing after dry, each at 95 %."""
        heat = min(self.some("bake", "dry"), key=lambda step: step.start, default=None)
        if heat is None or len(self.some("bake")) > 1:
            return
        told = self.answer(ornament)
        for what, key in (("paint", "hard_h"), ("photo", "hard_h"), ("seal", "dry_h")):
            band = told[key] or {"p95": None}
            for step in self.some(what):
                waited = (step.start - heat.start).total_seconds() / 3600
                if band["p95"] is None or waited < band["p95"]:
                    state = "firm" if key == "hard_h" else "dry"
                    self.faults.append(f"{step}: {waited:.1f} h after {heat}, and {band['p95']} h make pieces {state}.")

    def coats(self, ornament):
        """Coats dry as long as the tables say, before the next and before wrapping."""
        told = {coat["finish"]: coat for coat in self.answer(ornament)["coats"]}
        order = [what for what in ("paint", "photo", "seal", "wrap") if what in ornament.get("finish", [])]
        for what in order:
            if not self.some(what):
                self.faults.append(f"{ornament['name']}: no step “{what}”.")
        again = [f"coat-{number}" for number in range(2, told["seal"]["coats"] + 1)] if "seal" in order else []
        for what in again:
            if not self.some(what):
                self.faults.append(f"{ornament['name']}: no step “{what}”.")
        pairs = [(before, after, told[NEXT[before]]["next_h"]) for before, after in zip(order, order[1:]) if before != "seal"]
        pairs += [(before, after, told["seal"]["again_h"]) for before, after in zip(["seal", *again], again)]
        if "seal" in order and order[-1] != "seal":
            pairs.append((again[-1] if again else "seal", order[order.index("seal") + 1], told["seal"]["next_h"]))
        for before, after, hours in pairs:
            for one in self.some(before):
                for two in self.some(after):
                    waited = (two.start - one.end).total_seconds() / 3600
                    if waited < hours - 1e-6:
                        self.faults.append(f"{two}: {waited:.1f} h after {one}; the coat needs {hours:.0f} h.")
        for photo in self.some("photo"):
            if any(step.end > photo.start for step in self.some("gather-photos")):
                self.faults.append(f"{photo}: the photos are not there yet.")

    def class_days(self, ornament):
        """Steps with children only on their group's days, in their room."""
        for step in self.some("paint", "give", "ask-photos", "gather-photos"):
            group = next((g for g in self.file["group"] if g["name"] == step.group), None)
            if group is None or step.where != group.get("room", "class"):
                self.faults.append(f"{step}: not in the room of its group.")
            elif not self.within(step, group):
                self.faults.append(f"{step}: not on a day and in the hours of {group['name']}.")
        for name in ornament["groups"]:
            for what in [w for w in ("paint", "give") if w == "give" or w in ornament.get("finish", [])]:
                if not any(step.group == name for step in self.some(what)):
                    self.faults.append(f"{ornament['name']}: no step “{what}” for {name}.")

    def giving(self, ornament):
        """Given in time, and finished `buffer` class days before the first giving, or it is said."""
        gives = self.some("give")
        if not gives:
            return
        for step in gives:
            if step.start.date() > ornament["give"]:
                self.faults.append(f"{step}: given after {ornament['give']}.")
        first = min(step.start.date() for step in gives)
        buffer = int(self.file.get("wishes", {}).get("buffer", "1 day").split()[0])
        days = [first - timedelta(days=n) for n in range(1, 60)]
        rooms = {g.get("room", "class") for g in self.file["group"]}
        days = [day for day in days if any(self.windows(room, day) for room in rooms)]
        done = max(step.end.date() for step in self.mine if step.what in ("photo", "seal", "wrap", "paint")
                   or step.what.startswith("coat-"))
        said = self.plan["problems"] or any("(buffer)" in note for note in self.plan["notes"])
        if buffer and done > days[buffer - 1] and not said:
            self.faults.append(f"{ornament['name']}: finished {done}, given {first}, and nothing says that {buffer} class "
                               "days of buffer are lacking.")

    def hours_of_places(self, _):
        for step in self.mine:
            if step.attention == "hands" and not step.group and not self.within(step):
                self.faults.append(f"{step}: not within the hours of {step.where}.")


def ornaments(text):
    """The names of a plan file's ornaments."""
    return [row["name"] for row in Reader(text, "2026-01-01T00:00:00", None).file.get("ornament", [])]
