// The screen stays on while the watch runs, where the phone can do that; asked for again when the page is back in sight.
let lock = null;

export async function stayAwake(running) {
  if (document.hidden) lock = null; // the phone let go by itself
  else if (running && !lock) lock = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
  else if (!running && lock) {
    const old = lock;
    lock = null;
    await old.release().catch(() => {});
  }
}
