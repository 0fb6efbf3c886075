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
  const number = event.target.closest('[hx-target="#working"]');
  if (number && !beside.contains(number) && !event.ctrlKey && !event.metaKey) {
    opener?.classList.remove("open");
    opener = number;
    opener.classList.add("open");
  }
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && beside.childElementCount > 0) close();
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
