// A step as a whole, what is still open at it, and where the work goes on.

function paintStep(screen, step) {
  gateClip(screen, paintHazards(screen));
  all("[data-spec]", screen).forEach(paintSpec);
  all(".point", screen).forEach(paintPoint);
  all(".new-part", screen).forEach(paintPart);
  all(".witness", screen).forEach(paintWitness);
  for (const press of all(".way", screen)) {
    const left = job ? wayLeft(job, FACTS, step.id, { decision: Number(press.dataset.way) }) : null;
    press.disabled = !atStep(step) || left === 0;
    tell(get(".count", press), left === null ? "" : left ? timesLeft("May be taken", left)
      : "Taken as often as it may be. Choose another way, or stop and ask.");
  }
}

function atStep(step) {
  return working() && job.at === step.id;
}

function paintOnward(step) {
  const here = atStep(step);
  const look = (id, number) => {
    const link = byId(id);
    link.hidden = !FACTS.steps[number - 1];
    link.href = `#step-${number}`;
    get("span + span", link).textContent = number;
  };
  look("look-back", step.number - 1);
  look("look-on", step.number + 1);
  if (here) {
    const open = openStep(job, FACTS, step.id).filter((one) => !one.allowed).length;
    const next = labelled(step.goes_to) || FACTS.steps[step.number];
    const [words, more] = all("span, small", byId("go-on"));
    words.textContent = step.decision ? "Choose the way on" : next ? `Go on to step ${next.number}` : "Go on to the end";
    more.textContent = open ? `${open} still open` : "";
  }
  byId("go-back").href = byId("standing").href;
  const place = get(".looking", shown);
  place.hidden = here || !job;
  if (!job) return;
  const at = standsAt();
  const stands = at ? `at step ${at.number}` : "after the last step";
  get("span", place).textContent = working() ? `You are looking at step ${step.number}. The job stands ${stands}.`
    : `This job is ${job.outcome}. Nothing is written here any more.`;
  get("a", place).href = byId("standing").href;
  get("a", place).textContent = working() && at ? `Go back to step ${at.number}` : "To the end of the job";
  get("button", place).hidden = !working();
}

function goAhead() {
  const step = stepOf(shown);
  if (step.decision) focusOn(byId(`${step.label}-decision`));
  else goFrom(step);
}

function goFrom(step, way) {
  const result = goOn(job, FACTS, step.id, way);
  if (result.open) return showOpen(byId(step.label), () => openRows(step, way), (given) => deviate(job, FACTS, { ...given, step: step.id, way }), () => goFrom(step, way));
  if (!settle(result)) return undefined;
  byId("open").hidden = true;
  return leadTo(result.stopped !== null ? "stop" : result.to || "finish");
}

function stopHere(step, way, why) {
  if (way && atStep(step)) goFrom(step, way);
  else if (settle(finish(job, FACTS, "stopped", "", why))) leadTo("stop");
}

// Out of its order the work goes on at a step only as a deviation.
function askJump(press) {
  const step = stepOf(press);
  showOpen(byId(step.label), null, (given) => jumpTo(job, FACTS, step.id, given), show);
}

// What is open at a step, and where it is put right.
function openRows(step, way) {
  return openStep(job, FACTS, step.id, way).filter((one) => !one.allowed).map(({ kind, text, spec, box, index, point, tool, must }) => {
    const screen = byId(step.label);
    const within = all("[data-spec]", screen).find((one) => one.dataset.spec === spec) || screen;
    const known = { hazard: index, point, instrument: tool, witness: step.id, round: index };
    const name = kind in known ? kind : "box";
    const place = all(`[data-${name}]`, within).find((one) => one.dataset[name] === String(kind in known ? known[kind] : box));
    return { words: text, place: place || within, must };
  });
}

// The list of what is open with the form of a deviation, put at the end of a screen.
let opened = null;

function showOpen(screen, rows, allow, then) {
  opened = { rows, allow, then };
  const open = byId("open");
  screen.append(open);
  open.hidden = false;
  paintOpen();
  focusOn(open);
  say(byId("open-title").textContent, true);
}

function paintOpen() {
  const rows = opened.rows ? opened.rows() : [];
  if (opened.rows && !rows.length) byId("open").hidden = true;
  const must = rows.some((row) => row.must);
  byId("open-title").textContent = opened.rows ? `${rows.length} still open here` : "Out of its order";
  fill(byId("open-list"), rows.map((row) => make("li", {}, button(row.words, () => focusOn(row.place)))));
  byId("deviation").hidden = must;
  byId("no-deviation").hidden = !must;
}

function goDeviating() {
  const [what, reason, approvedBy] = ["what", "why", "by"].map((name) => byId(`deviation-${name}`).value);
  if (!settle(opened.allow({ what, reason, approvedBy }), byId("deviation-problem"))) return;
  take("deviation-what", "deviation-why", "deviation-by");
  byId("open").hidden = true;
  opened.then();
}
