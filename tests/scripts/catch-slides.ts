import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { Listener } from '../../src/sound/capture/listen';
import { build } from '../support/build';
import { captureWeights } from '../support/capture-model';
import { CONDITIONS } from '../support/catch-goals';
import { HEARD_RATE, heardBack } from '../support/caught';
import { Dice } from '../support/generate/dice';
import { soundUnder } from '../support/goal-count';

/**
 * `npx tsx tests/scripts/catch-slides.ts [PHRASES] [FROM]`: slides from note to note among notes that are plucked, four a phrase, in
 * turn slurred and plucked again where they arrive, over 1 to 7 frets; heard in tones, rooms and noises. What
 * each arriving note was heard as, and how many others were taken for one. 15 phrases are 60 slides.
 */
const [count = '15', from = '0'] = process.argv.slice(2);
const listener = new Listener(captureWeights());

/** Four bars, each with a note, a slide to another one of its string, and two plain notes elsewhere. */
function slides(seed: number): Phrase {
  const d = new Dice(9_000_000 + seed, 3);
  const bars = Array.from({ length: 4 }, (_, i) => {
    const string = d.int(1, 5);
    const start = d.int(3, 10);
    const by = d.pick([1, 2, 2, 3, 4, 5, 7]);
    const to = start > by + 1 && d.chance(0.45) ? start - by : start + by;
    const how = (i + seed) % 2 === 0 ? 's' : 'S';
    const plain = () => `${string + (d.chance(0.5) || string === 1 ? 1 : -1)}/${d.int(4, 9)}`;
    const [first, then] = d.pick(['q e', 'e e', 'q q', 'e q']).split(' ');
    const rest = { qe: 'e', ee: 'q', qq: '', eq: 'e' }[`${first}${then}`];
    const gap = rest === '' ? '' : `${rest} -`;
    return `${first} ${string}/${start} ${then} ${string}/${to}(${how}) ${gap} q ${plain()} e ${plain()} e -`;
  });
  return build(bars.join(' | '), { tempo: { bpm: d.int(70, 140), unit: 'quarter' } });
}

/** What the arriving notes of one kind were heard as. */
type Heards = Map<string, number>;
const heardAs: Readonly<Record<'slide' | 'slide-plucked', Heards>> = {
  slide: new Map(),
  'slide-plucked': new Map(),
};
let [others, falseOnes] = [0, 0];
for (let i = Number(from); i < Number(from) + Number(count); i++) {
  const p = slides(i);
  const heard = listener.hear(soundUnder(p, CONDITIONS[i % CONDITIONS.length]!, i), HEARD_RATE);
  const { reference, pairs } = heardBack(p, heard);
  const of = new Map(pairs.map(([r, h]) => [reference[r]!.note?.id, heard.notes[h]!] as const));
  const slid = new Set<unknown>();
  for (const { note } of notesOf(p)) {
    if (note.kind !== 'pitched') continue;
    const { attack } = note;
    const n = of.get(note.id);
    if (attack !== 'slide' && attack !== 'slide-plucked') continue;
    if (n !== undefined) slid.add(n);
    const as = n === undefined ? 'no note' : n.slideIn !== undefined ? 'slid into' : n.attack;
    heardAs[attack].set(as, (heardAs[attack].get(as) ?? 0) + 1);
    if (as === 'no note')
      console.log(
        `phrase ${i}: no note for the ${attack} to fret ${note.fret} on string ${note.string}`,
      );
  }
  for (const n of heard.notes.filter((x) => !slid.has(x))) {
    others += 1;
    if (n.attack === 'slide' || n.slideIn !== undefined) {
      falseOnes += 1;
      console.log(
        `phrase ${i}: at ${n.onset.toFixed(2)} s ${n.attack}${n.slideIn === undefined ? '' : ', slid into'}, and was no slide`,
      );
    }
  }
}
for (const [kind, heards] of Object.entries(heardAs)) {
  const all = [...heards].sort((a, b) => b[1] - a[1]).map(([as, n]) => `${as} ${n}`);
  console.log(`${kind}: ${all.join(', ')}`);
}
console.log(`of ${others} other notes ${falseOnes} were taken for slides`);
