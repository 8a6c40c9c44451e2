// Answers while the form is filled in: asks the same page for the same form and
// puts its answer in the place of the old one. All works without it too.
// In the pocket (`pocket/`) the pages come and go below one script, so nothing of a page is
// remembered here, and it is the page itself that answers.
"use strict";

const PAUSE = 350; // ms without a key before it asks
const SLOW = 400; // ms after which it says that it is working
const NO_ANSWER = "No answer. Is solidby still running in the terminal?";

const answerOf = globalThis.pocket?.answerOf
  ?? (async (address, signal) => (await fetch(address, { signal })).text());
let timer;
let asking;

const statusLine = () => document.getElementById("status");

// The unit beside a field goes for a number alone.
document.addEventListener("input", ({ target: { id, value } }) => {
  const unit = document.getElementById(`${id}-unit`);
  if (unit) unit.hidden = /[^\d\s.,/+\-\u2212\u00bc-\u00be\u2150-\u215e]/.test(value);
});
document.addEventListener("input", ({ target: { form } }) => {
  if (!form?.matches("[data-live]")) return;
  clearTimeout(timer);
  timer = setTimeout(ask, PAUSE, form);
});
// Whatever leaves the page and takes its time says so.
document.addEventListener("submit", () => working(statusLine() ?? notice()));
window.addEventListener("pageshow", () => { if (statusLine()) statusLine().textContent = ""; });

function notice() {
  const line = document.createElement("p");
  line.setAttribute("role", "status");
  line.className = "notice";
  document.body.append(line);
  return line;
}

function working(line) {
  return setTimeout(() => { line.textContent = "Working it out…"; }, SLOW);
}

async function ask(form) {
  if (!form.isConnected) return;
  asking?.abort();
  asking = new AbortController();
  const { signal } = asking;
  const fields = new URLSearchParams(new FormData(form));
  const address = `${form.getAttribute("action").replace(/#answer$/, "")}?${fields}`;
  const status = statusLine();
  const slow = working(status);
  try {
    const page = new DOMParser().parseFromString(await answerOf(address, signal), "text/html");
    if (signal.aborted || !form.isConnected) return;
    if (!page.getElementById("answer")) throw new Error("no answer on that page");
    renew(page, form);
    history.replaceState(null, "", address);
    status.textContent = document.getElementById("headline")?.textContent ?? "Not yet an answer: something in the form is missing or wrong.";
  } catch (error) {
    if (error.name === "AbortError") return;
    status.textContent = globalThis.pocket?.noAnswer ?? NO_ANSWER;
  } finally {
    clearTimeout(slow);
  }
}

function renew(page, form) {
  for (const part of document.querySelectorAll("#answer, #drawing, .words")) {
    const fresh = page.getElementById(part.id);
    if (fresh && fresh.innerHTML !== part.innerHTML) part.replaceChildren(...fresh.childNodes);
  }
  for (const field of form.elements) {
    const fault = page.getElementById(field.id)?.getAttribute("aria-invalid");
    if (fault) field.setAttribute("aria-invalid", fault);
    else field.removeAttribute("aria-invalid");
  }
  const other = document.getElementById("other-units");
  const fresh = page.getElementById("other-units");
  if (other && fresh) other.href = fresh.getAttribute("href");
}
