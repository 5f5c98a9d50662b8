// What an answer to a write means.
import { words } from "./words.js";

const LATER = [408, 425, 429];

// -> {state: "taken" | "refused", answer}, {stale: true} for an old token, or {stop, wait_ms, broke}: try again later.
export async function judge(response) {
  const { status } = response;
  if (response.type === "opaqueredirect" || status === 401) return { stop: "sign-in" };
  if (LATER.includes(status) || status >= 500) {
    const wait_ms = 1000 * Number(response.headers.get("Retry-After") || 0);
    const answer = { status, data: null, text: "", words: words.broken };
    return { stop: "busy", wait_ms, broke: status === 500, answer };
  }
  const answer = await read(response);
  if (response.ok) return { state: "taken", answer };
  return { state: "refused", answer, stale: status === 403 };
}

async function read(response) {
  const text = await response.text();
  const isJson = (response.headers.get("Content-Type") ?? "").includes("json");
  const data = isJson ? JSON.parse(text) : null;
  return { status: response.status, data, text: isJson ? "" : text, words: response.ok ? "" : reason(response, data, text) };
}

// A fragment lists its reasons.
function listed(text) {
  const rows = new DOMParser().parseFromString(text, "text/html").querySelectorAll("[role=alert] li, .errorlist li");
  return [...rows].map((row) => row.textContent.trim());
}

function reason({ status }, data, text) {
  const said = data?.error ?? data?.text;
  if (typeof said === "string") return said;
  const errors = Object.values(data?.errors ?? {}).flat();
  const found = data ? errors.map((error) => error.message ?? error) : listed(text);
  if (found.length) return found.join(" ");
  return { 403: words.forbidden, 404: words.gone, 413: words.large }[status] ?? words.refused;
}
