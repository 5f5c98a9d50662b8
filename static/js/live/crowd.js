// Who is to stand where, from what the page was told; the twin of clubapp/live/standing.py. Also what was tapped on this
// phone and has not come back yet, so that the next question is right without a network.
const OUT = ["away", "missing"];

export class Crowd {
  constructor(told) {
    this.told = told;
    this.children = new Map(told.children.map((child) => [child.id, { ...child }]));
  }

  station(id) {
    return this.told.stations.find((one) => one.id === id);
  }

  groupsAt(id, round) {
    const where = this.told.rounds[round - 1] ?? [];
    return this.told.groups.filter(({ index }) => where[index] === id);
  }

  groupOf(child, round) {
    const [guestRound, guest] = child.guest ?? [];
    return guestRound === round && this.told.groups.some(({ index }) => index === guest) ? guest : child.group;
  }

  standing(id, round) {
    const groups = this.groupsAt(id, round).map(({ index }) => index);
    return [...this.children.values()].filter(
      (child) => !OUT.includes(child.place) && groups.includes(this.groupOf(child, round)),
    );
  }

  // Those who are out of place first: they are the likely ones.
  others(id, round) {
    const here = new Set(this.standing(id, round));
    const rest = [...this.children.values()].filter((child) => !here.has(child) && !child.out);
    return rest.sort((one, two) => Number(this.isPlaced(one)) - Number(this.isPlaced(two)));
  }

  isPlaced(child) {
    return !OUT.includes(child.place) && child.group !== null;
  }

  // Where a child's own group is in a round; null while it rests or has none.
  home(child, round) {
    const id = child.group === null ? null : (this.told.rounds[round - 1] ?? [])[child.group];
    return id ? this.station(id) : null;
  }

  bib(child) {
    return this.told.groups.find(({ index }) => index === child.group)?.bib ?? "";
  }

  // Said here just now.
  say(id, { said, round, group }) {
    const child = this.children.get(id);
    if (!child) return;
    child.place = { group: "group", guest: "guest", missing: "missing" }[said] ?? "away";
    child.guest = said === "guest" ? [round, group] : null;
  }
}
