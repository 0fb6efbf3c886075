// What the frame does beyond htmx: a working that opens beside the page can be left by key, and
// the keyboard goes where the eye goes. Every page works without this file.

const beside = document.getElementById("working");
let opener = null;

function close() {
  beside.replaceChildren();
  opener?.classList.remove("open");
  if (opener?.isConnected) opener.focus();
  opener = null;
}

document.addEventListener("click", (event) => {
  const leave = event.target.closest("[data-close]");
  if (leave && beside.contains(leave)) {
    event.preventDefault();
    close();
    return;
  }
  if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  const number = event.target.closest("a.number, a.opens, [hx-target='#working']");
  if (!number) return;
  if (!beside.contains(number)) {
    opener?.classList.remove("open");
    opener = number;
    opener.classList.add("open");
  }
  if (event.defaultPrevented || number.hasAttribute("hx-get")) return; // htmx sees to it
  event.preventDefault();
  window.htmx.ajax("GET", number.getAttribute("href"), { source: beside, target: "#working", swap: "innerHTML" });
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && beside.childElementCount > 0) close();
});

document.addEventListener("focusin", (event) => { // nothing that has the keyboard stays hidden
  if (!beside.childElementCount || beside.contains(event.target)) return;
  if (getComputedStyle(beside).position !== "fixed") return;
  const over = beside.getBoundingClientRect();
  const under = event.target.getBoundingClientRect();
  if (under.right <= over.left || under.bottom <= over.top) return;
  opener?.classList.remove("open");
  opener = null;
  beside.replaceChildren();
});

document.addEventListener("htmx:after:swap", () => {
  if (opener && beside.childElementCount > 0 && !beside.contains(document.activeElement)) {
    beside.focus({ preventScroll: true });
  }
});

for (const button of document.querySelectorAll("[data-confirm]")) {
  button.addEventListener("click", (event) => {
    if (!window.confirm(button.dataset.confirm)) event.preventDefault();
  });
}
