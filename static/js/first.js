"use strict";
// Before the first paint: the page must not flash from one set of colours to the other, and no page of an adult who
// signed out on this phone is shown again (offline/parting.js), whatever the browser still has of it.
document.documentElement.dataset.scripted = "yes"; // what needs a script has its place from the start
(() => {
  const page = document.documentElement;
  const look = () => {
    try {
      if (localStorage.getItem("fieldbell.sun") === "on") page.dataset.sun = "on";
      if (page.dataset.owner && localStorage.getItem("fieldbell.parting") === page.dataset.owner) page.dataset.parting = "";
    } catch {
      // Storage is switched off: the switch then lasts for one page.
    }
  };
  look();
  for (const name of ["pageshow", "storage"]) window.addEventListener(name, look);
})();
