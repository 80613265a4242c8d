// On paper: the record, alone or before the whole procedure in its order.

// The words beside a box that is ticked.
function tickWords(key) {
  const box = all("[data-tick]").find((one) => one.dataset.tick === key);
  // A part that goes back has none; older records may name it.
  return box ? box.labels[0].firstChild.textContent : (FACTS.parts[key.slice(5)] || { name: key }).name;
}

function stopWord() {
  return make("b", { class: "stop-word" }, "STOP");
}

function plain(words) {
  return words.replaceAll("_", " ");
}

// What is said of an entry of the record instead of its id: by its value, its row, the record.
const PAPER = {
  step: (id) => `Step ${findStep(FACTS, id).number}`,
  spec: (id) => `Step ${findStep(FACTS, findSpec(FACTS, id).step).number}: ${findSpec(FACTS, id).characteristic}`,
  point: pointWords,
  covers: (keys) => keys.map(coverWords).join("; "),
  by: typedName,
  approved_by: typedName,
  tool: (id) => FACTS.tools[id].name,
  part: (id) => FACTS.parts[id].name,
  role: roleWords,
  value: (value, { unit }) => `${value} ${unit}`,
  at: minuteOf,
  began: minuteOf,
  ended: minuteOf,
  verdict: (word, { stop }) => [stop ? stopWord() : "", ` ${WORDS[word]}`],
  quantity: String,
  message: (n, { step }) => get(".what", all(step ? `#${findStep(FACTS, step).label} .hazard` : "#ready .hazard")[n]).textContent,
  branch: (n, { step }) => get(`[data-way="${n}"] strong`, byId(findStep(FACTS, step).label)).textContent,
  instrument: (index, row, { instruments }) => instruments[index].number,
  item: (id, { kind }) => tickWords(`${kind === "prerequisite" ? "before" : kind}:${id}`),
  close_out: (id) => tickWords(`after:${id}`),
  finding: (id) => tickWords(`hold:${id}`),
  no_number: () => NO_NUMBER,
  repeated: (word) => word === "in" ? sentence("stillIn") : sentence("notSaid"),
  procedure: ({ id, revision }) => `${id}, revision ${revision}`,
};
// What is told beside something else, or only to programs.
const UNTOLD = /^(schema|data|stop|proof|rule|unit|kind|computed_from|superseded|stands_at|after_last|writes)$/;

function paperCell(name, row, record) {
  const value = row[name];
  if (value === undefined) return "message" in row ? "Whole job" : "–";
  if (PAPER[name]) return PAPER[name](value, row, record);
  if (typeof value === "boolean") return value ? "yes" : "no";
  return typeof value === "number" ? `${name} ${value + 1}` : value;
}

// The columns that are read first stand first.
const FIRST = ["step", "spec", "point", "position", "value", "limits", "verdict", "reaction", "what"];
// Long lists of little: they are set close.
const TICKED = ["hazards_read", "made_ready", "rounds_tightened", "tags_hung", "close_outs"];

function paperList(name, rows, record) {
  const one = (key) => new Set(rows.map((row) => row[key])).size === 1;
  const ticked = TICKED.includes(name);
  const place = (head) => (FIRST.includes(head) ? FIRST.indexOf(head) : FIRST.length);
  const heads = Object.keys(Object.assign({}, ...rows)).sort((a, b) => place(a) - place(b))
    .filter((head) => !UNTOLD.test(head) && !(head === "by" && one("by")) && !(head === "at" && ticked));
  const cells = (row) => heads.map((head) => paperCell(head, row, record));
  const gone = (row) => ({ class: row.superseded ? "superseded" : "" });
  const line = (kind, words, given) => make("tr", given, words.map((cell, n) => make(kind, { class: `is-${heads[n]}` }, cell)));
  const by = one("by") && rows[0].by ? `, by ${paperCell("by", rows[0])}` : "";
  const times = ticked ? `, ${[rows[0], rows.at(-1)].map((row) => paperCell("at", row)).join(" to ")}` : "";
  return [make("h3", {}, plain(name), by, times), ticked
    ? make("ul", { class: "close" }, rows.map((row) => make("li", gone(row), cells(row).join(", "))))
    : make("table", {}, make("thead", {}, line("th", heads.map(plain), {})), make("tbody", {}, rows.map((row) => line("td", cells(row), gone(row)))))];
}

function layPaper() {
  byId("paper").hidden = !job;
  if (job) layRecord(recordOf(job, FACTS));
  if (ROOT.dataset.paper) return;
  foldLists(null);
  fetchStills();
  for (const screen of all(".step")) paintStep(screen, stepOf(screen));
}

// What has to be known first: why it was stopped, what holds the unit, what is not done yet.
function paperHead() {
  const open = (word) => FACTS.ticks.filter((key) => key.startsWith(`${word}:`));
  const hung = (done) => (done ? "The tag hangs." : sentence("notHung"));
  const hold = (what, done) => make("p", {}, make("b", { class: "hold-word" }, "HOLD"), ` ${what.replace(/([^.!?])$/, "$1.")} ${hung(done)}`);
  const todo = open("after").filter((key) => !ticked(job, FACTS, key)).map((key) => make("li", {}, tickWords(key)));
  const stands = job.readings.filter((row) => held(job, row.spec, row.box) === row && saysStop(job, FACTS, row));
  return [job.outcome === "open" ? make("p", {}, make("b", {}, sentence("unfinished", standing()[0]))) : "",
    stands.map((row) => make("p", {}, stopWord(), ` ${PAPER.spec(row.spec)}: ${PAPER.value(row.value, row)}`)),
    job.outcome === "stopped" ? make("p", {}, stopWord(), ` ${job.note || sentence("noWhy")}`) : "",
    open("hold").map((key) => hold(tickWords(key).replace(/^.*?: /, ""), ticked(job, FACTS, key))),
    job.findings.filter((one) => one.holds).map((one) => hold(one.what, one.tagged_by)),
    todo.length ? [make("h3", {}, "Not done yet"), make("ul", { class: "plain" }, todo)] : ""];
}

function layRecord(record) {
  const names = Object.keys(record).filter((name) => name === "unit" || !UNTOLD.test(name));
  const [lists, rest] = [true, false].map((kind) => names.filter((name) => Array.isArray(record[name]) === kind));
  const [none, single] = [true, false].map((kind) => rest.filter((name) => name in KEYS === kind));
  const limits = ({ spec }) => get(".limits strong", all("[data-spec]").find((one) => one.dataset.spec === spec)).textContent;
  const told = (name) => (name !== "readings" ? record[name]
    : record[name].map((row, n) => ({ ...row, limits: limits(row), stop: saysStop(job, FACTS, job.readings[n]) })));
  const sign = (words) => make("p", { class: "sign" }, sentence("sign", words));
  fill(byId("paper-body"), paperHead(), make("dl", { class: "facts" }, single.map((name) => make("div", {},
    make("dt", {}, plain(name)), make("dd", {}, paperCell(name, record, record))))),
    lists.map((name) => paperList(name, told(name), record)),
    none.includes("made_ready") ? make("p", {}, sentence("unready")) : "",
    none.length ? make("p", {}, sentence("nothing", none.map(plain).join(", "))) : "",
    job.workers.map((one) => sign(`Done by ${one.name}`)), sign("Checked by"));
}

// The browser prints all of it, unless only the record is asked for.
async function printAll() {
  layPaper();
  await Promise.all(all("img").map((image) => image.decode().catch(() => {})));
  print();
}

function printRecord() {
  ROOT.dataset.paper = "record";
  layPaper();
  print();
}

// --- Lists that fold: one is open on the screen, all are on paper ---

const FOLDS = all(".fold");

// Folds all but one, or unfolds all.
function foldLists(kept) {
  for (const one of FOLDS) {
    one.toggleAttribute("name", false);
    one.open = !kept || one === kept;
    if (kept) one.setAttribute("name", "fold");
  }
}

function paintFolds() {
  for (const one of FOLDS) {
    const [place, boxes] = [get(".laid", one), all("[data-tick]", one)];
    const done = boxes.filter((box) => box.checked).length;
    if (boxes.length) fill(place, `${done} of ${boxes.length} ${place.dataset.laid}`);
    mark(one, "all", boxes.length > 0 && done === boxes.length);
  }
  fill(get(".laid", byId("hands")), job ? job.workers.map((one) => one.name).join(", ") : "");
}

foldLists(FOLDS[0]);
listen(window, { afterprint() {
  delete ROOT.dataset.paper;
  foldLists(FOLDS[0]);
} });
// What was folded above it moves the list that was opened.
document.addEventListener("toggle", ({ target }) => {
  if (target.open && target.matches(".fold[name]")) target.scrollIntoView({ block: "nearest" });
}, true);
