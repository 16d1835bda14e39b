import type { Backing } from '../../src/core/backing/types';
import { chordSign } from '../../src/core/theory/chord';
import { degreeSign } from '../../src/core/theory/degree';
import { formatPitch, pitchOfMidi } from '../../src/core/theory/pitch';

/** A band's part in lines to be read by a musician, a bar at a time. */
export function printBacking(b: Backing): string {
  const { form } = b;
  const lines: string[] = [];
  const name = (m: number) => formatPitch(pitchOfMidi(m, 'flat'));
  for (const bar of form.bars) {
    const beat = (at: number) =>
      (1 + (at - bar.start) / (40_320 / bar.meter.beatType)).toFixed(2).replace(/\.?0+$/, '');
    const inside = (m: { at: number }) => m.at >= bar.start && m.at < bar.end;
    const chords = form.chords
      .filter((c) => c.start < bar.end && c.end > bar.start)
      .map(
        (c) =>
          `${beat(Math.max(c.start, bar.start))}:${c.chord === null ? 'N.C.' : chordSign(c.chord)}`,
      );
    lines.push(`bar ${bar.number} ${bar.closes ? '*' : ''} ${chords.join(' ')}`);
    lines.push(
      `  bass  ${b.bass
        .filter(inside)
        .map(
          (n) =>
            `${beat(n.at)} ${name(n.midi)}(${degreeSign(n.degree)}${n.role === 'approach' ? '→' : n.role === 'passing' ? 'p' : n.role === 'fifth of the next' ? '⇒' : ''}) ${n.string}/${n.fret}`,
        )
        .join('  ')}`,
    );
    lines.push(
      `  comp  ${b.comping
        .filter(inside)
        .map(
          (c) =>
            `${beat(c.at)}${c.early ? '>' : ''}${c.stroke === 'down' ? '↓' : '↑'}[${c.voices.map((v) => `${name(v.midi)}(${degreeSign(v.degree)})${v.string}/${v.fret}`).join(' ')}]-${beat(c.end)}`,
        )
        .join('  ')}`,
    );
    const drums = new Map<string, string[]>();
    for (const d of b.drums.filter(inside))
      drums.set(d.drum, [...(drums.get(d.drum) ?? []), beat(d.at)]);
    lines.push(`  drums ${[...drums].map(([d, at]) => `${d} ${at.join(' ')}`).join(' | ')}`);
  }
  return lines.join('\n');
}
