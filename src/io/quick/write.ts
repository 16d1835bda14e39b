import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import type { Phrase } from '../../core/phrase/types';
import { endOf } from '../../core/phrase/walk';
import { formatKey } from '../../core/theory/key';
import { formatPitch } from '../../core/theory/pitch';
import { voiceText } from './write-voice';

/** A phrase as quick text, and what of it quick text does not say. */
export interface QuickText {
  readonly text: string;
  /** In words: `the tags`. */
  readonly left: readonly string[];
}

/** Writes a phrase in one line; `readQuick` reads it back. */
export function writeQuick(p: Phrase): QuickText {
  const voices = p.voices.map((v, i) => voiceText(p, v, i === 0));
  const [first, second] = voices;
  const text = [headText(p), first, ...(second === undefined ? [] : [`2nd: ${second}`])].join(' ');
  return { text, left: leftOut(p) };
}

function leftOut({ meta }: Phrase): readonly string[] {
  return [
    ...(meta.styleOf === undefined ? [] : ['whose style it is in']),
    ...(meta.source === undefined ? [] : ['where it comes from']),
    ...(meta.tags.length === 0 ? [] : ['the tags']),
    ...(meta.level === undefined ? [] : ['the level']),
    ...(meta.notes === undefined ? [] : ['the notes for students']),
  ];
}

function headText(p: Phrase): string {
  const { instrument: i, tempo, feel } = p;
  const usual = STANDARD_GUITAR;
  const meter = p.bars[0]!.meter;
  const tuning = i.tuning.map(formatPitch).join(' ');
  const items = [
    formatKey(p.key),
    `${meter.beats}/${meter.beatType}`,
    `${tempo.bpm} ${UNIT_WORDS[tempo.unit]}`,
    ...(feel.kind === 'straight'
      ? []
      : [`swing ${feel.first}:${feel.second}${feel.unit === '16th' ? ' 16ths' : ''}`]),
    ...(tuning === usual.tuning.map(formatPitch).join(' ') ? [] : [`tuning ${tuning}`]),
    ...(i.capo === 0 ? [] : [`capo ${i.capo}`]),
    ...(i.frets === usual.frets ? [] : [`${i.frets} frets`]),
    ...(i.scaleLength === usual.scaleLength ? [] : [`${i.scaleLength} mm`]),
    ...(i.clef === usual.clef ? [] : [`clef ${i.clef}`]),
    ...(i.name === usual.name ? [] : [`on ${quoted(i.name)}`]),
    // A note held over the first bar line hides how long the pickup is.
    ...(p.voices.some((v) => v.events.some((e) => e.onset < p.pickup && endOf(e) > p.pickup))
      ? [`pickup '${p.pickup}`]
      : []),
    quoted(p.meta.title),
  ];
  return `[${items.join(', ')}]`;
}

export const UNIT_WORDS = {
  eighth: 'eighths',
  quarter: 'quarters',
  'dotted-quarter': 'dotted',
  half: 'halves',
} as const;

/** Text in quotes, as JSON has it: any character can stand in it. */
function quoted(text: string): string {
  return JSON.stringify(text);
}
