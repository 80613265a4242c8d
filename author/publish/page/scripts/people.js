// Who works on a job and with what, what goes in, and what is written down beside the work.

function blankJob({ procedure, content, data, unit, steps }) {
  const lists = Object.fromEntries(Object.keys(KEYS).map((list) => [list, []]));
  return {
    procedure, content, data, unit, serial: null, began: now(), ended: null, outcome: "open",
    ...lists, handover: null, note: null, by: 0, at: steps[0].id,
  };
}

// -> {ok, unkept, job}
function newJob(facts, given) {
  const job = blankJob(facts);
  const begun = beginJobOf(job, facts, given);
  return begun.ok ? { ...begun, job } : begun;
}

const beginJobOf = act((job, facts, given) => {
  check(!anotherIsKept(job), sentence("oneKept"));
  job.workers.push(entryOf(facts, "workers", given));
  job.serial = lineOrNull(given.serial, "The serial number");
});

// What somebody has witnessed or allowed in this job, in words, or "".
function stoodFor(job, facts, name) {
  const rows = (list, key, word) => job[list].filter((one) => one[key] && samePerson(one[key], name))
    .map(({ step }) => `${word} step ${findStep(facts, step).number}`);
  return cut([...rows("witnessed", "by", "witnessed"), ...rows("deviations", "approved_by", "allowed a deviation at")].join(", "));
}

// {name, role, sure}; who is added works from now on. Who has witnessed or allowed something is
// asked about, and the record says so.
const addWorker = work((job, facts, given) => {
  const entry = entryOf(facts, "workers", given);
  const also = stoodFor(job, facts, entry.name);
  check(!also || given.sure, sentence("stood", entry.name, also), { also });
  job.by = job.workers.push({ ...entry, also: also || null }) - 1;
});

// Who works now, and whose name stands with what is written.
const setWorker = work((job, n) => {
  job.by = check(job.workers[n], UNKNOWN) && n;
});

// What is emptied is not told; else as readHours has it.
const setHours = closing((job, n, text) => {
  const value = String(text).trim() ? readHours(text) : null;
  check(value === null || CHECKS.hours(value), sentence("hours"));
  check(job.workers[n], UNKNOWN).hours = value;
});

// {part, number, quantity}: what goes in at the step where the job stands
const usePart = work((job, facts, given) => {
  const entry = entryOf(facts, "parts_used", { ...given, step: job.at });
  const here = findStep(facts, job.at);
  const wanted = here && here.parts.find((one) => one.part === entry.part);
  check(wanted, sentence("elsewherePart"));
  const fitted = fittedAt(job, here.id, entry.part);
  check(fitted + entry.quantity <= wanted.quantity, sentence("fits", wanted.quantity, fitted));
  const before = partsIn(job, here.id, entry.part);
  const over = countOf(before) + entry.quantity - wanted.quantity;
  comeOut(job, before.filter((one) => one.repeated === "open"), over);
  job.parts_used.push(entry);
});

// What went in before the work went back over its step and is in yet: it counts as fitted again.
const partStays = work((job, facts, n) => {
  const row = job.parts_used[n];
  standsHere(job, row.step);
  check(!row.superseded && row.repeated === "open", UNKNOWN);
  const { quantity } = findStep(facts, row.step).parts.find((one) => one.part === row.part);
  const fitted = fittedAt(job, row.step, row.part);
  check(fitted + row.quantity <= quantity, sentence("fits", quantity, fitted));
  row.repeated = "in";
});

// What went in for a part at a step and is in yet.
function partsIn(job, step, part) {
  return counting(job.parts_used, (one) => one.step === step && one.part === part);
}

function countOf(rows) {
  return rows.reduce((sum, one) => sum + one.quantity, 0);
}

// What was fitted before the work went back is fitted once it was said to be in yet.
function fittedAt(job, step, part) {
  return countOf(partsIn(job, step, part).filter((one) => one.repeated !== "open"));
}

// So many of what went in are in no more, the last first; they were used all the same.
function comeOut(job, rows, count) {
  let left = count;
  for (const one of rows.reverse()) {
    if (left > 0 && one.quantity > left) {
      job.parts_used.push({ ...one, quantity: one.quantity - left });
      one.quantity = left;
    }
    one.superseded = left > 0;
    left -= one.quantity;
  }
}

// What two ways to write a number share: "CP 030" and "cp-030".
function bareNumber(number) {
  return number.toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
}

// Whether what went in has another number than those the part is ordered by.
function isOther(facts, { part, number }) {
  const { numbers } = facts.parts[part];
  return number && numbers.length && !numbers.some((one) => bareNumber(one) === bareNumber(number));
}

// What a step takes out that went in before it is in no more.
function takeOff(job, { id, removes }) {
  for (const { part, quantity } of removes) {
    comeOut(job, counting(job.parts_used, (row) => row.part === part && row.step !== id), quantity);
  }
}

function adding(list) {
  return work((job, facts, given) => {
    job[list].push(entryOf(facts, list, given));
  });
}

// {what, step, holds}
const find = adding("findings");
// {step, text}
const ask = adding("questions");

const STAYS = sentence("stays");

const takeOut = work((job, list, n) => {
  const row = check(/^(parts_used|findings|questions)$/.test(list) && job[list][n], STAYS);
  if (list === "parts_used") {
    standsHere(job, row.step);
    check(!row.superseded, STAYS);
    if (row.repeated) return void (row.superseded = true);
  }
  job[list].splice(n, 1);
});

// The tag that keeps the unit out of use for a defect found in this job.
const tagFound = closing((job, n) => {
  const found = job.findings[n];
  check(found && found.holds, UNKNOWN);
  found.tagged_by = job.workers[job.by].name;
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
const setInstrument = work((job, facts, tool, { number, calibrated, correct }) => {
  const before = instrumentIndex(job, tool);
  const index = correct && before !== null ? before : job.instruments.length;
  check(index < 1000, sentence("noMore"));
  const entry = entryOf(facts, "instruments", { tool, number, calibrated });
  const here = findStep(facts, job.at);
  check(here && here.specs.some((spec) => spec.instrument === tool), sentence("noTool"));
  job.instruments[index] = entry;
  // What was read before its number was asked for.
  for (const row of job.readings) {
    if (row.tool === tool && row.instrument === null) row.instrument = index;
  }
});
