"use strict";
// Before anything is painted: a page of a session that is long over shows no name, network or not; the leader's register
// those of the children nobody has collected.
(() => {
  const page = document.documentElement;
  let ahead = 0;
  try {
    ahead = Number(localStorage.getItem("fieldbell.ahead")) || 0;
  } catch {
    // Storage is switched off: the phone's own clock has to do.
  }
  const now = Date.now() + ahead;
  if (now < Number(page.dataset.until)) return;
  page.dataset.over = now < Number(page.dataset.waits ?? 0) ? "waits" : "yes";
})();
