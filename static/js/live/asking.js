// What is asked about one child wherever counting leads to it: where it is, with whom; and how an answer is sent.
import { fill } from "./face.js";

export class Asking {
  // crowd(): who stands where now. report(what): sends. note(text): said in passing. question: a Question.
  constructor({ question, words, crowd, report, note }) {
    Object.assign(this, { question, words, crowd, report, note });
  }

  get shut() {
    return { text: this.words.close, act: () => this.question.close() };
  }

  get again() {
    return { text: this.words.again, act: () => this.start(this.at.station, this.at.round) };
  }

  done(text) {
    this.question.close();
    this.note(text);
  }

  where(child, next) {
    const missing = { text: this.words.missing, danger: true, act: () => this.say(child, { said: "missing" }, next) };
    const text = fill(this.words.where, child.name);
    this.question.ask({ text, answers: [missing, ...this.reasons(child, next)], foot: [this.again] });
  }

  why(child, next) {
    this.question.ask({ text: fill(this.words.where, child.name), answers: this.reasons(child, next), foot: [this.again] });
  }

  reasons(child, next) {
    return ["toilet", "first_aid", "adult"].map((said) => ({
      text: this.words[said], act: () => this.whom(child, said, next),
    }));
  }

  whom(child, said, next) {
    const { adults } = this.at.crowd.told;
    const answers = adults.map((name) => ({ text: name, act: () => this.say(child, { said, with_whom: name }, next) }));
    if (said !== "adult") answers.unshift({ text: this.words.alone, act: () => this.say(child, { said }, next) });
    this.question.ask({ text: this.words.with, answers, look: "names", foot: [this.again] });
  }

  say(child, what, next) {
    const { station, round, count, crowd } = this.at;
    const body = { ...what, athlete: child.id, station, round, count, base_version: crowd.told.version };
    crowd.say(child.id, body);
    const words = { missing: "is_missing", group: "is_found", guest: "is_found" }[what.said] ?? "is_away";
    this.report({ kind: what.said, url: crowd.told.where, body, label: `${child.name}: ${this.words[words]}` });
    next();
  }

  call() {
    const place = this.at.crowd.station(this.at.station);
    this.report({ kind: "help", url: place.help, body: { round: this.at.round }, label: this.words.help });
  }
}
