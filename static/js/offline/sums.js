// The sums of what the rows show, where all rows are on the page.
export function recount() {
  const many = {};
  const count = (kind) => { many[kind] = (many[kind] ?? 0) + 1; };
  for (const { dataset } of document.querySelectorAll("#children .mark")) {
    count(dataset.kind);
    // Announced for later: that is a word until a little after the time it named.
    if (dataset.kind === "cleared" && !(Number(dataset.wordUntil) > Date.now())) count("no-word");
  }
  if (new URLSearchParams(location.search).get("q")) return;
  for (const sum of document.querySelectorAll("[data-sums] [data-count]")) {
    const now = String(sum.dataset.count.split(" ").reduce((all, kind) => all + (many[kind] ?? 0), 0));
    if (sum.textContent !== now) sum.textContent = now;
  }
}
