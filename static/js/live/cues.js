// Twin of clubapp/engine/cues.py: which word comes next and after how long. Both run tests/vectors/cues.json. Pure: no
// clock, no lot but its own, and whole numbers below 2^53 alone, so that a seed gives the same sequence everywhere.
const WORD = 2 ** 32;
const NEVER_ZERO = 2463534242;
const MOST_CATCHES = 2;

// xorshift32 (Marsaglia 2003), begun by the finaliser of MurmurHash3 (Appleby 2011).
export class Lot {
  constructor(state) {
    this.state = state;
  }

  static of(seed) {
    let mixed = seed >>> 0;
    for (const [shift, factor] of [[16, 0x85ebca6b], [13, 0xc2b2ae35]]) mixed = Math.imul(mixed ^ (mixed >>> shift), factor);
    return new Lot(((mixed ^ (mixed >>> 16)) >>> 0) || NEVER_ZERO);
  }

  number() {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x >>> 0;
    return this.state;
  }

  below(count) {
    return Math.floor((this.number() * count) / WORD);
  }

  // Mean 1, by comparing numbers alone (von Neumann 1951).
  exponential() {
    for (let whole = 0; ; whole += 1) {
      const first = this.number();
      let [last, odd] = [first, true];
      for (let fresh = this.number(); fresh < last; fresh = this.number()) [last, odd] = [fresh, !odd];
      if (odd) return whole + first / WORD;
    }
  }
}

function waitOf(problem, lot) {
  const room = problem.most_ms - problem.least_ms;
  for (;;) {
    const more = Math.floor(lot.exponential() * problem.tau_ms + 0.5);
    if (more <= room) return problem.least_ms + more;
  }
}

const isInTime = (left) => [...left].sort((a, b) => a - b).every((cues, place) => cues >= place + 2);

// The words that may come next, in the problem's order; there is always one.
export function choices(problem, called) {
  const { words, most_alike: alike } = problem;
  const away = problem.most_away ?? 4 * words.length;
  const recent = called.slice(-away);
  const left = new Map(words.map((word) => [word, recent.lastIndexOf(word) + 1 + away - recent.length]));
  const row = called.slice(-alike);
  const again = words.length === 1 || row.length < alike || new Set(row).size > 1;
  const others = (word) => words.filter((other) => other !== word).map((other) => left.get(other));
  return words.filter((word) => (again || word !== called.at(-1)) && isInTime(others(word)));
}

// Trials one after the other, without end: [wait_ms, at_ms, word or null]. The caller stops when it has enough cues.
export function* trials(problem, seed) {
  const lot = Lot.of(seed);
  const { catch_percent: percent, pause_ms: pause } = problem;
  const called = [];
  for (let now = 0, caught = 0; ;) {
    const isCatch = percent > 0 && lot.below(100) < percent && caught < MOST_CATCHES;
    const wait = isCatch ? problem.most_ms : waitOf(problem, lot);
    now += wait;
    caught = isCatch ? caught + 1 : 0;
    if (isCatch) {
      yield [wait, now, null];
      continue;
    }
    const may = choices(problem, called);
    called.push(may[lot.below(may.length)]);
    yield [wait, now, called.at(-1)];
    now += pause;
  }
}

// As many cues as the problem asks for, catch trials between them.
export function solve(problem, seed = 0) {
  const found = [];
  let cues = 0;
  for (const trial of trials(problem, seed)) {
    found.push(trial);
    if (trial[2] !== null) cues += 1;
    if (cues >= problem.count) return found;
  }
  return found;
}
