import { pitchClassSign } from '../../core/theory/pitch';
import type { App } from '../frame/app-context';
import { another, type Bench, writeBench } from './bench';
import type { SoloAsked, SoloMade } from './solo-worker';

/** What the worker is asked for: the bench, and the head of the phrase that comes of it. */
export function askedOf(app: App, bench: Bench): SoloAsked {
  const now = app.now();
  const title = `Solo over ${bench.form.title} in ${pitchClassSign(bench.key.tonic)}`;
  return {
    ...bench,
    tonic: bench.key.tonic,
    taste: {
      course: bench.course,
      variety: bench.variety,
      hand: bench.near ? 'near' : 'free',
      wishes: bench.wish === null ? [] : [bench.wish],
    },
    id: app.newId(),
    meta: { title, tags: [], created: now, modified: now },
    tempo: bench.form.tempo,
  };
}

/** The same for two benches that lead to the same choruses, one after the other: what is drawn, and what is not pinned, aside. */
export const wishOf = (b: Bench): string => JSON.stringify(writeBench(another(b, 0)));

/** What lies where, and in which octave: two solos of one form with the same are one. */
export const layOf = ({ parts }: Pick<SoloMade, 'parts'>): string =>
  parts.map((p) => `${p.firstBar}:${p.id}:${p.octaves}`).join(' ');
