// One at a time: tap the child, start, stop, next. Every attempt is kept.
import { fill } from "../face.js";
import { button, make } from "./pieces.js";
import { attemptOf, byId, keep, say, timesOf } from "./tape.js";
import { shownTime, timeMark } from "./times.js";

function choose(page, child) {
  Object.assign(page.tape.one, { child, start: null, redo: "", last: "" });
  page.changed();
}

function start({ tape, gap }, at) {
  Object.assign(tape.one, { start: at, gap: gap(), last: "" });
}

function stop(page, at) {
  const { tape, newId } = page;
  const { one } = tape;
  const test = page.test();
  const old = byId(tape, one.redo);
  const attempt = old?.attempt ?? attemptOf(tape, one.child, test, page.known(one.child, test));
  const ms = Math.max(1, Math.round(at - one.start));
  const doubt = page.doubt(one, at);
  const made = keep(tape, { id: newId(), child: one.child, test, ms, at, attempt, doubt }, old);
  Object.assign(one, { start: null, redo: "", last: made.id });
}

// Behind the last child the first again.
function nextOf(members, child) {
  const at = members.findIndex(({ id }) => id === child);
  return members.length > 1 || at < 0 ? members[(at + 1) % members.length] : null;
}

function rowOf(page, { id, name }, test) {
  const { tape, words, tenths } = page;
  const marks = timesOf(tape, id, test).map((one) => timeMark(one, tenths(test), words));
  const pressed = tape.one.child === id;
  const made = button("", () => choose(page, id), { key: `child-${id}`, pressed, className: "sw-row" });
  made.append(make("span", { className: "sw-who", text: name }), make("span", { className: "sw-marks" }, ...marks));
  return made;
}

function sides(page, last) {
  const { tape, words, newId } = page;
  if (byId(tape, tape.one.redo)) {
    return [button(words.keep_old, () => { Object.assign(tape.one, { last: tape.one.redo, redo: "" }); page.changed(); })];
  }
  if (!last) return [];
  const slipped = last.state === "slipped";
  return [
    button(slipped ? words.not_slipped : words.slipped, () => { say(tape, last, slipped ? "" : "slipped", newId()); page.changed(); }),
    button(words.redo, () => { Object.assign(tape.one, { redo: last.id, last: "" }); page.changed(); }),
  ];
}

function big(page, members, last) {
  const { tape, words, crew } = page;
  const { child, start: running } = tape.one;
  if (running !== null) return { text: words.stop, down: stop };
  const next = last && nextOf(members, child);
  if (next) return { text: fill(words.next, next.name), act: () => choose(page, next.id) };
  if (last) return { text: fill(words.again, crew.name(child)), act: () => choose(page, child) };
  if (!child) return { text: words.choose, disabled: true };
  return { text: fill(words.start_child, crew.name(child)), down: start };
}

export function one(page) {
  const { tape, words, crew, tenths } = page;
  const { child, start: running, redo } = tape.one;
  const test = page.test();
  const members = crew.members(page.who());
  const known = byId(tape, tape.one.last);
  const last = known && known.state !== "void" ? known : null;
  const old = byId(tape, redo);
  const line = old ? fill(words.redoing, shownTime(old, tenths(test))) : running !== null || last ? crew.name(child) : "";
  const rows = members.map((member) => rowOf(page, member, test));
  const list = running !== null ? [] : rows.length ? [make("div", { className: "sw-rows" }, ...rows)] : [make("p", { className: "remark", text: words.nobody })];
  const figures = last ? shownTime(last, tenths(last.test)) : "";
  return { line, start: running, figures, side: sides(page, last), list, big: big(page, members, last), doubt: last?.doubt };
}
