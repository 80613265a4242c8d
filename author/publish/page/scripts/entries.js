// The entries of a job, and how a job is changed.
//
// Only what act and work make changes a job: nothing, and returns {problem: "plain words"}; or
// all of it, keeps it (keeping.js) and returns {ok: true, unkept: null | "why not", …}. What was
// typed goes in as typed. step, spec, point, part, tool are ids, box is one of spec.boxes, n
// counts from 0. job.at: id of the step where the job stands, null behind the last;
// job.outcome: "open", "done", "stopped". What is done at a step is written there alone where
// the job stands. Going back over a step leaves its entries in the record, but they are
// superseded: all has to be done again.

// Who is asked for it is told it by these names.
const NAMES = {
  approved_by: "Who allowed it", by: "The name", text: "The question", what: "The description",
};
const UNKNOWN = sentence("unknown");
const WHO = sentence("who");
const ENDED = sentence("ended");
const isCount = (text) => /^(0|[1-9][0-9]{0,3})$/.test(text);
const CHECKS = {
  role: (role, facts) => facts.roles.some((one) => one.id === role),
  tool: (tool, facts) => Object.keys(facts.tools).includes(tool),
  part: (part, facts) => Object.keys(facts.parts).includes(part),
  step: (step, facts) => findStep(facts, step),
  spec: (spec, facts) => findSpec(facts, spec),
  point: (point, facts) => stepWithPoint(facts, point),
  proof: (proof) => proof === "typed",
  value: (value) => NUMBER.test(value),
  phase: (phase) => /^as_(found|left)$/.test(phase),
  hours: (hours) => NUMBER.test(hours) && /^[^-]*[1-9]/.test(hours),
  repeated: (word) => /^(open|in)$/.test(word),
  quantity: (count) => /^([1-9][0-9]{0,3}|10000)$/.test(count),
  message: isCount,
  round: isCount,
  branch: isCount,
  calibrated: (day) => check(isDay(day) && day <= now().slice(0, 10),
    sentence("day")),
  at: isMoment,
};
// What is no text; a list of texts or numbers is never trusted here.
const AS = {
  met: (given) => given === true,
  holds: (given) => given === true,
  no_number: (given) => given === true,
  superseded: (given) => given === true,
  covers: () => [],
  computed_from: () => [],
  quantity: (given, text) => Number(text || 1),
  message: (given, text) => Number(text),
  round: (given, text) => Number(text),
  branch: (given, text) => text && Number(text),
};
// As in author/procedure/values.py; and what no file can hold.
const UNSEEN =
  /[\0-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff\ufffe\uffff\p{Cs}]/gu;

function check(good, problem, more) {
  if (!good) throw { problem, ...more };
  return good;
}

// Makes a function that changes a job: all of it or nothing, and what is changed is kept.
function act(body, during = "any") {
  return (job, ...given) => {
    const before = JSON.stringify(job);
    try {
      const on = during === "any" || job.outcome === "open" || job.outcome === during;
      check(on, ENDED);
      const found = body(job, ...given);
      return { ok: true, unkept: keep(job).problem || null, ...found };
    } catch (error) {
      Object.assign(job, JSON.parse(before));
      if (!error.problem) throw error;
      return error;
    }
  };
}

// The same for work, which has an end.
function work(body) {
  return act(body, "open");
}

// The same for what is written down after a stop as well.
function closing(body) {
  return act(body, "stopped");
}

function standsHere(job, step) {
  check(job.at === step, sentence("notHere"));
}

function lineOrNull(text, what) {
  const shown = text === undefined || text === null ? "" : String(text);
  const clean = shown.replace(/[\t-\r\u0085\u2028\u2029]+/g, " ").replace(UNSEEN, "").trim();
  const over = [...clean].length - 400;
  check(over <= 0, sentence("long", what, over));
  return clean || null;
}

// An entry of a list of the record, each text as the schema takes it.
function entryOf(facts, list, given) {
  const entry = {};
  for (const mark of KEYS[list].split(" ")) {
    const key = mark.replace("!", "");
    const name = NAMES[key] || `The ${key}`;
    const text = Array.isArray(given[key]) ? null : lineOrNull(given[key], name);
    check(text !== null || key === mark, `${name} is missing.`);
    const known = text === null || !CHECKS[key] || CHECKS[key](text, facts);
    check(known, `${name} “${text}” cannot be.`);
    entry[key] = AS[key] ? AS[key](given[key], text) : text;
  }
  return entry;
}

// Who did it and when, for an entry.
function signed(job, entry) {
  return { ...entry, by: job.workers[job.by].name, at: now() };
}

// Somebody who allows something, who is none of those who do the work.
function allowedBy(job, name) {
  const by = check(lineOrNull(name, "Who allowed it"), WHO);
  check(folded(by) && !worksHere(job, by), sentence("notThey"));
  return by;
}

function cut(text) {
  return [...text].slice(0, 400).join("").trim();
}

// The moment by this device's clock, with its offset: 2026-03-31T14:05:00+01:00.
function now() {
  const date = new Date();
  const offset = -date.getTimezoneOffset() * 60000;
  const local = new Date(date.getTime() + offset).toISOString().slice(0, 19);
  const ahead = new Date(Math.abs(offset)).toISOString().slice(11, 16);
  return `${local}${offset < 0 ? "-" : "+"}${ahead}`;
}

function isDay(text) {
  const date = new Date(`${text}T00:00Z`);
  return /^[1-9][0-9-]{9}$/.test(text) && !isNaN(date) && date.toISOString().startsWith(text);
}

function isMoment(text) {
  const clock = /^T([01][0-9]|2[0-3])(:[0-5][0-9]){1,2}(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])$/;
  return isDay(text.slice(0, 10)) && clock.test(text.slice(10));
}

// Entries that are not superseded; the last of them holds.
function counting(list, test) {
  return list.filter((one) => !one.superseded && test(one));
}

function lastOf(list, test) {
  return counting(list, test).pop() || null;
}
