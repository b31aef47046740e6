// Starts a worker's WASM. What is sent before it listens is kept and given to it then.

import init from "./@BINDINGS@";

const early = [];
const keep = (event) => early.push(event);
self.addEventListener("message", keep);

init({ module_or_path: new URL("./@WASM@", import.meta.url) }).then(
  () => {
    self.removeEventListener("message", keep);
    for (const { data, ports } of early.splice(0)) {
      self.dispatchEvent(new MessageEvent("message", { data, ports: [...ports] }));
    }
  },
  (error) => {
    // Thrown outside the promise, so that the page hears of it as an error of this worker.
    setTimeout(() => {
      throw error;
    });
  },
);
