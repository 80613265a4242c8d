// Before the first step and after the last: who works, what lies ready, the end, the record.

const LIKE = sentence("hoursLike");
const SEND = sentence("send");

// What a job of another revision is, and what can be done with it: it is never gone on with here.
function otherRow([base, one]) {
  const text = recordText(one);
  const words = sentence("revision", one.procedure.revision, one.serial || one.unit, one.began.slice(0, 10), one.workers[0].name, one.outcome);
  return make("li", {}, words, SHOP ? button(SEND, () => sendOut(text, false)) : "",
    button(sentence("saveIts"), () => saveFile(recordName(one), text)),
    button("Put it away", () => putAway(0, 0, base)));
}

function paintOthers() {
  const rows = keptOthers().map(otherRow);
  byId("others").hidden = !rows.length;
  fill(byId("others-list"), rows);
}

PAINT.start = () => {
  paintOthers();
  const one = job || away;
  if (!one) return;
  const [words, label] = standing();
  write("kept-words", `Begun ${minuteOf(one.began)} by ${one.workers[0].name}: ${words}.`);
  byId("kept-on").parentElement.hidden = !job;
  byId("kept-on").href = `#${label === "step-1" ? "ready" : label}`;
};

function beginJob() {
  const result = newJob(FACTS, { name: byId("who-name").value, role: byId("who-role").value, serial: byId("who-serial").value });
  job = result.job || null;
  if (!settle(result, byId("who-problem"))) return byId("who-name").focus();
  take("who-name", "who-serial");
  return leadTo("ready");
}

// Without a base the job of this page.
function putAway(_press, _place, base) {
  if (!confirm(sentence("forget"))) return;
  forget(base);
  if (!base) {
    job = null;
    trouble(null);
  }
  show();
}

async function loadFile({ target }) {
  const result = loadRecordFile(await target.files[0].text(), FACTS);
  if (!settle(result, byId("load-problem"))) return;
  job = result.job;
  settle({ unkept: keep(job).problem });
  leadTo(standing()[1]);
}

function roleWords(id) {
  return (FACTS.roles.find((one) => one.id === id) || { role: id }).role;
}

PAINT.ready = (screen) => {
  paintHazards(screen);
  paintFolds();
  fill(byId("worker-list"), (job ? job.workers : []).map((one, index) => make("li", {}, `${one.name}, ${roleWords(one.role)}${one.also ? ` (${one.also})` : ""} `,
    index === job.by ? "(writes now)"
      : button("Write as them", () => settle(setWorker(job, index))))));
};

function addHand(press, place, sure) {
  const problem = byId("more-problem");
  const result = addWorker(job, FACTS, { name: byId("more-name").value, role: byId("more-role").value, sure });
  if (result.also) askAbout(problem.parentElement, result.problem, [[sentence("addSame"), () => addHand(press, place, true)]]);
  else if (settle(result, problem)) take("more-name");
}

function readyRows() {
  const hazards = all("#ready .hazard").filter((one) => !isRead(one));
  const before = all('#ready [data-tick^="before"]').filter((one) => !one.checked);
  return [...hazards.map((place) => ({ words: sentence("readThis"), place, must: true })),
    ...before.map((place) => ({ words: `Not ticked: ${place.nextElementSibling.textContent}`, place }))];
}

function leaveReady() {
  const [first] = FACTS.steps;
  const laid = all('#ready [data-tick]:not([data-tick^="before"])');
  if (job.at === first.id && laid.length && !laid.some((one) => one.checked) && !confirm(sentence("unlaid"))) return undefined;
  if (job.at !== first.id || !readyRows().length) return leadTo(first.label);
  return showOpen(byId("ready"), readyRows, (given) => deviate(job, FACTS, { ...given, step: first.id }), () => leadTo(first.label));
}

function tickAll(press) {
  for (const box of all(`[data-tick^="${press.dataset.all}:"]`)) tick(job, FACTS, box.dataset.tick, true);
  refresh();
}

PAINT.stop = () => {
  if (job && job.outcome === "stopped") write("stop-why", job.note || sentence("wasStopped"));
  else leadTo(standing()[1]);
};

// A stopped job goes on where its stop is told, with another person.
function goOnAgain(press) {
  if (job.outcome === "stopped" && press.id === "reopen") return leadTo("stop");
  const [reason, approvedBy] = ["resume-why", "resume-by"].map((id) => byId(id).value);
  if (!settle(resume(job, FACTS, { reason, approvedBy }), byId("resume-problem"))) return undefined;
  take("resume-why", "resume-by");
  return leadTo(standing()[1]);
}

PAINT.finish = () => {
  if (!job) return;
  fill(byId("written"), writtenRows());
  const place = byId("hours");
  const names = JSON.stringify(job.workers.map((one) => one.name));
  // Made anew only for others, so that the focus stays in them.
  if (place.dataset.of !== names) {
    fill(place, job.workers.map((one, index) => {
      const hours = make("input", { type: "text", id: `hours-${index}`, maxlength: 20, autocomplete: "off",
        "aria-describedby": `hours-${index}-note`, change: () => writeHours(index) });
      return make("div", { class: "field" }, make("label", { for: hours.id }, `Hours of ${one.name}`), hours,
        make("p", { class: "hint", id: `hours-${index}-note` }, LIKE));
    }));
  }
  place.dataset.of = names;
  for (const [index, hours] of all("input", place).entries()) {
    if (document.activeElement !== hours) hours.value = draftOf(hours.id) || job.workers[index].hours;
  }
  const handover = byId("handover");
  if (job.handover && document.activeElement !== handover) handover.value = job.handover;
  if (savedText && savedText !== recordText(job)) tell(byId("saved"), sentence("changed"));
};

// What is typed as hours and minutes is told as it was understood; what cannot be read stays as typed.
function writeHours(index) {
  const [input, note] = all(`[id^="hours-${index}"]`);
  const typed = input.value.trim();
  const result = setHours(job, index, typed);
  const { hours } = job.workers[index];
  const words = result.problem || (typed && typed !== hours ? `“${typed}” is ${hours} h.` : "");
  if (result.ok) {
    keepDraft(input.id, "");
    input.value = hours;
  }
  note.className = result.problem ? "problem" : "hint";
  input.setAttribute("aria-invalid", Boolean(result.problem));
  fill(note, words || LIKE);
  if (words) say(words, Boolean(result.problem));
  if (result.unkept) trouble(result.unkept);
  refresh();
  return result.ok;
}

function writeHandover(text) {
  if (settle(setHandover(job, text), byId("close-problem"))) keepDraft("handover", "");
}

function finishJob() {
  const wrong = all("#hours input").find((one, index) => one.value !== (job.workers[index].hours || "") && !writeHours(index));
  if (wrong) return focusOn(wrong);
  const handover = byId("handover").value;
  const left = all("#finish [data-tick]").filter((one) => !one.checked).length + job.findings.filter((one) => one.holds && !one.tagged_by).length;
  const result = left && !handover.trim() ? { problem: sentence("left", left) }
    : finish(job, FACTS, job.at === null ? "done" : "stopped", handover);
  if (settle(result, byId("close-problem"))) keepDraft("handover", "");
  return focusOn(result.problem ? byId("handover") : get("#closing .sending button, #save"));
}

function saveFile(name, text) {
  const href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  make("a", { href, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(href), 10000);
}

// The record as it was saved last.
let savedText = "";

function saveRecord() {
  savedText = recordText(job);
  saveFile(recordName(job), savedText);
  const words = sentence("saved", recordName(job));
  tell(byId("saved"), words);
  say(words);
}
