// A child's times as they are shown: the figure, whether it counts, and how far it has got.
import { fill } from "../face.js";
import { text } from "./handtime.js";
import { make } from "./pieces.js";

// What counts: the club's answer once it is there, else what this watch says.
export const shownTime = (result, tenths) => result.text || text(result.ms, tenths);

function notes(result, words) {
  const said = [];
  if (result.state === "slipped") said.push(words.slipped);
  if (result.watches > 1) said.push(fill(words.watches, result.watches));
  if (result.doubt) said.push(words.doubtful);
  if (result.sent === "waiting") said.push(words.waiting);
  if (result.sent === "refused") said.push(result.said);
  return said.join(" · ");
}

export function timeMark(result, tenths, words) {
  const figure = make(result.state === "slipped" ? "s" : "b", { text: shownTime(result, tenths) });
  const note = notes(result, words);
  const made = make("span", { className: "sw-time" }, figure, note && make("span", { className: "sw-note", text: note }));
  made.dataset.sent = result.sent;
  return made;
}
