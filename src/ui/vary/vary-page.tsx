import { useMemo } from 'react';
import type { Result } from '../../core/result';
import { analyse } from '../../core/understand/analyse';
import { usualView } from '../../publish/degree-labels';
import { usePageTitle } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { PhraseOrReason } from '../frame/phrase-or-reason';
import { usePlacesOfKept } from '../frame/phrase-places';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import { Facts, titleOf } from '../shared/facts';
import '../shared/pages.css';
import { problemText } from '../shared/words';
import { Results } from './results';
import { StepsTaken } from './steps-taken';
import { useVaried } from './use-varied';
import { VariationChoice } from './variation-choice';
import './vary.css';
import { readVaryForm, type VaryForm, type VaryMade, writeVaryForm } from './vary-form';

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
  const dialogs = usePlacesOfKept(phrase, 'vary');
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
          made={made?.ok ? made.value : null}
          look={look}
          route={route}
          onGo={go}
        />
      </section>
      {dialogs}
    </article>
  );
}

function said(form: VaryForm, made: Result<VaryMade> | null): string {
  if (form.how === null && form.done.length === 0)
    return 'Choose how, and the results stand here; the phrase stays as it is until you keep one.';
  if (made === null) return 'One moment …';
  if (!made.ok) return `Nothing comes of it here: ${made.problems.map(problemText).join(' ')}`;
  if (form.how === null) return 'Choose what comes next.';
  const n = made.value.varied.length;
  return n === 1
    ? 'One result, which can be played. Chords, key and tempo stay.'
    : `${n} results, the best first. Each can be played; chords, key and tempo stay.`;
}
