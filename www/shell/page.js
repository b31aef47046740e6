// Starts the page's WASM and does what needs an address: the example clips, the workers, the service worker.

const CLIPS = @CLIPS@;

const addressOf = (path) => new URL(path, document.baseURI).href;

// The example clip of a name, as a file.
async function exampleClip(name) {
  const file = CLIPS[name] ? name : `${name}.mp4`;
  const path = CLIPS[file];
  if (!path) throw new Error(`There is no example clip ${name}.`);
  const response = await fetch(addressOf(path));
  if (!response.ok) throw new Error(`The example clip ${name} is not there (${response.status}): load the page again.`);
  return new File([await response.blob()], file, { type: "video/mp4" });
}

// A new version waits until the visitor accepts it, so that it never interrupts work.
let waitingWorker = null;
let updateCallback = null;

function onUpdate(callback) {
  updateCallback = callback;
  if (waitingWorker) updateCallback();
}

function noteUpdate(worker) {
  waitingWorker = worker;
  if (updateCallback) updateCallback();
}

function applyUpdate() {
  if (!waitingWorker) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  waitingWorker.postMessage("take over");
}

function element(name, text, properties = {}) {
  return Object.assign(document.createElement(name), { textContent: text }, properties);
}

// The program has panicked: offers to save the session, if its text is given, and to copy a report. The
// report has the place of the panic and the browser's name, and nothing that was entered.
function showPanic(place, name, text) {
  const report = `Stride Ledger, ${import.meta.url.split("/").pop()}\n${place}\n${navigator.userAgent}`;
  const main = element("main", "", { className: "starting stopped panicked" });
  const field = element("textarea", "", { value: report, readOnly: true, rows: 4, id: "panic-report" });
  const status = element("p", "", { className: "quiet" });
  status.setAttribute("role", "status");
  main.append(
    element("h1", "The page has stopped"),
    element("p", "A fault in this program stopped it. Your entries are saved on this device, except perhaps those of the last second. Load the page again to go on."),
    element("button", "Load the page again", { onclick: () => location.reload() }),
  );
  if (text) {
    const save = () => {
      const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
      element("a", "", { href: address, download: name }).click();
    };
    main.append(element("button", "Save the session to a file", { onclick: save }));
  }
  const copy = async () => {
    field.select();
    await navigator.clipboard.writeText(report).catch(() => document.execCommand("copy"));
    status.textContent = "Copied.";
  };
  main.append(
    element("label", "A report for the developers. It contains none of your entries.", { htmlFor: "panic-report" }),
    field,
    element("button", "Copy the report", { onclick: copy }),
    status,
  );
  document.body.replaceChildren(main);
}

// Traps that the panic handler does not see, such as a full memory.
let hasPanicked = false;
function noteTrap(error) {
  if (!(error instanceof WebAssembly.RuntimeError) || hasPanicked) return;
  hasPanicked = true;
  showPanic(error.message, null, null);
}
addEventListener("error", (event) => noteTrap(event.error));
addEventListener("unhandledrejection", (event) => noteTrap(event.reason));

globalThis.strideLoader = Object.freeze({
  showPanic: (place, name, text) => {
    hasPanicked = true;
    showPanic(place, name, text);
  },
  exampleClip,
  exampleClips: () => Object.keys(CLIPS),
  workerUrl: () => addressOf("./@WORKER@"),
  monteCarloUrl: () => addressOf("./@MONTE_CARLO@"),
  onUpdate,
  applyUpdate,
});

async function register() {
  const registration = await navigator.serviceWorker.register(addressOf("./sw.js"), { scope: addressOf("./"), updateViaCache: "none" });
  const watch = (worker) => {
    if (!worker) return;
    const check = () => {
      // The first installation is no update.
      if (worker.state === "installed" && registration.active) noteUpdate(worker);
    };
    worker.addEventListener("statechange", check);
    check();
  };
  watch(registration.waiting);
  watch(registration.installing);
  registration.addEventListener("updatefound", () => watch(registration.installing));
}

// A page with the security headers has a worker with them too. For a host that sends none the service
// worker sets them; it must then control the page before the worker starts.
async function hasPolicy(registered) {
  if (crossOriginIsolated) return true;
  const controlled = new Promise((resolve) => {
    if (navigator.serviceWorker.controller) resolve(true);
    navigator.serviceWorker.addEventListener("controllerchange", () => resolve(true), { once: true });
  });
  const failed = registered.then(() => controlled, () => false);
  return Promise.race([controlled, failed]);
}

function missingFeature() {
  if (!isSecureContext) return "This address is not a safe one (https, or this same machine), and browsers open video frame by frame only there.";
  if (typeof WebAssembly !== "object") return "This browser runs no WebAssembly, which the measuring is written in: use a present-day Chrome, Edge, Firefox or Safari.";
  if (typeof VideoDecoder !== "function" || typeof VideoFrame !== "function") {
    return "This browser cannot hand out video frame by frame (it has no WebCodecs): use a present-day Chrome, Edge, Firefox or Safari.";
  }
  return null;
}

function showState(sentence) {
  const state = document.querySelector(".starting-state");
  if (!state) return;
  state.textContent = sentence;
  state.closest(".starting").classList.add("stopped");
}

async function start() {
  const reason = missingFeature();
  if (reason) return showState(reason);
  const registered = "serviceWorker" in navigator ? register() : Promise.reject(new Error("none"));
  // Without it the page works too, but not offline.
  registered.catch((error) => console.warn("No service worker:", error));
  if (!(await hasPolicy(registered))) {
    return showState("This host sends the page without its protection, and the browser could not add it: serve it with ./www/serve.");
  }
  try {
    const { default: init } = await import("./@PAGE_BINDINGS@");
    await init({ module_or_path: addressOf("./@PAGE_WASM@") });
  } catch (error) {
    showState("The page could not start: load it again, or use a newer browser.");
    throw error;
  }
}

start();
