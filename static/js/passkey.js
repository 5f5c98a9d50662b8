"use strict";
// data-passkey="#form": asks the phone for a passkey and sends its answer in the form's field "credential".
// What to ask for stands in #passkey, or is fetched from data-ask; data-make adds a new one.
const can = window.isSecureContext && "PublicKeyCredential" in window;

function bytes(text) {
  const raw = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(raw, (letter) => letter.charCodeAt(0));
}

function text(buffer) {
  const raw = String.fromCharCode(...new Uint8Array(buffer));
  return btoa(raw).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function read(options) {
  const known = (row) => ({ ...row, id: bytes(row.id) });
  const found = { ...options, challenge: bytes(options.challenge) };
  if (found.user) found.user = { ...found.user, id: bytes(found.user.id) };
  if (found.excludeCredentials) found.excludeCredentials = found.excludeCredentials.map(known);
  if (found.allowCredentials) found.allowCredentials = found.allowCredentials.map(known);
  return found;
}

function written(credential) {
  const { response } = credential;
  const fields = ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"];
  const answer = Object.fromEntries(fields.filter((name) => response[name]).map((name) => [name, text(response[name])]));
  return {
    id: credential.id,
    rawId: text(credential.rawId),
    type: credential.type,
    authenticatorAttachment: credential.authenticatorAttachment,
    clientExtensionResults: credential.getClientExtensionResults(),
    response: answer,
  };
}

async function wanted(button) {
  if (!button.dataset.ask) return JSON.parse(document.querySelector("#passkey").textContent);
  const answer = await fetch(button.dataset.ask, { headers: { Accept: "application/json" } });
  return answer.json();
}

function alone(publicKey) {
  // A key that also signs in alone has to be found by the phone itself, and to know who holds it.
  const chosen = { ...publicKey.authenticatorSelection };
  Object.assign(chosen, { residentKey: "required", requireResidentKey: true, userVerification: "required" });
  return { ...publicKey, authenticatorSelection: chosen };
}

async function ask(button) {
  const data = await wanted(button);
  const publicKey = read((data.creation_options || data.request_options).publicKey);
  const credential = "make" in button.dataset
    ? await navigator.credentials.create({ publicKey: alone(publicKey) })
    : await navigator.credentials.get({ publicKey });
  const form = document.querySelector(button.dataset.passkey);
  form.elements.credential.value = JSON.stringify(written(credential));
  form.submit();
}

for (const note of document.querySelectorAll("[data-no-passkey]")) note.hidden = can;
for (const button of document.querySelectorAll("[data-passkey]")) {
  button.hidden = !can;
  button.addEventListener("click", () => ask(button).catch(() => { button.disabled = false; }));
}
