// Numbers that are read: typed in, decided at once, and what to do about them.

const WORDS = { accept: "Accept", reject: "Reject", cannot_tell: "Cannot tell", not_judged: "Noted" };
const DOES = { repeat: "Repeat", recover: "Put right", stop: "STOP" };

function fits(row) {
  return Boolean(row) && ["accept", "not_judged"].includes(row.verdict);
}

function paintSpec(section) {
  const spec = findSpec(FACTS, section.dataset.spec);
  section.classList.toggle("judged", Boolean(job));
  for (const box of all("[data-round]", section)) {
    box.checked = Boolean(job) && ticked(job, stepOf(section).id, roundKey(spec.id, box.dataset.round));
  }
  for (const place of all(".instrument", section)) {
    const known = job && instrumentOf(job, place.dataset.instrument);
    place.classList.toggle("done", Boolean(known) && !place.dataset.again);
    if (known) get(".words", place).textContent = `Number ${known.number}${known.calibrated ? `, calibrated ${known.calibrated}` : ""}`;
  }
  for (const box of all(".box", section)) paintBox(box, spec);
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

function paintBox(box, spec) {
  const rows = rowsOf(box, spec);
  const last = rows[rows.length - 1];
  const again = box.dataset.again;
  box.classList.toggle("done", Boolean(last) && !again);
  fill(get(".taken", box), rows.map((row) => make("li", { class: `reading ${row.verdict} ${row === last ? "" : "before"}` },
    icon(row.verdict), make("b", {}, WORDS[row.verdict]), make("span", { class: "value" }, `${row.value.replace("-", "−")} ${row.unit}`),
    row.side ? make("span", {}, row.verdict === "reject" ? `${row.side} the limits` : `too near the limit ${row.side}`) : null)));
  // A spread says nothing while a reading it was worked out from is to be taken again.
  const base = findSpec(FACTS, spec.spread_of);
  const unsure = base && last && base.boxes.some((name) => !fits(readingsOf(job, FACTS, base.id, name).pop()));
  const place = get(".reaction", box);
  place.hidden = Boolean(!last || fits(last) || again || unsure);
  if (place.hidden) return;
  const { reaction, left, stop, target } = reactionOf(box, spec, last);
  place.classList.toggle("stop", stop);
  const [does, times, go] = all(".does, .times, button", place);
  does.textContent = reaction ? `${DOES[reaction.do]}: ${reaction.how}` : "Nothing is said about this. Stop and ask.";
  tell(times, !reaction || reaction.do === "stop" || left === null ? "" : timesLeft("It may be done", left));
  go.textContent = stop ? "Stop the job here" : target ? `Go to step ${target.number}` : "Done: measure again";
  go.hidden = Boolean(base) && !stop && !target;
}

function timesLeft(words, left) {
  return left ? `${words} ${left === 1 ? "once" : `${left} times`} more.` : "As often as it may be: no more.";
}

function reactionOf(box, spec, last) {
  const { reaction, left } = describe(job, FACTS, last.index);
  const way = { spec: spec.id, side: last.verdict === "cannot_tell" ? "undecided" : last.side };
  return { reaction, left, way, stop: !reaction || left === 0, target: reaction && labelled(reaction.to) };
}

function doReaction(press, box) {
  const spec = specOf(box);
  const { reaction, way, stop, target } = reactionOf(box, spec, rowsOf(box, spec).pop());
  if (stop) stopHere(stepOf(box), reaction && reaction.do === "stop" ? way : null);
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

// Decides on what stands in a box; the focus goes on where somebody asked for it.
function decide(box, follow) {
  const input = get("input", box);
  const spec = specOf(box);
  const result = setReading(job, FACTS, spec.id, box.dataset.box, input.value);
  if (result.choices) {
    settle({ problem: `The comma in “${input.value}” can mean two things. Which number was read?` }, box);
    get(".problem", box).append(make("p", { class: "row" }, result.choices.map((choice) => button(choice, () => {
      input.value = choice;
      decide(box, true);
    }))));
    return;
  }
  if (result.ok) {
    delete box.dataset.again;
    take(input.id);
  }
  if (!settle(result, box)) return;
  const { verdict, value, reaction } = result.reading;
  say(`${box.dataset.box || spec.characteristic}: ${value} ${spec.unit}. ${WORDS[verdict]}. ${reaction ? `${DOES[reaction.do]}: ${reaction.how}` : ""}`,
    !fits(result.reading));
  if (!follow) return;
  if (fits(result.reading)) focusNext(box);
  else focusOn(get(".reaction", box));
}
