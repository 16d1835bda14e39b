/** What of a score is read; see `ReadMusicXmlOptions`. */
export interface ScoreChoice {
  readonly part?: number;
  readonly staff?: number;
  readonly octave?: number;
}

/** Octaves that are tried for music that no instrument can play as written. */
const OCTAVES = [-1, 1, -2, 2, -3, 3] as const;

/**
 * What to choose so that a score can be read that is refused as it is, in words; null where nothing
 * helps that was not chosen already.
 * @param parts Other parts that may be tried.
 * @param staves Staves of the part that was read, where it has several.
 * @param reads Whether the score is read with a choice beside what was chosen.
 */
export function choiceThatReads(
  chosen: ScoreChoice,
  parts: readonly number[],
  staves: readonly number[],
  reads: (choice: ScoreChoice) => boolean,
): string | null {
  const others = chosen.part === undefined ? parts : [];
  const own = chosen.staff === undefined && staves.length > 1 ? staves : [];
  const octaves = chosen.octave === undefined ? OCTAVES : [];
  const octave = octaves.find((o) => reads({ octave: o }));
  const staff = own.find((s) => reads({ staff: s }));
  const part = others.find((p) => reads({ part: p }));
  const ways = [
    ...(octave === undefined ? [] : [`with the octave ${signed(octave)}`]),
    ...(staff === undefined ? [] : [`staff ${staff}`]),
    ...(part === undefined ? [] : [`part ${part}`]),
  ];
  if (ways.length > 0) return `Read ${octave === undefined ? '' : 'it '}${ways.join(', or ')}.`;
  const near = octaves.slice(0, 2);
  for (const s of own) {
    const both = near.find((o) => reads({ staff: s, octave: o }));
    if (both !== undefined) return `Read staff ${s} with the octave ${signed(both)}.`;
  }
  for (const p of others) {
    const both = near.find((o) => reads({ part: p, octave: o }));
    if (both !== undefined) return `Read part ${p} with the octave ${signed(both)}.`;
  }
  return null;
}

function signed(n: number): string {
  return n > 0 ? `+${n}` : String(n);
}
