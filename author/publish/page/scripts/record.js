// The record of a job: written to a file, and read from one.

const RECORD = "job_record/1";

// What stands in a record of an entry: no key without a value.
function picked(entry, keys) {
  const empty = (key, value) => value == null || Array.isArray(value) && !value.length
    || value === false && /^(superseded|after_last|no_number)$/.test(key);
  const there = keys.replace(/!/g, "").split(" ").filter((key) => !empty(key, entry[key]));
  return Object.fromEntries(there.map((key) => [key, entry[key]]));
}

function recordOf(job) {
  const record = { schema: RECORD, ...job, stands_at: job.at, after_last: job.at === null, writes: job.by };
  for (const [list, keys] of Object.entries(KEYS)) {
    const rows = job[list].map((one) => picked(one, keys));
    record[list] = rows.length ? rows : "none";
  }
  return picked(record, `schema procedure content data unit serial began ended outcome stands_at after_last writes ${
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
    return { problem: error.problem || sentence("noRecord") };
  }
}

function jobFrom(record, facts) {
  const job = blankJob(facts);
  const { procedure: { id, revision } } = record;
  const { procedure, content } = job;
  check(id === procedure.id && revision === procedure.revision && content === record.content &&
    record.schema === RECORD, sentence("otherRecord"));
  for (const list of Object.keys(KEYS)) {
    for (const row of record[list] === "none" ? [] : record[list]) {
      const entry = entryOf(facts, list, row);
      if (list === "readings") loadReading(job, facts, row, entry);
      else job[list].push(LOADED[list] ? LOADED[list](entry, facts, job, row) : entry);
    }
  }
  for (const key of ["outcome", "began", "ended", "serial", "handover", "note"]) {
    job[key] = lineOrNull(record[key], `The ${key}`);
  }
  const times = job.outcome === "open" ? [job.began] : [job.began, job.ended];
  const { writes = 0, stands_at: at, after_last: behind } = record;
  check(job.workers[+writes] && /^(open|done|stopped)$/.test(job.outcome) &&
    times.every((time) => time && isMoment(time)) && (times[1] || !job.ended),
    sentence("whoWorks"));
  job.by = +writes;
  const done = job.outcome === "done" || behind === true;
  check(done || findStep(facts, at), sentence("whereAt"));
  job.at = done ? null : at;
  return job;
}

// What an entry has besides its keys, and what has to be true of it.
const LOADED = {
  hazards_read: (entry, facts, job) => {
    const { step, message } = entry;
    if (step) check(message < findStep(facts, step).hazards, UNKNOWN);
    else ticking(facts, `general-${message}`);
    return byWorker(entry, job);
  },
  made_ready: (entry, facts, job) => tickOf(entry, facts, job, entry.kind === "prerequisite" ? "before" : entry.kind, entry.item),
  close_outs: (entry, facts, job) => tickOf(entry, facts, job, "after", entry.close_out),
  tags_hung: (entry, facts, job) => tickOf(entry, facts, job, "hold", entry.finding),
  rounds_tightened: (entry, facts, job) => {
    const { step, passes } = findSpec(facts, entry.spec);
    check(entry.round < passes, UNKNOWN);
    return { ...byWorker(entry, job), step };
  },
  observations: (entry, facts) => ({ ...entry, step: stepWithPoint(facts, entry.point).id }),
  ways_taken: (entry, facts, job) => {
    const { step, branch, spec, side } = entry;
    check((branch === null) !== (spec === null), UNKNOWN);
    check(Object.keys(findStep(facts, step).ways).includes(spec ? `${spec}/${side}` : `${step}/${branch}`), UNKNOWN);
    return byWorker(entry, job);
  },
  deviations: (entry, facts, job, { covers = [] }) => {
    const known = (key) => /^(instrument|reading|reaction|round|point|part)\/./.test(key) && key === lineOrNull(key, "An entry");
    check(covers.every(known), UNKNOWN);
    return { ...entry, covers };
  },
  findings: (entry, facts, job) => {
    check(!entry.tagged_by || entry.holds, UNKNOWN);
    return entry.tagged_by ? byWorker(entry, job, "tagged_by") : entry;
  },
};

function tickOf(entry, facts, job, word, name) {
  ticking(facts, `${word}:${name}`);
  return byWorker(entry, job);
}

function byWorker(entry, job, key = "by") {
  check(job.workers.some((one) => one.name === entry[key]), sentence("stranger", entry[key]));
  return entry;
}

function loadReading(job, facts, { instrument = null, computed_from: from = [] }, entry) {
  const { spec: id, unit, value, verdict, phase, by, at, note, reaction, superseded } = entry;
  const spec = findSpec(facts, id);
  const box = entry.position || "";
  check(spec.boxes.includes(box) && unit === spec.unit, UNKNOWN);
  const known = Number.isInteger(instrument) && job.instruments[instrument].tool === spec.instrument;
  check(instrument === null || known, UNKNOWN);
  const base = findSpec(facts, spec.spread_of);
  const rows = from.map((n) => job.readings[n]);
  check(base ? rows.length === base.boxes.length && rows.every((row, n) => row.spec === base.id && row.box === base.boxes[n])
    && compareNumbers(spreadIn(spec, rows), value) === 0 : !from.length,
    sentence("notSpread", spec.characteristic, value));
  const row = pushReading(job, spec, box, value, {
    phase, instrument, reaction, by, at, note, computed_from: [...from], superseded,
  });
  if (spec.judged && verdict === "not_judged") Object.assign(row, NO_VERDICT);
  check(row.verdict === verdict, sentence("verdict", value));
}
