// What a slider stands at is read beside it while it moves. The page works without this file.

const sliders = document.querySelector(".sliders");

function told(input) {
  const value = Number(input.value);
  const words = input.name === "years" ? `${value} years` : `x ${value}`;
  input.closest(".slider").querySelector("output").textContent = words;
}

if (sliders) {
  document.documentElement.classList.add("scripted");
  sliders.addEventListener("input", (event) => told(event.target));
}
