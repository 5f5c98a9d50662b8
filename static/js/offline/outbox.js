// The outbox: every write made on the field goes through here. Kept on the phone first, sent in order when it can be,
// taken once by the server. The public door is this file; of the rest of offline/ other folders take the
// newest token alone (who.js).
//
//   from outbox.js: put, pending, retry, discard, sendSoon
//
//   put({kind, url, body, label, row, wants, made}) -> Promise of op_id, as soon as it is safe on this phone. A rejected
//       promise means that the phone could not keep it: say so.
//     kind   "mark", "new-child", "notice", "head-count", "incident", "result", …: for whoever listens
//     url    our own address that takes the POST, from "/"
//     body   plain object, FormData or pairs. op_id (kept if the body has one), device and tapped_at (ISO, by the
//            server's clock) are added. Never put a token into it: that is read at the moment of sending.
//     label  what the adult did, in words, for "3 waiting" and for what was not taken ("Mia: here")
//     row    id of the element that shows the answer, or ""
//     wants  "json" (default): sent with Accept: application/json. "html": as htmx would, the answer is a fragment.
//   pending()      -> Promise of this adult's writes: {op_id, kind, url, body (pairs), label, row, at, state, answer}
//                     state "waiting" | "refused" | "taken" (taken ones stay only while a page still needs them)
//   retry(op_id)   a refused one waits again;  discard(op_id) throws one away for good
//   forget(op)     a page has shown the answer of a taken one
//   sendSoon()     try now (a socket opened, the network is back)
//
// Told to everybody by an event on document, also from other tabs of this phone:
//   "fieldbell:outbox"  detail {op, state, answer}: state "waiting", "taken", "refused" or "dropped";
//                       answer {status, data (JSON or null), text, words}: words is a sentence for the row. A conflict
//                       is a "taken" answer: what it says stands in data or text, as the view wrote it.
//   "fieldbell:outbox-counts"  detail {waiting, refused, trouble}: trouble "", "network", "busy" or "sign-in"
//
// The server side: a form with op_id, device, tapped_at (register.forms.TapForm); the op_id unique in the table and its
// answer stored (core.models.FieldWrite), so that the same write gets the same answer; 4xx with {"errors": …} or
// {"error": "sentence"} is shown as refused. 401 and redirects mean "sign in": the queue stays.
import { newId } from "../live/ids.js";
import { announce, count } from "./post.js";
import { sendAll } from "./sender.js";
import { addWrite, allWrites, changeWrite, dropWrite } from "./store.js";
import { owner } from "./who.js";

const pairs = (body) => [...(body instanceof FormData || Array.isArray(body) ? body : spread(body))];

function spread(body) {
  const rows = Object.entries(body).filter(([, value]) => value !== null && value !== undefined);
  return rows.flatMap(([name, value]) => [value].flat().map((one) => [name, String(one)]));
}

export async function put({ kind, url, body = {}, label = "", row = "", wants = "json" }) {
  if (!url.startsWith("/") || url.startsWith("//")) throw new Error("the outbox sends to our own addresses only");
  const given = pairs(body).filter(([name]) => name !== "csrfmiddlewaretoken" && name !== "tapped_at");
  const op_id = given.find(([name]) => name === "op_id")?.[1] || newId();
  const rest = given.filter(([name]) => name !== "op_id");
  const op = { op_id, owner: owner(), kind, url, body: rest, label, row, wants, at: Date.now(), state: "waiting" };
  op.number = await addWrite(op);
  announce(op, "waiting");
  await count();
  sendAll();
  return op_id;
}

export async function pending() {
  const mine = owner();
  return mine ? (await allWrites()).filter((op) => op.owner === mine) : [];
}

const find = async (op_id) => (await pending()).find((op) => op.op_id === op_id);

export async function retry(op_id) {
  const op = await find(op_id);
  if (!op) return;
  await changeWrite({ ...op, state: "waiting", answer: undefined, tries: 0 });
  announce(op, "waiting");
  await count();
  sendAll();
}

export async function discard(op_id) {
  const op = await find(op_id);
  if (!op) return;
  await dropWrite(op.number);
  announce(op, "dropped");
  await count();
}

// A page has shown what was taken.
export const forget = (op) => dropWrite(op.number);

export const sendSoon = () => sendAll();
