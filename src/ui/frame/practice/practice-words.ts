import type { Phrase } from '../../../core/phrase/types';
import type { Step, Take } from '../../../core/practice/types';
import { typesetText } from '../../../io/text/signs';
import { capital, chordName, keyName, tempoName } from '../../shared/words';

/** Where a take stands: `B♭ blues`, or `IV7 (D7)` over a chord. */
export function takeName(t: Take): string {
  if (t.goal === null || t.goal.kind === 'key') return keyName(t.phrase.key);
  const text = typesetText(t.goal.text);
  const chord = chordName(t.phrase.chords[0]?.symbol ?? null);
  return text === chord ? chord : `${text} (${chord})`;
}

/** `Round 3: B♭ blues at 75 %, quarter = 69.` */
export function stepWords(s: Step, cycles: boolean): string {
  const where = cycles ? `: ${takeName(s.take)}` : '';
  const round = `Round ${s.round + 1}${where}, at ${s.speed} % (${tempoAt(s.take.phrase, s.speed)}).`;
  return `${WHAT[s.kind]} ${round}`.trim();
}

const WHAT: Readonly<Record<Step['kind'], string>> = {
  'count-in': 'Counting in.',
  play: '',
  answer: 'Your turn.',
};

function tempoAt(p: Phrase, speed: number): string {
  return tempoName({ ...p.tempo, bpm: Math.round((p.tempo.bpm * speed) / 100) });
}

/** What comes next, where it is something else, and what is passed over on the way. */
export function nextWords(s: Step): string | null {
  const next = s.next === null || s.next === s.take ? [] : [`next: ${takeName(s.next)}`];
  const out = s.leftOut.map((o) => `left out: ${typesetText(o.goal.text)} (${o.why})`);
  const words = [...next, ...out];
  return words.length === 0 ? null : words.map(capital).join('. ');
}
