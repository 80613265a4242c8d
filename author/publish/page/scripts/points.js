// What is read, ticked, seen, fitted and witnessed.

// Hazards read by somebody who looks at the page beside a job.
const LOOKED = new Set();

function isRead(panel) {
  const step = stepOf(panel);
  const { hazard } = panel.dataset;
  const read = job && (step ? hazardRead(job, step.id, Number(hazard)) : ticked(job, FACTS, hazard));
  return read || !working() && LOOKED.has(panel);
}

// Shows which messages are read, and returns whether all are.
function paintHazards(screen) {
  const panels = all(".hazard", screen);
  for (const panel of panels) mark(panel, "done", isRead(panel));
  return panels.every(isRead);
}

function pressRead(press, panel) {
  const step = stepOf(panel);
  const { hazard } = panel.dataset;
  LOOKED.add(panel);
  settle(!working() ? {} : step ? readHazard(job, FACTS, step.id, Number(hazard)) : tick(job, FACTS, hazard, true));
  const more = all(".read button", shown).find((one) => one.offsetParent);
  // On the text of the next, so that a second press of Enter marks nothing.
  focusOn(more ? get(".what", more.closest(".hazard")) : get(".action, [data-tick]", shown) || shown);
}

function paintPoint(group) {
  const seen = job && observed(job, FACTS, group.dataset.point);
  for (const press of all("[data-met]", group)) {
    press.setAttribute("aria-pressed", Boolean(seen) && seen.met === (press.dataset.met === "yes"));
  }
}

function answer(group, met) {
  const input = get("input", group);
  const otherwise = get(".otherwise", group);
  settle(observe(job, FACTS, group.dataset.point, met, input.value), group, met ? "Confirmed." : otherwise.textContent);
}

// A name that anybody may have typed says so.
function typedName(name, { proof }) {
  return proof ? sentence("typed", name) : name;
}

function paintWitness(place) {
  const seen = job && witnessOf(job, FACTS, place.dataset.witness);
  mark(place, "done", seen);
  fill(get(".seen-by", place), seen ? [icon("accept"), `Seen by ${typedName(seen.by, seen)}, ${minuteOf(seen.at)}`,
    atStep(stepOf(place)) ? button("Take this name back", () => settle(takeBackWitness(job, FACTS, stepOf(place).id), place)) : ""] : "");
}

function signWitness(press, place) {
  const input = get("input", place);
  if (settle(witness(job, FACTS, place.dataset.witness, input.value), place, "Signed.")) take(input.id);
}

function paintPart(place) {
  const { part, quantity } = place.dataset;
  const step = stepOf(place).id;
  const rows = (job ? job.parts_used : []).map((row, index) => [row, index])
    .filter(([row]) => row.part === part && row.step === step && !row.superseded);
  const fitted = job ? fittedAt(job, step, part) : 0;
  mark(place, "done", fitted >= Number(quantity));
  for (const press of all("[data-count=rest]", place)) fill(press, `Fitted: all ${quantity - fitted}`);
  let right = 0;
  fill(get(".taken", place), rows.map(([row, index]) => {
    const wrong = wrongPart(row);
    const before = row.repeated === "open";
    right += wrong || before ? 0 : row.quantity;
    return make("li", { class: `reading ${wrong ? "reject" : before ? "cannot_tell" : ""}` }, icon(wrong ? "reject" : before ? "cannot_tell" : "tick"),
      `${row.quantity} × ${row.number || (row.no_number ? NO_NUMBER : "without a number")}`, wrong && make("b", {}, wrong),
      before ? [make("b", {}, sentence("before")), button("It is still in", () => tappedTwice() || settle(partStays(job, FACTS, index)))] : "",
      button(`Take out ${row.number || ""}`, () => tappedTwice() || settle(takeOut(job, "parts_used", index))));
  }));
  fill(get(".fitted", place), `Fitted: ${right} of ${quantity}`);
}

// What is said of a part that is not the one called for, else "".
function wrongPart(row) {
  return isOther(FACTS, row) ? sentence("wrong", FACTS.parts[row.part].numbers.join(" or "), row.number) : "";
}

// A second tap this soon is the same one.
const TAP = 700;
let fittedLast = 0;

function tappedTwice() {
  return Date.now() - fittedLast < TAP;
}

const NO_NUMBER = "no number on it";

// Where a number is called for, none is an answer only if it is given.
function fitPart(press, place, none) {
  if (tappedTwice()) return;
  fittedLast = Date.now();
  const { part, quantity: all } = place.dataset;
  const quantity = press.dataset.count === "rest" ? all - fittedAt(job, stepOf(place).id, part) : 1;
  const { id, value } = get("input", place);
  const { numbers } = FACTS.parts[part];
  const unnumbered = numbers.length > 0 && !value.trim();
  if (unnumbered && none !== true) {
    fittedLast = 0;
    askAbout(place, sentence("number", numbers.join(" or ")), [[sentence("noNumber"), () => fitPart(press, place, true)]]);
    return;
  }
  if (settle(usePart(job, FACTS, { part, number: value, quantity, no_number: unnumbered }), place, wrongPart({ part, number: value }) || "Noted.")) take(id);
}

// --- What is not as the procedure shows it ---

let noted = null;

PAINT.other = () => {
  const step = noted || standsAt() || FACTS.steps.at(-1);
  write("other-step", `At step ${step.number}: ${get(".action", byId(step.label)).textContent}`);
  byId("other-back").href = `#${step.label}`;
  fill(byId("other-written"), writtenRows(step));
  byId("other-written-title").hidden = !byId("other-written").children.length;
  for (const one of all(".receipt")) one.hidden = true;
};

// Defects, questions and deviations written down, at one step or at all.
function writtenRows(step) {
  const rows = (list, words) => (job ? job[list] : []).filter((row) => !step || row.step === step.id).map((row) => make("li", {},
    row.step ? `Step ${findStep(FACTS, row.step).number}. ` : "", words(row)));
  const tag = (row) => (row.tagged_by ? sentence("hungBy", row.tagged_by).replace("..", ".")
    : button(sentence("hang"), () => settle(tagFound(job, job.findings.indexOf(row)))));
  return [rows("findings", (row) => [`Defect${row.holds ? ", holds the unit" : ""}: ${row.what} `, row.holds ? tag(row) : ""]),
    rows("questions", (row) => `Question: ${row.text}`),
    rows("deviations", (row) => sentence("otherwise", row.what, row.reason, typedName(row.approved_by || "nobody", row)).replace("..", ".") + (row.covers.length ? ` Passed over: ${row.covers.map(coverWords).join("; ")}.` : ""))];
}

// What a deviation passes over, in words.
function coverWords(key) {
  const [kind, id, ...more] = key.split("/");
  const { name = id, characteristic = name } = FACTS.tools[id] || FACTS.parts[id] || findSpec(FACTS, id) || {};
  const place = kind === "reading" ? more[0] : kind === "reaction" && more.slice(0, -1).join("/");
  return sentence(kind, kind === "point" ? pointWords(id) : characteristic, place ? `, ${place}` : "");
}

function pointWords(id) {
  return (get(`[data-point="${CSS.escape(id)}"] legend`) || { textContent: id }).textContent;
}

function noteOther(what) {
  const step = (noted || standsAt() || FACTS.steps.at(-1)).id;
  const { value } = byId(what);
  const result = what === "finding"
    ? find(job, FACTS, { what: value, step, holds: byId("finding-holds").checked }) : ask(job, FACTS, { text: value, step });
  const receipt = `Kept with this job: “${value.trim()}”`;
  if (!settle(result, byId("other-problem"), receipt)) return;
  tell(byId(`${what}-kept`), receipt);
  take(what);
  byId("finding-holds").checked = false;
}
