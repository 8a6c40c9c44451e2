// Answers while the form is filled in: asks the same page for the same form and
// puts its answer in the place of the old one. All works without it too.
"use strict";

const PAUSE = 350; // ms without a key before it asks
const SLOW = 400; // ms after which it says that it is working

const form = document.querySelector("form[data-live]");
const status = document.getElementById("status");
let timer;
let asking;

if (form) {
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE);
  });
}
// Whatever leaves the page and takes its time says so.
document.addEventListener("submit", () => working(status ?? notice()));
window.addEventListener("pageshow", () => { if (status) status.textContent = ""; });

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

async function ask() {
  asking?.abort();
  asking = new AbortController();
  const { signal } = asking;
  const address = new URL(form.action);
  address.hash = "";
  address.search = new URLSearchParams(new FormData(form)).toString();
  const slow = working(status);
  try {
    const reply = await fetch(address, { signal });
    const page = new DOMParser().parseFromString(await reply.text(), "text/html");
    if (!page.getElementById("answer")) throw new Error(`status ${reply.status}`);
    renew(page);
    history.replaceState(null, "", address);
    status.textContent = document.getElementById("headline")?.textContent ?? "Not yet an answer: something in the form is missing or wrong.";
  } catch (error) {
    if (error.name === "AbortError") return;
    status.textContent = "No answer. Is solidby still running in the terminal?";
  } finally {
    clearTimeout(slow);
  }
}

function renew(page) {
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
