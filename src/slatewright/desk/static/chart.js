// Draws charts that a page hands over as data: <figure data-chart="/path/of/its/specification">.
// A page that has one names "chart.js" among its scripts. The expressions are interpreted, not
// compiled, and no style is written into the page: the content policy forbids both.

import { vegaEmbed } from "/static/vendor/vega-6.2.0.module.js";

const OPTIONS = {
  ast: true,
  actions: false,
  renderer: "svg",
  defaultStyle: false,
  tooltip: { disableDefaultStyle: true },
};

async function draw(figure) {
  const answer = await fetch(figure.dataset.chart, { headers: { Accept: "application/json" } });
  if (!answer.ok) return;
  await vegaEmbed(figure, await answer.json(), OPTIONS);
  figure.dataset.drawn = "yes";
}

function drawAll(root) {
  for (const figure of root.querySelectorAll("[data-chart]:not([data-drawn])")) draw(figure);
}

drawAll(document);
document.addEventListener("htmx:after:swap", () => drawAll(document));
