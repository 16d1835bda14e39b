import { useMemo } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { barsInWords } from '../../../core/solo/propose';
import { nameOf } from '../../shared/facts';
import { useSettled } from '../../shared/use-settled';
import { useApp } from '../app-context';
import { usePhrasesOf } from '../phrases-of';
import { addressOf } from '../route';
import { canDo } from './all-parts';
import { changeSources, layAnewFrom, setApart, sourcesOf } from './part-doings';
import { lookAtParts, type PartLook } from './part-looks';
import './from-parts.css';

interface Props {
  readonly phrase: Phrase;
  /** Only what was changed here, for the page on which it is changed. */
  readonly changedOnly?: boolean;
}

/** What is laid again when nobody writes for so long, in milliseconds. */
const PAUSE = 400;

/** Which bars come from which phrases, and what was changed in them since. */
export function FromParts({ phrase, changedOnly = false }: Props) {
  const settled = useSettled(phrase, PAUSE);
  const ids = useMemo(
    () => [...new Set((settled.parts ?? []).flatMap((p) => (p.apart ? [] : [p.source])))],
    [settled.parts],
  );
  const { phrases, gone } = usePhrasesOf(ids);
  const looks = useMemo(() => {
    const byId = new Map(phrases?.map((p) => [p.id, p]));
    return lookAtParts(settled, (id) => (gone.includes(id) ? null : byId.get(id)));
  }, [settled, phrases, gone]);
  const shown = changedOnly ? looks.filter(wasChanged) : looks;
  if (shown.length === 0) return null;
  return (
    <section className="from-parts" aria-labelledby="from-parts">
      <h2 id="from-parts">{changedOnly ? 'Changed in a part' : 'What it is made of'}</h2>
      <WithAll phrase={settled} looks={shown} />
      <ul>
        {shown.map((look) => (
          <li key={look.part.notes}>
            <Part phrase={settled} look={look} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function wasChanged({ state }: PartLook): boolean {
  return state.kind === 'edited' || state.kind === 'stuck';
}

/** What can be done with several at once. */
function WithAll({
  phrase,
  looks,
}: {
  readonly phrase: Phrase;
  readonly looks: readonly PartLook[];
}) {
  const app = useApp();
  const [over, apart, anew] = (['takeOver', 'apart', 'anew'] as const).map((name) =>
    looks.filter((l) => canDo(l.state)[name]),
  ) as [PartLook[], PartLook[], PartLook[]];
  if (apart.length < 2) return null;
  return (
    <div className="buttons">
      {over.length < 2 ? null : (
        <button type="button" onClick={() => void changeSources(app, phrase, over)}>
          Change all {sourcesOf(over).size} phrases as well
        </button>
      )}
      <button type="button" onClick={() => setApart(app, phrase, apart, true)}>
        Let all {apart.length} parts go their own way
      </button>
      {anew.length < 2 ? null : (
        <button type="button" onClick={() => layAnewFrom(app, phrase, anew)}>
          Lay {anew.length} parts anew
        </button>
      )}
    </div>
  );
}

function Part({ phrase, look }: { readonly phrase: Phrase; readonly look: PartLook }) {
  const app = useApp();
  const { part, state } = look;
  const title = nameOf(part);
  const bars = barsInWords(look);
  const can = canDo(state);
  return (
    <>
      <p>
        {bars} from{' '}
        {state.kind === 'gone' ? (
          `“${title}”, which is no longer in the library`
        ) : (
          <a href={addressOf({ page: 'phrase', id: part.source, query: {} })}>{title}</a>
        )}
        .
      </p>
      {state.kind === 'edited' ? (
        <details>
          <summary>Changed here since. What “{title}” would become:</summary>
          <ul>
            {state.back.words.map((w) => (
              <li key={w}>{w}</li>
            ))}
          </ul>
        </details>
      ) : (
        <p className="quiet">{sentenceOf(look, title)}</p>
      )}
      <div className="buttons">
        {can.takeOver ? (
          <button type="button" onClick={() => void changeSources(app, phrase, [look])}>
            Change “{title}” as well
          </button>
        ) : null}
        {can.apart ? (
          <button type="button" onClick={() => setApart(app, phrase, [look], true)}>
            Let it go its own way
            <span className="unseen">, {bars.toLowerCase()}</span>
          </button>
        ) : null}
        {can.anew ? (
          <button type="button" onClick={() => layAnewFrom(app, phrase, [look])}>
            Lay it anew from “{title}”<span className="unseen">, {bars.toLowerCase()}</span>
          </button>
        ) : null}
        {state.kind === 'apart' ? (
          <button type="button" onClick={() => setApart(app, phrase, [look], false)}>
            Compare it with “{title}” again
          </button>
        ) : null}
      </div>
    </>
  );
}

function sentenceOf({ state }: PartLook, title: string): string {
  switch (state.kind) {
    case 'apart':
      return 'It goes its own way.';
    case 'as laid':
      return 'As it was laid there.';
    case 'reading':
      return 'One moment.';
    case 'stuck':
      return `Changed here since, and “${title}” cannot be changed the same way: ${state.why}. ${wayOut(state.anew, title)}`;
    case 'unsure':
      return `Whether it was changed here is not certain: ${state.why}. ${wayOut(state.anew, title)}`;
    case 'gone':
    case 'edited':
      return '';
  }
}

/** What can be done where the change cannot be taken over. */
function wayOut(anew: Phrase | null, title: string): string {
  const own = 'Let it go its own way, and it stays as it stands';
  return anew === null
    ? `${own}.`
    : `${own}; or change “${title}” itself and lay it anew, and what was changed here by hand goes.`;
}
