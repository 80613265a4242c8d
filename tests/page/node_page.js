// Runs the scripts of the work page without a browser: one JSON request a line, one answer a
// line. Each page is a world of its own; all of them share one storage, as tabs do.
"use strict";

const fs = require("node:fs");
const readline = require("node:readline");
const vm = require("node:vm");

const source = fs.readFileSync(process.argv[2], "utf8");
const names = process.argv.slice(3);
const script = new vm.Script(`"use strict";\n(() => {\n${source}\nreturn { ${names.join(", ")} };\n})();`, {
  filename: "page.js",
});

const kept = new Map();
let mode = "open";
let clock = 0;
const pages = new Map();

class Refusal extends Error {
  constructor(name) {
    super(name);
    this.name = name;
  }
}

function storageOf(page) {
  return {
    getItem: (key) => (kept.has(key) ? kept.get(key) : null),
    setItem(key, value) {
      if (mode === "full") throw new Refusal("QuotaExceededError");
      if (mode === "read_only") throw new Refusal("InvalidAccessError");
      kept.set(key, String(value));
      tell(page, key, String(value));
    },
    removeItem(key) {
      kept.delete(key);
      tell(page, key, null);
    },
  };
}

// A change is told to all other tabs.
function tell(page, key, newValue) {
  for (const [name, other] of pages) {
    if (name !== page) for (const heard of other.listeners.storage || []) heard({ key, newValue });
  }
}

function open(page) {
  const listeners = {};
  const timers = [];
  const world = vm.createContext({
    setInterval: (body) => timers.push(body),
    addEventListener: (kind, body) => (listeners[kind] = [...(listeners[kind] || []), body]),
  });
  vm.runInContext("const RealDate = Date; let ahead = () => 0;" +
    "globalThis.Date = class extends RealDate {" +
    " constructor(...given) { given.length ? super(...given) : super(RealDate.now() + ahead()); }" +
    " static now() { return RealDate.now() + ahead(); } };", world);
  world.ahead_ = () => clock;
  vm.runInContext("ahead = ahead_;", world);
  Object.defineProperty(world, "localStorage", {
    get() {
      if (mode === "denied") throw new Refusal("SecurityError");
      return mode === "none" ? undefined : storageOf(page);
    },
  });
  pages.set(page, { listeners, timers, held: {}, made: script.runInContext(world) });
}

function close(page) {
  for (const heard of pages.get(page).listeners.pagehide || []) heard({});
  pages.delete(page);
}

// {"ref": "made.job"} is a value that an earlier answer left in the page.
function resolved(value, held) {
  if (Array.isArray(value)) return value.map((one) => resolved(one, held));
  if (value === null || typeof value !== "object") return value;
  if (typeof value.ref === "string") return value.ref.split(".").reduce((at, key) => at[key], held);
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, resolved(one, held)]));
}

function answer(request) {
  const page = request.page || "main";
  if (request.mode) mode = request.mode;
  if (request.ahead !== undefined) clock = request.ahead;
  if (request.store) for (const [key, text] of Object.entries(request.store)) kept.set(key, text);
  if (request.clear) kept.clear();
  if (request.stored) return Object.fromEntries(kept);
  if (request.crash) return void pages.delete(page);
  if (request.close) return void close(page);
  if (!pages.has(page)) open(page);
  const { made, held, timers } = pages.get(page);
  if (request.tick) timers.forEach((body) => body());
  if (request.hold) Object.assign(held, request.hold);
  if (request.listen) {
    held[request.listen] = [];
    return void made.watchKeeping((told) => held[request.listen].push(told));
  }
  if (!request.call) return request.see ? resolved({ ref: request.see }, held) : null;
  if (typeof made[request.call] !== "function") throw new Error(`no function ${request.call}`);
  const value = made[request.call](...resolved(request.args || [], held));
  if (request.as) held[request.as] = value;
  return value;
}

readline.createInterface({ input: process.stdin }).on("line", (text) => {
  let found;
  try {
    found = { value: answer(JSON.parse(text)) };
  } catch (error) {
    found = { error: String(error && error.stack ? error.stack : error) };
  }
  process.stdout.write(`${JSON.stringify(found)}\n`);
});
