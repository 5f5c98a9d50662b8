// A child's values in its row: one that corrects another stands in its place.
export function show(op, row, text) {
  const old = row.querySelector(`[data-op="${op.replaces}"]`);
  const mark = document.createElement("span");
  Object.assign(mark.dataset, { op: op.id, attempt: op.attempt, typed: op.typed });
  mark.textContent = text;
  if (old) old.replaceWith(mark);
  else row.querySelector("[data-marks]").append(mark);
  return mark;
}

export function note(mark, text) {
  mark.append(" ", Object.assign(document.createElement("span"), { className: "quiet", textContent: text }));
}
