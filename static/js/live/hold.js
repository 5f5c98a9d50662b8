// A button that wants to be held: a wet or pocketed screen taps, it does not hold. By keyboard hold Space or Enter; where
// the press cannot be held, as with a screen reader, press twice.
const TWICE_MS = 5000;

export function onHold(button, ms, { done, again = () => {} }) {
  let timer = null;
  let armed = 0;
  const start = () => {
    if (timer !== null) return;
    button.dataset.holding = "";
    timer = setTimeout(() => { stop(); done(button); }, ms);
  };
  const stop = () => {
    clearTimeout(timer);
    timer = null;
    delete button.dataset.holding;
  };
  button.addEventListener("pointerdown", (event) => { if (event.button === 0) start(); });
  for (const name of ["pointerup", "pointercancel", "pointerleave", "blur"]) button.addEventListener(name, stop);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("keydown", (event) => {
    if (![" ", "Enter"].includes(event.key)) return;
    event.preventDefault();
    start();
  });
  button.addEventListener("keyup", (event) => {
    if ([" ", "Enter"].includes(event.key)) event.preventDefault();
    stop();
  });
  button.addEventListener("click", (event) => {
    event.preventDefault();
    if (event.detail !== 0) return; // a finger, which was seen above
    const twice = armed && event.timeStamp - armed < TWICE_MS;
    armed = twice ? 0 : event.timeStamp;
    (twice ? done : again)(button);
  });
}
