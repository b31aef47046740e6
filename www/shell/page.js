// Starts the page's WASM, and holds the few things that need an address:
// the example clips, the worker, the service worker.

const CLIPS = @CLIPS@;

const at = (path) => new URL(path, document.baseURI).href;

// The example clip of this name, as a file the visitor could have opened.
async function exampleClip(name) {
  const file = CLIPS[name] ? name : `${name}.mp4`;
  const path = CLIPS[file];
  if (!path) throw new Error(`There is no example clip ${name}.`);
  const response = await fetch(at(path));
  if (!response.ok) throw new Error(`The example clip ${name} is not there (${response.status}): load the page again.`);
  return new File([await response.blob()], file, { type: "video/mp4" });
}

// A new version waits until the visitor says so: it never takes the page away from work.
let waiting = null;
let tell = null;

function onUpdate(callback) {
  tell = callback;
  if (waiting) tell();
}

function noteUpdate(worker) {
  waiting = worker;
  if (tell) tell();
}

function applyUpdate() {
  if (!waiting) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  waiting.postMessage("take over");
}

function element(name, words, more = {}) {
  return Object.assign(document.createElement(name), { textContent: words }, more);
}

// The program has fallen: what it had at hand can be saved, and a report copied. The report holds where
// it fell and which browser this is, and nothing that was entered.
function fell(place, name, text) {
  const report = `Stride Ledger, ${import.meta.url.split("/").pop()}\n${place}\n${navigator.userAgent}`;
  const main = element("main", "", { className: "starting stopped fallen" });
  const words = element("textarea", "", { value: report, readOnly: true, rows: 4, id: "fall-report" });
  const copied = element("p", "", { className: "quiet" });
  copied.setAttribute("role", "status");
  main.append(
    element("h1", "The page has stopped"),
    element("p", "A fault in this program stopped it. What you entered is kept on this device; at most the last second of it is missing. Load the page again to go on."),
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
    words.select();
    await navigator.clipboard.writeText(report).catch(() => document.execCommand("copy"));
    copied.textContent = "Copied.";
  };
  main.append(
    element("label", "A report for whoever mends it. Nothing that you entered is in it.", { htmlFor: "fall-report" }),
    words,
    element("button", "Copy the report", { onclick: copy }),
    copied,
  );
  document.body.replaceChildren(main);
}

// What stops the program without a word of its own, such as a full memory.
let hasFallen = false;
function noteFall(error) {
  if (!(error instanceof WebAssembly.RuntimeError) || hasFallen) return;
  hasFallen = true;
  fell(error.message, null, null);
}
addEventListener("error", (event) => noteFall(event.error));
addEventListener("unhandledrejection", (event) => noteFall(event.reason));

globalThis.strideLoader = Object.freeze({
  fell: (...told) => {
    hasFallen = true;
    fell(...told);
  },
  exampleClip,
  exampleClips: () => Object.keys(CLIPS),
  workerUrl: () => at("./@WORKER@"),
  repeatsUrl: () => at("./@REPEATS@"),
  onUpdate,
  applyUpdate,
});

async function register() {
  const registration = await navigator.serviceWorker.register(at("./sw.js"), { scope: at("./"), updateViaCache: "none" });
  const watch = (worker) => {
    if (!worker) return;
    const look = () => {
      // The first one ever is no update.
      if (worker.state === "installed" && registration.active) noteUpdate(worker);
    };
    worker.addEventListener("statechange", look);
    look();
  };
  watch(registration.waiting);
  watch(registration.installing);
  registration.addEventListener("updatefound", () => watch(registration.installing));
}

// Headers that came with the page came with the worker too. A host that sends none is made good by
// the service worker, which must then be in charge before the worker starts.
async function underPolicy(registered) {
  if (crossOriginIsolated) return true;
  const inCharge = new Promise((resolve) => {
    if (navigator.serviceWorker.controller) resolve(true);
    navigator.serviceWorker.addEventListener("controllerchange", () => resolve(true), { once: true });
  });
  const failed = registered.then(() => inCharge, () => false);
  return Promise.race([inCharge, failed]);
}

function lacking() {
  if (!isSecureContext) return "This address is not a safe one (https, or this same machine), and browsers open video frame by frame only there.";
  if (typeof WebAssembly !== "object") return "This browser runs no WebAssembly, which the measuring is written in: use a present-day Chrome, Edge, Firefox or Safari.";
  if (typeof VideoDecoder !== "function" || typeof VideoFrame !== "function") {
    return "This browser cannot hand out video frame by frame (it has no WebCodecs): use a present-day Chrome, Edge, Firefox or Safari.";
  }
  return null;
}

function say(sentence) {
  const state = document.querySelector(".starting-state");
  if (!state) return;
  state.textContent = sentence;
  state.closest(".starting").classList.add("stopped");
}

async function start() {
  const reason = lacking();
  if (reason) return say(reason);
  const registered = "serviceWorker" in navigator ? register() : Promise.reject(new Error("none"));
  // Without it the page works all the same, only not with the server stopped.
  registered.catch((error) => console.warn("No service worker:", error));
  if (!(await underPolicy(registered))) {
    return say("This host sends the page without its protection, and the browser could not add it: serve it with ./www/serve.");
  }
  try {
    const { default: init } = await import("./@PAGE_BINDINGS@");
    await init({ module_or_path: at("./@PAGE_WASM@") });
  } catch (error) {
    say("The page could not start: load it again, or use a newer browser.");
    throw error;
  }
}

start();
