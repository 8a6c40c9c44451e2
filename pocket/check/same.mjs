// The same questions to the pocket and to the command line: the same words, steps and times,
// numbers within 1e-6. Usage: node same.mjs PAGE.html BIN PLAN.toml ...
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { programOf, keptOf } from "./program.mjs";

const [PAGE, BIN, ...PLANS] = process.argv.slice(2);
const NOW = "2026-11-27T08:00:00-07:00";
const ZONE = "America/Denver";
const CLOSE = 1e-6;
const NIGHT = ["--at", "20:00", "--by", "tomorrow 07:00"];
const QUESTIONS = [
  ["ice", "--mould", "fox", "--count", "4", "--freezer", "fridge-freezer", ...NIGHT],
  ["ice", "--mould", "snowflake", "--count", "4", ...NIGHT],
  ["ice", "--mould", "star", "--count", "1", "--covered", ...NIGHT],
  ["ice", "--mould", "bucket", "--count", "6", "--air", "0 F", ...NIGHT],
  ["ice", "--volume", "310 mL", ...NIGHT],
  ["ice", "--box", "10 x 8 x 4 cm", "--count", "2", "--stand", "wire", ...NIGHT],
  ["ice", "--round", "75 mm x 2 in", "--wall", "silicone", "--units", "us", ...NIGHT],
  ["ice", "--cup", "8 x 6 x 9 cm", "--wall", "paper", "--start", "60 F", ...NIGHT],
  ["ice", "--ball", "6 cm", "--air", "-18 C", ...NIGHT],
  ["ice", "--half-ball", "4 in", "--wall", "steel", ...NIGHT],
  ["ice", "--ring", "9 in x 3 in x 2 in", "--rated", "3 kg/day", ...NIGHT],
  ["ice", "--box", "10 x 8 x 4 cm", "--film", "25", "--air", "-18 C"],
  ["ice", "--mould", "fox", "--salt", "1 %", "--at", "today 20:00", "--by", "Sat 09:00"],
  ["ice", "--mould", "nothing", ...NIGHT],
  ["ice", "--mould", "fox", "--air", "180", ...NIGHT],
  ["dough", "--thickness", "1/4 in", "--size", "3 in", "--oven", "200 F", "--units", "us"],
  ["dough", "--thickness", "6 mm", "--air-dry", "--humidity", "45 %"],
  ["dough", "--thickness", "6 mm", "--air-dry", "--humidity", "85 %"],
  ["dough", "--thickness", "8 mm", "--oven", "95 C", "--oven-kind", "fan", "--faces", "turn"],
  ["dough", "--thickness", "5 mm", "--oven", "100 C", "--bake-for", "1 h", "--room", "20 C"],
  ["dough", "--thickness", "1/4 in", "--flour", "2 cups", "--salt", "1 cup", "--water", "1 cup", "--oven", "200 F"],
  ["dough", "--thickness", "6 mm", "--oven", "90 C", "--door", "ajar", "--opening", "1 1/2 in"],
  ["dough", "--thickness", "6 mm", "--oven", "95 C", "--pre-dry", "12 h"],
  ["dough", "--thickness", "6 mm", "--oven", "95 C", "--altitude", "5200 ft", "--count", "12"],
  ["dough", "--thickness", "6 mm", "--oven", "180"],
  ["thaw", "--mould", "fox", "--room", "68 F"],
  ["thaw", "--box", "10 x 8 x 4 cm", "--room", "22 C", "--humidity", "60 %"],
  ["thaw", "--ball", "6 cm", "--in", "bag"],
  ["thaw", "--mould", "snowflake", "--in", "cool-box", "--start", "-10 C"],
  ["thaw", "--volume", "500 mL", "--in", "open"],
  ["cool", "--thickness", "6 mm", "--from", "95 C", "--room", "20 C", "--on", "rack"],
  ["cool", "--thickness", "1/4 in", "--from", "200 F", "--on", "tray", "--tray", "steel"],
  ["cool", "--thickness", "1 cm", "--from", "120 C", "--on", "tray", "--tray", "aluminium", "--units", "us"],
  ["tables"], ["tables", "moulds"], ["starter"], ["plan", "--help"], ["ice", "--help"],
  ["diary", "fit"], ["ise"],
];

const ask = await programOf(PAGE);
const files = Object.fromEntries(PLANS.map((path) => [path, readFileSync(path, "utf8")]));
const faults = [];
let numbers = 0;
let refused = 0;
let furthest = 0;

const asked = [...QUESTIONS, ...PLANS.flatMap((path) => [["plan", path], ["check", path]])];
for (const question of asked) {
  const words = [...question, "--now", NOW, "--zone", ZONE];
  compare(words);
  if (/^(ice|dough|thaw|cool|plan)$/.test(question[0]) && !question.includes("--help")) compare([...words, "--json"]);
}
faults.slice(0, 20).forEach((fault) => console.log(fault));
console.log(`same: ${asked.length} questions, ${numbers} numbers, the furthest ${furthest.toExponential(1)} apart; ${faults.length} faults`);
process.exit(faults.length || numbers < 500 || refused > 10 ? 1 : 0);

/** One command line, asked of both. */
function compare(words) {
  const what = words.map((word) => basename(word)).join(" ");
  const own = spawnSync(BIN, words, { encoding: "utf8", env: { ...process.env, HOME: "/nonexistent", XDG_DATA_HOME: "/nonexistent", COLUMNS: "100" }, maxBuffer: 1 << 26 });
  const pocket = ask({ now: Date.parse(NOW), zone: ZONE, entropy: Array(16).fill(0), kept: keptOf(files), wish: { command: words } });
  if (own.status === 2) refused += 1;
  if (own.status !== pocket.status) faults.push(`${what}: the command ends with ${own.status}, the pocket with ${pocket.status}`);
  const [ours, theirs] = [pocket.body, own.stdout || own.stderr].map((text) => text.replace(/\x1b\[[\d;]*m/g, "").replaceAll("/nonexistent/solidby", "/kept"));
  if (words.includes("--json") && own.stdout) same(JSON.parse(theirs), JSON.parse(ours), what);
  else if (ours !== theirs) faults.push(`${what}: ${firstDifference(theirs, ours)}`);
}

function firstDifference(command, pocket) {
  const [one, other] = [command.split("\n"), pocket.split("\n")];
  const at = one.findIndex((line, n) => line !== other[n]);
  return `line ${at + 1}: “${one[at]}” from the command, “${other[at]}” from the pocket`;
}

/** Values that are the same, or numbers that are close. */
function same(command, pocket, where) {
  if (typeof command === "number" && typeof pocket === "number") {
    numbers += 1;
    const apart = Math.abs(command - pocket) / Math.max(1, Math.abs(command));
    furthest = Math.max(furthest, apart);
    if (apart > CLOSE) faults.push(`${where}: ${command} from the command, ${pocket} from the pocket`);
  } else if (command && pocket && typeof command === "object" && typeof pocket === "object") {
    for (const key of new Set([...Object.keys(command), ...Object.keys(pocket)])) same(command[key], pocket[key], `${where} ${key}`);
  } else if (command !== pocket) {
    faults.push(`${where}: “${command}” from the command, “${pocket}” from the pocket`);
  }
}
