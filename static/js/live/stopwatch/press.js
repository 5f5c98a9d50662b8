// The big button: what needs the exact moment goes by the touch itself and its own time stamp, the rest by a whole tap.
import { steady } from "./moments.js";

const QUIET_MS = 500; // a second touch right after the first is a wet thumb

// what(): {down, act, quiet} as shown now. acted(down, at): one that needs the moment was pressed.
export function watchPress(big, { what, acted }) {
  let quiet = 0;
  let armed = false; // what is tapped was there when the finger came down
  let spent = false; // the touch did its work: what comes under the finger now must not get a click of it

  function hush(at, rest) {
    quiet = at + rest;
    big.dataset.quiet = "yes";
    clearTimeout(hush.end);
    hush.end = setTimeout(() => { delete big.dataset.quiet; }, rest);
  }

  function press(event) {
    const at = steady(event.timeStamp);
    if (at < quiet) return;
    const { down, act, quiet: rest = QUIET_MS } = what();
    hush(at, rest);
    if (down) acted(down, at);
    else act?.();
  }

  big.addEventListener("pointerdown", (event) => {
    armed = !what().down;
    spent = !armed && event.button === 0;
    if (spent) press(event);
  });
  big.addEventListener("touchstart", (event) => { if (spent && event.cancelable) event.preventDefault(); }, { passive: false });
  // By the keyboard (no finger: detail 0) everything.
  big.addEventListener("click", (event) => { if (event.detail === 0 || armed) press(event); });
}

// A row must not be put in anew under a finger: `refresh` is called when the last one is off the glass.
export function watchFinger(refresh) {
  let down = false;
  document.addEventListener("pointerdown", () => { down = true; }, true);
  for (const name of ["pointerup", "pointercancel"]) {
    document.addEventListener(name, () => { down = false; setTimeout(refresh); }, true);
  }
  return () => down;
}
