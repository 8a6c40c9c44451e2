"""Plans of invented classes with one thing more: no session is lost and no plan costs more.

Usage: more.py PROGRAM WORK_FOLDER [--number N] [--first SEED] [--jobs N]
Plans each class as it is and with one more mould, place in a freezer, hour at home, pair of hands and thing that nothing
uses. A session that is lost is a fault. So is a price that rises by more than the search's tolerance; one that rises by
less is counted.
"""

import argparse
import random
import re
import sys
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime, timedelta
from pathlib import Path

import classes
import contract
from judge import NEAR, run

HARDLY = 0.001


def raised(text, key, dice):
    """One of a key's numbers, one higher."""
    told = dice.choice(list(re.finditer(rf"^{key} = (\d+)$", text, re.M)))
    return f"{text[:told.start()]}{key} = {int(told.group(1)) + 1}{text[told.end():]}"


def mould(text, dice):
    return raised(text, "own", dice)


def place(text, dice):
    return raised(text, "holds", dice)


def hour(text, dice):
    """An hour after one of the openings at home."""
    told = re.search(r"^home = \[(.*)\]$", text, re.M)
    opening = dice.choice(re.findall(r'"([^"]+)"', told.group(1)))
    _, _, until = contract.opening(opening)
    later = datetime.combine(datetime(2026, 1, 1), until) + timedelta(hours=1)
    days = " ".join(opening.split()[:-1])
    return f'{text[:told.end() - 1]}, "{days} {until:%H:%M}-{later:%H:%M}"{text[told.end() - 1:]}'


def hands(text, _):
    return f"{text}\n[hands]\nhome = 1\n"


def unused(text, dice):
    """A mould, a freezer or an oven that nothing names."""
    return text + dice.choice([
        '\n[[mould]]\nname = "other mould"\nvolume = "2 cups"\nwall = "silicone"\nown = 30\n',
        '\n[[freezer]]\nname = "other freezer"\nkind = "chest"\nholds = 40\n',
        '\n[[oven]]\nname = "other oven"\nkind = "fan"\ntrays = 3\ntray = "40 x 30 cm"\n',
    ])


MORE = [mould, place, hour, hands, unused]


def planned(program, path, text):
    """(status, sessions served, price) of a plan."""
    path.write_text(text)
    plan, status, _ = run(program, path, classes.now_of(text))
    served = sum(step["id"].split("-")[-1] in ("use", "give") or bool(re.search(r"-(use|give)-[a-z0-9-]+$", step["id"]))
                 for step in plan["steps"])
    return status, served, plan.get("price")


def tried(program, folder, seed):
    """(seed, what is more, before, after) of each thing more."""
    text = classes.Maker(seed).text()
    before = planned(program, folder / f"as-it-is-{seed:04}.toml", text)
    found = []
    for more in MORE:
        changed = more(text, random.Random(f"more {seed} {more.__name__}"))
        found.append((seed, more.__name__, before, planned(program, folder / f"{more.__name__}-{seed:04}.toml", changed)))
    return found


def rise(before, after):
    """By what share the price rose, of plans that serve the same."""
    if before[0] != "found" or after[0] != "found":
        return 0.0
    return after[2] / before[2] - 1 if before[2] else float(after[2] > 0)


def lost(before, after):
    return after[1] < before[1] or before[0] == "found" != after[0]


def report(rows):
    """The counts of each kind, and the faults in sentences."""
    faults = 0
    for more in MORE:
        mine = [(seed, before, after) for seed, name, before, after in rows if name == more.__name__]
        rises = [rise(before, after) for _, before, after in mine]
        gone = sum(lost(before, after) for _, before, after in mine)
        print(f"{more.__name__:8} {len(mine):4} plans, {gone} lose a session, {sum(r > HARDLY for r in rises)} cost more by "
              f"over 0.1 %, {sum(r > NEAR for r in rises)} by over 1 %")
        for (seed, before, after), up in zip(mine, rises):
            if lost(before, after) or up > HARDLY:
                says = f"{100 * up:.2f} % dearer" if up > HARDLY else "a session lost"
                print(f"  seed {seed}: {says}: {before} became {after}")
                faults += lost(before, after) or up > NEAR
    return 1 if faults else 0


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("program")
    ask.add_argument("folder")
    ask.add_argument("--number", type=int, default=2)
    ask.add_argument("--first", type=int, default=201)
    ask.add_argument("--jobs", type=int, default=2)
    told = ask.parse_args()
    folder = Path(told.folder) / "more"
    folder.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(told.jobs) as pool:
        jobs = [pool.submit(tried, told.program, folder, seed) for seed in range(told.first, told.first + told.number)]
        sys.exit(report([row for job in jobs for row in job.result()]))


if __name__ == "__main__":
    main()
