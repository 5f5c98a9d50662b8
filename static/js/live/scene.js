// Of all rounds on the page shows the one being worked, or the one the children now walk to. Works without a network.
import { roundAhead } from "./clock.js";

export class Scene {
  constructor(root) {
    this.root = root;
    this.round = undefined;
    // What came in anew must show the same round.
    document.body.addEventListener("htmx:afterSwap", () => { this.round = undefined; this.again?.(); });
  }

  show(state, seen) {
    this.again = () => this.show(state, seen);
    const last = state.segments.filter(([kind]) => kind === "work").length;
    const ahead = roundAhead(state, seen.index);
    // Children stand here, are still to come, or are done with all rounds.
    document.documentElement.dataset.scene = seen.kind === "work" ? "work" : ahead === null ? "after" : "before";
    const round = String(ahead ?? last);
    if (round === this.round) return;
    this.round = round;
    for (const turn of this.root.querySelectorAll("[data-turn]")) {
      turn.toggleAttribute("data-now", turn.dataset.turn === round);
    }
  }
}
