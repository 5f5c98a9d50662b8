// Where a game has got to after so many milliseconds of play. turn: from 0; behind the last turn none is on.
export function turnAt({ spell_s, rest_s, ids }, ms) {
  const [spell, whole] = [spell_s * 1000, (spell_s + rest_s) * 1000];
  const turn = Math.floor(Math.max(0, ms) / whole);
  const within = Math.max(0, ms) - turn * whole;
  if (turn >= ids.length || (turn === ids.length - 1 && within >= spell)) return { turn: ids.length, rest: true, left_ms: 0 };
  const rest = within >= spell;
  return { turn: rest ? turn + 1 : turn, rest, left_ms: rest ? whole - within : spell - within };
}
