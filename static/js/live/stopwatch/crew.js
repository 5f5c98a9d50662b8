// Who can be timed: the children here, those at this station round by round, or a group.
import { Crowd } from "../crowd.js";
import { fill } from "../face.js";

export class Crew {
  constructor(words, station) {
    Object.assign(this, { words, station, names: new Map() });
    this.read();
  }

  // What the page was told last; the names of those who went home since stay in mind.
  read() {
    const told = JSON.parse(document.getElementById("watch-now").dataset.told);
    this.told = told;
    this.crowd = new Crowd(told);
    for (const child of told.children) this.names.set(child.id, child.name);
  }

  name(child) {
    return this.names.get(child) ?? "–";
  }

  get round() {
    return Number(document.querySelector("[data-turn][data-now]")?.dataset.turn ?? this.told.round);
  }

  // [value, text]: the first one follows the bell.
  choices() {
    const { groups, rounds } = this.told;
    const all = ["all", this.words.everybody];
    if (!this.station || !rounds.length) return [all, ...groups.map(({ index, bib }) => [`g${index}`, bib])];
    const bibs = (round) => this.crowd.groupsAt(this.station, round).map(({ bib }) => bib).join(", ");
    const label = (round) => [fill(this.words.round, round), bibs(round)].filter(Boolean).join(": ");
    const each = rounds.map((_where, index) => [`r${index + 1}`, label(index + 1)]);
    return [["now", `${label(this.round)} · ${this.words.now}`], ...each, all];
  }

  // In list order.
  members(choice) {
    const [kind, number] = [choice[0], Number(choice.slice(1))];
    const everybody = this.told.children.filter(({ out }) => !out);
    if (choice === "now") return this.crowd.standing(this.station, this.round);
    if (kind === "r") return this.crowd.standing(this.station, number);
    if (kind === "g") return everybody.filter(({ group }) => group === number);
    return everybody;
  }
}
