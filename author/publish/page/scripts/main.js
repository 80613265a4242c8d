// Puts everything in its place once.

// What a button does that stands in the document from the start, by itself and its place.
const ACTS = {
  pressRead, useInstrument, doReaction, takeBack, signWitness, fitPart, askJump, goDeviating, goAhead, goOnAgain,
  beginJob, putAway, addHand, leaveReady, tickAll, finishJob, saveRecord, printAll, printRecord,
  askComma: () => settle(setComma(job)),
  met: (press, place) => answer(place, press.dataset.met === "yes"),
  decide: (press, place) => decide(place, true),
  measureAgain: (press, place) => measureAgain(place),
  retake, leaveRetake,
  ask: (press, place) => askInstrument(place, press.dataset.ask),
  way: (press) => goFrom(stepOf(press), { decision: Number(press.dataset.way) }),
  note: (press) => noteOther(press.dataset.note),
  stopPoint: (press, place) => stopHere(null, null, get(".what-now", place).textContent),
  halt: () => stopHere(noted || standsAt(), null),
  quiet: () => trouble(null),
  theme: () => {
    keepDraft("theme", ROOT.dataset.theme === "dark" ? "light" : "dark");
    setTheme();
  },
};

const DARK = matchMedia("(prefers-color-scheme: dark)");

// As it was chosen here, or else as the device has it.
function setTheme() {
  ROOT.dataset.theme = draftOf("theme") || (DARK.matches ? "dark" : "light");
  byId("theme").setAttribute("aria-pressed", ROOT.dataset.theme === "dark");
}

// Where a pointer went down. Leaving a field may move what lies under it before it comes up: what it
// went down on is meant all the same.
let down = {};

function onDown({ target, clientX: x, clientY: y }) {
  down = { place: target.closest("button, a"), x, y };
}

// What was pressed may be made anew meanwhile, by what its field had to write: no click comes then.
function onUp() {
  if (down.place && !down.place.isConnected) down.place.click();
}

function onClick({ target, detail, clientX, clientY }) {
  const { place, x, y } = down;
  if (detail && place && !place.contains(target) && Math.hypot(clientX - x, clientY - y) < 12) {
    down = {};
    place.click();
    return;
  }
  const press = target.closest("[data-act]");
  if (press) ACTS[press.dataset.act](press, press.closest(".hazard, .box, .instrument, .point, .witness, .new-part"));
  else if (target.closest("[data-other]")) noted = stepOf(target);
  else if (target.closest(".skip")) setTimeout(() => get("h2", shown).focus());
}

function onChange({ target }) {
  const { tick: key, role } = target.dataset;
  if (target.id === "handover") writeHandover(target.value);
  // What another role answers for is ticked by somebody of that role.
  if (role && target.checked && job.workers[job.by].role !== role) {
    settle({ problem: sentence("role", roleWords(role)) });
  } else if (key) settle(tick(job, FACTS, key, target.checked));
  if (target.dataset.round) {
    settle(tightenRound(job, FACTS, specOf(target).id, Number(target.dataset.round), target.checked));
  }
  const group = target.closest(".point");
  const seen = group && job && observed(job, FACTS, group.dataset.point);
  if (seen) answer(group, seen.met);
}

// Enter in a field presses the button beside it.
function onKey(event) {
  const entry = event.key === "Enter" && !event.isComposing && event.target.matches("input") && event.target.closest(".entry");
  if (!entry) return;
  event.preventDefault();
  get("button", entry).click();
}

function onInput({ target }) {
  if (!target.id || ["checkbox", "file"].includes(target.type)) return;
  const result = keepDraft(target.id, target.value);
  if (result.problem) trouble(result.problem);
}

function workHere() {
  takeOver();
  location.reload();
}

function told({ problem, kind, other }) {
  const elsewhere = kind === "elsewhere";
  if (elsewhere) [job, away] = [null, other];
  trouble(problem, elsewhere ? button(sentence("workHere"), workHere) : null,
    other ? button(sentence("saveThat"), () => saveFile("other-job.json", recordText(other))) : null,
    kind === "broken" || kind === "other_content" ? button("Put that job away", putAway) : null);
}

// Without a job of its own a tab says what another one does, and once it is looked at again
// goes on with a job that is open nowhere.
function lookAgain({ type }) {
  if (job) return;
  const found = type === "focus" ? kept(FACTS) : { job };
  if (found.job) trouble(null);
  [job, away] = [found.job, found.job ? null : peek()];
  refresh();
}

function start() {
  const found = kept(FACTS);
  job = found.job;
  if (found.problem) told(found);
  watchKeeping(told);
  setTheme();
  listen(DARK, { change: setTheme });
  for (const input of all("input[id]:not([type=checkbox], [type=file]), textarea")) input.value = draftOf(input.id) || input.value;
  listen(document, { pointerdown: onDown, mouseup: onUp, click: onClick, change: onChange, keydown: onKey, focusout: onLeave, input: onInput });
  listen(byId("load-file"), { change: loadFile });
  listen(window, { online: paintNetwork, offline: paintNetwork, storage: lookAgain, focus: lookAgain, hashchange: show, beforeprint: layPaper });
  all(".film").forEach(setUpClip);
  all(".still img").forEach(setUpStill);
  paintNetwork();
  ROOT.classList.add("ready");
  show(true);
}

start();
