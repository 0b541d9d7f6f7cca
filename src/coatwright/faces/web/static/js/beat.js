// The pace of the stroke as a beat one can hear: twice for each metre.

import { sound } from "./clocks.js";

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
