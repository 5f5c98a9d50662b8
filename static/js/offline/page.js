// Every page: what waits is in sight and sent when it can be, what is kept goes in time.
import { watchQueue } from "./bar.js";
import { install } from "./install.js";
import { watchKept } from "./kept.js";
import { watchLeaving } from "./leave.js";
import { watchParting } from "./parting.js";
import { count } from "./post.js";
import { sendAll, watchNetwork } from "./sender.js";

export async function watchOffline(root) {
  const place = root.getElementById("outbox");
  if (place) watchQueue(place);
  watchLeaving(root);
  install().catch(() => {});
  if (watchParting()) return;
  try {
    await watchKept();
    await count();
    watchNetwork();
    await sendAll();
  } catch {
    // The phone lets nothing be stored (a private window): pages work as without scripts.
  }
  document.documentElement.dataset.queueReady = "yes";
}
