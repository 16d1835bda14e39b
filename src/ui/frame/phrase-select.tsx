import { type ReactNode, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { StoredPhrase } from '../../storage/types';
import { titleOf } from '../shared/facts';
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
}

/**
 * Every phrase of the library to choose from. The list is made when somebody goes to it, so that a page
 * that has it costs the same in any library.
 */
export function PhraseSelect({ id, value, onChange, except, which, none }: Props): ReactNode {
  const { store } = useApp();
  const { phrases } = useLibrary();
  const [wanted, setWanted] = useState(false);
  const listed = useMemo(
    () => (wanted ? inOrder(phrases, except, which) : []),
    [wanted, phrases, except, which],
  );
  const chosen = value === null ? null : store.phrase(value);
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
        <option value="">{none}</option>
      ) : (
        value === null && <option value="">Choose a phrase …</option>
      )}
      {!wanted && value !== null && (
        <option value={value}>{chosen === null ? 'Gone' : titleOf(chosen.phrase)}</option>
      )}
      {listed.map(([key, title]) => (
        <option key={key} value={key}>
          {title}
        </option>
      ))}
    </select>
  );
}

function inOrder(
  phrases: readonly StoredPhrase[],
  except: string | undefined,
  which: Props['which'],
): readonly (readonly [id: string, title: string])[] {
  return phrases
    .filter((p) => p.id !== except && (which === undefined || which(p.phrase)))
    .map((p) => [p.id, titleOf(p.phrase)] as const)
    .sort(([, a], [, b]) => ALPHABET.compare(a, b));
}
