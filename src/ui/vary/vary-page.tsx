import { useEffect, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { Result } from '../../core/result';
import { analyse } from '../../core/understand/analyse';
import type { Varied } from '../../core/vary/vary';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import { Facts, titleOf } from '../shared/facts';
import '../shared/pages.css';
import { problemText } from '../shared/words';
import { Results } from './results';
import { StepsTaken } from './steps-taken';
import { VariationChoice } from './variation-choice';
import './vary.css';
import { readVaryForm, runVary, type VaryForm, writeVaryForm } from './vary-form';

/** `#/phrase/ID/vary?…`: choose a variation, hear what comes of it, keep it or go on from it. */
export function VaryPage({ route }: { readonly route: RouteOf<'vary'> }) {
  return (
    <PhraseOrReason id={route.id}>
      {(draft) => <Varying key={route.id} draft={draft} route={route} />}
    </PhraseOrReason>
  );
}

function Varying({ draft, route }: { readonly draft: Draft; readonly route: RouteOf<'vary'> }) {
  const { phrase } = draft;
  usePageTitle(`Vary ${titleOf(phrase)}`);
  const form = useMemo(() => readVaryForm(route.query), [route.query]);
  const usual = useMemo(() => usualView(analyse(phrase)), [phrase]);
  const look = useMemo(() => readLook(route.query, usual), [route.query, usual]);
  const go = (next: VaryForm, nextLook: Look = look, how: 'push' | 'replace' = 'push') =>
    navigate(
      {
        page: 'vary',
        id: route.id,
        query: { ...writeVaryForm(next), ...writeLook(nextLook, usual) },
      },
      how,
    );
  const made = useVaried(phrase, form);
  return (
    <article className="page vary-page">
      <header>
        <p className="way-back">
          <a href={addressOf({ page: 'phrase', id: route.id, query: {} })}>{titleOf(phrase)}</a>
        </p>
        <h1>Vary {titleOf(phrase)}</h1>
        <Facts phrase={phrase} />
      </header>
      <section aria-labelledby="how">
        <h2 id="how">{form.done.length === 0 ? 'How' : 'And then'}</h2>
        <StepsTaken form={form} onChange={go} />
        <VariationChoice form={form} onChange={go} />
      </section>
      <section aria-labelledby="made" className="made">
        <h2 id="made">What comes of it</h2>
        <p role="status">{said(form, made)}</p>
        <LookFields look={look} onChange={(next) => go(form, next, 'replace')} />
        <Results
          key={JSON.stringify(writeVaryForm(form))}
          phrase={phrase}
          form={form}
          varied={made?.ok ? made.value : []}
          look={look}
          route={route}
          onGo={go}
        />
      </section>
    </article>
  );
}

/** The results; null while they are being worked out, which is after the page has been drawn. */
function useVaried(phrase: Phrase, form: VaryForm): Result<readonly Varied[]> | null {
  const [made, setMade] = useState<{
    readonly phrase: Phrase;
    readonly form: VaryForm;
    readonly result: Result<readonly Varied[]>;
  } | null>(null);
  const key = JSON.stringify(writeVaryForm(form));
  useEffect(() => {
    const timer = setTimeout(() => setMade({ phrase, form, result: runVary(phrase, form) }), 30);
    return () => clearTimeout(timer);
  }, [phrase, form]);
  if (made === null || made.phrase !== phrase) return null;
  return JSON.stringify(writeVaryForm(made.form)) === key ? made.result : null;
}

function said(form: VaryForm, made: Result<readonly Varied[]> | null): string {
  if (form.how === null && form.done.length === 0)
    return 'Choose how, and the results stand here; the phrase stays as it is until you keep one.';
  if (made === null) return 'One moment …';
  if (!made.ok) return `Nothing comes of it here: ${made.problems.map(problemText).join(' ')}`;
  if (form.how === null) return 'Choose what comes next.';
  const n = made.value.length;
  return n === 1
    ? 'One result, which can be played. Chords, key and tempo stay.'
    : `${n} results, the best first. Each can be played; chords, key and tempo stay.`;
}
