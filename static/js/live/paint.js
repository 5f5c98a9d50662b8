// What a tap need not wait for comes after the frame that answers it; soon, also where nothing is painted.
const LATEST_MS = 200;

export function afterPaint(act) {
  let done = false;
  const once = () => {
    if (done) return;
    done = true;
    act();
  };
  requestAnimationFrame(() => setTimeout(once));
  setTimeout(once, LATEST_MS);
}
