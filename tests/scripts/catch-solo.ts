import type { Heard, HeardNote } from '../../src/core/heard/types';
import { notesOf } from '../../src/core/phrase/walk';
import { formatKey } from '../../src/core/theory/key';
import { phrasesOf } from '../../src/io/heard/phrases';
import { takeOf } from '../../src/io/heard/take';
import { Listener } from '../../src/sound/capture/listen';
import { captureWeights } from '../support/capture-model';
import { expectedError } from '../support/goal-count';
import { type Jams, recordedSolo } from '../support/guitarset';
import { matchNotes, scoreOf } from '../support/note-score';

/**
 * `npx tsx tests/scripts/catch-solo.ts`: what is heard of a recorded solo against what was annotated by hand
 * (`tests/support/guitarset.ts`). Not shipped; skipped where absent.
 */
const median = (list: readonly number[]) =>
  [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] ?? Number.NaN;

/** Tempo, strings and frets as they are written, against those that were played. */
function sayWritten(heard: Heard, stringOf: (n: HeardNote) => number | null): void {
  const take = takeOf(heard, {});
  if (!take.ok) throw new Error(take.problems[0]!.message);
  const { tempo, fit, feel, key } = take.value;
  console.log(
    `tempo ${tempo.bpm} (annotated 129), fit ${fit.toFixed(2)}, ${feel.kind}, key ${formatKey(key)} (annotated Eb)`,
  );
  const made = phrasesOf(take.value, {
    newId: () => 'solo',
    now: '2026-11-27T00:00:00Z',
    title: 'Solo',
  });
  if (!made.ok) throw new Error(made.problems[0]!.message);
  let [same, all] = [0, 0];
  for (const { phrase, heard: of } of made.value)
    for (const { note } of notesOf(phrase)) {
      const n = of.get(note.id);
      const string = n === undefined ? null : stringOf(n);
      if (string === null) continue;
      all += 1;
      if (string === note.string) same += 1;
    }
  console.log(`strings: ${same} of ${all} as played, in ${made.value.length} phrases`);
}

function main(): void {
  const solo = recordedSolo();
  if (typeof solo === 'string') {
    console.log(`skipped: ${solo}`);
    return;
  }
  const { jams, notes: reference, sound } = solo;
  const listener = new Listener(captureWeights());
  const began = performance.now();
  const { notes, seconds } = listener.hear(sound.samples, sound.rate);
  const took = (performance.now() - began) / 1000;
  const heard = notes.map((n) => ({ at: n.onset, midi: n.pitch }));
  const pairs = matchNotes(reference, heard);
  const { f, precision, recall } = scoreOf(pairs.length, reference.length, heard.length);
  console.log(
    `notes: F ${f.toFixed(3)} (P ${precision.toFixed(3)}, R ${recall.toFixed(3)}), ${reference.length} annotated, ${heard.length} heard`,
  );
  const late = pairs.map(([r, h]) => 1000 * (heard[h]!.at - reference[r]!.at));
  const off = pairs.map(([r, h]) => 100 * Math.abs(heard[h]!.midi - reference[r]!.midi));
  console.log(
    `onset: ${median(late).toFixed(1)} ms (median), pitch: ${median(off).toFixed(1)} cents`,
  );
  const right = new Set(pairs.map(([, h]) => h));
  for (const [from, to] of [
    [0, 0.67],
    [0.67, 0.94],
    [0.94, 0.98],
    [0.98, 1],
  ] as const) {
    const own = notes.flatMap((n, i) => (n.confidence >= from && n.confidence < to ? [i] : []));
    const share = own.filter((i) => right.has(i)).length / Math.max(1, own.length);
    console.log(`sure ${from} to ${to}: ${share.toFixed(2)} of ${own.length} annotated`);
  }
  const sure = notes.map((n, i) => [n.confidence, right.has(i)] as const);
  console.log(`expected error of how sure: ${expectedError(sure).toFixed(3)}`);
  sayWritten({ notes, dead: [], seconds }, (n) => {
    const pair = pairs.find(([, h]) => notes[h] === n);
    return pair === undefined ? null : reference[pair[0]]!.string;
  });
  const course: number[] = [];
  const bent: number[] = [];
  for (const a of jams.annotations) {
    if (a.namespace !== 'pitch_contour' || Array.isArray(a.data)) continue;
    const data = a.data as Exclude<Jams['annotations'][number]['data'], readonly unknown[]>;
    const string = 6 - Number(a.annotation_metadata.data_source);
    for (const [r, h] of pairs) {
      const ref = reference[r]!;
      if (ref.string !== string) continue;
      const errors: number[] = [];
      const n = notes[h]!;
      data.time.forEach((t, i) => {
        const { frequency, voiced } = data.value[i]!;
        if (!voiced || frequency <= 0 || t < ref.at + 0.03 || t > ref.end - 0.03) return;
        const k = n.curve.findIndex((c) => c.at >= t);
        if (k < 1) return;
        const [p, q] = [n.curve[k - 1]!, n.curve[k]!];
        const midi = p.midi + ((q.midi - p.midi) * (t - p.at)) / (q.at - p.at);
        errors.push(100 * Math.abs(midi - (69 + 12 * Math.log2(frequency / 440))));
      });
      course.push(...errors);
      if (n.bend !== undefined) bent.push(...errors);
    }
  }
  console.log(
    `pitch curve against the annotated contour: ${median(course).toFixed(1)} cents (median of ${course.length} moments), of bends ${median(bent).toFixed(1)} (${bent.length})`,
  );
  console.log(
    `${took.toFixed(1)} s for ${seconds.toFixed(1)} s: ${((100 * took) / seconds).toFixed(1)}% of its length`,
  );
}

main();
