import type { History } from '../../core/edit/steps';
import { useApp } from '../frame/app-context';
import type { Corrected } from './corrections';
import { type KeptBefore, keepCaught } from './keep-caught';
import type { CaughtTake } from './messages';
import { type useKeepPlayed, useOnce, WithRecording } from './with-recording';

/** What can be done with all that was caught. */
export function WithAll(props: {
  readonly corrections: readonly Corrected[];
  readonly phrases: CaughtTake['phrases'];
  readonly kept: KeptBefore;
  readonly keeping: ReturnType<typeof useKeepPlayed>;
  readonly hasSound: boolean;
  /** Null where nothing was taken out. */
  readonly putBack: (() => void) | null;
}) {
  const { corrections, phrases, kept, keeping, hasSound, putBack } = props;
  return (
    <>
      {putBack !== null && (
        <button type="button" onClick={putBack}>
          Put back what was taken out
        </button>
      )}
      <KeepAll
        phrases={phrases}
        histories={new Map(corrections.map((c) => [c.state.phrase.id, c.history]))}
        keepPlayed={keeping.keepPlayed}
        kept={kept}
      />
      {hasSound && phrases.length > 0 && (
        <WithRecording phrases={phrases} on={keeping.withSound} onChange={keeping.setWithSound} />
      )}
    </>
  );
}

function KeepAll(
  props: Pick<CaughtTake, 'phrases'> & {
    readonly histories: ReadonlyMap<string, History>;
    readonly keepPlayed: ReturnType<typeof useKeepPlayed>['keepPlayed'];
    readonly kept: KeptBefore;
  },
) {
  const { phrases, histories, keepPlayed, kept } = props;
  const app = useApp();
  const keep = useOnce(async () => {
    const all = phrases.map((p) => p.phrase);
    await keepCaught(app, all, histories, kept, (ids) =>
      keepPlayed(phrases.map((caught) => ({ caught, id: ids.get(caught.phrase)! }))),
    );
  });
  if (phrases.length < 2) return null;
  return (
    <button type="button" className="strong" onClick={keep}>
      Keep all {phrases.length} phrases
    </button>
  );
}
