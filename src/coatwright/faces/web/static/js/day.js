// The live day on this phone: a tap counts here at once, whatever the network does; what the shop's
// machine answers afterwards replaces it.

import { tap } from "./taps.js";
import { waiting } from "./store.js";

const live = document.getElementById("live");
let picked = "";

const cards = () => [...live.querySelectorAll("#now .turn")];
const open = () => cards().filter((card) => card.dataset.state !== "done");

// One card is shown: the one picked, or what is under way, or what is next.
function choose(move) {
  const left = open();
  const now = left.find((card) => card.dataset.entry === picked) ?? left.find((card) => card.dataset.state === "begun") ?? left[0];
  for (const card of cards()) card.hidden = card !== now;
  for (const line of live.querySelectorAll("[data-for]")) {
    const card = left.find((one) => one.dataset.entry === line.dataset.for);
    line.hidden = !card;
    if (card === now && card) line.setAttribute("aria-current", "step"); else line.removeAttribute("aria-current");
  }
  const wanted = new Set(left.map((card) => card.dataset.entry)), here = new Set([...live.querySelectorAll(".turn")].map((card) => card.dataset.entry));
  for (const first of live.querySelectorAll("[data-first]")) first.hidden = here.has(first.dataset.first) && !wanted.has(first.dataset.first);
  for (const box of live.querySelectorAll("[data-firsts]")) box.hidden = !box.querySelector("[data-first]:not([hidden])");
  const none = live.querySelector("[data-all-done]");
  if (none) none.hidden = Boolean(now) || cards().length === 0;
  if (move && now) {
    const title = now.querySelector(".to-do");
    title.focus({ preventScroll: true });
    scrollTo({ top: 0 });
    document.querySelector("[data-heard]").textContent = title.textContent;
  }
}

// What a tap makes of a card.
function apply(said) {
  if (said.kind === "corrected") return undo(said.fields.event);
  for (const card of live.querySelectorAll(".turn")) {
    const button = [...card.querySelectorAll("button[data-makes]")].find((one) => means(one, said));
    if (!button || !waits(card, button.dataset.makes)) continue;
    const makes = button.dataset.makes;
    card.dataset[makes] = said.id;
    return set(card, makes, said.at);
  }
}

const means = (button, said) =>
  button.dataset.tap === said.kind && button.dataset.area === (said.area ?? "") && same(JSON.parse(button.dataset.fields), said.fields);
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
const waits = (card, makes) => card.dataset.state === "planned" || (card.dataset.state === "begun" && makes === "done");

function set(card, state, at) {
  card.dataset.state = state;
  for (const button of card.querySelectorAll("button")) button.disabled = false;
  if (state !== "done") return;
  picked = "";
  live.querySelector("#just-done").replaceChildren(card);
  card.hidden = false;
  for (const ahead of card.querySelectorAll("template[data-seconds]")) start(ahead, at);
}

function start(ahead, at) {
  const until = new Date(Date.parse(at) + Number(ahead.dataset.seconds) * 1000);
  const clock = ahead.content.firstElementChild.cloneNode(true);
  clock.dataset.until = until.toISOString();
  clock.querySelector("[data-at]").textContent = until.toTimeString().slice(0, 5);
  const old = [...live.querySelectorAll("#clocks [data-clock]")].find((one) => one.dataset.clock === clock.dataset.clock);
  if (!old) live.querySelector("#clocks").append(clock);
}

function undo(event) {
  const card = [...live.querySelectorAll(".turn")].find((one) => one.dataset.done === event || one.dataset.begun === event);
  if (!card) return;
  const ended = card.dataset.done === event;
  card.dataset[ended ? "done" : "begun"] = "";
  card.dataset.state = ended && card.dataset.begun ? "begun" : "planned";
  for (const button of card.querySelectorAll("button")) button.disabled = false;
  picked = card.dataset.entry;
  live.querySelector("#now").prepend(card);
}

// Taps that the part, as it was set last, does not know of: they count all the same.
const mine = new Map();

function again() {
  const part = live.querySelector("#now");
  if (!part) return;
  const heard = new Set(part.dataset.heard.split(" ")), number = Number(part.dataset.number);
  for (const [id, said] of mine) if (heard.has(id) || said.number <= number) mine.delete(id); else apply(said);
  choose(false);
}

async function begin() {
  for (const said of await waiting()) if (said.job === document.body.dataset.job) mine.set(said.id, said);
  again();
}

document.addEventListener("tapped", ({ detail }) => {
  mine.set(detail.id, detail);
  if (detail.kind === "cup weighed") return weighed(detail);
  apply(detail);
  choose(true);
});

function weighed({ area, fields }) {
  const mine = (form) => form.dataset.area === area && form.elements.product.value === fields.product && form.elements.coat.value === fields.coat;
  const form = [...live.querySelectorAll("form.cup")].find(mine);
  if (form) form.hidden = true;
}

live.addEventListener("click", (event) => {
  const back = event.target.closest("[data-undo]"), show = event.target.closest("[data-show]");
  if (back) {
    const card = back.closest(".turn"), last = card.dataset.done || card.dataset.begun;
    if (last) tap("corrected", { event: last, why: "taken back" });
  }
  if (show) {
    picked = show.dataset.show;
    choose(true);
  }
});

// Refused or settled otherwise: what the record says is asked for again.
document.addEventListener("delivered", ({ detail: { said, answer } }) => {
  if (mine.has(said.id)) mine.get(said.id).number = answer?.number;
  if (!answer?.fault && !answer?.settled) return;
  mine.delete(said.id);
  document.body.dispatchEvent(new CustomEvent("happened"));
});
// Nothing is set anew under a finger: a tap would be lost.
let down = false, skipped = false;
live.addEventListener("pointerdown", () => { down = true; });
for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, () => setTimeout(() => {
  down = false;
  if (skipped) document.body.dispatchEvent(new CustomEvent("happened"));
  skipped = false;
}, 60));
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target === live && down) { event.detail.shouldSwap = false; skipped = true; }
});

// What had the focus has it again when the part has been set anew.
let held = "";
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target === live) held = live.contains(document.activeElement) ? mark(document.activeElement) : "";
});
document.addEventListener("htmx:afterSwap", (event) => { if (event.detail.target === live) again(); });
document.addEventListener("htmx:afterSettle", (event) => {
  if (event.target !== live) return;
  if (!held || live.contains(document.activeElement)) return;
  const same = [...live.querySelectorAll("button, a, summary, .to-do")].find((one) => mark(one) === held && one.offsetParent);
  (same ?? live.querySelector("#now .turn:not([hidden]) .to-do"))?.focus({ preventScroll: true });
});
const mark = (one) => `${one.closest(".turn")?.dataset.entry ?? ""} ${one.dataset.show ?? ""} ${one.textContent.trim()}`;
begin();

if ("serviceWorker" in navigator && isSecureContext) navigator.serviceWorker.register("/sw.js").catch(() => {});
