// Of two tabs with one watch the one opened last has it: each writes the whole tape, and one would undo the other's.
import { newId } from "../ids.js";

const NAME = "fieldbell.stopwatch-tab.";
const me = newId();

export function isMine(key) {
  try {
    return (localStorage.getItem(NAME + key) ?? me) === me;
  } catch {
    return true; // nothing is kept, so nothing is undone
  }
}

// lost(): another tab took it over, perhaps while this page was put away. root and thumb take no more taps then.
export function takeWatch(key, { root, thumb, lost }) {
  try {
    localStorage.setItem(NAME + key, me);
  } catch {
    return;
  }
  const look = () => {
    if (isMine(key)) return;
    for (const part of root.children) part.inert = !part.matches("[role=alert]");
    thumb.hidden = true;
    lost();
  };
  for (const name of ["storage", "pageshow"]) window.addEventListener(name, look);
  document.addEventListener("visibilitychange", look);
}
