/** A note at a moment, in seconds, with its pitch as a MIDI number. */
export interface TimedPitch {
  readonly at: number;
  readonly midi: number;
}

/**
 * Pairs of what was played and what was heard, as many as there can be, each at most once: onset within
 * 50 ms, pitch within 50 cents, ends not compared (mir_eval's transcription score without offsets; Raffel
 * et al., ISMIR 2014).
 * @returns Indices into the two lists.
 */
export function matchNotes<R extends TimedPitch, H extends TimedPitch>(
  reference: readonly R[],
  heard: readonly H[],
  isNear: (r: R, h: H) => boolean = (r, h) =>
    Math.abs(r.at - h.at) <= 0.05 + 1e-9 && Math.abs(r.midi - h.midi) <= 0.5 + 1e-9,
): readonly (readonly [number, number])[] {
  const near = reference.map((r) => heard.flatMap((h, j) => (isNear(r, h) ? [j] : [])));
  const owner = new Map<number, number>();
  const claim = (i: number, seen: Set<number>): boolean => {
    for (const j of near[i]!) {
      if (seen.has(j)) continue;
      seen.add(j);
      const now = owner.get(j);
      if (now === undefined || claim(now, seen)) {
        owner.set(j, i);
        return true;
      }
    }
    return false;
  };
  for (let i = 0; i < reference.length; i++) claim(i, new Set());
  return [...owner].map(([j, i]) => [i, j] as const).sort((a, b) => a[0] - b[0]);
}

export interface Score {
  readonly f: number;
  readonly precision: number;
  readonly recall: number;
}

export function scoreOf(matched: number, reference: number, heard: number): Score {
  const precision = matched / Math.max(1, heard);
  const recall = matched / Math.max(1, reference);
  return { f: (2 * matched) / Math.max(1, reference + heard), precision, recall };
}
