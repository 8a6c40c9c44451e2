"""Every thing is where its step needs it, and gets there by being carried: followed through a printed plan.

Blocks leave in the cool box and the box comes back; pieces go to be painted and come back to be glued, sealed and wrapped;
photos come from the families; what they paint with goes and comes the same day.
"""

import re
from datetime import datetime

from crafts import STEP as CRAFT

ICE = re.compile(r"-(pack|carry|set-out|use|drain)(-\d+)?$")
HOME_AFTER = ("photo", "seal", "wrap")


class Step:
    def __init__(self, step):
        told = ICE.search(step["id"]) or CRAFT.search(step["id"])
        self.id, self.what, self.of, self.where = step["id"], told.group(1) if told else "", step["for"], step["where"]
        self.words, self.bring, self.group = step["what"], step["bring"], step["group"]
        self.start, self.end = (datetime.fromisoformat(step[key]) for key in ("start", "end"))
        self.day = self.start.date()

    def __str__(self):
        return f"{self.id} ({self.start:%a %d %b %H:%M})"


class List:
    """What leaves together for one session or batch."""

    def __init__(self, told):
        self.leave, self.of, self.items = datetime.fromisoformat(told["leave"]), told["for"], told["items"]
        self.day = self.leave.date()


def number(words):
    return int(re.search(r"\d+", words).group())


class Things:
    """The things of a printed plan, whose rooms the file names."""

    def __init__(self, plan, file):
        self.file, self.faults = file, []
        self.steps = [Step(step) for step in plan["steps"] if not step["reserve"]]
        self.steps.sort(key=lambda step: step.start)
        self.out, self.back = ([List(told) for told in plan[key]] for key in ("carry", "back"))
        self.rooms = {group["name"]: group.get("room", "class") for group in file["group"]}

    def judge(self):
        for rule in (self.brought, self.one_leaving, self.blocks, self.box, self.painting, self.photos, self.finished):
            rule()
        return self.faults

    def some(self, *whats, of=None):
        return [step for step in self.steps if step.what in whats and of in (None, step.of)]

    def away(self, step):
        """Whether a step is in the room of its group, and that is not where she lives."""
        return step.where != "home" and self.rooms.get(step.group) == step.where

    def fault(self, step, text):
        self.faults.append(f"{step}: {text}")

    def brought(self):
        """What a step in class needs leaves the house that morning; nothing leaves that no step needs."""
        needed = []
        for step in self.steps:
            for thing in step.bring if self.away(step) else ():
                needed.append((step.day, thing))
                if not any(some.day == step.day and thing in some.items and some.leave <= step.start for some in self.out):
                    self.fault(step, f"“{thing}” has not left the house.")
        for some in self.out:
            for thing in some.items:
                if (some.day, thing) not in needed:
                    self.faults.append(f"“{thing}” leaves on {some.leave:%a %d %b}, and no step there needs it.")

    def one_leaving(self):
        """She leaves once a day and comes home once, with each thing in one list."""
        for lists, does in ((self.out, "leaves"), (self.back, "comes home")):
            for day in sorted({some.day for some in lists}):
                mine = [some for some in lists if some.day == day]
                times = sorted({f"{some.leave:%H:%M}" for some in mine})
                if len(times) > 1:
                    self.faults.append(f"She {does} on {day:%a %d %b} at {' and at '.join(times)}.")
                for some in mine:
                    for thing in sorted({thing for thing in some.items if some.items.count(thing) > 1}):
                        self.faults.append(f"“{thing}” {does} on {day:%a %d %b} more than once for {some.of}.")

    def blocks(self):
        """As many are carried as were packed and as are set out."""
        for day in sorted({step.day for step in self.some("carry")}):
            packed, carried, out = ({(step.of, step.start): number(step.words) for step in self.some(what)
                                     if step.day == day} for what in ("pack", "carry", "set-out"))
            if not sum(packed.values()) == sum(carried.values()) == sum(out.values()):
                self.faults.append(f"{day:%a %d %b}: packed {sum(packed.values())}, carried {sum(carried.values())}, set "
                                   f"out {sum(out.values())} blocks.")
        for step in self.some("use", "set-out"):
            if step.where != self.rooms.get(step.group):
                self.fault(step, "its blocks are in another room.")

    def returned(self, step, thing):
        """When a thing of a step comes home on its day, or None."""
        lists = [some for some in self.back if some.day == step.day and some.leave >= step.end]
        return min((some.leave for some in lists if any(thing in item for item in some.items)), default=None)

    def box(self):
        """The cool box comes home before it is packed again, and what ice is painted with on the same day."""
        for use in [step for step in self.some("use") if self.away(step)]:
            home = self.returned(use, "cool box")
            if home is None:
                self.fault(use, "its cool box does not come home.")
                continue
            if self.returned(use, "paint and brushes") is None:
                self.fault(use, "what they paint ice with does not come home.")
            for pack in self.some("pack"):
                if use.start < pack.start < home:
                    self.fault(pack, f"the cool box is in class until {home:%a %d %b %H:%M}.")

    def painting(self):
        """No more pieces go to be painted than were cut; they are home before more is done with them there."""
        for roll in self.some("roll"):
            paints = self.some("paint", of=roll.of)
            brought = sum(number(step.bring[0]) for step in paints if step.bring)
            if brought > int(re.search(r"cut (\d+)", roll.words).group(1)):
                self.fault(roll, f"{brought} pieces go to be painted.")
            for paint in paints:
                if not self.away(paint):
                    continue
                if number(paint.bring[0]) != number(paint.words):
                    self.fault(paint, f"brought {paint.bring[0]}.")
                if self.returned(paint, "brushes") is None:
                    self.fault(paint, "what they paint with does not come home.")
                after = [step for step in self.some(*HOME_AFTER, of=roll.of) if step.where == "home"]
                home = self.returned(paint, f"{number(paint.words)} painted piece")
                for step in after:
                    if home is None or step.start < home:
                        self.fault(step, f"the pieces of {paint} are not home.")

    def photos(self):
        """Each child's photo is home before it is glued in."""
        for glue in self.some("photo"):
            gathers = self.some("gather-photos", of=glue.of)
            if gathers and sum(number(step.words) for step in gathers) != number(glue.words):
                self.fault(glue, "its photos are not as many as were gathered.")
            for gather in gathers:
                home = self.returned(gather, f"{number(gather.words)} photo") if self.away(gather) else gather.end
                if glue.where == "home" and (home is None or home > glue.start):
                    self.fault(glue, f"the photos of {gather} are not home.")

    def finished(self):
        """What is given was finished where it left from, before it left."""
        for give in [step for step in self.some("give") if self.away(step)]:
            left = [some.leave for some in self.out if some.day == give.day and some.of == give.of]
            for step in self.some("paint", *HOME_AFTER, of=give.of):
                if left and step.end > min(left):
                    self.fault(give, f"left before {step} was done.")
            if give.bring and number(give.bring[0]) != number(give.words):
                self.fault(give, f"brought {give.bring[0]}.")
