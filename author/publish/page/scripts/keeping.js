// What is kept on this device, by procedure and revision, so that nothing typed is lost.

const KEPT_FORM = 1;
// A tab in the background may sleep for a minute; one that is silent longer counts as closed.
const SILENT = 90000;
const TAB = Math.random().toString(36).slice(2);

// The place of this page in the storage: what it wrote there last, and the job it is of.
const EMPTY = { text: null, job: null, blocked: null, drafts: {} };
const shelf = { ...EMPTY };

function notKept(kind) {
  return { kind, problem: sentence(kind) };
}

// Does something with the storage; what goes wrong there is told and never thrown.
function withStorage(body) {
  try {
    return globalThis.localStorage ? body(globalThis.localStorage) : notKept("denied");
  } catch (error) {
    return notKept(/quota/i.test(error.name) ? "full" : "denied");
  }
}

function parsed(text) {
  try {
    return JSON.parse(text) || {};
  } catch {
    return {};
  }
}

function openElsewhere(storage) {
  const { tab = TAB, at = 0 } = parsed(storage.getItem(`${shelf.base}/open`));
  return tab !== TAB && Math.abs(Date.now() - at) < SILENT;
}

function sayOpen(storage) {
  storage.setItem(`${shelf.base}/open`, JSON.stringify({ tab: TAB, at: Date.now() }));
}

// First of all -> {job | null, problem | null, kind, other}; kind: null, "denied", "full",
// "elsewhere", or "broken" or "other_content" (other: its job), which stay until forget().
function kept(facts) {
  const { procedure: { id, revision }, content } = facts;
  Object.assign(shelf, EMPTY, { all: `reelwright/${id}/`, base: `reelwright/${id}/${revision}`, content });
  const found = withStorage((storage) => {
    if (openElsewhere(storage)) return elsewhere();
    shelf.text = storage.getItem(`${shelf.base}/job`);
    const drafts = parsed(storage.getItem(`${shelf.base}/drafts`));
    if (drafts.content === content) shelf.drafts = drafts.texts || {};
    if (shelf.text === null) return null;
    const { form, content: of, job } = parsed(shelf.text);
    const sound = form === KEPT_FORM && isSound(job);
    if (sound && of === content) return { job };
    shelf.blocked = sound ? "other_content" : "broken";
    return { ...notKept(shelf.blocked), other: sound ? job : null };
  });
  // Said apart, so that a full storage still gives back what is in it.
  const said = found && found.problem ? null : withStorage(sayOpen);
  const answer = { job: null, problem: null, kind: null, other: null, ...found, ...said };
  shelf.job = answer.job;
  return answer;
}

// The job of this content that is kept here, whoever has it open.
function peek() {
  const found = withStorage((storage) => parsed(storage.getItem(`${shelf.base}/job`)));
  return found.content === shelf.content && isSound(found.job) ? found.job : null;
}

// Jobs of other revisions that are kept here still -> [[base, job]]
function keptOthers() {
  const found = withStorage((storage) => Object.keys(storage).sort()
    .filter((key) => key.startsWith(shelf.all) && key.endsWith("/job") && key !== `${shelf.base}/job`)
    .map((key) => [key.slice(0, -4), parsed(storage.getItem(key)).job]));
  return found.problem ? [] : found.filter(([, one]) => isSound(one));
}

function elsewhere() {
  return { ...notKept("elsewhere"), other: peek() };
}

// Whether what was kept is a job at all: then a record can be made of it, and named.
function isSound(job) {
  try {
    return job.workers[0].name && recordName(job) && recordText(job);
  } catch {
    return false;
  }
}

function anotherIsKept(job) {
  return shelf.job !== null && shelf.job !== job;
}

// Writes unless another tab has the job, or has written since.
function putOnShelf(name, value) {
  return withStorage((storage) => {
    if (shelf.blocked) return notKept(shelf.blocked);
    const there = storage.getItem(`${shelf.base}/job`);
    const other = there !== null && there !== shelf.text;
    if (other || openElsewhere(storage)) return notKept("elsewhere");
    const text = JSON.stringify(value);
    storage.setItem(`${shelf.base}/${name}`, text);
    if (name === "job") shelf.text = text;
    sayOpen(storage);
    return { ok: true };
  });
}

// -> {ok} | {problem, kind}
function keep(job) {
  if (anotherIsKept(job)) return notKept("another");
  shelf.job = job;
  return putOnShelf("job", { form: KEPT_FORM, content: job.content, job });
}

// Text in a field that is not in the job yet; "" when it is.
function keepDraft(key, text) {
  if (draftOf(key) === text) return { ok: true };
  shelf.drafts = { ...shelf.drafts, [key]: [...text].slice(0, 1000).join("") || undefined };
  return putOnShelf("drafts", { content: shelf.content, texts: shelf.drafts });
}

function draftOf(key) {
  return Object.prototype.hasOwnProperty.call(shelf.drafts, key) && shelf.drafts[key] || "";
}

// Puts a job away, whatever it was: that of this page, or of another revision.
function forget(base = shelf.base) {
  if (base === shelf.base) Object.assign(shelf, EMPTY);
  return withStorage((storage) => {
    for (const name of ["job", "drafts"]) storage.removeItem(`${base}/${name}`);
    return { ok: true };
  });
}

// After "elsewhere"; then kept(facts) again.
function takeOver() {
  return withStorage((storage) => sayOpen(storage) || { ok: true });
}

// Stays the one tab that has the job open; told({kind, problem}) once another has taken over.
function watchKeeping(told) {
  const mine = (storage) => openElsewhere(storage) || sayOpen(storage);
  setInterval(() => withStorage(mine), SILENT / 5);
  addEventListener("storage", ({ key }) => {
    const lost = key === `${shelf.base}/open` && withStorage(openElsewhere) === true;
    if (lost) told(elsewhere());
  });
  addEventListener("pagehide", () => withStorage((storage) => {
    if (!openElsewhere(storage)) storage.removeItem(`${shelf.base}/open`);
  }));
}
