// Fluid test, strokes and practice board: what the watch and the fields hold becomes one tap each.

import { tap, tell } from "./taps.js";

const decimal = (text) => Number(String(text).trim().replace(",", "."));
const joined = (values, unit) => ({ text: values.join("; "), unit });
const press = (button, on) => {
  button.setAttribute("aria-pressed", String(on));
  button.querySelector("[data-go]").hidden = on;
  button.querySelector("[data-halt]").hidden = !on;
};

// A pointer counts as it comes down; a keyboard, whose click has no pointer, as it clicks.
function struck(button, act) {
  button.addEventListener("pointerdown", (event) => { if (event.button === 0) { event.preventDefault(); act(event.timeStamp); } });
  button.addEventListener("click", (event) => { if (event.detail === 0) act(event.timeStamp); });
}

const fluid = document.querySelector("form[data-fluid]");
if (fluid) {
  for (const row of fluid.querySelectorAll(".runs li")) {
    const watch = row.querySelector("[data-watch]"), face = row.querySelector("[data-seconds]");
    let from = null, timer = 0;
    struck(watch, (at) => {
      navigator.vibrate?.(20);
      clearInterval(timer);
      if (from === null) {
        from = at;
        timer = setInterval(() => { face.value = ((performance.now() - from) / 1000).toFixed(1); }, 100);
      } else {
        face.value = ((at - from) / 1000).toFixed(2);
        from = null;
        row.querySelector("[data-volume]").focus();
      }
      press(watch, from !== null);
    });
  }
  fluid.querySelector("[data-another]").addEventListener("click", ({ target }) => {
    const next = fluid.querySelector(".runs li[hidden]");
    if (next) next.hidden = false;
    target.hidden = !fluid.querySelector(".runs li[hidden]");
  });
  fluid.addEventListener("submit", async (event) => {
    event.preventDefault();
    const runs = [...fluid.querySelectorAll(".runs li")].map((row) => [row.querySelector("[data-seconds]").value.trim(), row.querySelector("[data-volume]").value.trim()]);
    const full = runs.filter(([seconds, volume]) => seconds && volume), { unit, gun, product, area, empty } = fluid.dataset;
    if (!full.length) return tell(empty);
    navigator.vibrate?.(20);
    await tap("fluid caught", {
      gun, product, opening: fluid.elements.opening.value, air: !fluid.elements.off.checked,
      seconds: joined(full.map(([seconds]) => seconds), "s"), volumes: joined(full.map(([, volume]) => volume), unit),
      mark: { text: fluid.elements.mark.value, unit },
    }, { area });
    fluid.reset();
  });
}

const strokes = document.querySelector("form[data-strokes]");
if (strokes) {
  const pad = strokes.querySelector("[data-pad]"), list = strokes.querySelector("[data-times]"), soFar = strokes.querySelector("[data-so-far]");
  const length = strokes.querySelector("#length"), less = strokes.querySelector("[data-less]"), keep = strokes.querySelector("[data-keep]"), data = strokes.dataset;
  let times = [], from = null;
  const renew = () => {
    list.replaceChildren(...times.map((time) => Object.assign(document.createElement("li"), { textContent: `${time.toFixed(2)} s` })));
    less.disabled = !times.length;
    keep.disabled = times.length < 3 || from !== null;
    const mean = times.reduce((a, b) => a + b, 0) / times.length, metres = decimal(length.value) * Number(data.metre);
    soFar.textContent = times.length ? data.words.replace("{count}", times.length).replace("{pace}", (mean / metres).toFixed(2)) : data.more;
    press(pad, from !== null);
  };
  struck(pad, (at) => {
    navigator.vibrate?.(20);
    if (from === null) from = at;
    else { times.push((at - from) / 1000); from = null; }
    renew();
  });
  less.addEventListener("click", () => { times.pop(); renew(); });
  strokes.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (times.length < 3) return;
    const { hand, product, gun, area, unit } = data, seconds = joined(times.map((time) => time.toFixed(3)), "s");
    times = [];
    from = null;
    renew();
    await tap("strokes timed", {
      hand, product, gun, seconds, dry: strokes.elements.dry.checked, length: { text: length.value, unit },
    }, { area });
  });
}

const board = document.querySelector("form[data-board]");
if (board) {
  const grid = board.querySelector("[data-grid]"), data = board.dataset;
  const size = () => [Number(board.elements.rows.value), Number(board.elements.columns.value)];
  const lay = () => {
    const [rows, columns] = size(), had = [...grid.children].map((field) => field.value);
    grid.style.gridTemplateColumns = `repeat(${columns}, minmax(0, 1fr))`;
    grid.replaceChildren(...Array.from({ length: rows * columns }, (_, n) => {
      const field = document.createElement("input"), row = Math.floor(n / columns) + 1;
      field.inputMode = "decimal";
      field.value = had[n] ?? "";
      field.setAttribute("aria-label", data.name.replace("{row}", row).replace("{column}", (n % columns) + 1));
      return field;
    }));
  };
  board.elements.rows.addEventListener("change", lay);
  board.elements.columns.addEventListener("change", lay);
  grid.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    (event.target.nextElementSibling ?? board.querySelector("button.first")).focus();
  });
  board.addEventListener("submit", async (event) => {
    event.preventDefault();
    const readings = [...grid.children].map((field) => field.value.trim()), { hand, product, gun, area, film, gap, hole } = data;
    if (readings.some((text) => !(decimal(text) >= 0) || text === "")) return tell(hole);
    navigator.vibrate?.(20);
    await tap("board read", {
      hand, product, gun, columns: size()[1], coats: Number(board.elements.coats.value),
      readings: joined(readings, film), spacing: { text: board.elements.spacing.value, unit: gap }, zero: { text: board.elements.zero.value || "0", unit: film },
    }, { area });
    for (const field of grid.children) field.value = "";
  });
  lay();
}
