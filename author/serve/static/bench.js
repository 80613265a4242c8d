// What a bench page asks the library before a job is begun, ended or gone on with.
"use strict";

(() => {
  const TOLD = document.querySelector("meta[name=shop-library]");
  const STATE = location.origin + TOLD.dataset.ask;
  const EVERY = 60_000;
  const ENDS = "[data-act=halt], [data-act=finishJob], [data-act=stopPoint]";
  const WRITTEN = { finding: "a defect", question: "a question" };
  let now = JSON.parse(TOLD.dataset.standing);
  let sure = null;

  // The letters and digits of a serial number; what is easily taken for one another is the same.
  function bare(text) {
    const plain = text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
    return plain.replace(/o/g, "0").replace(/[il]/g, "1").replace(/(^|\D)0+(?=\d)/g, "$1");
  }

  // A unit that is not told apart by a serial number may be any of those on hold.
  function meant(typed) {
    const serial = bare(typed);
    return now.held.filter((one) => {
      const own = bare(one.serial || "");
      return !serial || !own || own === serial || (serial.length > 1 && own.endsWith(serial));
    });
  }

  // As the library has it at this moment; where it cannot be asked, as it had it last.
  async function look() {
    try {
      const answer = await fetch(STATE, { credentials: "same-origin", cache: "no-store" });
      if (answer.ok) now = await answer.json();
    } catch {
      return;
    }
    tell();
  }

  function tell() {
    const before = document.getElementById("not-in-force");
    if (before) before.hidden = !now.closed;
    if (!now.closed || now.closed === JSON.parse(TOLD.dataset.standing).closed) return;
    const band = before || document.createElement("p");
    band.id = "not-in-force";
    band.className = "tape";
    band.setAttribute("role", "alert");
    const words = document.createElement("strong");
    words.textContent = `${now.closed} Stop, and ask before you go on.`;
    band.replaceChildren(words);
    if (before) return;
    // The bar stays in sight, however far the page is scrolled.
    Object.assign(band.style, { gridColumn: "1 / -1", flexBasis: "100%", margin: 0 });
    (document.querySelector("nav.bar") || document.querySelector("header")).append(band);
  }

  function mayBegin() {
    if (now.closed) {
      alert(`${now.closed} No job is begun by it. Load the page again.`);
      return false;
    }
    if (now.unfit && !confirm(`Not fit, and to be done before this: ${now.unfit}. Is it done in another way, and does whoever answers for the work know?`)) return false;
    if (!now.held) return confirm("Whether this unit is on hold cannot be told now. Have you asked whoever answers for it?");
    const found = meant(document.getElementById("who-serial").value);
    if (!found.length) return true;
    const names = found.map((one) => one.title).join("; ");
    return confirm(`On hold, not to be used: ${names}. Begin a job on it all the same, such as the one that mends it?`);
  }

  // What was typed and not written down is in no record.
  function leftOut() {
    const typed = Object.entries(WRITTEN).filter(([id]) => (document.getElementById(id) || { value: "" }).value.trim());
    return typed.map(([id, what]) => `${what} (“${document.getElementById(id).value.trim()}”)`).join(" and ");
  }

  document.addEventListener("click", async (event) => {
    const press = event.target.closest("button");
    if (!press || press === sure) return;
    if (press.dataset.act === "beginJob") {
      event.stopImmediatePropagation();
      await Promise.race([look(), new Promise((done) => setTimeout(done, 3_000))]);
      if (mayBegin()) again(press);
    } else if (press.matches(ENDS)) {
      const words = leftOut();
      if (words && !confirm(`You typed ${words} that is not in the record. Go on without it?`)) event.stopImmediatePropagation();
    }
  }, true);

  function again(press) {
    sure = press;
    press.click();
    sure = null;
  }

  // Whoever is signed in, mostly, does the job; another name is written over it.
  document.addEventListener("DOMContentLoaded", () => {
    const who = document.getElementById("who-name");
    if (who && !who.value) who.value = TOLD.dataset.person;
  });
  setInterval(look, EVERY);
  document.addEventListener("visibilitychange", () => document.hidden || look());
})();
