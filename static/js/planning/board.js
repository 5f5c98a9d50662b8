"use strict";
// A tap on the ground, in metres, into the form's own fields; the server draws. Without this the fields are typed.
import { nearest, metresAt, rounded } from "./ground.js";

function ghost(svg, point) {
  // The tap is seen at once, however long the answer takes.
  const dot = document.createElementNS(svg.namespaceURI, "circle");
  for (const [name, value] of [["cx", point.x], ["cy", point.y], ["r", 8], ["class", "ground-tapped"]]) dot.setAttribute(name, value);
  svg.append(dot);
}

function pointOf(svg, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

function tapped(event) {
  const svg = event.target.closest?.("[data-board] svg");
  if (!svg) return;
  const form = svg.closest("form");
  const point = pointOf(svg, event);
  const at = metresAt(point, Number(svg.dataset.scale));
  const picked = form.elements.tool.value === "pick" && nearest(JSON.parse(form.elements.drawing.value), at, Number(svg.dataset.scale));
  if (picked) form.elements.chosen.value = picked;
  else [form.elements.x.value, form.elements.y.value] = at.map(rounded);
  ghost(svg, point);
  form.querySelector(`button[value=${picked ? "choose" : "put"}]`).click();
}

// The strip of tools comes anew with each answer: what is chosen in it must be in sight.
function inSight() {
  const strip = document.querySelector(".board-tools");
  const tool = strip?.querySelector(":checked")?.parentElement;
  if (tool) strip.scrollLeft = tool.offsetLeft - strip.offsetLeft - (strip.clientWidth - tool.offsetWidth) / 2;
}

document.addEventListener("click", tapped);
document.addEventListener("htmx:afterSettle", inSight);
inSight();
