// The mix on the scale: targets add up in the cup; too much of one makes the rest more.

import { tap } from "./taps.js";

const told = JSON.parse(document.getElementById("mix").textContent);
const rows = [...document.querySelectorAll("li[data-part]")];
const slip = document.querySelector("[data-slip]"), mixed = document.querySelector("[data-mixed]");
const real = (row) => parseFloat(row.querySelector("[data-real]").value.replace(",", ".")) / 1000;

// What each must weigh alone [kg] so that what is in the cup is in ratio: the most of any decides.
// The heaviest are asked first: of a light one a step of the scale is much, and yet no slip.
const order = told.parts.map((part, i) => i).sort((a, b) => told.parts[b].kg - told.parts[a].kg);

function wanted(poured) {
  let scale = 1;
  for (const i of order) if (poured[i] - told.parts[i].kg * scale > told.step) scale = poured[i] / told.parts[i].kg;
  return { scale, kg: told.parts.map((part) => part.kg * scale) };
}

function poured() {
  let before = 0;
  return rows.map((row) => {
    const now = real(row);
    if (!(now > 0)) return 0;
    const own = now - before;
    before = now;
    return own;
  });
}

const extra = told.parts.map(() => 0), more = document.querySelector("[data-more]");
const enough = (have, kg) => have > 0 && have >= kg - told.step;

function renew() {
  const own = poured(), have = own.map((kg, i) => kg + extra[i]), { scale, kg } = wanted(have);
  let sum = 0;
  rows.forEach((row, i) => {
    const weight = own[i] > 0 ? own[i] : kg[i];
    sum += weight;
    row.querySelector("[data-target]").textContent = (sum * 1000).toFixed(1);
    row.querySelector("[data-alone]").textContent = (weight * 1000).toFixed(1);
    row.classList.toggle("poured", own[i] > 0);
  });
  slip.hidden = scale === 1;
  if (!slip.hidden) slip.textContent = slip.dataset.words;
  const all = own.every((weight) => weight > 0), full = have.reduce((a, b) => a + b, 0);
  const short = have.findIndex((weight, i) => !enough(weight, kg[i]));
  more.hidden = !(all && short >= 0);
  if (!more.hidden) {
    const need = kg[short] - have[short];
    more.dataset.part = short;
    more.dataset.kg = need;
    more.querySelector("[data-what]").textContent = rows[short].querySelector(".name").textContent;
    more.querySelector("[data-grams]").textContent = (need * 1000).toFixed(1);
    more.querySelector("[data-until]").textContent = ((full + need) * 1000).toFixed(1);
  }
  mixed.disabled = !have.every((weight, i) => enough(weight, kg[i]));
}

more.querySelector("button").addEventListener("click", () => {
  extra[Number(more.dataset.part)] += Number(more.dataset.kg);
  renew();
});

for (const row of rows) {
  const button = row.querySelector("[data-poured]");
  button.disabled = false; // not before this script has come: a tap would be lost
  button.addEventListener("click", () => {
    row.querySelector("[data-real]").value = row.querySelector("[data-target]").textContent;
    renew();
    navigator.vibrate?.(20);
    rows[rows.indexOf(row) + 1]?.querySelector("[data-poured]").focus();
  });
  row.querySelector("[data-real]").addEventListener("input", renew);
}

mixed.addEventListener("click", async () => {
  mixed.disabled = true;
  const have = poured().map((kg, i) => kg + extra[i]), parts = {}, aim = {}, lots = {};
  rows.forEach((row, i) => {
    parts[told.parts[i].key] = have[i];
    aim[told.parts[i].key] = told.parts[i].kg;
    const lot = row.querySelector("[data-lot]").value.trim();
    if (lot) lots[told.parts[i].key] = lot;
  });
  const fields = { mix: told.mix, product: told.product, parts, wanted: aim, lots, density: told.density };
  if (told.pot) fields.pot_life = told.pot;
  await tap("mixed", fields);
  const clock = document.querySelector("[data-clock]");
  if (told.pot) { clock.dataset.until = new Date(Date.now() + told.pot * 1000).toISOString(); clock.hidden = false; }
});

if (rows.some((row) => real(row) > 0)) renew(); // typed before this script had come, or gone back to
