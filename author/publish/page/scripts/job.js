// One job: what was read, seen, used and decided, and the record of it.
//
// Only what act and work make changes a job: nothing, and returns {problem: "plain words"}; or
// all of it, keeps it (keeping.js) and returns {ok: true, unkept: null | "why not", …}. What was
// typed goes in as typed. step, spec, point, part, tool are ids, box is one of spec.boxes, n
// counts from 0. job.at: id of the step where the job stands, null behind the last;
// job.outcome: "open", "done", "stopped".
//
// A way on is undefined (the next step, or goes_to), {decision: n}, or {spec, side: "below" |
// "above" | "undecided"} for what a reaction says. Going back over a step leaves its entries
// in the record, but they are past: all has to be done again.

// The lists of a record and their keys, as in schema/job_record.v1.schema.json; ! has to be.
const KEYS = {
  workers: "name! role! hours",
  instruments: "tool! number! calibrated",
  readings: "spec! position phase value! unit! instrument rule verdict! reaction by note",
  observations: "point! met! seen by",
  witnessed: "step! by! at!",
  parts_used: "part! number quantity",
  deviations: "step! what! reason! approved_by",
  findings: "what! step holds",
  questions: "step text!",
};
// Who is asked for it is told it by these names.
const NAMES = {
  approved_by: "Who allowed it", by: "The name", text: "The question", what: "The description",
};
const UNKNOWN = "This is not in the procedure.";
const CHECKS = {
  role: (role, facts) => facts.roles.some((one) => one.id === role),
  tool: (tool, facts) => Object.keys(facts.tools).includes(tool),
  part: (part, facts) => Object.keys(facts.parts).includes(part),
  step: (step, facts) => findStep(facts, step),
  spec: (spec, facts) => findSpec(facts, spec),
  point: (point, facts) => stepWithPoint(facts, point),
  value: (value) => NUMBER.test(value),
  phase: (phase) => /^as_(found|left)$/.test(phase),
  hours: (hours) => NUMBER.test(hours) && /^[^-]*[1-9]/.test(hours),
  quantity: (count) => /^([1-9][0-9]{0,3}|10000)$/.test(count),
  calibrated: (day) => check(isDay(day) && day <= now().slice(0, 10),
    "The day of the last calibration is none such as 2026-03-31, or still to come."),
  at: isMoment,
};
// As in author/procedure/values.py; and what no file can hold.
const UNSEEN =
  /[\0-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff\ufffe\uffff\p{Cs}]/gu;

// --- What is typed, and how a job is changed ---

function check(good, problem, more) {
  if (!good) throw { problem, ...more };
  return good;
}

// Makes a function that changes a job: all of it or nothing, and what is changed is kept.
function act(body, isWork = false) {
  return (job, ...given) => {
    const before = JSON.stringify(job);
    try {
      check(!isWork || job.outcome === "open", "This job has ended: go on with it first.");
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
  return act(body, true);
}

function lineOrNull(text, what) {
  const shown = text === undefined || text === null ? "" : String(text);
  const clean = shown.replace(/[\t-\r\u0085\u2028\u2029]+/g, " ").replace(UNSEEN, "").trim();
  const over = [...clean].length - 400;
  check(over <= 0, `${what}: ${over} characters too many, 400 is the most.`);
  return clean || null;
}

// An entry of a list of the record, each text as the schema takes it.
function entryOf(facts, list, given) {
  const entry = { past: false };
  for (const mark of KEYS[list].split(" ")) {
    const key = mark.replace("!", "");
    const name = NAMES[key] || `The ${key}`;
    const text = lineOrNull(given[key], name);
    check(text !== null || key === mark, `${name} is missing.`);
    const known = text === null || !CHECKS[key] || CHECKS[key](text, facts);
    check(known, `${name} “${text}” cannot be.`);
    entry[key] = text;
    if (key === "met" || key === "holds") entry[key] = given[key] === true;
    if (key === "quantity") entry[key] = Number(text || 1);
  }
  return entry;
}

function adding(list) {
  return act((job, facts, given) => {
    job[list].push(entryOf(facts, list, given));
  });
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

// Entries that are not past; the last of them holds.
function counting(list, test) {
  return list.filter((one) => !one.past && test(one));
}

function lastOf(list, test) {
  return counting(list, test).pop() || null;
}

// --- People, instruments, parts and words ---

function blankJob({ procedure, content, data, unit, steps }) {
  const lists = Object.fromEntries(Object.keys(KEYS).map((list) => [list, []]));
  return {
    procedure, content, data, unit, serial: null, began: now(), ended: null, outcome: "open",
    ...lists, handover: null, note: null,
    by: 0, ticks: [], ways: {}, at: steps[0].id, wentBack: false,
  };
}

// -> {ok, unkept, job}
function newJob(facts, given) {
  const job = blankJob(facts);
  const begun = beginJobOf(job, facts, given);
  return begun.ok ? { ...begun, job } : begun;
}

const beginJobOf = act((job, facts, given) => {
  check(!anotherIsKept(job), "A job is kept here already: go on with it or put it away.");
  job.workers.push(entryOf(facts, "workers", given));
  job.serial = lineOrNull(given.serial, "The serial number");
});

// {name, role}; who is added works from now on.
const addWorker = act((job, facts, given) => {
  job.by = job.workers.push(entryOf(facts, "workers", given)) - 1;
});

// Who works now, and whose name stands with what is written.
const setWorker = act((job, n) => {
  job.by = check(job.workers[n], UNKNOWN) && n;
});

const setHours = act((job, n, text) => {
  const { value = "", problem } = readNumber(text);
  check(CHECKS.hours(value), problem || "Write hours such as 1.5.");
  check(job.workers[n], UNKNOWN).hours = value;
});

// {part, number, quantity}
const usePart = adding("parts_used");
// {what, step, holds}
const find = adding("findings");
// {step, text}
const ask = adding("questions");

const takeOut = act((job, list, n) => {
  check(/^(parts_used|findings|questions)$/.test(list), "This stays in the record.");
  job[list].splice(n, 1);
});

function instrumentIndex(job, tool) {
  const index = job.instruments.map((one) => one.tool).lastIndexOf(tool);
  return index < 0 ? null : index;
}

// -> {tool, number, calibrated} | null
function instrumentOf(job, tool) {
  return job.instruments[instrumentIndex(job, tool)] || null;
}

// {number, calibrated: "2026-03-31" | "", correct}: correct mends what was typed, else it is
// another instrument from now on.
const setInstrument = act((job, facts, tool, { number, calibrated, correct }) => {
  const before = instrumentIndex(job, tool);
  const index = correct && before !== null ? before : job.instruments.length;
  check(index < 1000, "A record takes no more instruments.");
  job.instruments[index] = entryOf(facts, "instruments", { tool, number, calibrated });
  // What was read before its number was asked for.
  for (const row of job.readings) {
    if (row.tool === tool && row.instrument === null) row.instrument = index;
  }
});

// --- Readings ---

function accepted(row) {
  return row.verdict === "accept" || row.verdict === "not_judged";
}

function sideOf(row) {
  return row.verdict === "cannot_tell" ? "undecided" : row.side;
}

// Entries of job.readings that count, in order; the last holds.
function readingsOf(job, facts, spec, box) {
  return counting(job.readings, (row) => row.spec === spec && row.box === box);
}

function held(job, spec, box) {
  return lastOf(job.readings, (row) => row.spec === spec && row.box === box);
}

function pushReading(job, spec, box, value, more) {
  const { verdict, side, reaction: asked } = judgeReading(spec, value);
  const row = {
    index: job.readings.length, step: spec.step, spec: spec.id, box, position: box || null,
    phase: null, value, unit: spec.unit, tool: spec.instrument, instrument: instrumentIndex(job, spec.instrument),
    rule: verdict === "not_judged" ? null : spec.rule, verdict, side, asked, reaction: null,
    by: job.workers[job.by].name, note: null, from: [], past: false, ...more,
  };
  job.readings.push(row);
  return row;
}

// A reading before it that was not accepted has been put right by measuring again.
function addReading(job, facts, spec, box, value, more) {
  const before = held(job, spec.id, box);
  if (before && !accepted(before) && before.reaction === null) {
    before.reaction = before.asked ? before.asked.how : "Measured again";
  }
  return describe(job, facts, pushReading(job, spec, box, value, more).index);
}

// Works out the spreads over the readings of a spec, once each of its boxes has one.
function addSpreads(job, facts, base) {
  const rows = base.boxes.map((box) => held(job, base.id, box));
  if (rows.includes(null)) return [];
  const specs = facts.steps.flatMap((step) => step.specs);
  return specs.filter((spec) => spec.spread_of === base.id).map((spec) => {
    const value = scaleNumber(spreadOf(rows.map((row) => row.value)), spec.spread_scale);
    check(NUMBER.test(value), "The readings lie too far apart to be recorded.");
    return addReading(job, facts, spec, "", value, { from: rows.map((row) => row.index) });
  });
}

// -> {index, value, verdict, side, reaction, left}; reaction as in the facts, or null; left:
// how often it may be done yet, null: no end, 0: the job has to stop
function describe(job, facts, index) {
  const row = job.readings[index];
  const { value, verdict, side, asked: reaction, spec, box } = row;
  let left = null;
  if (reaction) {
    const alike = readingsOf(job, facts, spec, box).filter((one) => sideOf(one) === sideOf(row));
    const before = alike.filter((one) => one.index < index).length;
    const taken = reaction.to ? job.ways[`${spec}/${sideOf(row)}`] || 0 : before;
    const most = reaction.do === "stop" ? 0 : reaction.at_most;
    left = most && Math.max(0, most - taken);
  }
  return { index, value, verdict, side, reaction, left };
}

// -> {ok, reading, spreads: [reading]} | {problem} | {problem, choices: [a, b]}
const setReading = work((job, facts, id, box, text) => {
  const spec = findSpec(facts, id);
  check(spec && spec.boxes.includes(box) && !spec.spread_of, UNKNOWN);
  const { value, choices, problem = "The comma can mean two things." } = readNumber(text);
  check(value, problem, choices && { choices });
  const reading = addReading(job, facts, spec, box, value, {});
  return { reading, spreads: addSpreads(job, facts, spec) };
});

const NO_VERDICT = {
  past: true, verdict: "not_judged", side: null, rule: null, asked: null, reaction: null,
};

// A reading that was typed wrongly stays in the record, but decides nothing.
const takeBackReading = work((job, facts, index, reason) => {
  const row = job.readings[index];
  check(row && !row.past && !row.from.length, "This reading cannot be taken back.");
  const why = check(lineOrNull(reason, "The reason"), "The reason is missing.");
  const note = cut(`Taken back: ${why}`);
  for (const one of job.readings) {
    if (one === row || one.from.includes(index)) Object.assign(one, NO_VERDICT, { note });
  }
  addSpreads(job, facts, findSpec(facts, row.spec));
});

// --- What is seen and ticked ---

const tick = act((job, step, key, on) => {
  job.ticks = job.ticks.filter((one) => one.step !== step || one.key !== key);
  if (on) job.ticks.push({ step, key, past: false });
});

function ticked(job, step, key) {
  return lastOf(job.ticks, (one) => one.step === step && one.key === key) !== null;
}

// The key of a round of tightening.
function roundKey(spec, n) {
  return `round/${spec}/${n}`;
}

// A message that was read stays read when the work goes back.
function readHazard(job, facts, step, n) {
  return tick(job, null, `hazard/${step}/${n}`, true);
}

function hazardRead(job, step, n) {
  return ticked(job, null, `hazard/${step}/${n}`);
}

const observe = work((job, facts, point, met, seen) => {
  const by = job.workers[job.by].name;
  const entry = entryOf(facts, "observations", { point, met, seen, by });
  const before = observed(job, facts, point);
  // The same answer told more fully is one observation; another answer is another one.
  if (before && before.met === met) Object.assign(before, entry);
  else job.observations.push({ ...entry, step: stepWithPoint(facts, point).id });
});

function observed(job, facts, point) {
  return lastOf(job.observations, (one) => one.point === point);
}

// Names and initials without case, dots and spaces.
function folded(name) {
  return name.normalize("NFKC").toUpperCase().toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
}

function samePerson(one, other) {
  const initials = (name) => folded(name.replace(/([\p{L}\p{N}])[\p{L}\p{M}\p{N}]*/gu, "$1"));
  const [a, b] = [folded(one), folded(other)];
  return a === b || a === initials(other) || b === initials(one);
}

function worksHere(job, name) {
  return job.workers.some((one) => samePerson(one.name, name));
}

const witness = work((job, facts, step, initials) => {
  const entry = entryOf(facts, "witnessed", { step, by: initials, at: now() });
  check(findStep(facts, step).witness, UNKNOWN);
  check(folded(entry.by), "Write initials or a name.");
  check(!worksHere(job, entry.by),
    `A second person has to look: ${entry.by} is too like a name of those who do the work.`);
  job.witnessed.push(entry);
});

function witnessOf(job, facts, step) {
  return lastOf(job.witnessed, (one) => one.step === step);
}

// --- Going on ---

// A way as the facts have it, with how often it may be taken yet (null: no end).
function wayOn(job, step, way) {
  const key = !way ? "next" : way.spec ? `${way.spec}/${way.side}` : `${step.id}/${way.decision}`;
  const on = step.ways[key];
  return on && { ...on, key, left: on.at_most && Math.max(0, on.at_most - (job.ways[key] || 0)) };
}

function wayLeft(job, facts, id, way) {
  return (wayOn(job, findStep(facts, id), way) || { left: null }).left;
}

function refusedRows(job, { specs }) {
  const rows = specs.flatMap(({ id, boxes }) => boxes.map((box) => held(job, id, box)));
  return rows.filter((row) => row && !accepted(row));
}

// Whether a way leads back or aside, so that the work of the step need not be whole.
function leadsAway(job, step, way, on) {
  const asked = refusedRows(job, step).some((row) => row.asked && row.asked.to === on.to);
  return way && on.to && (way.spec || on.back || asked);
}

// What is still open at a step, for a way on -> [{key, kind, text, allowed, spec, box, point,
// tool, index, must}]; kind: hazard, instrument, reading, reaction (not accepted), round,
// point, witness; allowed: a deviation covers it; must: none can, as for a hazard.
function openStep(job, facts, id, way) {
  const step = findStep(facts, id);
  const on = step && wayOn(job, step, way);
  if (!on || on.stop) return [];
  const found = [];
  const covered = counting(job.deviations, (one) => one.step === id).flatMap((one) => one.covers);
  const add = (kind, name, text, more) => {
    const key = `${kind}/${name}`;
    found.push({ key, kind, text, allowed: covered.includes(key), ...more });
  };
  for (let n = 0; n < step.hazards; n += 1) {
    const must = { index: n, must: true };
    if (!hazardRead(job, id, n)) add("hazard", n, `Read hazard message ${n + 1}.`, must);
  }
  if (leadsAway(job, step, way, on)) return found;
  for (const spec of step.specs) addOpen(job, facts, step, spec, add);
  for (const point of step.points) {
    const seen = observed(job, facts, point);
    if (!seen) add("point", point, "Say whether it is as it has to be.", { point });
    // A decision may be about just that.
    else if (!seen.met && !step.decision) {
      add("point", `${point}/no`, "It is not as it has to be.", { point });
    }
  }
  const alone = step.witness && !witnessOf(job, facts, id);
  if (alone) add("witness", id, "A second person has to look.", { must: true });
  return found;
}

function addOpen(job, facts, step, spec, add) {
  const { id, instrument: tool } = spec;
  if (spec.judged && tool && !spec.spread_of && !instrumentOf(job, tool)) {
    add("instrument", tool, `Say which one is used: ${facts.tools[tool].name}.`, { tool });
  }
  for (let n = 0; n < spec.passes; n += 1) {
    const key = roundKey(id, n);
    const place = { spec: id, index: n };
    if (!ticked(job, step.id, key)) add("round", key, `Tighten round ${n + 1}.`, place);
  }
  for (const box of spec.judged ? spec.boxes : []) {
    const row = held(job, id, box);
    const what = box ? `${spec.characteristic}, ${box}` : spec.characteristic;
    if (!row) add("reading", `${id}/${box}`, `Measure: ${what}.`, { spec: id, box });
    if (!row || accepted(row)) continue;
    // A decision by this number says what is done about it.
    if (!row.asked && step.decision && step.decision.spec === id) continue;
    const must = Boolean(row.asked) && row.asked.do === "stop";
    const key = `${id}/${box}/${row.index}`;
    add("reaction", key, `${must ? "STOP" : "Not accepted"}: ${what}.`, { spec: id, box, must });
  }
}

// {step, what, reason, approvedBy, way}: done otherwise than written; covers what is open there.
const deviate = work(addDeviation);

function addDeviation(job, facts, { approvedBy, way, ...given }, jumps) {
  const entry = entryOf(facts, "deviations", { ...given, approved_by: approvedBy });
  const open = openStep(job, facts, entry.step, way).filter((one) => !one.must);
  const by = entry.approved_by;
  check(by || !(jumps || open.length), "Say who allowed it.");
  check(!by || !worksHere(job, by), "Somebody else has to allow it, not those who do the work.");
  job.deviations.push({ ...entry, covers: open.map((one) => one.key) });
}

// Moves to a step. Entries from there to here are past then, and spreads over them.
function standAt(job, facts, target, step) {
  job.at = target ? target.id : null;
  if (!target || target.number > step.number) return;
  job.wentBack = true;
  const ids = facts.steps.slice(target.number - 1, step.number).map((one) => one.id);
  for (const list of [job.readings, job.observations, job.witnessed, job.deviations, job.ticks]) {
    for (const one of list) if (ids.includes(one.step)) one.past = true;
  }
  for (const row of job.readings) if (row.from.some((n) => job.readings[n].past)) row.past = true;
}

// From job.at only -> {ok, to: label | null, stopped: words | null} | {problem, open}
const goOn = work((job, facts, id, way) => {
  check(job.at === id, "The job does not stand at this step.");
  const step = findStep(facts, id);
  const on = wayOn(job, step, way);
  check(on && (way || !step.decision), "Choose one of the ways on.");
  check(on.to || on.ends, "This way leads to no step.");
  const rows = refusedRows(job, step);
  const asks = (row) => row.spec === way.spec && sideOf(row) === way.side;
  check(!way || !way.spec || rows.some(asks), "No reading asks for this.");
  check(on.left !== 0, "This was done as often as it may be: stop.");
  const open = openStep(job, facts, id, way).filter((one) => !one.allowed);
  check(!open.length, "Something is still open at this step.", { open });
  if (way) job.ways[on.key] = (job.ways[on.key] || 0) + 1;
  const went = on.to ? `Went on to ${on.to.replace("-", " ")}` : on.words || "Went on";
  for (const row of rows.filter((one) => one.reaction === null)) {
    row.reaction = cut(row.asked && row.asked.to === on.to ? row.asked.how : went);
  }
  if (on.stop) end(job, "stopped", on.words);
  else standAt(job, facts, findStep(facts, on.step), step);
  return { to: on.to, stopped: on.stop ? on.words : null };
});

// Out of order, by a deviation {what, reason, approvedBy} -> {ok, to: label}
const jumpTo = work((job, facts, id, given) => {
  const target = check(findStep(facts, id), UNKNOWN);
  const step = findStep(facts, job.at) || facts.steps[facts.steps.length - 1];
  addDeviation(job, facts, { ...given, step: step.id }, true);
  standAt(job, facts, target, step);
  return { to: target.label };
});

function end(job, outcome, note) {
  Object.assign(job, { outcome, note, ended: outcome === "open" ? null : now() });
}

// outcome: "done" or "stopped"; handover: what the next person has to know
const finish = work((job, facts, outcome, handover) => {
  check(outcome !== "done" || job.at === null, "The last step is not behind you yet.");
  job.handover = lineOrNull(handover, "The handover");
  end(job, outcome === "done" ? outcome : "stopped", null);
});

const resume = act((job) => end(job, "open", null));

// --- The record ---

const RECORD = "job_record/1";
// Written first into the note, for the next person and for loadRecordFile.
const STANDS = /^(?:Stands|Stopped) at (?:step ([a-z0-9-]+)|the end)(, gone back)?(?:; |$)/;

function picked(entry, keys) {
  const there = keys.replace(/!/g, "").split(" ").filter((key) => entry[key] !== null);
  return Object.fromEntries(there.map((key) => [key, entry[key]]));
}

function recordOf(job) {
  const record = { schema: RECORD, ...job };
  for (const [list, keys] of Object.entries(KEYS)) {
    const rows = job[list].map((one) => picked(one, keys));
    record[list] = rows.length ? rows : "none";
  }
  const place = `${job.at ? `step ${job.at}` : "the end"}${job.wentBack ? ", gone back" : ""}`;
  const stands = { open: `Stands at ${place}`, stopped: `Stopped at ${place}`, done: null };
  record.note = cut([stands[job.outcome], job.note].filter(Boolean).join("; ")) || null;
  return picked(record, `schema procedure content data unit serial began ended outcome ${
    Object.keys(KEYS).join(" ")} handover note`);
}

function recordText(job) {
  return `${JSON.stringify(recordOf(job), null, 1)}\n`;
}

function recordName({ procedure, began }) {
  return `${procedure.id}-${procedure.revision}-${began.slice(0, 16).replace(/[-:]/g, "")}.json`;
}

// Nothing in a file is trusted: it is entered anew and judged anew -> {job} | {problem}; the
// job is not kept yet.
function loadRecordFile(text, facts) {
  try {
    return { job: jobFrom(JSON.parse(text), facts) };
  } catch (error) {
    return { problem: error.problem || "This file is no job record." };
  }
}

function jobFrom(record, facts) {
  const job = blankJob(facts);
  const { procedure: { id, revision } } = record;
  const { procedure, content } = job;
  check(id === procedure.id && revision === procedure.revision && content === record.content &&
    record.schema === RECORD, "This is the record of another procedure, or of another revision.");
  for (const list of Object.keys(KEYS)) {
    for (const row of record[list] === "none" ? [] : record[list]) {
      const entry = { ...entryOf(facts, list, row), covers: [] };
      if (list === "readings") loadReading(job, facts, row, entry);
      else job[list].push(entry);
      if (list === "observations") entry.step = stepWithPoint(facts, row.point).id;
    }
  }
  for (const key of ["outcome", "began", "ended", "serial", "handover", "note"]) {
    job[key] = lineOrNull(record[key], `The ${key}`);
  }
  const times = job.outcome === "open" ? [job.began] : [job.began, job.ended];
  check(job.workers.length && /^(open|done|stopped)$/.test(job.outcome) &&
    times.every((time) => time && isMoment(time)) && (times[1] || !job.ended),
    "The file does not say who works, since when, or how the job stands.");
  loadPlace(job, facts, job.note || "");
  if (job.outcome === "done") job.at = null;
  return job;
}

function loadReading(job, facts, { instrument = null }, entry) {
  const { spec: id, unit, value, verdict, phase, by, note, reaction } = entry;
  const spec = findSpec(facts, id);
  const box = entry.position || "";
  check(spec.boxes.includes(box) && unit === spec.unit, UNKNOWN);
  const known = Number.isInteger(instrument) && job.instruments[instrument].tool === spec.instrument;
  check(instrument === null || known, UNKNOWN);
  const { boxes } = findSpec(facts, spec.spread_of) || { boxes: [] };
  const rows = boxes.map((name) => held(job, spec.spread_of, name));
  const row = pushReading(job, spec, box, value, {
    phase, instrument, reaction, by, note,
    from: rows.filter(Boolean).map((one) => one.index), past: rows.includes(null),
  });
  if (spec.judged && verdict === "not_judged") Object.assign(row, NO_VERDICT);
  check(row.verdict === verdict, `The reading ${value} has another verdict here.`);
  // As often as that the work may have gone back for it: rather too often than too seldom.
  const key = `${id}/${sideOf(row)}`;
  if (reaction !== null) job.ways[key] = (job.ways[key] || 0) + 1;
}

// Where the work went back, or the file does not say where it stands, its step begins anew.
function loadPlace(job, facts, note) {
  const worked = [job.readings, job.observations, job.witnessed, job.deviations].flat();
  const steps = facts.steps.filter(({ id }) => worked.some((one) => one.step === id));
  const last = (steps.pop() || facts.steps[0]).id;
  const [head, at, back] = STANDS.exec(note) || ["", last, true];
  job.note = note.slice(head.length) || null;
  const target = at && check(findStep(facts, at), UNKNOWN);
  standAt(job, facts, target, back ? facts.steps[facts.steps.length - 1] : { number: 0 });
}
