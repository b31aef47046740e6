// Starts a worker's WASM. Messages that arrive before it listens are queued for it.

import init from "./@BINDINGS@";

const queued = [];
const queue = (event) => queued.push(event);
self.addEventListener("message", queue);

init({ module_or_path: new URL("./@WASM@", import.meta.url) }).then(
  () => {
    self.removeEventListener("message", queue);
    for (const { data, ports } of queued.splice(0)) {
      self.dispatchEvent(new MessageEvent("message", { data, ports: [...ports] }));
    }
  },
  (error) => {
    // Thrown outside the promise, so that the page receives it as an error event of this worker.
    setTimeout(() => {
      throw error;
    });
  },
);
