// Sliders that recompute while they move.

const form = document.getElementById("sliders"), tried = document.getElementById("tried");
const us = document.cookie.includes("cw_units=us");
const show = {
  length: (v) => (us ? `${(v / 0.0254).toFixed(1)} in` : `${Math.round(v * 100)} cm`),
  speed: (v) => (us ? `${(v / 0.3048).toFixed(2)} ft/s` : `${v.toFixed(2)} m/s`),
  fraction: (v) => `${Math.round(v * 100)} %`,
};

function told() {
  for (const output of form.querySelectorAll("output")) {
    const input = form.elements[output.htmlFor[0]];
    output.textContent = show[output.dataset.purpose](Number(input.value));
  }
}

let waiting = 0;
form.addEventListener("input", () => {
  told();
  cancelAnimationFrame(waiting);
  waiting = requestAnimationFrame(() => tried.dispatchEvent(new CustomEvent("moved")));
});
form.addEventListener("reset", () => setTimeout(() => { told(); tried.dispatchEvent(new CustomEvent("moved")); }));
