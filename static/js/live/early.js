"use strict";
// Before the first paint: the field as the club knew it when it sent the page, unless that was long ago and the page was
// kept. The figures wait for the clock; of all rounds on the page only one is to be seen.
(() => {
  const OLD_MS = 600_000; // more than a phone's own clock is off
  const page = document.documentElement;
  const [field, scene, at] = page.dataset.told.split(" ");
  const isOld = Math.abs(Date.now() - Number(at)) > OLD_MS;
  page.dataset.face = isOld ? "setting" : field;
  if (!isOld) page.dataset.scene = scene;
})();
