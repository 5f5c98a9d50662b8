// A page that was open while its adult signed in again holds an old token: every send takes the newest one.
import { device, token } from "../offline/who.js";

export function watchToken(root) {
  root.addEventListener("submit", ({ target }) => {
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
