"use strict";
// Before anything is painted: a page of a session that is long over shows no name, network or not.
(() => {
  const page = document.documentElement;
  let ahead = 0;
  try {
    ahead = Number(localStorage.getItem("fieldbell.ahead")) || 0;
  } catch {
    // Storage is switched off: the phone's own clock has to do.
  }
  if (Date.now() + ahead >= Number(page.dataset.until)) page.dataset.over = "yes";
})();
