// Reads calendar files with ical.js and prints what each event says, as JSON.
import { readFileSync } from "node:fs";
import ICAL from "ical.js";

const seconds = (time) => time.toJSDate().getTime() / 1000;

function said(component) {
  const event = new ICAL.Event(component);
  const alarm = component.getFirstSubcomponent("valarm");
  return {
    uid: event.uid,
    start: seconds(event.startDate),
    end: seconds(event.endDate),
    summary: event.summary ?? "",
    description: event.description ?? "",
    trigger: alarm ? alarm.getFirstPropertyValue("trigger").toSeconds() / 60 : null,
    sequence: event.sequence,
  };
}

const files = process.argv.slice(2).map((path) => {
  const calendar = new ICAL.Component(ICAL.parse(readFileSync(path, "utf8")));
  return calendar.getAllSubcomponents("vevent").map(said);
});
console.log(JSON.stringify(files));
