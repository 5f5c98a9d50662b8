// One start, many finishers: a tap for each who crosses the line, names afterwards.
import { fill } from "../face.js";
import { text } from "./handtime.js";
import { button, make } from "./pieces.js";
import { byId, finish, heatOf, loose, nameRow, openHeat, say, startHeat, takeBack, twin, unnamed } from "./tape.js";
import { timeMark } from "./times.js";

const FINISH_QUIET_MS = 60; // two touches closer than this are one thumb
let chosen = "";

const taps = {
  start: ({ tape, newId, gap, test }, at) => startHeat(tape, { id: newId(), at, gap: gap(), test: test() }),
  finish: ({ tape, newId, doubt }, at) => finish(tape, { id: newId(), at, doubt: doubt(openHeat(tape), at) }),
};

function nameTo(page, row, child) {
  nameRow(page.tape, row, child, { make: page.newId, known: page.known(child, heatOf(page.tape, row).test) });
  chosen = "";
  page.changed();
}

function rowOf(page, row, place, now) {
  const { tape, words, tenths } = page;
  const result = byId(tape, row.result);
  const test = heatOf(tape, row).test;
  const who = result ? page.crew.name(result.child) : words.no_name;
  const time = result ? timeMark(result, tenths(test), words) : make("span", { className: "sw-time" }, make("b", { text: text(row.ms, tenths(test)) }));
  const act = () => { chosen = row.id; page.changed(); };
  const made = button("", act, { key: `row-${row.id}`, pressed: row === now, className: "sw-row" });
  made.append(make("span", { className: "sw-place", text: place }), make("span", { className: "sw-who", text: who }), time);
  return made;
}

// What can be said of the row one looks at.
function about(page, row) {
  const { tape, words, newId } = page;
  const result = byId(tape, row.result);
  const after = (act) => () => { act(); page.changed(); };
  if (!result) {
    return [
      button(words.both, after(() => twin(tape, row, newId()))),
      button(words.drop, after(() => { row.dropped = true; chosen = ""; })),
    ];
  }
  const slipped = result.state === "slipped";
  return [
    button(slipped ? words.not_slipped : words.slipped, after(() => say(tape, result, slipped ? "" : "slipped", newId()))),
    button(words.free, () => nameTo(page, row, "")),
  ];
}

function names(page, row) {
  const heat = heatOf(page.tape, row);
  const taken = new Set(heat.rows.map(({ result }) => byId(page.tape, result)?.child));
  const free = page.crew.members(page.who()).filter(({ id }) => !taken.has(id));
  if (!free.length && !taken.size) return make("p", { className: "remark", text: page.words.nobody });
  const chips = free.map(({ id, name }) => button(name, () => nameTo(page, row, id), { key: `name-${id}` }));
  return make("div", { className: "sw-names" }, ...chips);
}

// The row to name: the one tapped, else the first without a name.
function rowNow(rows) {
  return rows.find(({ id }) => id === chosen) ?? rows.find(({ result }) => !result) ?? null;
}

function rowsOf(page, rows, places) {
  const row = rowNow(rows);
  return make("div", { className: "sw-rows" }, ...rows.map((one, index) => rowOf(page, one, places ? `${index + 1}` : "", row)));
}

// At the thumb: the question, what else can be said of the row, and the names for it.
function namesFor(page, rows) {
  const row = rowNow(rows);
  if (!row) return null;
  const asked = fill(page.words.name_it, text(row.ms, page.tenths(heatOf(page.tape, row).test)));
  const line = row.result ? null : make("p", { className: "sw-asked", text: asked });
  return [line, make("div", { className: "sw-about" }, ...about(page, row)), names(page, row)];
}

export function many(page) {
  const { tape, words } = page;
  const heat = openHeat(tape);
  const set = (values) => () => { Object.assign(heat, values); page.changed(); };
  if (!heat) {
    const rest = loose(tape).slice(-24);
    const list = rest.length ? [make("h2", { text: words.earlier }), rowsOf(page, rest, false)] : [];
    return { line: "", start: null, side: [], list, names: namesFor(page, rest.filter(({ id }) => id === chosen)), big: { text: words.start, down: taps.start } };
  }
  const rows = heat.rows.filter(({ dropped }) => !dropped);
  if (!heat.over) {
    const label = rows.length ? fill(words.finish_more, rows.length) : words.finish;
    const seen = rows.map((row, index) => make("span", {}, make("span", { text: `${index + 1}` }), make("b", { text: text(row.ms, page.tenths(heat.test)) })));
    const back = unnamed(heat).length ? button(words.back, () => { takeBack(tape); page.changed(); }) : null;
    const side = [back, rows.length ? button(words.all_in, set({ over: true })) : null];
    return {
      line: "", start: heat.start, side, list: [make("div", { className: "sw-seen" }, ...seen.reverse())],
      big: { text: label, down: taps.finish, quiet: FINISH_QUIET_MS },
    };
  }
  const side = [button(words.go_on, set({ over: false }))];
  return {
    stage: "name", line: rows.length && !rowNow(rows) ? words.named : "", start: null, side, list: [rowsOf(page, rows, true)], names: namesFor(page, rows),
    big: { text: words.new_run, act: set({ closed: true }) },
  };
}
