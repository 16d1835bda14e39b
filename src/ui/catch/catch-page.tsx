import { useEffect } from 'react';
import { useApp, usePageTitle } from '../frame/app-context';
import type { RouteOf } from '../frame/route';
import { problemText } from '../shared/words';
import '../shared/pages.css';
import './catch.css';
import { engraverAhead } from './engraver-ahead';
import { fontsAhead } from './fonts-ahead';
import { Listening } from './listening';
import { NotKeptYet } from './not-kept-yet';
import { PlayAlong } from './play-along';
import { readAs } from './said';
import { SaidFields } from './said-fields';
import { Taken } from './taken';
import { useCatching } from './use-catching';
import { type EarState, useEar } from './use-ear';

/** `#/catch`: hears an instrument and makes phrases of what was played. */
export function CatchPage({ route }: { readonly route: RouteOf<'catch'> }) {
  usePageTitle('Catch it');
  const app = useApp();
  useEffect(() => void fontsAhead(), []);
  useEffect(() => void engraverAhead(app), [app]);
  const ear = useEar();
  const { state } = ear;
  const { fields, said, out, round, resumed, unkept, ...catching } = useCatching(ear);
  return (
    <article className="page catch-page">
      <Opening />
      <NotKeptYet unkept={unkept} busy={state.share !== null} />
      <Listening ear={ear} keep={catching.keep} />
      {state.listening && (
        <PlayAlong
          ear={ear}
          said={said}
          onSaid={(part) => catching.setFields({ ...fields, ...part })}
        />
      )}
      <FromFile onFile={(file) => void catching.openFile(file)} />
      <Now problems={state.problems} share={state.share} />
      <SaidFields
        fields={fields}
        onChange={catching.setFields}
        onWrite={state.take === null ? null : catching.writeAll}
        onAnew={
          state.sound !== null &&
          state.take !== null &&
          state.take.said.instrument !== said.instrument
        }
      />
      {state.take === null ? null : (
        <Taken
          key={round}
          take={state.take}
          sound={state.sound}
          render={ear.render}
          out={out}
          again={catching.again}
          putBack={catching.putBack}
          over={(lane) => catching.rewrite({ lane })}
          inKey={(key) => catching.rewrite({ key })}
          otherwise={(key) => catching.rewrite({ otherwise: withOrWithout(fields.otherwise, key) })}
          readAs={(as) => catching.rewrite(readAs(fields, as))}
          route={route}
          resumed={resumed}
          unkept={unkept}
        />
      )}
    </article>
  );
}

/** A key that is asked for once more is let go: the likeliest rhythm comes back. */
function withOrWithout(keys: readonly number[], key: number): readonly number[] {
  return keys.includes(key) ? keys.filter((k) => k !== key) : [...keys, key];
}

/** What went wrong, and how far what is at work has come. */
function Now({ problems, share }: Pick<EarState, 'problems' | 'share'>) {
  return (
    <>
      {problems.length > 0 && (
        <p role="alert" className="problem">
          {problems.map(problemText).join(' ')}
        </p>
      )}
      {share === null ? null : <p role="status">Listening to it: {Math.round(100 * share)}% …</p>}
    </>
  );
}

function Opening() {
  return (
    <header>
      <h1>Catch it</h1>
      <p>
        Play, and keep what you just played as phrases. One instrument alone is heard best. The
        sound stays on this device, and is forgotten when you leave this page unless you keep it
        with a phrase. The notes are here again when you come back.
      </p>
    </header>
  );
}

function FromFile({ onFile }: { readonly onFile: (file: File | undefined) => void }) {
  return (
    <p className="catch-file">
      <label>
        <span>Or a recording from a file</span>
        <input
          type="file"
          accept="audio/*,.wav,.flac,.mp3,.ogg,.m4a"
          onChange={(e) => onFile(e.target.files?.[0])}
        />
      </label>
    </p>
  );
}
