import { type ReactNode, useId, useMemo, useState } from 'react';
import { compPart, partBeneath } from '../../../core/backing/comp-part';
import { isRhythm } from '../../../core/backing/rhythm';
import type { Phrase } from '../../../core/phrase/types';
import { useApp } from '../app-context';
import { PhraseSelect } from '../phrase-select';
import type { ToExport } from './to-export';

const NOTHING: ReadonlyMap<string, Phrase> = new Map();

/** Comping that goes out with phrases: what they have, or the strokes of a rhythm that is chosen here. */
interface Beneath {
  /** What goes beneath a phrase; null where nothing was asked for. */
  readonly of: ((p: Phrase) => Phrase | null) | null;
  readonly field: ReactNode;
  /** Whether what is exported has comping of its own. */
  readonly own: boolean;
  /** What does not get it, in a sentence; empty where all do. */
  readonly said: string;
}

/** What can go beneath what is exported. */
export function useBeneath({ phrases, along: accompanied = NOTHING }: ToExport): Beneath {
  const [along, setAlong] = useState(true);
  const [rhythm, setRhythm] = useState<Phrase | null>(null);
  const has = accompanied.size > 0;
  const said = useMemo(
    () => (has || rhythm === null ? '' : whoGoesWithout(phrases, rhythm)),
    [has, phrases, rhythm],
  );
  if (has) {
    const field = (
      <label className="format">
        <input type="checkbox" checked={along} onChange={(e) => setAlong(e.target.checked)} />
        <span>With the comping of the solo beneath it</span>
      </label>
    );
    const part = (p: Phrase) => {
      const given = accompanied.get(p.id) ?? accompanied.get(p.parent ?? '');
      return given === undefined ? null : partBeneath(p, given);
    };
    return { of: along ? part : null, said, field, own: true };
  }
  return {
    of: rhythm === null ? null : (p) => partBeneath(p, rhythm),
    said,
    own: false,
    field: <RhythmField value={rhythm} onChange={setRhythm} />,
  };
}

/** @param asked Whether the format has room for it. */
export function BeneathFields(props: { readonly of: Beneath; readonly asked: boolean }) {
  const { field, said, own } = props.of;
  if (!props.asked) {
    return own ? <p className="quiet">The comping does not go into this format.</p> : null;
  }
  return (
    <>
      {field}
      <p className="quiet" role="status">
        {said}
      </p>
    </>
  );
}

function RhythmField(props: {
  readonly value: Phrase | null;
  readonly onChange: (rhythm: Phrase | null) => void;
}) {
  const { store } = useApp();
  const id = useId();
  return (
    <div className="filter-row">
      <label htmlFor={id}>
        <span>Comping written out beneath</span>
        <PhraseSelect
          id={id}
          value={props.value?.id ?? null}
          none="none"
          which={isRhythm}
          onChange={(chosen) =>
            void store.load(chosen).then((found) => props.onChange(found?.phrase ?? null))
          }
        />
      </label>
    </div>
  );
}

/** So many phrases are tried before the export; of more it is not said. */
const TRIED = 50;

function whoGoesWithout(phrases: readonly Phrase[] | null, rhythm: Phrase): string {
  // Those of the library are read one by one while they are written.
  if (phrases === null) return 'Where it cannot go beneath a phrase, that goes out without it.';
  const some = phrases.slice(0, TRIED);
  const refused = some.flatMap((p) => {
    const made = compPart(p, rhythm, { id: 'beneath', now: p.meta.modified, title: '' });
    return made.ok ? [] : [made.problems[0]!.message];
  });
  if (refused.length === 0) return '';
  if (phrases.length === 1) return `It cannot go beneath it: ${refused[0]}. It is left out.`;
  const which = refused.length === some.length ? 'any of them' : `${refused.length} of them`;
  return `It cannot go beneath ${which}: ${refused[0]}. They go out without it.`;
}
