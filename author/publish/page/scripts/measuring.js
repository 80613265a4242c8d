// Numbers that are read: typed in, decided on at once, and what to do about them.

const WORDS = { accept: "Accept", reject: "Reject", cannot_tell: "Cannot tell", not_judged: "Noted" };
const DOES = { repeat: "Repeat", recover: "Put right", stop: "STOP" };

function fits(row) {
  return Boolean(row) && ["accept", "not_judged"].includes(row.verdict);
}

function paintSpec(section) {
  const spec = findSpec(FACTS, section.dataset.spec);
  section.classList.toggle("judged", Boolean(job));
  for (const box of all("[data-round]", section)) {
    box.checked = Boolean(job) && roundDone(job, spec.id, Number(box.dataset.round));
  }
  for (const place of all(".instrument", section)) {
    const known = job && instrumentOf(job, place.dataset.instrument);
    place.classList.toggle("done", Boolean(known) && !place.dataset.again);
    const day = known && known.calibrated ? `, calibrated ${known.calibrated}` : "";
    if (known) get(".words", place).textContent = `Number ${known.number}${day}`;
  }
  for (const box of all(".box", section)) paintBox(box, spec);
  section.dataset.comma = job ? job.workers[job.by].comma : "";
}

// Asks for an instrument anew: another one, or the same whose number was typed wrongly.
function askInstrument(place, again) {
  const { number, calibrated } = instrumentOf(job, place.dataset.instrument);
  const [first, second] = all("input", place);
  [first.value, second.value] = again === "correct" ? [number, calibrated || ""] : ["", ""];
  place.dataset.again = again;
  refresh();
  first.focus();
}

function useInstrument(press, place) {
  const [number, day] = all("input", place);
  const result = setInstrument(job, FACTS, place.dataset.instrument,
    { number: number.value, calibrated: day.value, correct: place.dataset.again === "correct" });
  if (result.ok) {
    delete place.dataset.again;
    take(number.id, day.id);
  }
  if (settle(result, place)) focusNext(place);
}

// The next thing at this step that is to be filled in.
function focusNext(from) {
  focusOn(all(".entry input", shown).find((one) => one.offsetParent
    && from.compareDocumentPosition(one) === Node.DOCUMENT_POSITION_FOLLOWING) || from);
}

function specOf(box) {
  return findSpec(FACTS, box.closest("[data-spec]").dataset.spec);
}

function rowsOf(box, spec) {
  return job ? readingsOf(job, FACTS, spec.id, box.dataset.box) : [];
}

// The sign and the words of a verdict, with the value where one is given.
function verdictOf({ verdict, side }, value) {
  return [icon(verdict), make("b", {}, WORDS[verdict]), value ? make("span", { class: "value" }, value) : null,
    side ? make("span", {}, verdict === "reject" ? `${side} the limits` : `too near the limit ${side}`) : null];
}

function doesOf(reaction) {
  return reaction ? `${DOES[reaction.do]}: ${reaction.how}` : "";
}

// What the steps of its instrument say about the digits of a value.
function aboutSteps(value, { instrument, step_of_scale: step, unit }) {
  const kind = step && fineness(value, step);
  const finer = kind === "finer";
  const said = finer ? `${value} cannot be read from it.` : `was ${value} all that it showed?`;
  return { finer, words: kind && `${FACTS.tools[instrument].name} reads in steps of ${step} ${unit}: ${said}` };
}

function paintBox(box, spec) {
  const rows = rowsOf(box, spec);
  const last = rows[rows.length - 1];
  const again = box.dataset.again;
  box.classList.toggle("done", Boolean(last) && !again);
  fill(get(".taken", box), rows.map((row) => make("li", { class: `reading ${row.verdict} ${row === last ? "" : "before"}` },
    verdictOf(row, `${row.value.replace("-", "−")} ${row.unit}`), row === last ? aboutSteps(row.value, spec).words : null)));
  paintPending(box, spec);
  // A spread says nothing while a reading it was worked out from is to be taken again.
  const base = findSpec(FACTS, spec.spread_of);
  const unsure = base && last && base.boxes.some((name) => !fits(readingsOf(job, FACTS, base.id, name).pop()));
  const place = get(".reaction", box);
  place.hidden = Boolean(!last || fits(last) || again || unsure);
  if (place.hidden) return;
  const { reaction, left, stop, target } = reactionOf(box, spec, last);
  place.classList.toggle("stop", stop);
  const [does, times, go] = all(".does, .times, button", place);
  does.textContent = whatToDo(reaction, left);
  tell(times, left ? timesLeft("It may be done", left) : "");
  go.textContent = stop ? "Stop the job here" : target ? `Go to step ${target.number}` : "Done: measure again";
  go.hidden = Boolean(base) && !stop && !target;
}

function times(count) {
  return count === 1 ? "once" : `${count} times`;
}

function timesLeft(words, left) {
  return `${words} ${times(left)} more.`;
}

function usedUp({ how, at_most: most }) {
  return `“${how.replace(/\.$/, "")}” was done ${times(most)}, as often as it may be, and the reading is still not accepted.`;
}

function whatToDo(reaction, left) {
  if (!reaction) return "Nothing is said about this. Stop and ask.";
  if (left !== 0 || reaction.do === "stop") return `${DOES[reaction.do]}: ${reaction.how}`;
  return `${usedUp(reaction)} The job stops here. Leave the machine locked and tagged, and ask whoever answers for this procedure.`;
}

function reactionOf(box, spec, last) {
  const { reaction, left } = describe(job, FACTS, last.index);
  const way = { spec: spec.id, side: last.verdict === "cannot_tell" ? "undecided" : last.side };
  return { reaction, left, way, stop: !reaction || left === 0, target: reaction && labelled(reaction.to) };
}

function doReaction(press, box) {
  const spec = specOf(box);
  const { reaction, way, stop, target } = reactionOf(box, spec, rowsOf(box, spec).pop());
  if (stop) stopHere(stepOf(box), reaction && reaction.do === "stop" ? way : null, reaction ? usedUp(reaction) : whatToDo());
  else if (target) goFrom(stepOf(box), way);
  else measureAgain(box);
}

function measureAgain(box) {
  box.dataset.again = "yes";
  refresh();
  get("input", box).focus();
}

function takeBack(press, box) {
  const { index } = rowsOf(box, specOf(box)).pop();
  if (settle(takeBackReading(job, FACTS, index, "Mistyped"), box)) measureAgain(box);
}

// --- What is typed, before it is a reading ---

// A comma that could mean two things means what this person said it means.
function readTyped(text) {
  const found = readNumber(text);
  const { comma } = job.workers[job.by];
  return found.choices && comma >= 0 ? { value: found.choices[comma] } : found;
}

// 0: it groups thousands, 1: it stands for the point, undefined: that is asked.
const setComma = act((job, comma) => {
  job.workers[job.by].comma = comma;
});

// Shows what a typed number would come to, and returns that in words. It is no reading before
// Enter or the button is pressed, or the field is left: half a number never gets into the record.
function paintPending(box, spec) {
  const [place, input] = [get(".pending", box), get("input", box)];
  const { value } = place && job && !input.disabled ? readTyped(input.value) : {};
  if (place) place.hidden = !value;
  if (!value) return "";
  place.classList.remove("typing");
  const [shown, then, steps] = all("p", place);
  const found = judgeReading(spec, value);
  const { finer, words } = aboutSteps(value, spec);
  shown.className = `reading ${found.verdict}`;
  fill(shown, finer ? [] : verdictOf(found));
  tell(then, finer ? "" : doesOf(found.reaction));
  tell(steps, words);
  return `${nameOf(box)}, ${value}: ${place.innerText}`;
}

function nameOf(box) {
  return box.dataset.box || specOf(box).characteristic;
}

// Said once the hand rests; what was said of fewer digits is taken away at once.
const REST = 800;
let resting = 0;

document.addEventListener("input", ({ target }) => {
  const box = target.closest(".box");
  if (!box) return;
  get(".problem", box).hidden = true;
  get(".pending", box).classList.add("typing");
  clearTimeout(resting);
  resting = setTimeout(() => say(paintPending(box, specOf(box))), REST);
});

// A field is left as well where a device leaves the focus in it when a button is tapped.
document.addEventListener("click", ({ target }) => {
  const field = document.activeElement;
  if (field.matches(".box input") && !field.closest(".box").contains(target)) field.blur();
}, true);

// A number becomes a reading as well when its box is left, but not when the window is.
function onLeave({ target, relatedTarget }) {
  const box = target.closest(".entry") && target.closest(".box");
  const input = box && get("input", box);
  if (input && job && input.value.trim() && input.offsetParent && !box.contains(relatedTarget)
    && document.activeElement !== target) decide(box, false);
}

function askAbout(box, problem, answers) {
  settle({ problem }, box);
  get(".problem", box).append(make("p", { class: "row" }, answers.map(([words, click]) => button(words, click))));
}

// Makes what stands in a box a reading; the focus goes on where somebody asked for it. A value
// its instrument cannot show is one only if somebody is sure of it.
function decide(box, follow, sure) {
  clearTimeout(resting);
  const [input, spec] = [get("input", box), specOf(box)];
  const { choices, value } = readTyped(input.value);
  if (choices) {
    askAbout(box, `The comma in “${input.value}” can mean two things. Which number was read?`,
      choices.map((choice, comma) => [choice, () => settle(setComma(job, comma)) && decide(box, true)]));
    return;
  }
  const { finer, words } = value ? aboutSteps(value, spec) : {};
  if (finer && sure !== value) {
    askAbout(box, `${words} Type what it shows, or:`, [[`It was read so: ${value}`, () => decide(box, true, value)]]);
    return;
  }
  const result = setReading(job, FACTS, spec.id, box.dataset.box, value || input.value, finer ? words : null);
  if (result.ok) {
    delete box.dataset.again;
    take(input.id);
  }
  if (!settle(result, box)) return;
  const { verdict, reaction, left } = result.reading;
  const does = reaction ? whatToDo(reaction, left) : "";
  say(`${nameOf(box)}: ${value} ${spec.unit}. ${WORDS[verdict]}. ${does}`, !fits(result.reading));
  if (!follow) return;
  if (fits(result.reading)) focusNext(box);
  else focusOn(get(".reaction", box));
}
