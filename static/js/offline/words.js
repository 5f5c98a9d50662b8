// The sentences, from the page's JSON block; empty on pages that have none.
const block = document.getElementById("outbox-words");
export const words = block ? JSON.parse(block.textContent) : {};

// "%(n)s waiting" with its number.
export function fill(text, values) {
  return Object.entries(values).reduce((all, [name, value]) => all.replace(`%(${name})s`, value), text);
}
