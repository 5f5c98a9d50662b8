"use strict";
// Stations are dragged, or tapped and then put: both fill the form's own fields, the server draws and judges.
import { metresAt, rounded } from "./ground.js";

const SLIP = 8; // pixels a finger may slip and still tap
let held = null;

function pointOf(svg, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

function put(svg, station, at) {
  const form = svg.closest("form");
  form.elements.station.value = station;
  [form.elements.x.value, form.elements.y.value] = at.map(rounded);
  form.querySelector("button[value=put]").click();
}

function choose(group) {
  const svg = group.ownerSVGElement;
  const form = svg.closest("form");
  form.elements.station.value = group.dataset.station;
  [form.elements.x.value, form.elements.y.value] = group.dataset.at.split(",");
  for (const other of svg.querySelectorAll(".field-station")) other.classList.toggle("chosen", other === group);
}

function took(event) {
  const group = event.target.closest?.("[data-field] [data-station]");
  if (!group || !event.isPrimary) return;
  const svg = group.ownerSVGElement;
  held = { group, svg, from: pointOf(svg, event), x: event.clientX, y: event.clientY, moved: false };
  svg.setPointerCapture(event.pointerId);
}

function drags(event) {
  if (!held) return;
  held.moved ||= Math.hypot(event.clientX - held.x, event.clientY - held.y) > SLIP;
  if (!held.moved) return;
  const to = pointOf(held.svg, event);
  held.group.setAttribute("transform", `translate(${to.x - held.from.x} ${to.y - held.from.y})`);
}

function letGo(event) {
  if (!held) return;
  const { group, svg, from, moved } = held;
  held = null;
  if (!moved) return choose(group);
  const to = pointOf(svg, event);
  const [east, north] = metresAt({ x: to.x - from.x, y: to.y - from.y }, Number(svg.dataset.scale));
  const [x, y] = group.dataset.at.split(",").map(Number);
  put(svg, group.dataset.station, [x + east, y + north]);
}

function givenUp() {
  held?.group.removeAttribute("transform");
  held = null;
}

function tapped(event) {
  const svg = event.target.closest?.("[data-field] svg");
  if (!svg || event.target.closest("[data-station]")) return;
  const station = svg.closest("form").elements.station.value;
  if (station) put(svg, station, metresAt(pointOf(svg, event), Number(svg.dataset.scale)));
}

document.addEventListener("pointerdown", took);
document.addEventListener("pointermove", drags);
document.addEventListener("pointerup", letGo);
document.addEventListener("pointercancel", givenUp);
document.addEventListener("click", tapped);
