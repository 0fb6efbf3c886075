// The fill room beyond htmx: what follows from the text while it is typed, faults at their lines, and
// no text that is left behind unsaved. The page works without this file.

const form = document.getElementById("text");
const area = form?.elements.text;
const gutter = form?.querySelector(".gutter");
const shown = form?.querySelector("#text-faults");
const PAUSE_MS = 500;

document.documentElement.classList.add("scripted");

let waiting = 0;
let leaving = false;

const fields = () => [area, form.elements.prices, form.elements.plan_id];
const first = fields().map((field) => field.value);
const changed = () => fields().some((field, index) => field.value !== first[index]);

function number() { // as many numbers as lines, and room for all of them
  const lines = area.value.split("\n").length;
  area.rows = lines;
  while (gutter.childElementCount < lines) gutter.append(document.createElement("li"));
  while (gutter.childElementCount > lines) gutter.lastElementChild.remove();
}

function faults() { // those of the result, beside the text
  const source = document.getElementById("fault-source");
  if (!source) return;
  shown.replaceChildren(...[...source.children].map((child) => child.cloneNode(true)));
  for (const line of gutter.children) {
    line.classList.remove("wrong-line");
    line.removeAttribute("title");
  }
  for (const mark of source.firstElementChild?.querySelectorAll(".line") ?? []) {
    const line = gutter.children[Number(mark.textContent.replace(/\D/g, "")) - 1];
    line?.classList.add("wrong-line");
    if (line) line.title = mark.parentElement.textContent.replace(/\s+/g, " ").trim();
  }
  const wrong = shown.childElementCount > 0;
  area.toggleAttribute("aria-invalid", wrong);
  if (wrong) area.setAttribute("aria-invalid", "true");
}

function attempt() {
  form.querySelector("[data-try]").dispatchEvent(new CustomEvent("try"));
}

if (form) {
  number();
  form.addEventListener("input", (event) => {
    if (event.target === area) number();
    clearTimeout(waiting);
    waiting = setTimeout(attempt, PAUSE_MS);
  });
  form.addEventListener("submit", () => { leaving = true; });
  window.addEventListener("beforeunload", (event) => {
    if (changed() && !leaving) event.preventDefault();
  });
  window.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      form.requestSubmit(form.querySelector(".primary"));
    }
  });
  document.addEventListener("htmx:after:swap", faults);
}

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) window.print();
});
