// What is read, ticked, seen and witnessed in a job.

// --- Hazard messages, and what is ticked outside the steps ---

// The lists of ticks, by the word their keys on the page begin with: before:manual-read.
const TICKS = {
  before: ["made_ready", "item", "prerequisite"], part: ["made_ready", "item", "part"],
  tool: ["made_ready", "item", "tool"], supply: ["made_ready", "item", "supply"],
  after: ["close_outs", "close_out"], hold: ["tags_hung", "finding"], general: ["hazards_read", "message"],
};

// -> {list, entry} without who and when; facts.ticks lists every key there is
function ticking(facts, key) {
  check(facts.ticks.includes(key), UNKNOWN);
  const [, word, name] = /^([a-z]+)[:-](.*)$/.exec(key);
  const [list, field, kind] = TICKS[word];
  return { list, entry: { ...(kind && { kind }), [field]: list === "hazards_read" ? Number(name) : name } };
}

function sameTick(one, entry) {
  return !one.step && Object.keys(entry).every((key) => one[key] === entry[key]);
}

const tick = closing((job, facts, key, on) => {
  const { list, entry } = ticking(facts, key);
  check(job.outcome === "open" || /^(close_outs|tags_hung)$/.test(list), ENDED);
  const others = job[list].filter((one) => !sameTick(one, entry));
  if (on && others.length < job[list].length) return;
  const step = list === "hazards_read" ? { step: null } : {};
  job[list] = on ? [...others, signed(job, { ...step, ...entry })] : others;
});

function ticked(job, facts, key) {
  const { list, entry } = ticking(facts, key);
  return job[list].some((one) => sameTick(one, entry));
}

// A message that was read stays read when the work goes back.
const readHazard = work((job, facts, step, n) => {
  check(n >= 0 && n < (findStep(facts, step) || { hazards: 0 }).hazards, UNKNOWN);
  if (!hazardRead(job, step, n)) job.hazards_read.push(signed(job, { step, message: n }));
});

function hazardRead(job, step, n) {
  return job.hazards_read.some((one) => one.step === step && one.message === n);
}

// --- At a step ---

const tightenRound = work((job, facts, id, n, on) => {
  const spec = findSpec(facts, id);
  check(spec && n >= 0 && n < spec.passes, UNKNOWN);
  standsHere(job, spec.step);
  const { step } = spec;
  job.rounds_tightened = job.rounds_tightened.filter((one) => one.superseded || one.spec !== id || one.round !== n);
  if (on) job.rounds_tightened.push({ ...signed(job, { spec: id, round: n }), superseded: false, step });
});

function roundDone(job, spec, n) {
  return lastOf(job.rounds_tightened, (one) => one.spec === spec && one.round === n) !== null;
}

const observe = work((job, facts, point, met, seen) => {
  const by = job.workers[job.by].name;
  const entry = entryOf(facts, "observations", { point, met, seen, by });
  const step = stepWithPoint(facts, point).id;
  standsHere(job, step);
  const before = observed(job, facts, point);
  // The same answer told more fully is one observation; another answer is another one.
  if (before && before.met === met) Object.assign(before, entry);
  else job.observations.push({ ...entry, step });
});

function observed(job, facts, point) {
  return lastOf(job.observations, (one) => one.point === point);
}

// The letters of a name or initials, in whatever order its parts are written.
function folded(name) {
  return [...name.normalize("NFKC").toUpperCase().toLowerCase().replace(/[^\p{L}\p{N}]/gu, "")].sort().join("");
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
  const entry = entryOf(facts, "witnessed", { step, by: initials, at: now(), proof: "typed" });
  check(findStep(facts, step).witness, UNKNOWN);
  standsHere(job, step);
  check(folded(entry.by), sentence("initials"));
  check(!worksHere(job, entry.by),
    sentence("tooLike", entry.by));
  job.witnessed.push(entry);
});

// A name that was typed wrongly stands no more; the record keeps it, struck out.
const takeBackWitness = work((job, facts, step) => {
  standsHere(job, step);
  check(witnessOf(job, facts, step), UNKNOWN).superseded = true;
});

function witnessOf(job, facts, step) {
  return lastOf(job.witnessed, (one) => one.step === step);
}
