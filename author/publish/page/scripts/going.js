// How a job goes on: what is still open at a step, the ways on, deviations, and the end.
//
// A way on is undefined (the next step, or goes_to), {decision: n}, or {spec, side: "below" |
// "above" | "undecided"} for what a reaction says.

// A way as the facts have it, with how often it may be taken yet (null: no end). Whichever way
// leads from a step to the same one, it counts, and the least of their limits holds.
function wayOn(job, step, way) {
  const { ways } = step;
  const on = ways[!way ? "next" : way.spec ? `${way.spec}/${way.side}` : `${step.id}/${way.decision}`];
  if (!on) return on;
  const alike = Object.keys(ways).filter((key) => key !== "next" && (ways[key] === on || on.to && ways[key].to === on.to));
  const most = alike.map((key) => ways[key].at_most).filter((one) => one !== null && (on.back || on.at_most !== null));
  const taken = job.ways_taken.filter((one) => alike.includes(one.spec ? `${one.spec}/${one.side}` : `${one.step}/${one.branch}`));
  return { ...on, left: most.length ? Math.max(0, Math.min(...most) - taken.length) : null };
}

function wayLeft(job, facts, id, way) {
  return (wayOn(job, findStep(facts, id), way) || { left: null }).left;
}

function refusedRows(job, { specs }) {
  const rows = specs.flatMap(({ id, boxes }) => boxes.map((box) => held(job, id, box)));
  return rows.filter((row) => row && !accepted(row));
}

// Whether a number decides on the way, and all that is measured at the step is accepted.
function allAccepted(job, facts, { specs, decision }) {
  const by = decision && findSpec(facts, decision.spec);
  const judged = [...new Set([...specs, by])].filter((spec) => spec && spec.judged);
  return Boolean(by) && by.judged && judged.every(({ id, boxes }) => boxes.every((box) => {
    const row = held(job, id, box);
    return row && accepted(row);
  }));
}

// Why a way cannot be taken now, in words, or "".
function wayShut(job, facts, step, way) {
  const on = wayOn(job, step, way);
  if (on.left === 0) return sentence("taken");
  const stop = !on.stop && refusedRows(job, step).find((row) => saysStop(job, facts, row));
  if (stop) return sentence("noWay", stop.value, stop.unit);
  const mends = on.back || on.stop || step.specs.some(({ reactions }) =>
    Object.values(reactions).some((one) => one && one.to && one.to === on.to));
  const idle = way && !way.spec && mends && allAccepted(job, facts, step);
  return idle ? sentence("idle") : "";
}

// What is made anew when the work goes back over its step.
const REPEATED = ["readings", "observations", "witnessed", "deviations", "rounds_tightened"];

// What is lost on a way back, in words, or "".
function lostOn(job, facts, step, way) {
  const on = wayOn(job, step, way);
  const target = on && on.back && findStep(facts, on.step);
  const lists = [...REPEATED, "parts_used"].flatMap((list) => job[list]);
  if (!target || !counting(lists, ({ step: at }) => between(facts, target, step, at)).length) return "";
  const places = target === step ? `step ${step.number}` : `steps ${target.number} to ${step.number}`;
  return sentence("lost", places);
}

function between(facts, first, last, id) {
  const { number = 0 } = findStep(facts, id) || {};
  return first.number <= number && number <= last.number;
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
    if (!hazardRead(job, id, n)) add("hazard", n, sentence("hazard", n + 1), must);
  }
  const away = leadsAway(job, step, way, on);
  for (const point of step.points) addPoint(job, facts, step, point, away && (on.back ? "back" : "aside"), add);
  if (away) return found;
  for (const spec of step.specs) addOpen(job, facts, step, spec, add);
  for (const { part, quantity } of step.parts) {
    const fitted = fittedAt(job, id, part);
    const { name } = facts.parts[part];
    if (fitted < quantity) add("part", part, `Fitted: ${fitted} of ${quantity}: ${name}.`, { part });
    for (const one of partsIn(job, id, part)) {
      const text = sentence("instead", name, one.number, facts.parts[part].numbers.join(" or "));
      if (isOther(facts, one)) add("part", `${part}/${bareNumber(one.number)}`, text, { part, given: text });
    }
  }
  const alone = step.witness && !witnessOf(job, facts, id);
  if (alone) add("witness", id, sentence("second"), { must: true });
  return found;
}

// Where the job stops unless a point is met, only a way back leads on without it.
function addPoint(job, facts, { stops, decision }, point, away, add) {
  const must = stops.includes(point);
  if (away === "back" || away && !must) return;
  const seen = observed(job, facts, point);
  if (!seen) add("point", point, sentence("sayPoint"), { point, must });
  // A decision may be about just that.
  else if (!seen.met && (must || !decision)) {
    add("point", `${point}/no`, `${must ? "STOP: it" : "It"} is not as it has to be.`, { point, must });
  }
}

function addOpen(job, facts, step, spec, add) {
  const { id, instrument: tool } = spec;
  if (spec.judged && tool && !spec.spread_of && !instrumentOf(job, tool)) {
    add("instrument", tool, sentence("whichOne", facts.tools[tool].name), { tool });
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
    const must = saysStop(job, facts, row);
    add("reaction", reactionKey(row).slice(9), `${must ? "STOP" : "Not accepted"}: ${what}.`, { spec: id, box, must });
  }
}

// {step, what, reason, approvedBy, way}: done otherwise than written; covers what is open there,
// and says itself which other part went in.
const deviate = work((job, facts, given) => {
  const open = openStep(job, facts, given.step, given.way).filter((one) => !one.must);
  const parts = open.filter((one) => one.given && !one.allowed).map((one) => one.given);
  const entry = deviationOf(job, facts, { ...given, what: [...parts, given.what || ""].join(" ") });
  standsHere(job, entry.step);
  check(entry.approved_by || !open.length, WHO);
  job.deviations.push({ ...entry, covers: open.map((one) => one.key) });
});

// No name is proved here: anybody can type it.
function deviationOf(job, facts, given) {
  const entry = entryOf(facts, "deviations", { ...given, approved_by: given.approvedBy });
  if (entry.approved_by) allowedBy(job, entry.approved_by);
  entry.proof = entry.approved_by && "typed";
  return entry;
}

// Moves to a step. Entries from there to here are superseded then, and spreads over them. A part
// that was fitted there is in the machine yet: its step asks what becomes of it.
function standAt(job, facts, target, step) {
  job.at = target ? target.id : null;
  if (!target || target.number > step.number) return;
  const ids = facts.steps.slice(target.number - 1, step.number).map((one) => one.id);
  for (const one of REPEATED.flatMap((list) => job[list])) if (ids.includes(one.step)) one.superseded = true;
  for (const one of job.parts_used) if (ids.includes(one.step)) one.repeated = "open";
  for (const row of job.readings) if (row.computed_from.some((n) => job.readings[n].superseded)) row.superseded = true;
}

// From job.at only -> {ok, to: label | null, stopped: words | null} | {problem, open}
const goOn = work((job, facts, id, way) => {
  standsHere(job, id);
  const step = findStep(facts, id);
  const on = wayOn(job, step, way);
  check(on && (way || !step.decision), sentence("choose"));
  check(on.to || on.ends, sentence("nowhere"));
  const rows = refusedRows(job, step);
  const asks = (row) => row.spec === way.spec && sideOf(row) === way.side;
  check(!way || !way.spec || rows.some(asks), sentence("notAsked"));
  const shut = wayShut(job, facts, step, way);
  check(!way || !shut, shut);
  const open = openStep(job, facts, id, way).filter((one) => !one.allowed);
  check(!open.length, sentence("stillOpen"), { open });
  check(!shut, shut);
  if (way) {
    const { spec = null, side = null, decision: branch = null } = way;
    job.ways_taken.push(signed(job, { step: id, branch, spec, side }));
  }
  const went = on.to ? `Went on to ${on.to.replace("-", " ")}` : on.words || "Went on";
  for (const row of rows.filter((one) => one.reaction === null)) {
    row.reaction = cut(row.asked && row.asked.to === on.to ? row.asked.how : went);
  }
  if (on.stop) end(job, "stopped", on.words);
  else {
    if (!on.back) takeOff(job, step);
    standAt(job, facts, findStep(facts, on.step), step);
  }
  return { to: on.to, stopped: on.stop ? on.words : null };
});

// What keeps the job from being moved to a step, which no deviation covers -> [{step, text}]: a
// STOP where it stands, and on the way ahead what is dangerous and not known or seen.
function jumpOpen(job, facts, target) {
  const at = findStep(facts, job.at);
  if (!at) return [];
  const found = [];
  const add = (step, text) => found.push({ step: step.id, text: `Step ${step.number} ${text}` });
  for (const step of new Set([at, ...facts.steps.slice(at.number - 1, target.number - 1)])) {
    for (const row of refusedRows(job, step)) {
      if (saysStop(job, facts, row)) add(step, sentence("saysStop", row.value, row.unit));
    }
    if (target.number > at.number) addAhead(job, facts, step, (text) => add(step, text));
  }
  return found;
}

function addAhead(job, facts, step, add) {
  for (let n = 0; n < step.hazards; n += 1) {
    if (!hazardRead(job, step.id, n)) add(sentence("unread", n + 1));
  }
  for (const point of step.stops) {
    const seen = observed(job, facts, point);
    if (!seen) add(sentence("unseen"));
    else if (!seen.met) add(sentence("notSo"));
  }
  if (step.witness && !witnessOf(job, facts, step.id)) add(sentence("waits"));
}

// Out of order, by a deviation {what, reason, approvedBy} -> {ok, to: label}
const jumpTo = work((job, facts, id, given) => {
  const target = check(findStep(facts, id), UNKNOWN);
  const step = findStep(facts, job.at) || facts.steps.at(-1);
  const open = jumpOpen(job, facts, target);
  check(!open.length, `First: ${open.map((one) => one.text).join(" ")}`, { open });
  const entry = deviationOf(job, facts, { ...given, step: step.id });
  check(entry.approved_by, WHO);
  job.deviations.push(entry);
  standAt(job, facts, target, step);
  return { to: target.label };
});

function end(job, outcome, note) {
  Object.assign(job, { outcome, note, ended: outcome === "open" ? null : now() });
}

// outcome: "done" or "stopped"; handover: what the next person has to know; why it is stopped
const finish = work((job, facts, outcome, handover, why) => {
  check(outcome !== "done" || job.at === null, sentence("notLast"));
  job.handover = lineOrNull(handover, "The handover") || job.handover;
  end(job, outcome === "done" ? outcome : "stopped", why ? cut(why) : null);
});

const setHandover = closing((job, text) => {
  job.handover = lineOrNull(text, "The handover");
});

// {reason, approvedBy}: a job that was stopped goes on only with another person. What was read
// stands, and a STOP with it until it is measured again.
const resume = act((job, facts, given = {}) => {
  if (job.outcome === "stopped") {
    const step = job.at || facts.steps.at(-1).id;
    const what = cut(`${sentence("wentOn")}${job.note ? `: ${job.note}` : ""}`);
    const entry = deviationOf(job, facts, { ...given, step, what });
    check(entry.approved_by, WHO);
    const stops = refusedRows(job, findStep(facts, step)).filter((row) => saysStop(job, facts, row));
    job.deviations.push({ ...entry, covers: stops.map(reactionKey) });
  }
  end(job, "open", null);
});
