/**
 * Where players and our own written lines have their notes, against the fingering engine's choice:
 * `npx tsx tests/scripts/agreement.ts`. Recordings that are not there are named and left out.
 */
import { readFileSync } from 'node:fs';
import { styleOf } from '../../src/core/neck/style-of';
import {
  agreement,
  agreementInTurn,
  chordsOf,
  fourBarCuts,
  type Recording,
  share,
  writtenAgreement,
} from '../support/agreement';
import { refPath } from '../support/refs';
import { readSamples } from '../support/samples';

for (const [name, style] of [
  ['bn1-129-eb-solo', 'lead'],
  ['bn1-147-gb-comp', 'chordal'],
] as const) {
  const path = refPath(`data/guitarset/${name}.slim.json`);
  if (path === null) {
    console.log(`skipped: ${name} is absent`);
    continue;
  }
  const r = JSON.parse(readFileSync(path, 'utf8')) as Recording;
  const chords = chordsOf(r);
  const cuts = fourBarCuts(chords, r.tempo ?? 120);
  const whole = agreement([chords], style);
  const four = agreement(cuts, style);
  const given = agreement(cuts, style, 1);
  const turn = agreementInTurn(cuts, style);
  console.log(`${name}, ${style}`);
  console.log(
    `  whole: first ${share(whole.first, whole.notes)}, best of three ${share(whole.best, whole.notes)}`,
  );
  console.log(
    `  four bars: first ${share(four.first, four.notes)}, best of three ${share(four.best, four.notes)}`,
  );
  console.log(
    `  first place given: first ${share(given.first, given.notes)}, best of three ${share(given.best, given.notes)}`,
  );
  console.log(
    `  after the cut before: first ${share(turn.first, turn.notes)}, best of three ${share(turn.best, turn.notes)}`,
  );
}
const sums = new Map<string, { notes: number; first: number; best: number }>();
for (const { name, phrase } of readSamples()) {
  const a = writtenAgreement(phrase);
  const kind = `${styleOf(phrase)}, ${phrase.instrument.name}`;
  console.log(`${name}: ${kind}: ${a.first} / ${a.best} of ${a.notes}`);
  for (const k of [styleOf(phrase), 'all']) {
    const s = sums.get(k) ?? { notes: 0, first: 0, best: 0 };
    sums.set(k, { notes: s.notes + a.notes, first: s.first + a.first, best: s.best + a.best });
  }
}
for (const [k, s] of sums)
  console.log(`${k}: first ${share(s.first, s.notes)}, best of three ${share(s.best, s.notes)}`);
