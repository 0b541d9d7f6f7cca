// A tap becomes an event with an identity of its own, is kept first and then delivered: once, in
// order, as soon as the shop's machine can be reached, however often that has to be tried.

import { drop, keep, newId, waiting } from "./store.js";

const SLOWEST = 20000;
let pause = 1000, timer = 0, busy = false, again = false;

export const place = () => document.body.dataset.job ?? "";
export const person = () => document.body.dataset.who ?? "";

export async function tap(kind, fields, spot = {}) {
  const said = {
    id: newId(), job: place(), who: person(), kind, fields,
    area: spot.area ?? "", patch: spot.patch ?? "", plan: document.body.dataset.plan ?? "",
    seen: Number(document.body.dataset.number ?? 0), at: new Date().toISOString(),
    photo: spot.photo ?? null,
  };
  await keep(said);
  await show();
  document.dispatchEvent(new CustomEvent("tapped", { detail: said }));
  deliver();
  return said;
}

export async function deliver() {
  clearTimeout(timer);
  if (busy) { again = true; return; }
  busy = true;
  try {
    for (const said of await waiting()) {
      const answer = await send(said);
      await drop(said.id);
      document.dispatchEvent(new CustomEvent("delivered", { detail: { said, answer } }));
      await show();
    }
    pause = 1000;
    document.body.dataset.line = "up";
  } catch {
    document.body.dataset.line = "down";
    pause = Math.min(pause * 1.7, SLOWEST);
    timer = setTimeout(deliver, pause);
  } finally {
    busy = false;
    await show();
    if (again) { again = false; deliver(); }
  }
}

async function send(said) {
  const form = new FormData();
  const { photo, order, ...plain } = said;
  form.set("tap", JSON.stringify(plain));
  if (photo) form.set("photo", photo, photo.name ?? "photo.jpg");
  const reply = await fetch(`/jobs/${encodeURIComponent(said.job)}/taps`, { method: "POST", body: form, cache: "no-store" });
  if (reply.status >= 500) throw new Error(`${reply.status}`);
  return reply.json().catch(() => ({ fault: reply.statusText }));
}

export async function show() {
  const left = (await waiting()).length;
  for (const sign of document.querySelectorAll("[data-undelivered]")) {
    sign.hidden = left === 0;
    sign.querySelector("[data-count]").textContent = String(left);
  }
}

function fieldsOf(form) {
  const fields = {};
  for (const [name, value] of new FormData(form)) {
    if (value instanceof File || name.startsWith("_")) continue;
    const text = String(value).trim();
    const unit = form.elements[name]?.dataset?.unit;
    if (text === "") continue;
    const given = unit && /^[-+0-9.,\s;]+$/.test(text) ? { text, unit } : text;
    fields[name] = given;
  }
  for (const box of form.querySelectorAll("input[type=checkbox][name]")) fields[box.name] = box.checked;
  return fields;
}

// <button data-tap="coat begun" data-fields='{...}' data-area="bonnet">, or a form with the same.
document.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-tap]");
  if (!button || button.form?.dataset.tap) return;
  button.disabled = true;
  navigator.vibrate?.(20);
  tap(button.dataset.tap, JSON.parse(button.dataset.fields ?? "{}"), button.dataset);
});
document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-tap]");
  if (!form) return;
  event.preventDefault();
  const photo = form.querySelector("input[type=file]")?.files?.[0] ?? null, fields = fieldsOf(form);
  if ("newExtra" in form.dataset) fields.extra = newId();
  navigator.vibrate?.(20);
  const [area, patch] = form.elements._spot?.value.split("/") ?? [form.dataset.area, form.dataset.patch];
  tap(form.dataset.tap, fields, { area, patch, photo });
  form.reset();
});
document.addEventListener("delivered", ({ detail }) => {
  const told = detail.answer?.fault ?? detail.answer?.settled;
  if (told) tell(told);
});

export function tell(text) {
  const at = document.querySelector("[data-told]");
  if (!at) return;
  at.textContent = text;
  at.hidden = false;
}

addEventListener("online", deliver);
addEventListener("pageshow", deliver);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && deliver());
