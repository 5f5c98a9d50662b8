// Sums between a drawing and the ground it shows. The lower left corner of the footprint is the origin of both.
const FINGER = 16; // units of the drawing: how near a tap must be to choose something
const STEP = 0.5; // metres; a tap is no more exact than that

export function metresAt({ x, y }, scale) {
  return [x / scale, -y / scale];
}

// To half a metre, and to the edge where a finger was just beyond it.
export function rounded(value) {
  return Math.max(0, Math.round(value / STEP) * STEP);
}

function pointsOf(row) {
  return [row.at, row.from, row.to, row.corner, ...(row.points ?? [])].filter(Boolean);
}

// "cones-2" for what lies nearest, or null where nothing is near enough.
export function nearest(drawing, [x, y], scale) {
  let found = null;
  let least = FINGER / scale;
  for (const [name, rows] of Object.entries(drawing)) {
    if (name === "size" || !Array.isArray(rows)) continue;
    rows.forEach((row, place) => {
      for (const [px, py] of pointsOf(row)) {
        const far = Math.hypot(px - x, py - y);
        if (far < least) [found, least] = [`${name}-${place}`, far];
      }
    });
  }
  return found;
}
