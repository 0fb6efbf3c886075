// The bench beyond htmx: undo and redo, keys, faults beside their fields, charts as wide as there
// is room, and a way home that stays in sight until the new one is judged. The page works without.

const KEPT = 100;
const SETTLED_MS = 700;

const bench = () => document.getElementById("bench");
const sheet = () => document.getElementById("sheet");
const text = () => document.querySelector('#result textarea[name="text"]')?.value ?? "";
const shelf = () => `bench-${bench()?.dataset.plan}`;

document.documentElement.classList.add("scripted");

// ---- undo and redo: the texts that the sheet has made, one after the other

let past = [];
let at = -1;
let field = "";
let moment = 0;
let going = false;

function load() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(shelf()) ?? "null");
    if (kept && kept.past[kept.at] === text()) ({ past, at } = kept);
  } catch {
    past = [];
  }
  if (at < 0 && text()) { past = [text()]; at = 0; }
  show();
}

let keeping = 0;

function keep() { // not while somebody types
  clearTimeout(keeping);
  keeping = setTimeout(shelve, 800);
}

function shelve() {
  if (!bench()) return;
  try { sessionStorage.setItem(shelf(), JSON.stringify({ past, at })); } catch { /* a full shelf keeps nothing */ }
}

window.addEventListener("pagehide", shelve);

function note(name) {
  const now = text();
  if (!now || now === past[at]) return;
  const same = name && name === field && performance.now() - moment < SETTLED_MS && at === past.length - 1 && at > 0;
  past = past.slice(0, same ? at : at + 1);
  past.push(now);
  if (past.length > KEPT) past.shift();
  at = past.length - 1;
  field = name;
  moment = performance.now();
  keep();
  show();
}

function show() {
  const undo = document.querySelector("[data-undo]");
  const redo = document.querySelector("[data-redo]");
  if (undo) undo.disabled = at <= 0;
  if (redo) redo.disabled = at < 0 || at >= past.length - 1;
}

function go(step) {
  const to = at + step;
  const faulty = step < 0 && document.getElementById("faults") && text() === past[at];
  const there = faulty ? at : to; // what is typed and wrong is undone first
  if (there < 0 || there >= past.length || !sheet()) return;
  at = there;
  field = "";
  keep();
  going = true;
  const values = Object.fromEntries(["token", "version", "width", "earlier", "beside"].map((name) => [name, sheet().elements[name]?.value ?? ""]));
  htmx.ajax("POST", `/bench/${bench().dataset.plan}/turn`, {
    source: document.querySelector("[data-undo]"), target: "#bench", swap: "outerHTML settle:0ms",
    values: { ...values, text: past[at], do: "text", whole: past[at] },
  });
}

// ---- faults beside their fields, and the numbers that a reader hears

function faults() {
  const form = sheet();
  if (!form) return;
  for (const old of form.querySelectorAll('[aria-invalid="true"]')) {
    old.removeAttribute("aria-invalid");
    old.removeAttribute("aria-describedby");
    old.closest(".entry")?.classList.remove("faulty");
  }
  for (const message of form.querySelectorAll(".wrong[id]")) message.textContent = "";
  for (const fault of document.querySelectorAll("#faults li[data-where]")) {
    const where = fault.dataset.where.replace(/^([a-z]+)\[(\d+)\]/, (_, table, number) => `${table}.${number - 1}`).replace(/\[\d+\]/g, "");
    const input = document.getElementById(`f-${where}`);
    const message = document.getElementById(`m-${where}`);
    if (!message) continue;
    const right = fault.querySelector(".right")?.textContent;
    message.textContent = fault.querySelector(".what").textContent + (right ? `; right would be: ${right}` : "");
    input?.setAttribute("aria-invalid", "true");
    input?.setAttribute("aria-describedby", message.id);
    input?.closest(".entry")?.classList.add("faulty");
  }
}

// ---- room for the charts

let told = 0;

function room() {
  const result = document.getElementById("result");
  const form = sheet();
  if (!result || !form) return false;
  const width = Math.round(result.clientWidth / 20) * 20;
  if (!width || Math.abs(width - told) < 30) return false;
  told = width;
  // the next bench is drawn for this room at once
  document.cookie = `slatewright-${location.port}-room=${width}; path=/; max-age=31536000; samesite=strict`;
  if (Math.abs(width - Number(form.elements.width.value)) < 30) return false;
  form.elements.width.value = width;
  return true;
}

function ask() {
  if (sheet()) htmx.trigger(sheet(), "submit");
}

let waiting = 0;
window.addEventListener("resize", () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => { if (room()) ask(); }, 250);
});

// ---- swaps: what had the keyboard keeps it, and the old way home stays until the new one is there

let last = "";
let before = null;

const folds = (which) => [...document.querySelectorAll(`#sheet details${which}`)];
const fold = (one) => `${one.closest(".row")?.getAttribute("aria-label") ?? ""} ${one.querySelector("summary").firstChild.textContent}`;

document.addEventListener("focusin", (event) => {
  if (/^gas\.\d+\.mix$/.test(event.target.name ?? "")) event.target.dataset.was = event.target.value;
});

document.addEventListener("input", (event) => {
  const input = event.target;
  if (input.form?.id !== "sheet") return;
  last = input.name;
  if (!/^gas\.\d+\.mix$/.test(input.name)) return;
  const was = input.dataset.was ?? input.defaultValue; // cylinders and breaks follow their gas
  const others = [...input.form.elements].filter((one) => /^gas\.\d+\.mix$/.test(one.name) && one !== input);
  if (was && others.every((one) => one.value !== was)) {
    for (const one of input.form.elements) {
      if (/^(cylinder\.\d+|breaks)\.gas$/.test(one.name) && one.value === was) one.value = input.value;
    }
  }
  input.dataset.was = input.value;
}, true);

document.addEventListener("change", (event) => { // the units stand outside the sheet's element
  if (event.target.name === "view") ask();
});

// what is typed between a request for a new sheet and its arrival is typed into the new one

const typed = () => new Map([...(sheet()?.elements ?? [])].filter((one) => one.id && one.type !== "checkbox").map((one) => [one.id, one.value]));
let sent = null;

document.addEventListener("htmx:before:request", (event) => {
  const ctx = event.detail?.ctx;
  if (ctx?.target?.id === "bench" || ctx?.target === "#bench") sent = typed();
  if (early && early.path === ctx?.request.action) {
    const { answer } = early;
    early = null;
    ctx.fetch = () => answer;
  }
});

// the way home is asked for while what came before it is still laid out

let early = null;

document.addEventListener("htmx:after:request", (event) => {
  const path = event.detail?.ctx?.text?.match(/ hx-get="([^"&]+)" hx-trigger="load"/)?.[1];
  if (!path) return;
  early = { path, answer: fetch(path, { headers: { "HX-Request": "true" } }) };
  early.answer.catch(() => {}); // told where it is waited for
});

function retype(since) {
  let changed = false;
  for (const [id, value] of since) {
    const input = document.getElementById(id);
    if (input && input.value !== value) { input.value = value; changed = true; }
  }
  if (changed) ask();
}

document.addEventListener("htmx:before:swap", () => {
  const active = document.activeElement;
  const now = typed();
  const since = sent && [...now].filter(([id, value]) => sent.get(id) !== value);
  before = { since, sheet: sheet(), name: active?.name, form: active?.form?.id, scroll: sheet()?.scrollTop ?? 0, way: document.querySelector("#way .wayhome"), open: folds("[open]").map(fold) };
});

document.addEventListener("htmx:after:swap", () => {
  const waits = document.querySelector("#way.waits");
  if (waits && before?.way && !waits.contains(before.way) && !before.way.isConnected) {
    before.way.querySelectorAll("a").forEach((link) => link.setAttribute("tabindex", "-1"));
    waits.append(before.way);
  }
  if (sheet() && before) {
    if (before.sheet !== sheet()) {
      sheet().scrollTop = before.scroll;
      for (const one of folds("")) {
        if (before.open.includes(fold(one))) one.open = true;
      }
    }
    if (before.form === "sheet" && document.activeElement === document.body) {
      const again = before.name ? document.querySelector(`#sheet [name="${CSS.escape(before.name)}"]:not([type="hidden"])`) : null;
      again?.focus({ preventScroll: true });
    }
  }
  focus();
  faults();
  if (before?.sheet && before.sheet !== sheet()) {
    if (before.since?.length) retype(before.since);
    sent = null;
  }
  if (going) { going = false; show(); } else note(last);
  show();
  before = null;
});

function focus() {
  const row = bench()?.dataset.row;
  if (!row) return;
  delete bench().dataset.row;
  document.querySelector(`#sheet [id^="f-${row}."]`)?.focus();
}

// ---- keys and buttons

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || !bench()) return;
  const key = event.key.toLowerCase();
  if (key === "z" || key === "y") {
    event.preventDefault();
    go(key === "y" || event.shiftKey ? 1 : -1);
  } else if (key === "s") {
    event.preventDefault();
    document.querySelector("[data-save]")?.click();
  }
});

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-undo]")) go(-1);
  else if (event.target.closest("[data-redo]")) go(1);
  else if (event.target.closest("[data-print]")) window.print();
});

window.addEventListener("beforeunload", (event) => {
  if (document.querySelector("#state.unsaved") && !leaving) event.preventDefault();
});
let leaving = false;
document.addEventListener("submit", (event) => {
  // a button that goes elsewhere, such as to the slate, is the browser's and not htmx's
  const elsewhere = event.submitter?.hasAttribute("formaction") && !event.submitter.hasAttribute("hx-post");
  if (!elsewhere && !event.target.matches(".my-word")) return;
  event.stopPropagation();
  leaving = true;
  setTimeout(() => { leaving = false; }, 1000);
}, true);

// ---- begin, once htmx listens: it may begin to only after the page has loaded

function begin() {
  load();
  faults();
  if (room()) heard(ask);
}

function heard(act) {
  const form = sheet();
  if (form.hasAttribute("data-htmx-powered")) {
    act();
    return;
  }
  const ready = (event) => {
    if (event.target !== form) return;
    document.removeEventListener("htmx:after:init", ready);
    act();
  };
  document.addEventListener("htmx:after:init", ready);
}

if (document.readyState === "complete") begin();
else window.addEventListener("load", begin);
