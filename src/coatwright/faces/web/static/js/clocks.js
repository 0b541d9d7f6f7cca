// Clocks of a wait: <div data-clock data-until="ISO" data-soon="60"> tells at its end by sound and shake.

let audio;
document.addEventListener("pointerdown", () => { audio ??= new (window.AudioContext ?? window.webkitAudioContext)(); audio.resume(); }, { capture: true });

export function sound(tone = 880, seconds = 0.25, later = 0) {
  if (!audio) return;
  const at = audio.currentTime + later, wave = audio.createOscillator(), loud = audio.createGain();
  wave.frequency.value = tone;
  loud.gain.setValueAtTime(0.0001, at);
  loud.gain.exponentialRampToValueAtTime(0.5, at + 0.01);
  loud.gain.exponentialRampToValueAtTime(0.0001, at + seconds);
  wave.connect(loud).connect(audio.destination);
  wave.start(at);
  wave.stop(at + seconds);
}

export function span(seconds) {
  const whole = Math.max(0, Math.round(seconds)), h = Math.floor(whole / 3600), m = Math.floor((whole % 3600) / 60), s = whole % 60;
  return h ? `${h}:${String(m).padStart(2, "0")}:${String(s).padStart(2, "0")}` : `${m}:${String(s).padStart(2, "0")}`;
}

const told = new Set();
function tick() {
  const now = Date.now();
  for (const clock of document.querySelectorAll("[data-clock]")) {
    const until = Date.parse(clock.dataset.until), left = (until - now) / 1000, face = clock.querySelector("[data-left]");
    if (face) face.textContent = left >= 0 ? span(left) : span(-left);
    const over = left < 0;
    clock.classList.toggle("over", over);
    const word = clock.querySelector("[data-over]"), still = clock.querySelector("[data-still]");
    if (word) word.hidden = !over;
    if (still) still.hidden = over;
    const key = `${clock.dataset.clock} ${clock.dataset.until}`;
    if (over && left > -90 && !told.has(key)) {
      told.add(key);
      navigator.vibrate?.([300, 120, 300]);
      for (let i = 0; i < 3; i += 1) sound(740, 0.3, i * 0.45);
    }
  }
}
setInterval(tick, 500);
document.addEventListener("htmx:afterSwap", tick);
tick();

// Keep the screen on while a clock runs, where the browser allows it (https or this machine).
let lock;
async function awake() {
  if (!("wakeLock" in navigator) || document.visibilityState !== "visible" || !document.querySelector("[data-clock], [data-awake]")) return;
  try { lock ??= await navigator.wakeLock.request("screen"); lock.onrelease = () => { lock = undefined; }; } catch { lock = undefined; }
}
document.addEventListener("visibilitychange", awake);
document.addEventListener("click", awake);
awake();
