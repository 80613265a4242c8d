// How a job goes on: what is still open at a step, the ways on, deviations, and the end.
//
// A way on is undefined (the next step, or goes_to), {decision: n}, or {spec, side: "below" |
// "above" | "undecided"} for what a reaction says.

function timesTaken(job, key) {
  return job.ways_taken.filter((one) => key === (one.spec ? `${one.spec}/${one.side}` : `${one.step}/${one.branch}`)).length;
}

// A way as the facts have it, with how often it may be taken yet (null: no end).
function wayOn(job, step, way) {
  const key = !way ? "next" : way.spec ? `${way.spec}/${way.side}` : `${step.id}/${way.decision}`;
  const on = step.ways[key];
  return on && { ...on, left: on.at_most && Math.max(0, on.at_most - timesTaken(job, key)) };
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
    found.push({ key, kind, text, allowed: covered.includes(key) && !(more && more.must), ...more });
  };
  for (let n = 0; n < step.hazards; n += 1) {
    const must = { index: n, must: true };
    if (!hazardRead(job, id, n)) add("hazard", n, `Read hazard message ${n + 1}.`, must);
  }
  const away = leadsAway(job, step, way, on);
  for (const point of step.points) addPoint(job, facts, step, point, away && (on.back ? "back" : "aside"), add);
  if (away) return found;
  for (const spec of step.specs) addOpen(job, facts, step, spec, add);
  const alone = step.witness && !witnessOf(job, facts, id);
  if (alone) add("witness", id, "A second person has to look.", { must: true });
  return found;
}

// Where the job stops unless a point is met, only a way back leads on without it.
function addPoint(job, facts, { stops, decision }, point, away, add) {
  const must = stops.includes(point);
  if (away === "back" || away && !must) return;
  const seen = observed(job, facts, point);
  if (!seen) add("point", point, "Say whether it is as it has to be.", { point, must });
  // A decision may be about just that.
  else if (!seen.met && (must || !decision)) {
    add("point", `${point}/no`, `${must ? "STOP: it" : "It"} is not as it has to be.`, { point, must });
  }
}

function addOpen(job, facts, step, spec, add) {
  const { id, instrument: tool } = spec;
  if (spec.judged && tool && !spec.spread_of && !instrumentOf(job, tool)) {
    add("instrument", tool, `Say which one is used: ${facts.tools[tool].name}.`, { tool });
  }
  for (let n = 0; n < spec.passes; n += 1) {
    if (!roundDone(job, id, n)) add("round", `${id}/${n}`, `Tighten round ${n + 1}.`, { spec: id, index: n });
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
const deviate = work((job, facts, given) => {
  const entry = deviationOf(job, facts, given);
  standsHere(job, entry.step);
  const open = openStep(job, facts, entry.step, given.way).filter((one) => !one.must);
  check(entry.approved_by || !open.length, "Say who allowed it.");
  job.deviations.push({ ...entry, covers: open.map((one) => one.key) });
});

function deviationOf(job, facts, given) {
  const entry = entryOf(facts, "deviations", { ...given, approved_by: given.approvedBy });
  const by = entry.approved_by;
  check(!by || !worksHere(job, by), "Somebody else has to allow it, not those who do the work.");
  return entry;
}

// Moves to a step. Entries from there to here are superseded then, and spreads over them.
function standAt(job, facts, target, step) {
  job.at = target ? target.id : null;
  if (!target || target.number > step.number) return;
  const ids = facts.steps.slice(target.number - 1, step.number).map((one) => one.id);
  for (const list of [job.readings, job.observations, job.witnessed, job.deviations, job.rounds_tightened]) {
    for (const one of list) if (ids.includes(one.step)) one.superseded = true;
  }
  for (const row of job.readings) if (row.computed_from.some((n) => job.readings[n].superseded)) row.superseded = true;
}

// From job.at only -> {ok, to: label | null, stopped: words | null} | {problem, open}
const goOn = work((job, facts, id, way) => {
  standsHere(job, id);
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
  if (way) {
    const { spec = null, side = null, decision: branch = null } = way;
    job.ways_taken.push(signed(job, { step: id, branch, spec, side }));
  }
  const went = on.to ? `Went on to ${on.to.replace("-", " ")}` : on.words || "Went on";
  for (const row of rows.filter((one) => one.reaction === null)) {
    row.reaction = cut(row.asked && row.asked.to === on.to ? row.asked.how : went);
  }
  if (on.stop) end(job, "stopped", on.words);
  else standAt(job, facts, findStep(facts, on.step), step);
  return { to: on.to, stopped: on.stop ? on.words : null };
});

// Out of order, by a deviation {what, reason, approvedBy} -> {ok, to: label}. What no deviation
// covers is not jumped over either.
const jumpTo = work((job, facts, id, given) => {
  const target = check(findStep(facts, id), UNKNOWN);
  const step = findStep(facts, job.at) || facts.steps[facts.steps.length - 1];
  const stop = job.at && stopBetween(job, facts, step, target);
  check(!stop, stop && `Step ${stop.number} says STOP: it has to be put right there before later steps are worked on.`);
  const entry = deviationOf(job, facts, { ...given, step: step.id });
  check(entry.approved_by, "Say who allowed it.");
  job.deviations.push(entry);
  standAt(job, facts, target, step);
  return { to: target.label };
});

// The first step from one on and before another where the job has to stop, if there is one.
function stopBetween(job, facts, from, to) {
  return facts.steps.slice(from.number - 1, to.number - 1).find((step) =>
    step.stops.some((point) => !(observed(job, facts, point) || {}).met)
    || refusedRows(job, step).some((row) => row.asked && row.asked.do === "stop"));
}

function end(job, outcome, note) {
  Object.assign(job, { outcome, note, ended: outcome === "open" ? null : now() });
}

// outcome: "done" or "stopped"; handover: what the next person has to know; why it is stopped
const finish = work((job, facts, outcome, handover, why) => {
  check(outcome !== "done" || job.at === null, "The last step is not behind you yet.");
  job.handover = lineOrNull(handover, "The handover");
  end(job, outcome === "done" ? outcome : "stopped", why ? cut(why) : null);
});

const resume = act((job) => end(job, "open", null));
