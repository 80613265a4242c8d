// A step as a whole, what is still open at it, and where the work goes on.

function paintStep(screen, step) {
  gateClip(screen, paintHazards(screen));
  all("[data-spec]", screen).forEach(paintSpec);
  all(".point", screen).forEach(paintPoint);
  all(".new-part", screen).forEach(paintPart);
  all(".witness", screen).forEach(paintWitness);
  for (const press of all(".way", screen)) {
    const way = { decision: Number(press.dataset.way) };
    const left = job ? wayLeft(job, FACTS, step.id, way) : null;
    const shut = atStep(step) ? wayShut(job, FACTS, step, way) : "";
    // It can be pressed all the same: what is not accepted may be allowed by a deviation.
    const not = atStep(step) && openStep(job, FACTS, step.id, way).find((one) => one.kind === "reaction" && !one.allowed);
    press.disabled = !atStep(step) || Boolean(shut);
    mark(press, "not-yet", not);
    tell(get(".count", press), shut || (not ? not.text : left ? timesLeft("May be taken", left) : ""));
  }
}

function atStep(step) {
  return working() && job.at === step.id;
}

function paintOnward(step) {
  const here = atStep(step);
  const holds = job ? job.findings.filter((one) => one.holds).map((one) => one.what) : [];
  for (const place of all(".held", shown)) tell(place, holds.length ? sentence("held", holds.join("; ")) : "");
  const look = (id, number) => {
    const link = byId(id);
    link.hidden = !FACTS.steps[number - 1];
    link.href = `#step-${number}`;
    fill(get("span + span", link), number);
  };
  look("look-back", step.number - 1);
  look("look-on", step.number + 1);
  if (here) {
    const open = openStep(job, FACTS, step.id).filter((one) => !one.allowed).length;
    const next = labelled(step.goes_to) || FACTS.steps[step.number];
    const [words, more] = all("span, small", byId("go-on"));
    fill(words, step.decision ? "Choose the way on" : next ? `Go on to step ${next.number}` : "Go on to the end");
    fill(more, open ? `${open} still open` : "");
  }
  byId("go-back").href = byId("standing").href;
  const place = get(".looking", shown);
  place.hidden = here || !job;
  if (!job) return;
  const at = standsAt();
  const stands = at ? `at step ${at.number}` : "after the last step";
  fill(get("span", place), working() ? sentence("looking", step.number, stands)
    : sentence("over", job.outcome));
  get("a", place).href = byId("standing").href;
  fill(get("a", place), working() && at ? `Go back to step ${at.number}` : sentence("toEnd"));
  get("button", place).hidden = !working();
}

function goAhead() {
  const step = stepOf(shown);
  if (step.decision) focusOn(byId(`${step.label}-decision`));
  else goFrom(step);
}

function goFrom(step, way) {
  const lost = !wayShut(job, FACTS, step, way) && !openRows(step, way).length && lostOn(job, FACTS, step, way);
  if (lost && !confirm(lost)) return undefined;
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
  const rows = () => jumpOpen(job, FACTS, step).map(({ step: at, text }) =>
    ({ words: text, must: true, go: () => leadTo(findStep(FACTS, at).label) }));
  showOpen(byId(step.label), rows, (given) => jumpTo(job, FACTS, step.id, given), show, "Out of its order");
}

// What is open at a step, and where it is put right.
function openRows(step, way) {
  return openStep(job, FACTS, step.id, way).filter((one) => !one.allowed).map(({ kind, text, spec, box, index, point, tool, part, must, given }) => {
    const screen = byId(step.label);
    const within = all("[data-spec]", screen).find((one) => one.dataset.spec === spec) || screen;
    const known = { hazard: index, point, instrument: tool, witness: step.id, round: index, part };
    const name = kind in known ? kind : "box";
    const place = all(`[data-${name}]`, within).find((one) => one.dataset[name] === String(kind in known ? known[kind] : box));
    return { words: text, place: place || within, must, given };
  });
}

// The list of what is open with the form of a deviation, put at the end of a screen.
let opened = null;

function showOpen(screen, rows, allow, then, title) {
  opened = { rows, allow, then, title };
  const open = byId("open");
  screen.append(open);
  open.hidden = false;
  paintOpen();
  focusOn(open);
  say(byId("open-title").textContent, true);
}

function paintOpen() {
  const rows = opened.rows();
  const { title } = opened;
  if (!title && !rows.length) byId("open").hidden = true;
  const must = rows.some((row) => row.must);
  write("open-title", title ? `${title}${must ? ": not before this is done" : ""}` : `${rows.length} still open here`);
  fill(byId("open-list"), rows.map((row) => make("li", {}, button(row.words, row.go || (() => focusOn(row.place))))));
  tell(byId("deviation-given"), rows.map((row) => row.given || "").join(" ").trim());
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
