"use strict";
// Seeing children off: the row that was asked for stands open, and what is said from a moment on is said without a
// network too. Whom to ring is asked for then and never kept with the page.
function open() {
  const row = document.getElementById(location.hash.slice(1));
  row?.querySelector(".leaving")?.setAttribute("open", "");
}

function ring(place) {
  const list = place.querySelector("[data-ring]");
  if (list && navigator.onLine) window.htmx.ajax("GET", list.dataset.ring, { target: list, select: "#calls", swap: "beforeend" });
}

// By the server's clock, as far as this phone was last told how it goes.
function now() {
  try {
    return Date.now() + (Number(localStorage.getItem("fieldbell.ahead")) || 0);
  } catch {
    return Date.now();
  }
}

function say(place) {
  const left = Number(place.dataset.from) - now();
  if (left > 0) setTimeout(() => say(place), Math.min(left, 2 ** 31 - 1));
  else {
    place.hidden = false;
    ring(place);
  }
}

window.addEventListener("hashchange", open);
open();
for (const place of document.querySelectorAll("[data-from]")) say(place);
