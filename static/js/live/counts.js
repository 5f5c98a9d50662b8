// The head-count at a station: how many; too few: who is not here and where; too many: who is extra and where to.
import { Asking } from "./asking.js";
import { fill } from "./face.js";
import { newId } from "./ids.js";

const LEAST_SHOWN = 12; // the figure expected is not to be read off the buttons
const MORE_SHOWN = 4;

export class Counts extends Asking {
  start(station, round) {
    this.at = { station, round, count: null, crowd: this.crowd() };
    const { crowd } = this.at;
    const most = Math.max(LEAST_SHOWN - 1, crowd.standing(station, round).length + MORE_SHOWN);
    const figures = Array.from({ length: most + 1 }, (_, n) => ({ text: String(n), act: () => this.counted(n) }));
    this.question.ask({
      text: this.words.how_many,
      lead: this.stands(),
      answers: figures,
      look: "figures-only",
      foot: [{ text: this.words.goes, act: () => this.goes() }, this.shut],
    });
  }

  // Which station and whose group, never how many.
  stands() {
    const { station, round, crowd } = this.at;
    const { number, name } = crowd.station(station);
    const bibs = crowd.groupsAt(station, round).map(({ bib }) => bib);
    return [`${number} ${name}`, ...bibs].join(" · ");
  }

  counted(n) {
    const { station, round, crowd } = this.at;
    const place = crowd.station(station);
    this.at.count = newId();
    const body = { op_id: this.at.count, round, counted: n, base_version: crowd.told.version };
    this.report({ kind: "head-count", url: place.count, body, label: fill(this.words.counted_at, n, place.number) });
    const over = n - crowd.standing(station, round).length;
    if (over < 0) this.who(fill(this.words.who, n), -over);
    else if (over > 0) this.extra(fill(this.words.extra, n), over);
    else this.done(fill(this.words.counted, n));
  }

  // A count that was kept with too few, taken up again.
  resume(station, round, count, left) {
    this.at = { station, round, count, crowd: this.crowd() };
    this.who(this.words.who_more, left);
  }

  who(text, left) {
    const { station, round, crowd } = this.at;
    const next = () => (left > 1 ? this.who(this.words.who_more, left - 1) : this.done(this.words.saved));
    const answers = crowd.standing(station, round).map((child) => ({ text: child.name, act: () => this.where(child, next) }));
    this.question.ask({ text, answers, look: "names", foot: [this.again] });
  }

  goes() {
    const { station, round, crowd } = this.at;
    const next = () => this.done(this.words.saved);
    const answers = crowd.standing(station, round).map((child) => ({ text: child.name, act: () => this.why(child, next) }));
    this.question.ask({ text: this.words.away_who, answers, look: "names", foot: [this.again] });
  }

  extra(text, left) {
    const { station, round, crowd } = this.at;
    const next = () => (left > 1 ? this.extra(this.words.extra_more, left - 1) : this.done(this.words.saved));
    const answers = crowd.others(station, round).map((child) => ({
      text: child.name, note: this.belongs(child), act: () => this.settle(child, next),
    }));
    const call = { text: this.words.unlisted, act: () => { this.call(); next(); } };
    this.question.ask({ text, answers, look: "names", foot: [call, this.again] });
  }

  belongs(child) {
    const { round, crowd } = this.at;
    if (["missing", "away"].includes(child.place)) return this.words[`is_${child.place}`];
    if (child.group === null) return this.words.no_group;
    const home = crowd.home(child, round);
    return `${crowd.bib(child)}, ${home ? fill(this.words.station, home.number) : this.words.rests}`;
  }

  settle(child, next) {
    const { station, round, crowd } = this.at;
    const home = crowd.home(child, round);
    const [group] = crowd.groupsAt(station, round);
    const back = { said: "group", with_whom: crowd.told.me };
    if (home?.id === station || !group) return this.say(child, back, next);
    const answers = [{ text: this.words.stay, act: () => this.say(child, { said: "guest", group: group.index }, next) }];
    if (child.group !== null) answers.unshift({ text: this.words.go_back, act: () => this.say(child, back, next) });
    return this.question.ask({ text: `${child.name}: ${this.belongs(child)}`, answers, foot: [this.again] });
  }
}
