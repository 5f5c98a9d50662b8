// Times go out through the outbox, each once; what it tells of them is written on the tape.
import { pending, put } from "../../offline/outbox.js";
import { text } from "./handtime.js";
import { steady } from "./moments.js";
import { byId, heard } from "./tape.js";

export class Post {
  // page: {url, station}; name(child); inTenths(test); changed(): the tape is to be kept and shown; failed(): the phone
  // could not keep a write.
  constructor(tape, page) {
    Object.assign(this, { tape, page });
    this.going = new Set();
    document.addEventListener("fieldbell:outbox", ({ detail: { op, state, answer } }) => {
      if (op.kind === "result" && heard(tape, op.op_id, state, answer)) page.changed();
    });
  }

  // Everything that is on the tape and not in the outbox yet.
  async send() {
    for (const op of [...this.tape.ops]) {
      if (this.going.has(op.op)) continue;
      this.going.add(op.op);
      await this.one(op);
      this.going.delete(op.op);
    }
  }

  async one(op) {
    const result = byId(this.tape, op.result);
    const { url, station, name, inTenths } = this.page;
    const body = {
      op_id: op.op, athlete: result.child, trial: result.test, station, ms: result.ms, attempt: result.attempt,
      state: op.state, replaces: op.replaces, ago_ms: Math.max(0, Math.round(steady() - result.at)),
      doubtful: result.doubt ? "yes" : "",
    };
    const label = `${name(result.child)}: ${text(result.ms, inTenths(result.test))}`;
    try {
      await put({ kind: "result", url, body, label });
    } catch {
      const known = (await pending().catch(() => [])).some((one) => one.op_id === op.op);
      if (!known) return this.page.failed();
    }
    this.tape.ops = this.tape.ops.filter((one) => one !== op);
    this.page.changed();
  }

  // After a reload: what is not in the outbox any more is with the club.
  async recall() {
    const all = await pending().catch(() => null);
    if (all === null) return this.page.changed();
    const rows = new Map(all.map((op) => [op.op_id, op]));
    const left = new Set(this.tape.ops.map(({ op }) => op));
    for (const result of this.tape.results) {
      const own = [result.id, ...result.fixes];
      const refused = own.map((id) => rows.get(id)).find((op) => op?.state === "refused");
      if (refused) Object.assign(result, { sent: "refused", said: refused.answer?.words ?? "" });
      else if (!own.some((id) => rows.has(id) || left.has(id)) && result.sent === "waiting") result.sent = "taken";
    }
    this.page.changed();
    await this.send();
  }
}
