// Sends the record to the shop's library, where the page comes from there.
//
// What was not kept yet lies on this device under a name of its own, so that it outlives the job:
// it goes only once the library has said that it keeps it.

const SHOP = get('meta[name="shop-library"]');
const OUTBOX = { busy: false, words: "", good: false };

// Whether two texts are the same, told by a few digits (FNV-1a of 32 bits, twice).
function digitsOf(text) {
  const hash = (seed) => [...text].reduce((sum, sign) => Math.imul(sum ^ sign.codePointAt(0), 16777619) >>> 0, seed);
  return [2166136261, 40503].map((seed) => hash(seed).toString(36)).join("-");
}

// One box for each job, so that another job's record never takes its place.
function outboxOf(text) {
  return `${shelf.base}/outbox/${parsed(text).began}`;
}

// Where records of this procedure wait, whatever revision they were made with.
function outboxes(storage) {
  return Object.keys(storage).filter((key) => key.startsWith(shelf.all) && key.includes("/outbox/")).sort();
}

// The oldest record on this device that waits and is not of the job on the screen.
function waiting() {
  const found = withStorage((storage) => ({
    text: outboxes(storage).map((key) => storage.getItem(key)).find((text) => !job || parsed(text).began !== job.began),
  }));
  return found.text || null;
}

function openStill(text) {
  return parsed(text).outcome === "open" ? sentence("openYet") : "";
}

function putOut(text) {
  return withStorage((storage) => storage.setItem(outboxOf(text), text) || { ok: true });
}

// Only what was kept goes: by now a later state of the job may wait.
function takeIn(text) {
  withStorage((storage) => outboxes(storage).filter((key) => storage.getItem(key) === text)
    .forEach((key) => storage.removeItem(key)));
}

// What the library says to a record -> {did, at, unit, link} | {problem, remedy, signIn}
async function askShop(text) {
  let answer;
  try {
    answer = await fetch(SHOP.content, {
      method: "POST", body: text, credentials: "same-origin", referrerPolicy: "same-origin", redirect: "error",
      headers: { "Content-Type": "application/json", "Accept": "application/json", "X-Form-Token": SHOP.dataset.token },
    });
  } catch {
    return { problem: sentence("far"), remedy: sentence("later") };
  }
  const said = await answer.json().catch(() => ({}));
  if (answer.ok && said.did) return said;
  const { problem = sentence("refused"), remedy = sentence("tellKeeper") } = said;
  return { problem, remedy, signIn: answer.status === 401 };
}

async function sendOut(text, own) {
  if (OUTBOX.busy) return;
  Object.assign(OUTBOX, { busy: true, words: "Sending …", good: false, signIn: false, record: null, own });
  const safe = putOut(text).problem ? sentence("unsafe") : "";
  paintSending();
  const { problem, remedy, signIn = false, did, at, unit, record } = await askShop(text);
  OUTBOX.busy = false;
  if (problem) Object.assign(OUTBOX, { words: `Not sent: ${problem}. ${remedy}.${safe}`, signIn });
  else {
    takeIn(text);
    Object.assign(OUTBOX, { words: `${did === "had" ? sentence("had") : "Kept by the shop"}: ${unit}, ${minuteOf(at)} UTC.${openStill(text)}`, good: true, record });
    if (own) keepDraft("sent", digitsOf(text));
  }
  say(OUTBOX.words, Boolean(problem));
  paintSending();
}

// The words and the buttons, on the screens that close a job and, for what still waits, on the first.
function paintSending() {
  if (!SHOP) return;
  const own = job ? recordText(job) : null;
  const left = waiting();
  const kept = own !== null && draftOf("sent") === digitsOf(own);
  for (const place of all(".sending")) {
    const first = place.closest("#start");
    const text = first ? left : own;
    const done = first && left === null && OUTBOX.good && !OUTBOX.own;
    place.hidden = first ? !done && left === null : own === null;
    if (place.hidden) continue;
    const changed = !first && draftOf("sent") && !kept ? sentence("changedSent") : "";
    const told = OUTBOX.words && (OUTBOX.busy || !OUTBOX.good || kept || first) ? OUTBOX.words : kept ? sentence("keeps") + openStill(text) : changed;
    const words = told || (first ? sentence("unsent", parsed(text).serial || parsed(text).unit, (parsed(text).began || "").slice(0, 10)) : "");
    const [note, press] = place.children;
    fill(note, words, OUTBOX.signIn ? [" ", make("a", { href: `/sign-in?to=${encodeURIComponent(location.pathname)}` }, "Sign in")] : OUTBOX.record && words === OUTBOX.words ? [" ", make("a", { href: OUTBOX.record }, "See it there")] : "");
    note.hidden = !words;
    fill(press, kept ? "Send it once more" : SEND);
    mark(press, "act", !kept);
    press.disabled = OUTBOX.busy;
    press.hidden = done;
  }
}

function setUpSending() {
  const put = (before, sent) => {
    const place = make("div", { class: "sending live row" }, make("p", { class: "saved" }), button("", () => {
      const text = sent();
      if (text) sendOut(text, job !== null && text === recordText(job));
    }));
    before.parentElement.insertBefore(place, before);
  };
  write("record-words", sentence("sendFirst"));
  byId("save").classList.remove("act");
  const { person } = SHOP.dataset;
  if (person) for (const one of all(".typed-name")) fill(one, sentence("signedIn", person));
  const record = () => (job ? recordText(job) : null);
  put(byId("saved"), record);
  put(get("#stop .row"), record);
  put(byId("kept"), waiting);
  // After a failed network it is offered again by itself.
  listen(window, { online: () => {
    if (OUTBOX.words && !OUTBOX.good && !OUTBOX.busy) OUTBOX.words = sentence("online");
    paintSending();
  } });
  for (const screen of ["start", "stop", "finish"]) {
    const before = PAINT[screen];
    PAINT[screen] = (shownScreen) => {
      before(shownScreen);
      paintSending();
    };
  }
}

if (SHOP) setUpSending();
