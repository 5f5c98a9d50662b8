// What the adult wants called, kept on this phone from one session to the next.
const NAME = "fieldbell.caller";
const KEPT = ["set", "own", "pace", "pause", "count", "alike", "catch"];

export function recall(form) {
  try {
    const kept = JSON.parse(localStorage.getItem(NAME)) ?? {};
    for (const name of KEPT) if (typeof kept[name] === "string") choose(form.elements[name], kept[name]);
  } catch {
    // Nothing was kept: the page's own choices stand.
  }
}

// What is not on offer any more is left alone.
function choose(field, value) {
  const offered = [...(field.options ?? field)].map((one) => one.value);
  if (field.type === "text" || offered.includes(value)) field.value = value;
}

export function remember(form) {
  try {
    localStorage.setItem(NAME, JSON.stringify(Object.fromEntries(KEPT.map((name) => [name, form.elements[name].value]))));
  } catch {
    // Storage is full or switched off: good for this time only.
  }
}

export function ownWords(text, limits) {
  const found = text.split(",").map((word) => word.trim().replace(/\s+/g, " ").slice(0, limits.length).trim()).filter(Boolean);
  return [...new Map(found.map((word) => [word.toLowerCase(), word])).values()].slice(0, limits.own);
}

// A problem of cues.js, or null where no word was written.
export function problemOf(form, sets, limits) {
  const field = (name) => form.elements[name].value;
  const words = field("set") === "own" ? ownWords(field("own"), limits) : sets[field("set")].map(([word]) => word);
  if (!words.length) return null;
  const [least_ms, tau_ms, most_ms] = field("pace").split(" ").map(Number);
  return {
    words, least_ms, tau_ms, most_ms,
    count: Number(field("count")),
    pause_ms: Number(field("pause")),
    catch_percent: Number(field("catch")),
    most_alike: Number(field("alike")),
    most_away: null,
  };
}
