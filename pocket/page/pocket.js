// The page answers itself: addresses stand behind the `#`, links and forms of the library's
// pages are asked of the program in a worker, and what it says is to be kept is kept.
"use strict";

const AFTER = 400; // ms without an answer after which it says so and can be stopped
const PAUSE_OF_TYPING = 350; // ms without a key before what was typed is kept
const TROUBLE = {
  forbidden: "This browser keeps nothing for this page (a private window, or its settings): what you type is gone when the page is closed. Save it to a file.",
  full: "The browser's room for this page is full: the last changes are not kept. Save them to a file, then make room.",
  elsewhere: "Another tab or window has kept something else meanwhile: the last changes here are not kept. Save them to a file, then open this page anew.",
};

const SAVED = { // what to do with a file that was saved, by the ending of its name
  html: "Open it from there to look at it or to print it.",
  ics: "Open it from there, and the calendar takes it in.",
  toml: "“Open a file” takes it in again, here or on another device.",
};

const program = { module: null, source: null, worker: null, waiting: null, queue: Promise.resolve() };
let shownNumber = 0; // of what was kept when the page was shown

globalThis.pocket = {
  noAnswer: "No answer: it was stopped, or something went wrong in the program.",
  async answerOf(address, signal) {
    const answer = await ask(() => wishFor(address), signal);
    return answer.body;
  },
  /** A command with these files in the place of what is kept; nothing of it is kept. */
  command(words, files = {}) {
    const kept = JSON.stringify({ form: 1, state: { files, open: null }, revisions: 0, before: [] });
    return answerTo(messageOf({ command: words }, kept));
  },
};

// --- The program -------------------------------------------------------------------------

async function begin() {
  store.onTrouble = showTrouble;
  const text = document.getElementById("program").textContent.trim();
  const packed = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  // The pages take the place of all that stands in the document now.
  program.source = new Blob([document.getElementById("worker").textContent], { type: "text/javascript" });
  program.module = await WebAssembly.compile(await new Response(unpacked).arrayBuffer());
  startWorker();
  addEventListener("popstate", showHere);
  await showHere();
}

/** The page of the address; the first page in the units of the browser's country. */
function showHere() {
  const first = navigator.language.endsWith("-US") ? "#/?units=us" : "#/?units=metric";
  return visit(location.hash || first, { back: true });
}

function startWorker() {
  const address = URL.createObjectURL(program.source);
  program.worker = new Worker(address);
  URL.revokeObjectURL(address);
  program.worker.onmessage = ({ data }) => program.waiting?.[data.answer ? "resolve" : "reject"](data.answer ?? new Error(data.failed));
  program.worker.onerror = (event) => program.waiting?.reject(new Error(event.message));
  program.worker.onmessageerror = () => program.waiting?.reject(new Error("the browser did not hand the program over"));
  program.worker.postMessage(program.module);
}

/** Ends what is being worked out; nothing that counts is in the worker. */
function stop(why) {
  program.worker.terminate();
  startWorker();
  program.waiting?.reject(new DOMException(why, "AbortError"));
}

/** One answer of the worker, with a line and a button to stop while it takes its time. */
async function answerTo(message) {
  const { page, command } = message.wish;
  const [asked, began] = [page?.path ?? command?.[0], performance.now()];
  const slow = setTimeout(() => busy.show(asked, began), AFTER);
  try {
    const answer = await new Promise((resolve, reject) => {
      program.waiting = { resolve, reject };
      program.worker.postMessage(message);
    });
    busy.took(asked, performance.now() - began);
    return answer;
  } catch (error) {
    if (error.name !== "AbortError") {
      // A program that broke off has an unsound memory.
      program.worker.terminate();
      startWorker();
    }
    throw error;
  } finally {
    program.waiting = null;
    clearTimeout(slow);
    busy.hide();
  }
}

/** Asks the program, one question after the other, and keeps what it says is to be kept. */
function ask(wish, signal) {
  const asked = program.queue.then(async () => {
    for (;;) {
      signal?.throwIfAborted();
      const { number, text } = await store.read();
      const answer = await answerTo(messageOf(wish(), text));
      // Where another tab has kept something meanwhile, it is asked again on top of that.
      if (answer.kept === null || await store.write(answer.kept, number)) {
        shownNumber = answer.kept === null ? number : number + 1;
        if (answer.kept !== null) navigator.storage?.persist?.().catch(() => {});
        return answer;
      }
    }
  });
  program.queue = asked.catch(() => {});
  return asked;
}

function messageOf(wish, kept) {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone ?? null;
  return { now: Date.now(), zone, entropy: [...crypto.getRandomValues(new Uint8Array(16))], kept, wish };
}

/** The wish for the page of an address such as `#/plan/steps?units=us#answer`. */
function wishFor(address, body) {
  const [, path, query = ""] = /^#\/([^?#]*)(?:\?([^#]*))?/.exec(address) ?? ["", ""];
  return { page: { post: body !== undefined, path, query, body: body ?? "" } };
}

const busy = {
  line: null,
  /** How long an answer took that was waited for, by what was asked, ms. */
  usual: new Map(),
  took(asked, time) {
    // What was remembered is there at once, and says nothing of the next that is not.
    if (time > AFTER) this.usual.set(asked, time);
  },
  show(asked, began) {
    const usual = this.usual.get(asked);
    this.line = document.createElement("p");
    this.line.className = "notice busy";
    this.line.setAttribute("role", "status");
    const words = document.createElement("span");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Stop";
    button.onclick = () => stop("stopped");
    const bar = document.createElement("progress");
    bar.setAttribute("aria-label", "how far it is");
    this.line.append(words, " ", bar, " ", button);
    const last = usual ? `; it took ${Math.ceil(usual / 1000)} s last time` : "";
    const tick = () => {
      const passed = performance.now() - began;
      words.textContent = `Working it out… ${Math.round(passed / 1000)} s${last}`;
      // Where nothing like it was asked before, the bar only says that it goes on.
      if (usual) bar.value = Math.min(passed / usual, 0.95);
    };
    tick();
    this.timer = setInterval(tick, 250);
    document.body.append(this.line);
  },
  hide() {
    clearInterval(this.timer);
    this.line?.remove();
    this.line = null;
  },
};

// --- Pages -------------------------------------------------------------------------------

/** Goes to an address, or with a body sends a form to it. */
async function visit(address, { body, back = false } = {}) {
  try {
    if (body === undefined) await keeping.flush();
    let moved = body === undefined;
    let answer = await ask(() => wishFor(address, body));
    for (let hops = 0; answer.to && hops < 5; hops += 1) {
      address = answer.to;
      moved = true;
      answer = await ask(() => wishFor(address));
    }
    if (answer.name) return await hand(answer);
    // A form that is shown again stays at the address of its page.
    if (moved && address !== location.hash) history[back ? "replaceState" : "pushState"](null, "", address);
    await show(answer, address);
  } catch (error) {
    say(error.name === "AbortError" ? "Stopped. Nothing that was kept is lost." : `Something went wrong in the program (${error.message}). What was kept is still there.`);
  }
}

const styles = new Map();

/** The style of an address, asked of the program once. */
async function styleOf(address) {
  if (!styles.has(address)) {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync((await ask(() => wishFor(address))).body);
    styles.set(address, sheet);
  }
  return styles.get(address);
}

/** Puts an answer into the place of the page. */
async function show(answer, address) {
  const page = new DOMParser().parseFromString(answer.kind.startsWith("text/html") ? answer.body : "", "text/html");
  if (!answer.kind.startsWith("text/html")) page.body.append(Object.assign(page.createElement("pre"), { textContent: answer.body }));
  const linked = [...page.querySelectorAll('link[rel="stylesheet"]')];
  document.adoptedStyleSheets = await Promise.all(linked.map((link) => styleOf(link.getAttribute("href"))));
  linked.forEach((link) => link.remove());
  document.title = page.title || "solidby";
  document.body.replaceChildren(...page.body.childNodes);
  document.querySelector("[data-pocket=undo]")?.toggleAttribute("hidden", answer.undo === 0);
  showTrouble(store.trouble);
  const fragment = address.split("#")[2];
  const goal = document.querySelector("[autofocus]") ?? (fragment && document.getElementById(fragment));
  if (goal) reach(goal);
  else {
    scrollTo(0, 0);
    document.getElementById("main")?.focus({ preventScroll: true });
  }
}

function reach(goal) {
  for (let part = goal; part; part = part.parentElement) if (part.tagName === "DETAILS") part.open = true;
  goal.scrollIntoView();
  goal.focus({ preventScroll: true });
}

/** A line at the foot of the page. */
function say(words) {
  document.querySelector(".notice.said")?.remove();
  const line = Object.assign(document.createElement("p"), { className: "notice said", textContent: words });
  line.setAttribute("role", "alert");
  line.onclick = () => line.remove();
  document.body.append(line);
}

function showTrouble(why) {
  document.querySelector(".box.trouble")?.remove();
  if (!why) return;
  const box = Object.assign(document.createElement("p"), { className: "box care trouble", textContent: TROUBLE[why] });
  box.setAttribute("role", "alert");
  document.getElementById("main")?.prepend(box);
}

document.addEventListener("click", (event) => {
  const pressed = event.target.closest?.("a[href^='#'], [data-pocket]");
  if (!pressed || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  const address = pressed.getAttribute("href");
  if (pressed.dataset.pocket === "undo") undo();
  else if (pressed.dataset.pocket === "open") pick();
  else if (address.startsWith("#/")) visit(address);
  else reach(document.getElementById(address.slice(1)) ?? document.body);
});

// Before look.js hears of it: that one waits for another page to come.
document.addEventListener("submit", async (event) => {
  event.preventDefault();
  event.stopImmediatePropagation();
  const { target: form, submitter } = event;
  await keeping.flush(form).catch(() => {});
  const fields = new URLSearchParams(new FormData(form, submitter)).toString();
  const action = form.getAttribute("action");
  if (form.method === "post") return visit(action, { body: fields });
  const [address, fragment] = action.slice(1).split("#");
  visit(`#${address}?${fields}${fragment ? `#${fragment}` : ""}`);
}, { capture: true });

// --- What is typed is kept -----------------------------------------------------------------

const keeping = {
  form: null,
  timer: 0,

  typed(form) {
    this.form = form;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flush(), PAUSE_OF_TYPING);
  },

  /** Keeps what was typed and not yet kept, unless it is this form that is being sent. */
  async flush(sent) {
    const { form } = this;
    this.form = null;
    clearTimeout(this.timer);
    if (!form?.isConnected || form === sent) return;
    const revision = form.elements.revision;
    const action = form.getAttribute("action");
    const body = new URLSearchParams(new FormData(form));
    body.set("do", "check");
    const answer = await ask(() => wishFor(action, body.toString()));
    const page = new DOMParser().parseFromString((await ask(() => wishFor(action))).body, "text/html");
    const now = page.querySelector("form[data-keep] [name=revision]")?.value;
    if (answer.kept === null && now !== revision.value) {
      say("The plan was changed in another tab or window. What you have typed here is not kept: copy it if you need it, then press Check to see the plan as it stands.");
    } else if (now) {
      document.querySelectorAll("[name=revision]").forEach((field) => { field.value = now; });
      document.querySelector("[data-pocket=undo]")?.toggleAttribute("hidden", answer.undo === 0);
    }
  },
};

document.addEventListener("input", ({ target: { form } }) => { if (form?.matches("[data-keep]")) keeping.typed(form); });
document.addEventListener("visibilitychange", async () => {
  if (document.visibilityState === "hidden") return keeping.flush().catch(() => {});
  // Another tab has kept something since this page was shown.
  if (!program.module || (await store.read()).number === shownNumber) return;
  // Not over what was typed meanwhile.
  if (!keeping.form) showHere();
});

async function undo() {
  await keeping.flush();
  await ask(() => "undo");
  await showHere();
}

// --- Files -------------------------------------------------------------------------------

/** Lets the user pick a file, and opens it. */
function pick() {
  const field = Object.assign(document.createElement("input"), { type: "file", accept: ".toml,text/plain" });
  field.onchange = async () => {
    const [file] = field.files;
    if (!file) return;
    const text = await file.text();
    await keeping.flush();
    const answer = await ask(() => ({ open: { name: file.name, text } }));
    if (answer.to) await visit(answer.to);
    else say(answer.body);
  };
  field.click();
}

/** Hands a file to the user: by the share sheet where there is one and it is wished, else to keep. */
async function hand(answer) {
  const file = new File([answer.body], answer.name, { type: answer.kind.split(";")[0] });
  const shares = matchMedia("(pointer: coarse)").matches && navigator.canShare?.({ files: [file] });
  if (!shares) return download(file);
  const dialog = document.createElement("dialog");
  dialog.append(Object.assign(document.createElement("p"), { textContent: answer.name }));
  for (const [words, act] of [["Save to this device", () => download(file)], ["Share", () => navigator.share({ files: [file], title: answer.name }).catch(() => {})], ["Cancel", () => {}]]) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: words });
    button.onclick = () => { dialog.remove(); act(); };
    dialog.append(button, " ");
  }
  document.body.append(dialog);
  dialog.showModal();
}

function download(file) {
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(file), download: file.name });
  link.click();
  say(`${file.name} is saved where this browser puts its downloads. ${SAVED[file.name.split(".").pop()] ?? ""}`);
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

if (document.querySelector("link[rel=manifest]")) navigator.serviceWorker?.register("service.js").catch(() => {});
addEventListener("DOMContentLoaded", () => begin().catch((error) => {
  document.getElementById("opening").textContent = `This browser cannot run the program: ${error.message}. A current version of any browser can.`;
}));
