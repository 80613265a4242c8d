// The readings of a job: decided on, worked out from each other, and taken back in the open.

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
    by: job.workers[job.by].name, at: now(), note: null, computed_from: [], superseded: false, ...more,
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

// The spread of some readings in the unit of the spec that asks for it.
function spreadIn(spec, rows) {
  return scaleNumber(spreadOf(rows.map((row) => row.value)), spec.spread_scale);
}

// Works out the spreads over the readings of a spec, once each of its boxes has one.
function addSpreads(job, facts, base) {
  const rows = base.boxes.map((box) => held(job, base.id, box));
  if (rows.includes(null)) return [];
  const specs = facts.steps.flatMap((step) => step.specs);
  return specs.filter((spec) => spec.spread_of === base.id).map((spec) => {
    const value = spreadIn(spec, rows);
    check(NUMBER.test(value), sentence("apart"));
    return addReading(job, facts, spec, "", value, { computed_from: rows.map((row) => row.index) });
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
    const most = reaction.do === "stop" ? 0 : reaction.at_most;
    left = reaction.to ? wayLeft(job, facts, row.step, { spec, side: sideOf(row) }) : most && Math.max(0, most - before);
  }
  return { index, value, verdict, side, reaction, left };
}

// Whether a spread says nothing yet, as a reading it was worked out from is to be taken again.
function unsettled(job, facts, { spread_of: of }) {
  const base = findSpec(facts, of);
  return Boolean(base) && base.boxes.some((box) => {
    const row = held(job, of, box);
    return !row || !accepted(row);
  });
}

// Whether a reading stops the job: its reaction does, or was done as often as it may be.
function saysStop(job, facts, row) {
  return !accepted(row) && !row.superseded && !unsettled(job, facts, findSpec(facts, row.spec))
    && describe(job, facts, row.index).left === 0;
}

// The reading that stops the job, of a reading and the spreads worked out from it.
function stoppedBy(job, facts, row) {
  return job.readings.find((one) => (one === row || one.computed_from.includes(row.index)) && saysStop(job, facts, one));
}

function reactionKey({ spec, box, index }) {
  return `reaction/${spec}/${box}/${index}`;
}

// Who allowed to go on after the stop that a reading asked for, so that it is measured again.
function allowedAgain(job, facts, row) {
  const stop = stoppedBy(job, facts, row);
  const one = stop && lastOf(job.deviations, ({ covers }) => covers.includes(reactionKey(stop)));
  return one && one.approved_by;
}

// note: what has to be known of it -> {ok, reading, spreads: [reading]} | {problem} | {problem, choices: [a, b]}
const setReading = work((job, facts, id, box, text, note = null) => {
  const spec = findSpec(facts, id);
  check(spec && spec.boxes.includes(box) && !spec.spread_of, UNKNOWN);
  standsHere(job, spec.step);
  const { value, choices, problem = sentence("twice") } = readNumber(text);
  check(value, problem, choices && { choices });
  const before = held(job, id, box);
  const stop = before && stoppedBy(job, facts, before);
  const by = stop && allowedAgain(job, facts, before);
  check(by || !stop, sentence("stopStands"));
  if (by) stop.reaction = cut(`${stop.reaction ? `${stop.reaction} ` : ""}Measured again, allowed by ${by}`);
  const reading = addReading(job, facts, spec, box, value, { note: lineOrNull(note, "The note") });
  return { reading, spreads: addSpreads(job, facts, spec) };
});

// That the digits of a reading are all its instrument showed.
const confirmDigits = work((job, facts, index) => {
  const row = check(job.readings[index], UNKNOWN);
  standsHere(job, row.step);
  row.note = sentence("allShown", row.value);
});

// As records of before say of a reading that was taken back.
const NO_VERDICT = {
  superseded: true, verdict: "not_judged", side: null, rule: null, asked: null, reaction: null,
};

// A reading that was typed wrongly stays in the record with its verdict, but decides nothing. One
// that stops the job is taken back only with another person.
const takeBackReading = work((job, facts, index, reason, approvedBy) => {
  const row = job.readings[index];
  const cannot = sentence("noBack");
  standsHere(job, check(row, cannot).step);
  check(!row.superseded && !row.computed_from.length, cannot);
  const why = check(lineOrNull(reason, "The reason"), sentence("noReason"));
  const stop = stoppedBy(job, facts, row);
  const by = stop ? allowedAgain(job, facts, row) || allowedBy(job, approvedBy) : null;
  const spec = findSpec(facts, row.spec);
  if (stop) {
    const what = cut(`Took back the reading ${row.value} ${row.unit} of ${spec.characteristic}${row.box && `, ${row.box}`}, which says STOP`);
    job.deviations.push({ step: row.step, what, reason: why, approved_by: by, proof: "typed", superseded: false, covers: [] });
  }
  const note = cut(`Taken back: ${why}${by ? `. Allowed by ${by}` : ""}`);
  for (const one of job.readings) {
    if (one !== row && !one.computed_from.includes(index)) continue;
    Object.assign(one, { superseded: true, note });
    if (!accepted(one)) one.reaction = "Taken back";
  }
  addSpreads(job, facts, spec);
});
