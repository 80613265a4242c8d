// Asks before a job is begun on a unit that was on hold when the page was loaded.
"use strict";

(() => {
  const bare = (text) => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
  const { held } = document.querySelector("meta[name=shop-library]").dataset;
  const units = JSON.parse(held);

  // A unit that is not told apart by a serial number may be any of those on hold.
  function meant(serial) {
    return units.filter((one) => !serial || !one.serial || bare(one.serial) === serial);
  }

  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-act=beginJob]")) return;
    const found = meant(bare(document.getElementById("who-serial").value));
    if (!found.length) return;
    const names = found.map((one) => one.title).join("; ");
    if (!confirm(`On hold, not to be used: ${names}. Begin a job on it all the same, such as the one that mends it?`)) {
      event.stopImmediatePropagation();
    }
  }, true);
})();
