import { useMemo, useState } from 'react';
import { layForm } from '../../core/form/lay';
import { repeatForm } from '../../core/form/repeat';
import { standardForm } from '../../core/form/standard';
import { pitchClassSign, samePitchClass } from '../../core/theory/pitch';
import { useApp, useLibrary, usePageTitle } from '../frame/app-context';
import { OpeningLibrary } from '../frame/opening-library';
import type { RouteOf } from '../frame/route';
import { useForms } from '../frame/use-forms';
import { navigate } from '../frame/use-route';
import { count, problemText } from '../shared/words';
import '../shared/pages.css';
import './solo.css';
import { askedOf } from './asked';
import { another, type Bench } from './bench';
import { BenchFields } from './bench-fields';
import { LayAsked } from './lay-asked';
import { makeOwnForm, OwnFormFields } from './own-form';
import { placeAt } from './place-at';
import { AskForSeveral, SeveralChoruses } from './several-choruses';
import type { SoloAsked, SoloMade } from './solo-worker';
import { MOST_TRIED } from './tried';
import { type BenchSteps, useBench } from './use-bench';
import { usePhrasesForSolo } from './use-phrases';
import { type SeveralSteps, useSeveral } from './use-several';
import { useMade, useOthers, useStudioWorker } from './use-studio';
import { Workbench } from './workbench';

/** `#/solo?form=…&key=…`: phrases of the library on the bars of a song form: proposed, put, pinned, exchanged, heard, kept. */
export function SoloPage({ route }: { readonly route: RouteOf<'solo'> }) {
  const lay = route.query.lay ?? '';
  return lay === '' ? <SoloBench route={route} /> : <LayAsked lay={lay} />;
}

function SoloBench({ route }: { readonly route: RouteOf<'solo'> }) {
  usePageTitle('Solo over a form');
  const app = useApp();
  const forms = useForms();
  const steps = useBench(route, forms);
  const { bench } = steps;
  const held = bench.held.flatMap(({ id }) => (id === null ? [] : [id])).join(' ');
  const { phrases, of } = usePhrasesForSolo(held, bench.form.meter);
  const [bar, setBar] = useState(1);
  const laid = useMemo(() => {
    const one = layForm(bench.form, bench.key.tonic);
    return one.ok ? repeatForm(one.value, bench.choruses) : null;
  }, [bench.form, bench.key, bench.choruses]);
  const asked = useMemo(() => askedOf(app, bench), [app, bench]);
  const chosen = Math.min(bar, laid?.bars.length ?? 1);
  const worker = useStudioWorker();
  const { now: made, last, lastAsked } = useMade(worker, phrases, asked);
  // What was refused changes nothing that lies: there it is asked what else could stand as before.
  const lies = made?.ok ? made.value : made !== null && sameBars(lastAsked, asked) ? last : null;
  const place = useMemo(
    () => (lies === null ? null : placeAt(asked, lies, chosen)),
    [asked, lies, chosen],
  );
  const others = useOthers(worker, phrases, place);
  const several = useSeveral(worker, phrases, bench);
  const shown = made?.ok ? made.value : last;
  const own = async () => {
    const id = await makeOwnForm(app, bench.form);
    if (id !== null) navigate({ page: 'solo', query: { ...route.query, form: id } });
  };
  return (
    <article className="page solo-page">
      <Opening
        over={overWhat(bench)}
        tried={of > MOST_TRIED ? (phrases?.length ?? of) : of}
        of={of}
      />
      <BenchFields bench={bench} forms={forms} onChange={steps.go} />
      {standardForm(bench.form.id) === undefined ? (
        <OwnFormFields
          key={bench.form.id}
          id={bench.form.id}
          onRemoved={() => steps.go({ ...bench, form: forms[0]!, played: {}, held: [] })}
          onBack={(id) => navigate({ page: 'solo', query: { ...route.query, form: id } })}
        />
      ) : null}
      <SoloButtons steps={steps} several={several} onOwn={() => void own()} />
      {phrases === null ? (
        <WhatIsAwaited of={of} />
      ) : (
        <>
          <SeveralChoruses
            several={several}
            lies={lies}
            onTake={(seed) => steps.go(another(bench, seed))}
          />
          <WhatWasMade made={made} />
          {laid === null ? null : (
            <Workbench
              laid={laid}
              phrases={phrases}
              steps={steps}
              made={shown}
              others={others}
              refused={made?.ok === false}
              bar={chosen}
              onBar={setBar}
              route={route}
            />
          )}
        </>
      )}
    </article>
  );
}

/** Before there are phrases to lay on the form. */
function WhatIsAwaited({ of }: { readonly of: number }) {
  const { state } = useLibrary();
  if (state !== 'ready') return <OpeningLibrary />;
  if (of > 0) return <p role="status">Reading the phrases …</p>;
  return <p role="status">The library is empty: write or bring in phrases first.</p>;
}

/** Which form in which key, on paper, where the fields are not. */
function overWhat({ form, key, choruses }: Bench): string {
  return `${form.title} in ${pitchClassSign(key.tonic)}${choruses > 1 ? `, ${choruses} choruses` : ''}`;
}

function Opening({ over, tried, of }: { over: string; tried: number; of: number }) {
  return (
    <header>
      <h1>Solo over a form</h1>
      <p className="only-paper">{over}</p>
      <p>
        Phrases of your library, each moved to the chords it stands over. Put them where you want
        them, or have them proposed for how each joins the one before.
      </p>
      {tried < of && (
        <p className="quiet">
          {`Of the ${of} phrases that are here ${tried} are tried: those changed last, and older ones where few of them are in the metre of the form.`}
        </p>
      )}
    </header>
  );
}

function WhatWasMade({ made }: { readonly made: ReturnType<typeof useMade>['now'] }) {
  if (made !== null && !made.ok) {
    return (
      <p role="alert" className="problem">
        {made.problems.map(problemText).join(' ')}
      </p>
    );
  }
  return (
    <p role="status">{made === null ? 'Laying phrases over the form …' : summary(made.value)}</p>
  );
}

const sameBars = (a: SoloAsked | null, b: SoloAsked) =>
  a !== null && a.form === b.form && samePitchClass(a.tonic, b.tonic) && a.choruses === b.choruses;

function SoloButtons(props: {
  readonly steps: BenchSteps;
  readonly several: SeveralSteps;
  readonly onOwn: () => void;
}) {
  const { steps, several, onOwn } = props;
  const { bench } = steps;
  return (
    <p className="buttons">
      <button type="button" className="strong" onClick={steps.another}>
        Another chorus
      </button>
      {bench.fill ? <AskForSeveral several={several} /> : null}
      {bench.seed === 0 ? null : (
        <button type="button" onClick={steps.best}>
          The best one
        </button>
      )}
      <button type="button" disabled={!steps.canUndo} onClick={steps.undo}>
        Undo
      </button>
      <button type="button" disabled={!steps.canRedo} onClick={steps.redo}>
        Do again
      </button>
      <button type="button" onClick={onOwn}>
        Write a form of your own
      </button>
      {bench.held.length === 0 ? null : (
        <button type="button" onClick={steps.release}>
          Let everything go
        </button>
      )}
    </p>
  );
}

function summary({ parts, empty }: SoloMade): string {
  const laid = `${count(parts.length, 'phrase')} laid over the form.`;
  if (empty.length === 0) return laid;
  const rests = empty.map((e) => e.bar);
  const why = [...new Set(empty.map((e) => e.why))].join(' or ');
  return `${laid} Left empty: bar${rests.length === 1 ? '' : 's'} ${rests.join(', ')}, since ${why}.`;
}
