// One screen at a time, by the fragment of the address, so that back and forward work.

let shown = null;
// What brings a screen up to date from the job, by its id.
const PAINT = {};

function show(first) {
  const asked = byId(decodeURIComponent(location.hash.slice(1))) || byId("start");
  const screen = asked.closest(".screen") || get(".screen", asked) || byId("start");
  const fresh = screen !== shown;
  shown = screen;
  for (const one of all(".screen")) mark(one, "shown", one === screen);
  ROOT.dataset.screen = stepOf(screen) ? "step" : screen.id;
  const title = get("h2", screen);
  document.title = `${title.textContent} – ${get("h1").textContent}`;
  restClips(screen);
  refresh();
  if (asked !== screen && screen.contains(asked)) {
    focusOn(asked);
    return;
  }
  // A page that is loaded again stays where it was read.
  if (!fresh || first === true) return;
  scrollTo(0, 0);
  byId("open").hidden = true;
  title.focus({ preventScroll: true });
}

function leadTo(label) {
  if (location.hash === `#${label}`) show();
  else location.hash = label;
}

// Brings what is shown up to date. Nothing is remembered in the page, all in the job.
function refresh() {
  const step = stepOf(shown);
  if (working()) fetchStills();
  const [words, label, done] = standing();
  write("standing-words", words);
  byId("standing").href = `#${label}`;
  const [gone, here] = all("rect", byId("scale"));
  gone.setAttribute("width", done);
  here.setAttribute("x", done);
  here.setAttribute("width", job || away ? 1 : 0);
  lock(step);
  for (const box of all("[data-tick]", shown)) box.checked = Boolean(job) && ticked(job, FACTS, box.dataset.tick);
  Object.assign(ROOT.dataset, { job: job ? job.outcome : away ? "away" : "none", end: job && !standsAt() ? "yes" : "no",
    at: !step ? "none" : atStep(step) ? "here" : "elsewhere" });
  if (step) {
    paintStep(shown, step);
    paintOnward(step);
  } else if (PAINT[shown.id]) PAINT[shown.id](shown);
  if (shown.contains(byId("open"))) paintOpen();
  lock(step);
}

// Work is written while the job goes on, at a step only where the job stands.
function lock(step) {
  const free = working() && (!step || atStep(step));
  const written = ":is(.doing, #ready, #other) :is(input, select, button:not(.way))";
  for (const one of all(written)) one.disabled = !free;
  // What is told and ticked at the end is written after a stop as well.
  for (const one of all("#finish :is(input, textarea), #written button")) one.disabled = !working() && (!job || job.outcome !== "stopped");
}

// Where the job stands: in words, the label of its screen, and how many steps lie behind it.
function standing() {
  const count = FACTS.steps.length;
  const one = job || away;
  if (!one) return [`Not begun: ${count} step${count === 1 ? "" : "s"}`, "start", 0];
  const { outcome } = one;
  const at = findStep(FACTS, one.at);
  const words = outcome !== "open" ? `Job ${outcome}` : at ? `Job at step ${at.number} of ${count}` : "After the last step";
  const label = outcome === "stopped" ? "stop" : at ? at.label : "finish";
  return [`${words}${job ? "" : ", in another tab"}`, job ? label : "start", at ? at.number - 1 : count];
}

PAINT.steps = (screen) => {
  const at = standsAt();
  for (const link of all("[data-index]", screen)) {
    const step = labelled(link.dataset.index);
    const here = at === step;
    const behind = Boolean(job) && (!at || step.number < at.number);
    const open = behind && !openStep(job, FACTS, step.id).every((one) => one.allowed);
    link.parentElement.className = here ? "here" : behind && !open ? "behind" : "";
    fill(get(".state", link), here ? sentence("standsHere") : open ? sentence("behind") : behind ? "Done" : "");
    if (open && "aside" in link.dataset) link.parentElement.className = get(".state", link).textContent = "";
  }
};
