// Sliders that recompute while they move, and the pace of the stroke as a beat one can hear.

import { sound } from "./clocks.js";

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

const button = document.querySelector("[data-beat]");
let beat = 0;
button?.addEventListener("click", () => {
  const on = button.getAttribute("aria-pressed") !== "true";
  button.setAttribute("aria-pressed", String(on));
  button.querySelector("[data-go]").hidden = on;
  button.querySelector("[data-halt]").hidden = !on;
  clearInterval(beat);
  if (!on) return;
  let count = 0;
  const every = Number(button.dataset.pace) * 500;
  const strike = () => { sound(count % 2 ? 660 : 990, 0.07); navigator.vibrate?.(20); count += 1; };
  setTimeout(strike, 30);
  beat = setInterval(strike, every);
});
