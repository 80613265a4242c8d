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
    by: job.workers[job.by].name, note: null, computed_from: [], superseded: false, ...more,
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
    check(NUMBER.test(value), "The readings lie too far apart to be recorded.");
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
    const taken = reaction.to ? timesTaken(job, `${spec}/${sideOf(row)}`) : before;
    const most = reaction.do === "stop" ? 0 : reaction.at_most;
    left = most && Math.max(0, most - taken);
  }
  return { index, value, verdict, side, reaction, left };
}

// note: what has to be known of it -> {ok, reading, spreads: [reading]} | {problem} | {problem, choices: [a, b]}
const setReading = work((job, facts, id, box, text, note = null) => {
  const spec = findSpec(facts, id);
  check(spec && spec.boxes.includes(box) && !spec.spread_of, UNKNOWN);
  standsHere(job, spec.step);
  const { value, choices, problem = "The comma can mean two things." } = readNumber(text);
  check(value, problem, choices && { choices });
  const reading = addReading(job, facts, spec, box, value, { note: lineOrNull(note, "The note") });
  return { reading, spreads: addSpreads(job, facts, spec) };
});

const NO_VERDICT = {
  superseded: true, verdict: "not_judged", side: null, rule: null, asked: null, reaction: null,
};

// A reading that was typed wrongly stays in the record, but decides nothing.
const takeBackReading = work((job, facts, index, reason) => {
  const row = job.readings[index];
  check(row && !row.superseded && !row.computed_from.length, "This reading cannot be taken back.");
  standsHere(job, row.step);
  const why = check(lineOrNull(reason, "The reason"), "The reason is missing.");
  const note = cut(`Taken back: ${why}`);
  for (const one of job.readings) {
    if (one === row || one.computed_from.includes(index)) Object.assign(one, NO_VERDICT, { note });
  }
  addSpreads(job, facts, findSpec(facts, row.spec));
});
