// A course beyond htmx: a lead of the chart is drawn along the days, or moved by keys; line numbers
// beside the text, and no text that is left behind unsaved. The page works without this file.

document.documentElement.classList.add("scripted");

const QUARTER = 15;
const NEAR = 75;
const PLACE = "course-place";
const SVG_STEP = 4;
let drag = null;

const two = (value) => String(value).padStart(2, "0");
const chartOf = (lead) => lead.ownerSVGElement;
const columns = (chart) => [...chart.querySelectorAll(".day-of")];
const formOf = (dive) => document.querySelector(`.shift-form[data-dive="${dive}"]`);

function edges(column) {
  const left = column.x.baseVal.value;
  return [left, left + column.width.baseVal.value];
}

function xOf(chart, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(chart.getScreenCTM().inverse()).x;
}

function reach(chart) {
  return [Number(chart.dataset.first), Number(chart.dataset.last)];
}

function placeAt(chart, x) { // day and minute at a place of the chart
  const all = columns(chart);
  const nearest = all.reduce((best, one) => {
    const [left, right] = edges(one);
    const away = x < left ? left - x : x > right ? x - right : 0;
    return !best || away < best.away ? { one, away } : best;
  }, null).one;
  const [left, right] = edges(nearest);
  const [first, last] = reach(chart);
  const share = Math.min(1, Math.max(0, (x - left) / (right - left)));
  const minute = Math.round((first + share * (last - first)) / QUARTER) * QUARTER;
  return { day: nearest.dataset.day, minute: Math.min(minute, 24 * 60 - QUARTER) };
}

function xAt(chart, place) {
  const column = columns(chart).find((one) => one.dataset.day === place.day);
  const [left, right] = edges(column);
  const [first, last] = reach(chart);
  return left + (right - left) * Math.min(1, Math.max(0, (place.minute - first) / (last - first)));
}

function words(place) {
  const day = new Date(`${place.day}T00:00:00`);
  const name = day.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" });
  return `${name}, ${two(Math.floor(place.minute / 60))}:${two(place.minute % 60)}`;
}

function start(lead) { // where its dive is, by its form
  const form = formOf(lead.dataset.dive);
  const [hours, minutes] = form.elements.at.value.split(":").map(Number);
  return { day: form.elements.on.value, minute: hours * 60 + minutes };
}

function taken(lead, place) { // whether another dive begins then
  return [...chartOf(lead).querySelectorAll(".lead.own")].some((other) => {
    if (other === lead) return false;
    const at = start(other);
    return at.day === place.day && at.minute === place.minute;
  });
}

function show(lead, place) {
  const chart = chartOf(lead);
  const x = xAt(chart, place);
  lead.setAttribute("transform", `translate(${x - Number(lead.dataset.x)} 0)`);
  lead.classList.add("taken");
  for (const one of columns(chart)) one.classList.toggle("under", one.dataset.day === place.day);
  const label = chart.querySelector(".drop-word");
  const room = chart.viewBox.baseVal.width;
  label.setAttribute("x", Math.min(Math.max(x, 60), room - 60));
  label.setAttribute("y", 7);
  label.textContent = words(place);
}

function leave(lead) {
  const chart = chartOf(lead);
  lead.removeAttribute("transform");
  lead.classList.remove("taken");
  for (const one of columns(chart)) one.classList.remove("under");
  chart.querySelector(".drop-word").textContent = "";
}

function take(lead, place) {
  const from = start(lead);
  if (from.day === place.day && from.minute === place.minute) return leave(lead);
  const form = formOf(lead.dataset.dive);
  form.elements.on.value = place.day;
  form.elements.at.value = `${two(Math.floor(place.minute / 60))}:${two(place.minute % 60)}`;
  form.closest("details").open = true; // a field that is hidden cannot be checked
  form.requestSubmit();
}

document.addEventListener("pointerdown", (event) => {
  const lead = event.target.closest?.(".ladder[data-first] .lead.own");
  if (!lead || event.button) return;
  drag = { lead, from: event.clientX, moved: false, grip: xOf(chartOf(lead), event) - Number(lead.dataset.x) };
  lead.querySelector("a").setPointerCapture(event.pointerId); // a click is then one on the link
});

document.addEventListener("pointermove", (event) => {
  if (!drag) return;
  if (Math.abs(event.clientX - drag.from) > SVG_STEP) drag.moved = true;
  if (!drag.moved) return;
  drag.place = placeAt(chartOf(drag.lead), xOf(chartOf(drag.lead), event) - drag.grip);
  const hour = start(drag.lead).minute; // who means another day does not mean another hour
  const same = { ...drag.place, minute: hour };
  if (Math.abs(drag.place.minute - hour) <= NEAR && !taken(drag.lead, same)) drag.place = same;
  show(drag.lead, drag.place);
});

document.addEventListener("pointerup", () => {
  if (!drag) return;
  const done = drag;
  drag = null;
  if (!done.moved) return;
  const swallow = (event) => { event.preventDefault(); event.stopPropagation(); };
  window.addEventListener("click", swallow, { capture: true, once: true });
  setTimeout(() => window.removeEventListener("click", swallow, { capture: true }));
  take(done.lead, done.place);
});

document.addEventListener("pointercancel", () => {
  if (drag) leave(drag.lead);
  drag = null;
});

document.addEventListener("dragstart", (event) => {
  if (event.target.closest?.(".ladder .lead")) event.preventDefault(); // a link is not carried away
});

const places = new WeakMap(); // where keys have brought a lead

document.addEventListener("keydown", (event) => {
  const lead = event.target.closest?.(".ladder[data-first] .lead.own");
  if (lead) keyed(lead, event);
  if ((event.ctrlKey || event.metaKey) && event.key === "s" && area) {
    event.preventDefault();
    text.requestSubmit();
  }
});

function keyed(lead, event) {
  const place = places.get(lead) ?? start(lead);
  const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  if (step) {
    event.preventDefault();
    const days = columns(chartOf(lead)).map((one) => one.dataset.day);
    const at = days.indexOf(place.day) + (event.shiftKey ? 0 : step);
    const minute = place.minute + (event.shiftKey ? step * QUARTER : 0);
    if (!days[at] || minute < 0 || minute >= 24 * 60) return;
    const next = { day: days[at], minute };
    places.set(lead, next);
    show(lead, next);
    document.querySelector(".dragged").textContent = `${words(next)}: Enter takes it, Escape leaves it`;
  } else if (event.key === "Enter" && places.has(lead)) {
    event.preventDefault();
    take(lead, place);
  } else if (event.key === "Escape" && places.has(lead)) {
    drop(lead);
  }
}

function drop(lead) {
  places.delete(lead);
  leave(lead);
  document.querySelector(".dragged").textContent = "";
}

document.addEventListener("focusout", (event) => {
  const lead = event.target.closest?.(".ladder[data-first] .lead.own");
  if (lead && places.has(lead)) drop(lead);
});

document.addEventListener("submit", (event) => {
  if (event.target.method !== "post" || event.defaultPrevented) return;
  document.body.classList.add("sending");
  if (event.target.closest(".course-answer")) { // the page comes again, and the eye stays where it is
    sessionStorage.setItem(PLACE, JSON.stringify({ path: location.pathname, y: window.scrollY }));
  }
});
const came = JSON.parse(sessionStorage.getItem(PLACE) ?? "null");
sessionStorage.removeItem(PLACE);
if (came?.path === location.pathname) window.scrollTo({ top: came.y, behavior: "instant" });
window.addEventListener("pageshow", () => document.body.classList.remove("sending"));

const text = document.getElementById("text");
const area = text?.elements.text;

if (area) {
  const gutter = text.querySelector(".gutter");
  const first = area.value;
  let leaving = false;
  const number = () => {
    const lines = area.value.split("\n").length;
    area.rows = lines;
    while (gutter.childElementCount < lines) gutter.append(document.createElement("li"));
    while (gutter.childElementCount > lines) gutter.lastElementChild.remove();
  };
  number();
  area.addEventListener("input", number);
  document.addEventListener("submit", () => { leaving = true; });
  window.addEventListener("beforeunload", (event) => {
    if (area.value !== first && !leaving) event.preventDefault();
  });
}
