"use strict";
// Before the first paint: the page must not flash from one set of colours to the other.
document.documentElement.dataset.scripted = "yes"; // what needs a script has its place from the start
try {
  if (localStorage.getItem("fieldbell.sun") === "on") document.documentElement.dataset.sun = "on";
} catch {
  // Storage is switched off: the switch then lasts for one page.
}
