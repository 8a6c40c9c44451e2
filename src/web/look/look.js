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
const unsent = new Set(); // forms with typing that was not sent
const certain = new Set(); // forms that are being sent, to a server that answers
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
// A link into a part that is folded unfolds it, before anybody goes there.
document.addEventListener("click", ({ target }) => {
  const part = document.getElementById(target.closest?.("a[href^='#']")?.hash.slice(1));
  for (let fold = part?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
}, true);
// Whatever leaves the page and takes its time says so.
document.addEventListener("submit", (event) => {
  const { target: form } = event;
  if (!unsent.has(form) || certain.delete(form)) {
    unsent.delete(form);
    working(statusLine() ?? notice());
    return;
  }
  event.preventDefault();
  send(form, event.submitter);
});

// What is typed into a plan is lost with its page until it is sent: the pocket keeps it as
// it is typed, here the browser asks before it leaves.
document.addEventListener("input", ({ target: { form } }) => {
  if (!globalThis.pocket && form?.matches("[data-unsent]")) unsent.add(form);
});
window.addEventListener("beforeunload", (event) => {
  if ([...unsent].some((form) => form.isConnected)) event.preventDefault();
});

/** Sends a form once somebody answers: else the page stays, with all that was typed. */
async function send(form, submitter) {
  try {
    await fetch(document.querySelector("link[rel=icon]").href, { cache: "no-store" });
  } catch {
    (statusLine() ?? notice()).textContent = `${NO_ANSWER} What you typed is still here.`;
    return;
  }
  certain.add(form);
  form.requestSubmit(submitter);
}

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
