// What happens on any phone shows on all: one event stream for each page that names a job.

import { deliver } from "./taps.js";

const job = document.body.dataset.job;
const cookies = document.cookie;
const back = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
let stream, returned = back;

function listen() {
  stream?.close();
  stream = new EventSource(`/jobs/${encodeURIComponent(job)}/live`);
  stream.onopen = () => { document.body.dataset.line = "up"; deliver(); };
  stream.onerror = () => { document.body.dataset.line = "down"; };
  stream.onmessage = (message) => {
    const said = JSON.parse(message.data);
    const known = Number(document.body.dataset.number ?? 0);
    // Gone back to: what the browser had kept of it may be older than the record.
    if (returned && said.number > known) return location.reload();
    returned = false;
    if (said.again || said.number > known) {
      if (said.number) document.body.dataset.number = said.number;
      document.body.dispatchEvent(new CustomEvent("happened", { detail: said }));
    }
  };
}

if (job) {
  listen();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && stream.readyState === EventSource.CLOSED) listen();
  });
  addEventListener("pagehide", () => stream.close());
  addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    if (document.cookie !== cookies) return location.reload();
    returned = true;
    listen();
  });
}
