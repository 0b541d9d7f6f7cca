// Gauges read together: one form, a reading for each that was filled in.
import { tap, tell } from "./taps.js";

document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form[data-gauges]");
  if (!form) return;
  event.preventDefault();
  const gun = form.elements.gun.value, unit = form.dataset.gauges, water = form.elements.water.checked;
  let sent = 0;
  for (const [name, where, trigger] of [["released", "wall", false], ["wall", "wall", true], ["at_gun", "gun", true], ["receiver", "receiver", false]]) {
    const text = form.elements[name].value.trim();
    if (!text) continue;
    await tap("air read", { where, trigger, gun, water, pressure: { text, unit } });
    sent += 1;
  }
  if (sent) { form.reset(); form.elements.gun.value = gun; } else tell(form.dataset.empty);
});
