"""The judge itself judged: a sound plan has no fault, and each rule broken on purpose is named.

Usage: rules.py PROGRAM WORK_FOLDER. Ice is judged on a plan of the second planner, ornaments on the program's own of a
demo, once it prints a price of its plans. Exit 1 where a broken rule is not noticed, or a sound plan is blamed.
"""

import copy
import sys
import tomllib
from datetime import datetime, timedelta
from pathlib import Path

import planner
import study
from crafts import Crafts
from hours import Hours
from judge import Printed, run, steps_of
from things import Things


def sound():
    """The kitchen of a class of the study, with the plan that the second planner finds."""
    kitchen = next(made for name, _, made in study.classes() if name == "away-midweek")
    for demand in kitchen.demands:
        demand.ice, demand.starts, demand.way = "fish", demand.leave + 22, 4
        demand.name = f"fish on day {demand.day}"
    kitchen.home = kitchen.beyond = kitchen.stretches
    kitchen.packs_first = True
    return kitchen, steps_of(kitchen, planner.plan(kitchen, 60, 20))


def one(plan, what, number=0):
    return [step for step in plan["steps"] if step["id"].endswith(f"-{what}")][number]


def move(step, minutes, end=None):
    for key, by in (("start", minutes), ("end", minutes if end is None else end)):
        step[key] = (datetime.fromisoformat(step[key]) + timedelta(minutes=by)).isoformat()


def drop(plan, what, number=0):
    plan["steps"].remove(one(plan, what, number))


def count(step, number):
    step["what"] = str(number)


def top_up(plan, kitchen):
    """One cup more into a tin in which others freeze."""
    kitchen.kinds[0].cups = kitchen.kinds[0].own
    more = dict(one(plan, "fill"), what="1")
    move(more, 30)
    plan["steps"].append(more)


# What is broken, by a change of the plan or of the kitchen, and what the judge says then.
BROKEN = [
    ("a step outside her hours", lambda p, k: move(one(p, "turn-out"), -240), "not within her hours"),
    ("a step before now", lambda p, k: setattr(k, "now", k.demands[0].leave), "begins before now"),
    ("a step before `earliest`", lambda p, k: setattr(k, "stretches", k.stretches[:1]), "before `earliest`"),
    ("two steps at once", lambda p, k: move(one(p, "fill", 1), -10), "begins while her hands"),
    ("a step too short", lambda p, k: move(one(p, "turn-out"), 0, -5), "takes less than"),
    ("a packing too short", lambda p, k: move(one(p, "pack"), 0, -5), "takes less than"),
    ("moulds not washed", lambda p, k: drop(p, "wash"), "neither washed nor"),
    ("full moulds washed", lambda p, k: p["steps"].insert(3, dict(one(p, "wash"), start=one(p, "fill")["end"],
                                                                 end=one(p, "fill")["end"])), "that water freezes in"),
    ("a tin topped up", top_up, "of a tin in which others are still freezing"),
    ("pieces lacking", lambda p, k: drop(p, "turn-out"), "where 18 are needed"),
    ("pieces out too late", lambda p, k: move(one(p, "turn-out", 1), 1500), "are out by"),
    ("more moulds than she has", lambda p, k: count(one(p, "fill"), 9), "moulds at once"),
    ("a freezer too full", lambda p, k: setattr(k, "places", [12]), "thirds of a place"),
    ("a block not firm", lambda p, k: setattr(k.kinds[0], "hours", lambda n: 15.0), "are firm"),
    ("ice too old", lambda p, k: [setattr(d, "first_day", d.day - 1) for d in k.demands], "too old"),
    ("packed too early", lambda p, k: move(one(p, "pack"), -90), "more than an hour before"),
    ("packed after leaving", lambda p, k: move(one(p, "pack"), 60), "until after leaving"),
    ("gone too late", lambda p, k: move(one(p, "carry"), 15), "leaves later"),
    ("blocks not carried", lambda p, k: drop(p, "carry"), "not carried there"),
    ("nothing packed", lambda p, k: drop(p, "pack"), "Nothing is packed"),
    ("a session at another time", lambda p, k: move(one(p, "use"), 30), "begins when"),
    ("a way too short", lambda p, k: move(one(p, "carry"), 0, -5), "of the way"),
    ("a wrong offset", lambda p, k: one(p, "fill").update(start="2026-12-06T11:10:00+02:00"), "is not the time of"),
    ("steps out of order", lambda p, k: p["steps"].reverse(), "begins later"),
    ("a way in no list", lambda p, k: p["carry"].clear(), "in no list"),
    ("a wet floor", lambda p, k: move(one(p, "drain"), 15), "not wiped"),
    ("a step of nothing", lambda p, k: one(p, "fill").update({"for": "swans"}), "no session that the file names"),
]


# The same for the ornaments of demo/forest-fortnight.toml.
CRAFTS = [
    ("mixed the day before", lambda p: move(one(p, "mix"), -1440), "is not on the day of"),
    ("an oven left alone", lambda p: one(p, "bake").update(attention="none"), "nobody watches"),
    ("a long baking", lambda p: move(one(p, "bake"), 0, 180), "beside an oven"),
    ("painted too soon", lambda p: [move(step, -7200) for step in painted(p)], "make pieces firm"),
    ("sealed too soon", lambda p: move(one(p, "seal"), -4320), "make pieces dry"),
    ("the second coat too soon", lambda p: move(one(p, "coat-2"), -1440), "the coat needs"),
    ("a coat not dry", lambda p: move(one(p, "wrap"), -1440), "the coat needs"),
    ("painted on another group's day", lambda p: move(painted(p)[0], 1440), "not on a day and in the hours"),
    ("not given", lambda p: p["steps"].remove(given(p)[0]), "no step “give”"),
    ("given too late", lambda p: move(given(p)[-1], 4320), "given after"),
    ("wrapped on the last morning", lambda p: move(one(p, "wrap"), 60 * 24 * 5), "of buffer are lacking"),
    ("glued at night", lambda p: move(one(p, "photo"), -240), "not within the hours"),
    ("two steps at once", lambda p: move(one(p, "roll"), -10), "begins while her hands"),
    ("photos too late", lambda p: move(one(p, "photo"), -2880), "photos are not there"),
    ("no rack and no oven", lambda p: p["steps"].remove(one(p, "bake")), "neither into an oven"),
    ("an unknown step", lambda p: one(p, "roll").update(id="photo-ornaments-juggle"), "nothing is rolled"),
]


def items(plan, lists, words):
    """The items of the first list that has something of that name."""
    return next(some["items"] for some in plan[lists] if any(words in item for item in some["items"]))


def lose(plan, lists, words):
    some = items(plan, lists, words)
    some[:] = [item for item in some if words not in item]


# The same for where the things of that plan are.
THINGS = [
    ("paint left at home", lambda p: lose(p, "carry", "brushes"), "has not left the house"),
    ("a thing that nobody needs", lambda p: p["carry"][0]["items"].append("a ladder"), "no step there needs it"),
    ("two ways to class", lambda p: p["carry"].append(
        dict(p["carry"][0], leave="2026-12-01T06:45:00-07:00")), "She leaves on"),
    ("paint carried twice", lambda p: items(p, "carry", "brushes").append("paint, brushes, trays"), "more than once"),
    ("a block left behind", lambda p: one(p, "carry").update(what="Carry 11 blocks"), "carried 11"),
    ("another room", lambda p: one(p, "use").update(where="hall"), "in another room"),
    ("a cool box left in class", lambda p: lose(p, "back", "cool box"), "its cool box does not come home"),
    ("a cool box packed away from home", lambda p: move(one(p, "pack", 1), -1200), "the cool box is in class"),
    ("more painted than cut", lambda p: one(p, "roll").update(what="Roll to 6 mm and cut 15 pieces"), "go to be painted"),
    ("paint left in class", lambda p: lose(p, "back", "brushes"), "what they paint with"),
    ("pieces left in class", lambda p: lose(p, "back", "painted piece"), "are not home"),
    ("pieces glued at noon", lambda p: move(one(p, "photo"), -400), "are not home"),
    ("photos left in class", lambda p: lose(p, "back", "photos"), "the photos of"),
    ("photos for the spare ones", lambda p: one(p, "photo").update(what="Glue into 22 pieces"), "not as many as"),
    ("given before it was wrapped", lambda p: move(one(p, "wrap"), 60 * 24 * 5), "was done"),
]


def painted(plan):
    return [step for step in plan["steps"] if "-ornaments-paint-" in step["id"] and step["attention"] == "hands"]


def given(plan):
    return [step for step in plan["steps"] if "-ornaments-give-" in step["id"]]


def crafts(program, folder):
    """Faults of the rules for ornaments, or None where the program prints no price."""
    path, now = "demo/forest-fortnight.toml", "2026-11-27T08:00:00"
    plan, _, _ = run(program, path, now)
    if plan.get("price") is None:
        return None
    text, hours = Path(path).read_text(), Hours(program, folder)
    file = tomllib.loads(text)
    bad = [f"a plan of {path} is blamed: {fault}" for fault in Crafts(plan, text, now, hours).judge()]
    for what, change, says in CRAFTS:
        broken = copy.deepcopy(plan)
        change(broken)
        faults = Crafts(broken, text, now, hours).judge()
        if not any(says in fault for fault in faults):
            bad.append(f"{what}: not noticed; said: {faults}")
    bad += [f"a plan of {path} is blamed: {fault}" for fault in Things(plan, file).judge()]
    for what, change, says in THINGS:
        broken = copy.deepcopy(plan)
        change(broken)
        faults = Things(broken, file).judge()
        if not any(says in fault for fault in faults):
            bad.append(f"{what}: not noticed; said: {faults}")
    hours.keep()
    return bad


def ice():
    kitchen, plan = sound()
    bad = [f"a sound plan is blamed: {fault}" for fault in Printed(plan, kitchen).judge()]
    for what, change, says in BROKEN:
        broken, other = copy.deepcopy(plan), copy.deepcopy(kitchen)
        change(broken, other)
        faults = Printed(broken, other).judge()
        if not any(says in fault for fault in faults):
            bad.append(f"{what}: not noticed; said: {faults}")
    return bad


def main(program, folder):
    bad, more = ice(), crafts(program, folder)
    for line in bad + (more or []):
        print(line)
    print(f"{len(BROKEN)} rules of ice broken on purpose, {len(BROKEN) - len(bad)} of them named.")
    if more is None:
        print("The rules of ornaments were not tried: the program prints no price of its plans yet.")
    else:
        broken = len(CRAFTS) + len(THINGS)
        print(f"{broken} rules of ornaments and things broken on purpose, {broken - len(more)} of them named.")
    return 1 if bad or more else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3]))
