import type { Instrument, Phrase } from '../../core/phrase/types';
import { instrumentWords } from '../../engrave/text/instrument';
import { feelName, keyName, laneName, meterName, tempoName } from './words';

/** `Untitled` for a phrase without a title. */
export function titleOf(p: Phrase): string {
  return p.meta.title.trim() === '' ? 'Untitled' : p.meta.title;
}

/** Why an offer to undo is not followed any more. */
export function changedSince(p: Phrase): string {
  return `“${titleOf(p)}” was changed again since. Undo on its page takes its changes back one by one.`;
}

/** The same, by what is known of a phrase that was not read. */
export function nameOf({ title }: { readonly title: string }): string {
  return title.trim() === '' ? 'Untitled' : title;
}

/** What is done to an instrument before it is played: `tuning D G D G B D`, `capo 2`. */
export function tunedAs(instrument: Instrument): readonly string[] {
  return instrumentWords(instrument).map((w) => w[0]!.toLowerCase() + w.slice(1).replace(':', ''));
}

/** Key, chords, meter, tempo, feel and instrument in one quiet line. */
export function Facts({ phrase }: { readonly phrase: Phrase }) {
  const { instrument } = phrase;
  const facts = [
    ['Key', keyName(phrase.key)],
    ['Chords', laneName(phrase)],
    ['Metre', meterName(phrase)],
    ['Tempo', tempoName(phrase.tempo)],
    ['Feel', feelName(phrase.feel)],
    ['Instrument', [instrument.name, ...tunedAs(instrument)].join(', ')],
  ] as const;
  return (
    <dl className="facts">
      {facts.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
