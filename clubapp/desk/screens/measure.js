// What is wrong with a page as it stands: wider than the screen, targets too small for a finger, a drawing cut off,
// faint on the bell.
(() => {
  const wrong = [];
  const page = document.documentElement;
  const field = document.body.classList.contains("scoreboard");
  const seen = (one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const words = (one) => (one.getAttribute("aria-label") || one.textContent || one.name || one.tagName).trim().replace(/\s+/g, " ").slice(0, 40);
  const wide = page.scrollWidth - page.clientWidth;
  if (wide > 0) {
    const far = [...document.body.querySelectorAll("*")].filter((one) => one.getBoundingClientRect().right > page.clientWidth + 1);
    wrong.push(`scrolls sideways by ${wide}: ${far.at(-1)?.className || far.at(-1)?.tagName}`);
  }
  const least = field ? 52 : 44;
  const target = (one) => (["checkbox", "radio"].includes(one.type) ? one.closest("label") ?? one.closest(".tick") ?? one : one);
  const within = (one) => getComputedStyle(one).display === "inline" && one.matches("a"); // a link in a sentence
  for (const one of document.querySelectorAll("a[href], button, summary, select, textarea, input:not([type=hidden])")) {
    if (!seen(one) || within(one) || one.closest(".skip, .unseen") || one.matches(".skip, .unseen")) continue;
    const box = target(one).getBoundingClientRect();
    if (!box.width || (box.width <= 2 && box.height <= 2)) continue;
    const need = field && !one.closest(".tools, .top") ? least : 44;
    if (box.height < need - 0.5 || box.width < need - 0.5) wrong.push(`small ${Math.round(box.width)} × ${Math.round(box.height)}: ${words(one)}`);
  }
  const screen = innerWidth * innerHeight;
  for (const one of document.querySelectorAll("body *:not(dialog, [role=dialog])")) {
    const [box, style] = [one.getBoundingClientRect(), getComputedStyle(one)];
    if (style.position !== "fixed" || !seen(one) || box.width * box.height < screen / 2) continue;
    if (!/, 0\)$|\/ 0\)$|^transparent$/.test(style.backgroundColor)) wrong.push(`covers the page: ${one.getAttribute("class") || one.tagName}`);
  }
  for (const one of document.querySelectorAll(".set-up-text .ground")) {
    if (seen(one) && one.getBoundingClientRect().height > one.closest(".set-up-text").clientHeight) wrong.push("the drawing does not fit its frame");
  }
  if (!field) return wrong;
  const brush = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d", { willReadFrequently: true });
  const light = (colour) => {
    brush.clearRect(0, 0, 1, 1);
    brush.fillStyle = colour;
    brush.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = brush.getImageData(0, 0, 1, 1).data;
    const line = (x) => (x / 255 <= 0.04045 ? x / 255 / 12.92 : ((x / 255 + 0.055) / 1.055) ** 2.4);
    return a === 0 ? null : 0.2126 * line(r) + 0.7152 * line(g) + 0.0722 * line(b);
  };
  const behind = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const found = light(getComputedStyle(at).backgroundColor);
      if (found !== null) return found;
    }
    return 1;
  };
  const faint = (colour, one, what) => {
    const [a, b] = [light(colour) ?? 0, behind(one)];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 7) wrong.push(`faint ${ratio.toFixed(1)}: ${what}`);
  };
  for (const one of document.querySelectorAll("main *, .thumb *, .page-head *")) {
    const own = [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (own && seen(one) && one.getBoundingClientRect().width > 2 && !one.closest("svg, .bib")) faint(getComputedStyle(one).color, one, words(one));
  }
  for (const path of document.querySelectorAll(".digits .stroke")) if (seen(path)) faint(getComputedStyle(path).stroke, path, "figures");
  return wrong;
})()
