"use strict";
// What this phone has: on the page without a network, and on "Your phone".
import { watchParting } from "./parting.js";
import { dropOldPass } from "./pass.js";

const SHELVES = ["fieldbell-pages", "fieldbell-family"];

async function titleOf(response) {
  return new DOMParser().parseFromString(await response.text(), "text/html").title.split(" · ")[0];
}

async function rowOf(request, copy) {
  const link = Object.assign(document.createElement("a"), { href: new URL(request.url).pathname, className: "touch" });
  link.textContent = await titleOf(copy);
  const row = Object.assign(document.createElement("li"), { className: "row" });
  row.append(link);
  return row;
}

// Fills the list; whether there is anything in it.
export async function listKept(list) {
  const rows = [];
  for (const shelf of window.caches ? SHELVES : []) {
    const pages = await caches.open(shelf);
    for (const request of await pages.keys()) {
      const copy = await pages.match(request, { ignoreVary: true });
      const now = Date.now() + Number(copy.headers.get("X-Ahead"));
      if (now < Number(copy.headers.get("X-Keep-Until"))) rows.push(await rowOf(request, copy));
    }
  }
  list.replaceChildren(...rows);
  return rows.length > 0;
}

watchParting();
dropOldPass().catch(() => {});
const place = document.getElementById("shelf");
if (place) listKept(place.querySelector("ul")).then((any) => { place.hidden = !any; });
