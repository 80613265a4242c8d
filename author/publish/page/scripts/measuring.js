// Numbers that are read: typed in, decided on at once, and what to do about them.

const WORDS = { accept: "Accept", reject: "Reject", cannot_tell: "Cannot tell", not_judged: "Noted" };
const DOES = { repeat: "Repeat", recover: "Put right", stop: "STOP" };

function fits(row) {
  return Boolean(row) && ["accept", "not_judged"].includes(row.verdict);
}

function paintSpec(section) {
  const spec = findSpec(FACTS, section.dataset.spec);
  mark(section, "judged", job);
  for (const box of all("[data-round]", section)) {
    box.checked = Boolean(job) && roundDone(job, spec.id, Number(box.dataset.round));
  }
  for (const place of all(".instrument", section)) {
    const known = job && instrumentOf(job, place.dataset.instrument);
    mark(place, "done", known && !place.dataset.again);
    const day = known && known.calibrated;
    if (known) fill(get(".words", place), `Number ${known.number}`, day ? [", calibrated ", make("span", { class: "whole" }, day)] : "");
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

// A calibration this long ago is asked about once (common practice, no source).
const OLD = 5;

function longAgo(day) {
  return day && Number(day.slice(0, 4)) + OLD + day.slice(4) < now().slice(0, 10);
}

function useInstrument(press, place) {
  const [number, day] = all("input", place);
  // A browser gives nothing of a day that is typed by half.
  if (day.validity.badInput) {
    settle({ problem: sentence("halfDay") }, place);
    day.focus();
    return;
  }
  if (isDay(day.value) && longAgo(day.value) && place.dataset.sure !== day.value) {
    place.dataset.sure = day.value;
    settle({ problem: sentence("old", day.value, OLD) }, place);
    return;
  }
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
function aboutSteps(value, { instrument, step_of_scale: step, scale_range: range, unit }) {
  const { name } = FACTS.tools[instrument] || {};
  const outside = range && (range.lower !== null && compareNumbers(value, range.lower) < 0
    || range.upper !== null && compareNumbers(value, range.upper) > 0);
  if (outside) {
    const ends = [["from", range.lower], ["to", range.upper]].filter(([, end]) => end !== null).map((one) => one.join(" "));
    return { asked: true, words: sentence("outside", name, ends.join(" "), unit, value) };
  }
  const kind = step && fineness(value, step);
  const asked = kind === "finer";
  const said = asked ? sentence("cannotRead", value) : sentence("wasAll", value);
  return { asked, words: kind && sentence("inSteps", name, step, unit, said) };
}

function paintBox(box, spec) {
  const rows = rowsOf(box, spec);
  const last = rows.at(-1);
  const again = box.dataset.again;
  mark(box, "done", last && !again);
  const about = (row) => {
    const words = row.note || aboutSteps(row.value, spec).words || "";
    return [words, words && !row.note ? button("Yes, all of it", () => settle(confirmDigits(job, FACTS, row.index))) : ""];
  };
  fill(get(".taken", box), rows.map((row) => make("li", { class: `reading ${row.verdict} ${row === last ? "" : "before"}` },
    verdictOf(row, `${row.value.replace("-", "−")} ${row.unit}`), row === last ? about(row) : null)));
  paintPending(box, spec);
  for (const press of all("[data-act=measureAgain]", box)) press.hidden = Boolean(last && stoppedBy(job, FACTS, last) && !allowedAgain(job, FACTS, last));
  const base = spec.spread_of;
  const place = get(".reaction", box);
  place.hidden = Boolean(!last || fits(last) || again || unsettled(job, FACTS, spec));
  if (place.hidden) return;
  const { reaction, left, way, stop, target, by } = reactionOf(box, spec, last);
  const shut = !stop && target && wayShut(job, FACTS, stepOf(box), way);
  mark(place, "stop", stop);
  const [does, times, go] = all(".does, .times, button", place);
  fill(does, whatToDo(reaction, left));
  tell(times, by ? sentence("again", by) : shut || (left ? timesLeft("It may be done", left) : ""));
  fill(go, stop ? "Stop the job here" : target ? `Go to step ${target.number}` : by ? "Measure again" : "Done: measure again");
  go.hidden = Boolean(shut) || Boolean(base) && !stop && !target;
}

function times(count) {
  return count === 1 ? "once" : `${count} times`;
}

function timesLeft(words, left) {
  return `${words} ${times(left)} more.`;
}

function usedUp({ how, at_most: most }) {
  return sentence("used", how.replace(/\.$/, ""), times(most));
}

function whatToDo(reaction, left) {
  if (!reaction) return sentence("unsaid");
  if (left !== 0 || reaction.do === "stop") return `${DOES[reaction.do]}: ${reaction.how}`;
  return sentence("ends", usedUp(reaction));
}

function reactionOf(box, spec, last) {
  const { reaction, left } = describe(job, FACTS, last.index);
  const way = { spec: spec.id, side: last.verdict === "cannot_tell" ? "undecided" : last.side };
  const by = allowedAgain(job, FACTS, last);
  return { reaction, left, way, by, stop: !by && (!reaction || left === 0), target: by ? null : reaction && labelled(reaction.to) };
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

// The form for a reading that was typed wrongly, put into its box.
let retaken = null;

function takeBack(press, box) {
  const row = rowsOf(box, specOf(box)).pop();
  const form = byId("retake");
  retaken = { box, row };
  const stop = Boolean(stoppedBy(job, FACTS, row) && !allowedAgain(job, FACTS, row));
  box.append(form);
  form.hidden = false;
  fill(get("p", form), stop
    ? sentence("backStop")
    : sentence("back"));
  byId("retake-by").parentElement.hidden = !stop;
  byId("mistyped").hidden = stop;
  tell(byId("retake-problem"), "");
  focusOn(stop ? byId("retake-why") : byId("mistyped"));
}

function leaveRetake() {
  byId("retake").hidden = true;
  focusOn(get("[data-act=takeBack]", retaken.box));
}

function retake(press) {
  const { box, row } = retaken;
  const [why, by] = ["retake-why", "retake-by"].map((id) => byId(id).value);
  const reason = press.id === "mistyped" ? "Mistyped" : why;
  const result = takeBackReading(job, FACTS, row.index, reason, by);
  if (result.ok) {
    take("retake-why", "retake-by");
    byId("retake").hidden = true;
  }
  if (settle(result, byId("retake-problem"))) measureAgain(box);
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
  mark(place, "typing");
  const [shown, then, steps] = all("p", place);
  const found = judgeReading(spec, value);
  const { asked, words } = aboutSteps(value, spec);
  shown.className = `reading ${found.verdict}`;
  fill(shown, asked ? [] : verdictOf(found));
  tell(then, asked ? "" : doesOf(found.reaction));
  tell(steps, words);
  return `${nameOf(box)}, ${value}: ${place.innerText}`;
}

function nameOf(box) {
  return box.dataset.box || specOf(box).characteristic;
}

// Said once the hand rests; what was said of fewer digits is taken away at once.
const REST = 800;
let resting = 0;

listen(document, { input({ target }) {
  const box = target.closest(".box");
  if (!box) return;
  get(".problem", box).hidden = true;
  mark(get(".pending", box), "typing", true);
  clearTimeout(resting);
  resting = setTimeout(() => say(paintPending(box, specOf(box))), REST);
} });

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

// The box of a reading that was worked out.
function boxOf({ index }) {
  const { spec } = job.readings[index];
  return get(".box", all("[data-spec]", shown).find((one) => one.dataset.spec === spec));
}

// The question is brought in sight, clear of the bars; the focus stays where the number is.
function askAbout(box, problem, answers) {
  settle({ problem }, box);
  const place = get(".problem", box);
  place.append(make("p", { class: "row" }, answers.map(([words, click]) => button(words, click))));
  place.scrollIntoView({ block: "nearest" });
}

// Makes what stands in a box a reading; the focus goes on where somebody asked for it. A value
// its instrument cannot show is one only if somebody is sure of it.
function decide(box, follow, sure) {
  clearTimeout(resting);
  const [input, spec] = [get("input", box), specOf(box)];
  const { choices, value } = readTyped(input.value);
  if (choices) {
    askAbout(box, sentence("comma", input.value),
      choices.map((choice, comma) => [choice, () => settle(setComma(job, comma)) && decide(box, true)]));
    return;
  }
  const { asked, words } = value ? aboutSteps(value, spec) : {};
  if (asked && sure !== value) {
    askAbout(box, sentence("typeShown", words), [[`It was read so: ${value}`, () => decide(box, true, value)]]);
    return;
  }
  const result = setReading(job, FACTS, spec.id, box.dataset.box, value || input.value, asked ? words : null);
  if (result.ok) {
    delete box.dataset.again;
    take(input.id);
  }
  if (!settle(result, box)) return;
  const { verdict, reaction, left } = result.reading;
  const does = reaction ? whatToDo(reaction, left) : "";
  say(`${nameOf(box)}: ${value} ${spec.unit}. ${WORDS[verdict]}. ${does}`, !fits(result.reading));
  const places = [box, ...result.spreads.map(boxOf)].map((one) => get(".reaction", one));
  const asking = places.find((one) => !one.hidden);
  // Once the browser has put the focus where it goes.
  if (asking) setTimeout(() => focusOn(asking), 0);
  else if (follow) focusNext(box);
}
