// A page that was open while its adult signed in again holds an old token: every send takes the newest one.
import { device, token } from "../offline/who.js";

// What the outbox or the bell's line sends brings its own: reading the cookie is slow, and these answer a tap.
const APART = "[data-outbox], [data-report], [data-controls], [data-stop]";

export function watchToken(root) {
  root.addEventListener("submit", ({ target }) => {
    if (target.matches(APART)) return;
    const field = target.elements?.csrfmiddlewaretoken;
    if (field && token()) field.value = token();
  }, true);
  root.addEventListener("htmx:configRequest", ({ detail }) => {
    detail.headers["X-Device"] = device();
    if (!token()) return;
    detail.headers["X-CSRFToken"] = token();
    if (detail.parameters.csrfmiddlewaretoken) detail.parameters.csrfmiddlewaretoken = token();
  });
}
