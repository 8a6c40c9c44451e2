"""Compares calendar files with the plans' JSON, read by four parsers that this project did not write.

Usage: compare.py SCHEMA.json READ.mjs PLAN.json PLAN.ics [PLAN.json PLAN.ics ...]

The events are worked out a second time here, from the JSON alone: identifier, start, end,
summary, alarm and the reason inside the description. The JSON must keep to its schema. Exit 1 names every difference.
"""

import json
import re
import subprocess
import sys
import unicodedata
import uuid
from datetime import datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import icalendar
import jsonschema
import vobject
from ical.calendar_stream import IcsCalendarStream

NAMESPACE = uuid.UUID("8d3f5a0e-47c1-4b7e-9a52-61f0c3de2b94")
REMINDER = timedelta(minutes=30)
MOMENT = timedelta(minutes=5)


def clean(text):
    text = re.sub("\r\n|[\r\x85\u2028\u2029\x0b\x0c]", "\n", text).replace("\t", " ")
    drop = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufdd0-\ufdef]")
    text = drop.sub("", text)
    return "".join(
        c for c in text
        if c == "\n" or (unicodedata.category(c) != "Cc" and ord(c) & 0xFFFE != 0xFFFE)
    )


AMERICAN = (("mould", "mold"), ("Mould", "Mold"), ("programme", "program"), ("colour", "color"),
            ("Colour", "Color"), ("centre", "center"), ("coeliac", "celiac"), ("aluminium", "aluminum"),
            ("Aluminium", "Aluminum"), ("litre", "liter"))


def spelled(text):
    """Words for people are spelled as the reader does; both sides are compared in one spelling."""
    for british, american in AMERICAN:
        text = text.replace(british, american)
    return text


def one_line(text):
    return " ".join(clean(text).split())


def expected(plan):
    """identifier -> (start, end, wanted summary, minutes to the alarm or None, wanted reason)"""
    seen, events = {}, {}

    def add(key, start, end, summary, alarm, reason=""):
        seen[key] = seen.get(key, 0) + 1
        if seen[key] > 1:
            key = f"{key}#{seen[key]}"
        title = plan["title"]
        name = f"{len(title.encode())}:{title}{key}"
        minutes = None if alarm is None else -alarm.total_seconds() / 60
        events[str(uuid.uuid5(NAMESPACE, name))] = (
            start.timestamp(), end.timestamp(), spelled(one_line(summary)), minutes, spelled(clean(reason)))

    for step in plan["steps"]:
        start, end = (datetime.fromisoformat(step[key]) for key in ("start", "end"))
        if end <= start:
            end = start + MOMENT
        if step["attention"] == "none":
            continue
        alarm = None if step["reserve"] else REMINDER
        add(step["id"], start, end, step["what"], alarm, step["because"])
        for look in step["looks"]:
            at = datetime.fromisoformat(look["at"])
            if look["where"] != step["where"] and look["chance"] < 0.98:
                add(step["id"] + "#look", at, at + MOMENT, "Look before: " + step["what"], timedelta(0))
    for carry in plan["carry"]:
        leave = datetime.fromisoformat(carry["leave"])
        day = leave.date() - timedelta(days=1)
        evening = datetime.combine(day, time(20), ZoneInfo(plan["timezone"]))
        add("carry#" + carry["for"], evening, evening + timedelta(minutes=15),
            "Set out for tomorrow: " + carry["for"], timedelta(0))
    return events


def with_ical(data):
    calendar = IcsCalendarStream.calendar_from_ics(data.decode())
    for event in calendar.events:
        triggers = [alarm.trigger for alarm in event.alarm or []]
        yield (event.uid, event.start, event.end, event.summary, event.description, triggers)


def with_icalendar(data):
    calendar = icalendar.Calendar.from_ical(data)
    calendar.validate()
    for event in calendar.walk("VEVENT"):
        assert not event.errors, event.errors
        triggers = [alarm["TRIGGER"].dt for alarm in event.walk("VALARM")]
        yield (str(event["UID"]), event.start, event.end, str(event["SUMMARY"]),
               str(event["DESCRIPTION"]), triggers)


def with_vobject(data):
    calendar = vobject.readOne(data.decode())
    calendar.validate(raiseException=True)
    for event in calendar.vevent_list:
        triggers = [alarm.trigger.value for alarm in event.contents.get("valarm", [])]
        yield (event.uid.value, event.dtstart.value, event.dtend.value, event.summary.value,
               event.description.value, triggers)


PARSERS = (with_ical, with_icalendar, with_vobject)


def found(parser, data):
    events = {}
    for uid, start, end, summary, description, triggers in parser(data):
        assert len(triggers) <= 1, "more than one alarm"
        minutes = triggers[0].total_seconds() / 60 if triggers else None
        events[uid] = (
            start.timestamp(), end.timestamp(), spelled(summary or ""), minutes, spelled(description or ""))
    return events


def found_by_ical_js(script, paths):
    said = subprocess.run(["node", script, *paths], check=True, capture_output=True)
    for events in json.loads(said.stdout):
        yield {e["uid"]: (e["start"], e["end"], spelled(e["summary"]), e["trigger"], spelled(e["description"]))
               for e in events}


# One wrong value each; every parser must make this script see it.
WRONG = {
    "start": (rb"DTSTART:(\d{8})T(\d\d)", rb"DTSTART:20200101T\2"),
    "end": (rb"DTEND:(\d{8})", rb"DTEND:20990101"),
    "summary": (rb"SUMMARY:", rb"SUMMARY:X"),
    "alarm": (rb"TRIGGER:-?PT\d+M", rb"TRIGGER:-PT7M"),
    "identifier": (rb"UID:.{8}", rb"UID:00000000"),
    "reason": (rb"Why now: ...", rb"Why now: X"),
    "one event too few": (rb"(?s)BEGIN:VEVENT.*?END:VEVENT\r\n", b""),
}


def unseen(plan, data):
    """Wrong values that a comparison does not notice; there must be none."""
    wanted = expected(plan)
    for name, (pattern, put) in WRONG.items():
        wrong = re.sub(pattern, put, data, count=1)
        assert wrong != data, f"{name}: nothing to change in this file"
        for parser in PARSERS:
            if not list(differences(wanted, found(parser, wrong))):
                yield f"{parser.__name__}: a wrong {name} went unseen"


def summary_fits(summary, wanted):
    # It is cut before it is spelled, which takes a few letters.
    if len(wanted) <= 54 or summary == wanted:
        return summary == wanted and len(wanted) <= 60
    return len(summary) <= 60 and summary.endswith("…") and wanted.startswith(summary[:-1])


def differences(wanted, events):
    if wanted.keys() != events.keys():
        yield f"identifiers: {len(wanted)} wanted, {len(events)} found, {sorted(wanted.keys() ^ events.keys())[:4]}"
        return
    for uid, (start, end, summary, alarm, reason) in wanted.items():
        got = events[uid]
        if got[:2] != (start, end):
            yield f"{uid} {summary!r}: times {got[:2]}, wanted {(start, end)}"
        if not summary_fits(got[2], summary):
            yield f"{uid}: summary {got[2]!r}, wanted {summary!r}"
        if got[3] != alarm:
            yield f"{uid} {summary!r}: alarm {got[3]}, wanted {alarm}"
        if reason not in got[4]:
            yield f"{uid}: {reason!r} is not in {got[4]!r}"


def main(schema, script, *paths):
    schema = jsonschema.Draft202012Validator(json.loads(Path(schema).read_text()))
    plans = [json.loads(Path(path).read_text()) for path in paths[::2]]
    calendars = [Path(path).read_bytes() for path in paths[1::2]]
    by_ical_js = found_by_ical_js(script, paths[1::2])
    faults, events = 0, 0
    for path, plan, data, ical_js in zip(paths[1::2], plans, calendars, by_ical_js, strict=True):
        for fault in schema.iter_errors(plan):
            faults += 1
            print(f"{path}: schema: {fault.json_path}: {fault.message[:200]}")
        wanted = expected(plan)
        events += len(wanted)
        read = {parser.__name__[5:]: found(parser, data) for parser in PARSERS}
        for name, got in {**read, "ical.js": ical_js}.items():
            for fault in differences(wanted, got):
                faults += 1
                print(f"{path}: {name}: {fault}")
    for fault in unseen(plans[-1], calendars[-1]):
        faults += 1
        print(fault)
    print(f"calendar: {len(plans)} files, {events} events, 4 parsers, {faults} differences")
    return 1 if faults or not events else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
