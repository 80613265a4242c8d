// Parts of the document, made and found. Words go in as text, never as markup.

const FACTS = JSON.parse(byId("facts").textContent);
const MEDIA = JSON.parse(byId("media").textContent);
const ROOT = document.documentElement;
// The job that is worked on, null before it begins; and one that another tab works on.
let job = null;
let away = null;

function byId(id) {
  return document.getElementById(id);
}

function get(selector, within = document) {
  return within.querySelector(selector);
}

function all(selector, within = document) {
  return [...within.querySelectorAll(selector)];
}

// Gives an element attributes (a function among them is a listener) and children.
function build(element, given, children) {
  for (const [name, value] of Object.entries(given)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else element.setAttribute(name, value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== ""));
  return element;
}

function make(tag, given = {}, ...children) {
  return build(document.createElement(tag), given, children);
}

function icon(name) {
  const part = (tag) => document.createElementNS("http://www.w3.org/2000/svg", tag);
  return build(part("svg"), { class: "icon", "aria-hidden": "true" }, [build(part("use"), { href: `#i-${name}` }, [])]);
}

function button(words, click) {
  return make("button", { type: "button", click }, words);
}

function fill(element, ...children) {
  element.replaceChildren();
  return build(element, {}, children);
}

// Shows words where there are any.
function tell(element, words) {
  element.hidden = !words;
  element.textContent = words || "";
}

function write(id, words) {
  byId(id).textContent = words;
}

// Gives an element a class, or takes it away.
function mark(element, name, on) {
  element.classList.toggle(name, Boolean(on));
}

// Told to those who do not see the page: politely, or at once.
function say(words, urgent = false) {
  const place = byId(urgent ? "shouted" : "said");
  place.textContent = "";
  setTimeout(() => (place.textContent = words), 60);
}

// What was typed into fields, which are emptied.
function take(...ids) {
  return ids.map((id) => {
    const { value } = byId(id);
    byId(id).value = "";
    keepDraft(id, "");
    return value;
  });
}

// A time as a record has it, to the minute.
function minuteOf(time) {
  return time.slice(0, 16).replace("T", " ");
}

function listen(place, acts) {
  for (const [name, act] of Object.entries(acts)) place.addEventListener(name, act);
}

// Puts the focus on an element, or on the first thing in it that can have it.
function focusOn(element) {
  const fold = element.closest("details");
  if (fold) fold.open = true;
  const can = "input, button, select, textarea, a[href], [tabindex]";
  const first = element.matches(can) ? element : all(can, element).find((one) => one.offsetParent && !one.disabled);
  (first || element).focus({ preventScroll: true });
  element.scrollIntoView({ block: "center" });
}

function stepOf(element) {
  const article = element.closest("[data-step]");
  return article ? findStep(FACTS, article.dataset.step) : null;
}

function labelled(label) {
  return FACTS.steps.find((step) => step.label === label) || null;
}

function working() {
  return job !== null && job.outcome === "open";
}

function standsAt() {
  return job ? findStep(FACTS, job.at) : null;
}

// Does what an act of the job gave: tells a refusal at its place, a job not kept at the top.
function settle(result, place, done) {
  if (place) tell(place.matches(".problem") ? place : get(".problem", place), result.problem);
  else if (result.problem) trouble(result.problem);
  if (result.problem || done) say(result.problem || done, Boolean(result.problem));
  if (result.unkept) trouble(result.unkept);
  refresh();
  return !result.problem;
}

function trouble(words, ...more) {
  byId("trouble").hidden = !words;
  write("trouble-words", words || "");
  fill(byId("trouble-more"), more);
}
