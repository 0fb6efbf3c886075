// A form that takes a moment says so: its button tells what is being done until the next page comes.

for (const form of document.querySelectorAll("form[data-busy]")) {
  form.addEventListener("submit", (event) => {
    const button = event.submitter ?? form.querySelector("button");
    form.setAttribute("aria-busy", "true");
    button.dataset.words = button.textContent;
    button.textContent = `${form.dataset.busy} …`;
  });
}

// back in the history the page is as it was, so the words are too
window.addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("button[data-words]")) {
    button.textContent = button.dataset.words;
    delete button.dataset.words;
    button.form?.removeAttribute("aria-busy");
  }
});
