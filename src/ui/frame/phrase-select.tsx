import { type ReactNode, useEffect, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { PhraseEntry } from '../../storage/types';
import { nameOf } from '../shared/facts';
import { useApp, useLibrary } from './app-context';

/** Made once: comparing by a language of its own for each pair costs a second for 10,000 titles. */
const ALPHABET = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

interface Props {
  readonly id?: string;
  /** The phrase that is chosen; null while none is. */
  readonly value: string | null;
  readonly onChange: (id: string) => void;
  /** Left out of the list. */
  readonly except?: string;
  /** Which are listed; all where absent. */
  readonly which?: (phrase: Phrase) => boolean;
  /** Words for choosing none, which gives the empty id; where absent one has to be chosen. */
  readonly none?: string;
  /** What stands there instead once it is known that none is wanted. */
  readonly nothing?: string;
}

/**
 * Every phrase of the library to choose from. The list is made when somebody goes to it, so that a page
 * that has it costs the same in any library.
 */
export function PhraseSelect(props: Props): ReactNode {
  const { id, value, onChange, except, which, none, nothing } = props;
  const { store } = useApp();
  const { phrases } = useLibrary();
  const [wanted, setWanted] = useState(false);
  const some = useThose(phrases, which, wanted);
  const listed = useMemo(() => inOrder(some ?? NONE, except), [some, except]);
  const chosen = value === null ? null : store.phrase(value);
  // While the list is read, and where it has it no more, what is chosen stands there nevertheless.
  const apart = useMemo(() => !listed.some(([key]) => key === value), [listed, value]);
  const open = () => setWanted(true);
  return (
    <select
      id={id}
      value={value ?? ''}
      onFocus={open}
      onPointerDown={open}
      onChange={(e) => onChange(e.target.value)}
    >
      {none !== undefined ? (
        <option value="">{some?.length === 0 ? (nothing ?? none) : none}</option>
      ) : (
        value === null && <option value="">Choose a phrase …</option>
      )}
      {apart && value !== null && (
        <option value={value}>{chosen === null ? 'Gone' : nameOf(chosen.identity)}</option>
      )}
      {listed.map(([key, title]) => (
        <option key={key} value={key}>
          {title}
        </option>
      ))}
    </select>
  );
}

/** Phrases that are read at a time to see whether they are wanted. */
const READ_AT_ONCE = 64;
const NONE: readonly PhraseEntry[] = [];

/** Those that are wanted; null until somebody asks and it is known. */
function useThose(
  phrases: readonly PhraseEntry[],
  which: Props['which'],
  asked: boolean,
): readonly PhraseEntry[] | null {
  const { store } = useApp();
  const [those, setThose] = useState<readonly PhraseEntry[] | null>(null);
  useEffect(() => {
    if (!asked || which === undefined) return;
    let shown = true;
    void (async () => {
      const found: PhraseEntry[] = [];
      for (let at = 0; at < phrases.length && shown; at += READ_AT_ONCE) {
        const ids = phrases.slice(at, at + READ_AT_ONCE).map((p) => p.id);
        found.push(...(await store.loadAll(ids)).filter((s) => which(s.phrase)));
      }
      if (shown) setThose(found);
    })();
    return () => {
      shown = false;
    };
  }, [store, phrases, which, asked]);
  if (!asked) return null;
  return which === undefined ? phrases : those;
}

function inOrder(
  phrases: readonly PhraseEntry[],
  except: string | undefined,
): readonly (readonly [id: string, title: string])[] {
  return phrases
    .filter((p) => p.id !== except)
    .map((p) => [p.id, nameOf(p.identity)] as const)
    .sort(([, a], [, b]) => ALPHABET.compare(a, b));
}
