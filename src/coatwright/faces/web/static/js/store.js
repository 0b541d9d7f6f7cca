// What was tapped and is not yet delivered: kept in IndexedDB, or in memory where there is none.

const NAME = "coatwright", TAPS = "taps";
let opened;

function open() {
  opened ??= new Promise((done) => {
    if (!("indexedDB" in window)) return done(null);
    const ask = indexedDB.open(NAME, 1);
    ask.onupgradeneeded = () => ask.result.createObjectStore(TAPS, { keyPath: "id" });
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => done(null);
  });
  return opened;
}

const memory = new Map();

function run(mode, act) {
  return open().then((base) => {
    if (!base) return act(null);
    return new Promise((done, fail) => {
      const change = base.transaction(TAPS, mode);
      const asked = act(change.objectStore(TAPS));
      change.oncomplete = () => done(asked?.result);
      change.onerror = change.onabort = () => fail(change.error);
    });
  });
}

// Each tap is the last in the queue: a clock that is set back must not turn begun and done round.
const last = (tap, others) => ({ ...tap, order: Math.max(0, ...others.map((one) => one.order)) + 1 });
export const keep = (tap) =>
  run("readwrite", (at) => {
    if (!at) memory.set(tap.id, last(tap, [...memory.values()]));
    else at.getAll().onsuccess = ({ target }) => at.put(last(tap, target.result));
  });
export const drop = (id) => run("readwrite", (at) => (at ? at.delete(id) : memory.delete(id)));
export const waiting = () =>
  run("readonly", (at) => (at ? at.getAll() : { result: [...memory.values()] }))
    .then((found) => (Array.isArray(found) ? found : found.result))
    .then((taps) => taps.sort((a, b) => a.order - b.order));

// crypto.randomUUID is missing on plain http; getRandomValues is not.
export function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}
