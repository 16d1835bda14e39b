import { useMemo } from 'react';
import { STANDARD_FORMS, standardForm } from '../../core/form/standard';
import type { Phrase } from '../../core/phrase/types';
import { parseKey } from '../../core/theory/key';
import { typesetText } from '../../io/text/signs';
import { usualView } from '../../publish/degree-labels';
import { useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { Choice } from '../frame/export/choice';
import { keepAsNew } from '../frame/keep-as-new';
import { BandChoice } from '../frame/listen/band-choice';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import { addressOf, type RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { analysisOf } from '../score/analysis';
import { LookFields, readLook, writeLook } from '../score/look-fields';
import { ScoreView } from '../score/score-view';
import { Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import { problemText } from '../shared/words';
import '../shared/pages.css';
import './solo.css';
import { LEVELS, readSoloForm, type SoloForm, tonicOf, tonics, writeSoloForm } from './solo-form';
import type { SoloAsked, SoloMade } from './solo-worker';
import { useSolo } from './use-solo';

const ANY = 'any';
const LEVEL_WORDS = Object.fromEntries([
  [ANY, 'any level'],
  ...LEVELS.map((n) => [String(n), `up to level ${n}`]),
]);
const FORM_WORDS = Object.fromEntries(STANDARD_FORMS.map((f) => [f.id, f.title]));

/** `#/solo?form=…&key=…`: phrases of the library laid over a song form, heard, and kept as one phrase. */
export function SoloPage({ route }: { readonly route: RouteOf<'solo'> }) {
  usePageTitle('Solo over a form');
  const app = useApp();
  const { state, phrases } = useLibrary();
  const form = useMemo(() => readSoloForm(route.query), [route.query]);
  const asked = useMemo((): SoloAsked | null => {
    if (state !== 'ready' || phrases.length === 0) return null;
    const now = app.now();
    const title = `Solo over ${form.form.title} in ${tonicOf(form.key)}`;
    return {
      form: form.form.id,
      tonic: form.key.tonic,
      phrases: phrases.map((s) => s.phrase),
      level: form.level,
      chords: form.chords,
      seed: form.seed,
      id: app.newId(),
      meta: { title, tags: [], created: now, modified: now },
      tempo: form.form.tempo,
    };
  }, [app, state, phrases, form]);
  const made = useSolo(asked);
  const go = (next: SoloForm) => navigate({ page: 'solo', query: writeSoloForm(next) }, 'replace');
  const names = tonics(form);
  return (
    <article className="page solo-page">
      <header>
        <h1>Solo over a form</h1>
        <p>
          Phrases of your library, each moved to the chords it stands over and chosen for how it
          joins the one before.
        </p>
      </header>
      <div className="solo-fields">
        <Choice
          label="Form"
          value={form.form.id}
          values={STANDARD_FORMS.map((f) => f.id)}
          words={FORM_WORDS}
          onChange={(id) => {
            const next = standardForm(id) ?? form.form;
            go({ ...form, form: next, key: { ...form.key, mode: next.mode } });
          }}
        />
        <Choice
          label="Key"
          value={tonicOf(form.key)}
          values={names}
          words={Object.fromEntries(names.map((n) => [n, typesetText(n)]))}
          onChange={(name) => {
            const key = parseKey(name);
            if (key !== null) go({ ...form, key: { ...key, mode: form.form.mode } });
          }}
        />
        <Choice
          label="Phrases"
          value={form.level === null ? ANY : String(form.level)}
          values={[ANY, ...LEVELS.map(String)]}
          words={LEVEL_WORDS}
          onChange={(level) => go({ ...form, level: level === ANY ? null : Number(level) })}
        />
        <Choice
          label="Made of"
          value={form.chords ? 'chords' : 'lines'}
          values={['lines', 'chords']}
          words={{ lines: 'lines and double stops', chords: 'chords and strums as well' }}
          onChange={(of) => go({ ...form, chords: of === 'chords' })}
        />
        <button type="button" onClick={() => go({ ...form, seed: form.seed + 1 })}>
          Another chorus
        </button>
        {form.seed === 0 ? null : (
          <button type="button" onClick={() => go({ ...form, seed: 0 })}>
            The best one
          </button>
        )}
      </div>
      {asked === null ? (
        <p role="status">
          {state === 'ready'
            ? 'The library is empty: write or bring in phrases first.'
            : 'Opening the library …'}
        </p>
      ) : made === null ? (
        <p role="status">Laying phrases over the form …</p>
      ) : made.ok ? (
        <Chorus made={made.value} route={route} />
      ) : (
        <p role="alert" className="problem">
          {made.problems.map(problemText).join(' ')}
        </p>
      )}
    </article>
  );
}

function Chorus({ made, route }: { readonly made: SoloMade; readonly route: RouteOf<'solo'> }) {
  const { phrase } = made;
  const app = useApp();
  const player = usePlayer(phrase);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  return (
    <>
      <p role="status">{summary(made)}</p>
      <Sounding value={player.heard}>
        <ScoreView
          phrase={phrase}
          label={`Notes of ${titleOf(phrase)}`}
          staves={look.staves}
          degrees={look.degrees}
        />
      </Sounding>
      <ListenBar player={player}>
        <BandChoice player={player} />
      </ListenBar>
      <p className="buttons">
        <button type="button" className="strong" onClick={() => void keepAsNew(app, phrase, route)}>
          Keep it as a phrase
        </button>
      </p>
      <LookFields
        look={look}
        onChange={(next) =>
          navigate({ ...route, query: { ...route.query, ...writeLook(next, usual) } }, 'replace')
        }
      />
      <Parts made={made} />
    </>
  );
}

function summary({ parts, empty }: SoloMade): string {
  const rests = empty.map((e) => e.bar);
  const resting =
    rests.length === 0
      ? ''
      : ` Left empty: bar${rests.length === 1 ? '' : 's'} ${rests.join(', ')}, since ${[...new Set(empty.map((e) => e.why))].join(' or ')}.`;
  return `${parts.length} phrases laid over the form.${resting}`;
}

/** Where each part is from, and why it is there. */
function Parts({ made }: { readonly made: SoloMade }) {
  const { phrases } = useLibrary();
  const byId = useMemo(() => new Map(phrases.map((s) => [s.phrase.id, s.phrase])), [phrases]);
  return (
    <section aria-labelledby="parts">
      <h2 id="parts">What stands where, and why</h2>
      <ol className="solo-parts">
        {made.parts.map((p) => (
          <li key={p.firstBar}>
            <span>
              {p.firstBar === p.lastBar
                ? `Bar ${p.firstBar}`
                : `Bars ${p.firstBar} to ${p.lastBar}`}
            </span>{' '}
            <Source id={p.id} phrase={byId.get(p.id)} />
            {reasons(p)}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Source(props: { readonly id: string; readonly phrase: Phrase | undefined }) {
  const { id, phrase } = props;
  if (phrase === undefined) return <span>a phrase that has left the library</span>;
  return <a href={addressOf({ page: 'phrase', id, query: {} })}>{titleOf(phrase)}</a>;
}

function reasons(p: SoloMade['parts'][number]): string {
  const moved = p.octaves === 0 ? [] : [`an octave ${p.octaves > 0 ? 'higher' : 'lower'}`];
  const all = [...moved, ...p.why];
  return all.length === 0 ? '' : `: ${all.join('; ')}`;
}
