import { countsFromKey } from '../../core/move/lane';
import { momentName } from '../shared/moment';
import { problemText } from '../shared/words';
import type { CatchSaid } from './messages';
import type { UseEar } from './use-ear';

/** Beats a minute of a click where nobody has said any. */
const USUAL = 100;
/** The key in which a band plays numerals where nobody has said any. */
const USUAL_KEY = 'C';

/** What one plays to: a click or the band, and the delay of the device. */
export function PlayAlong(props: {
  readonly ear: UseEar;
  readonly said: CatchSaid;
  /** What one plays to is said of the music as well. */
  readonly onSaid: (fields: { readonly tempo?: string; readonly key?: string }) => void;
}) {
  const { ear, said, onSaid } = props;
  const { way: playsWith, along, delay, measure } = ear.sounds;
  const bpm = said.bpm ?? USUAL;
  const press = (way: 'click' | 'band') => () => {
    const inC = way === 'band' && said.key === '' && countsFromKey(said.lane);
    const key = inC ? USUAL_KEY : said.key;
    const begins = playsWith !== way;
    onSaid({
      ...(begins && said.bpm === undefined ? { tempo: String(bpm) } : {}),
      ...(begins && inC ? { key } : {}),
    });
    ear.set({ problems: [] });
    along({ ...said, bpm, key, way }, ear.tell);
  };
  return (
    <section aria-label="Play to">
      <p className="buttons">
        <button type="button" onClick={press('click')}>
          {playsWith === 'click' ? 'Stop the click' : 'Play to a click'}
        </button>
        <button type="button" onClick={press('band')}>
          {playsWith === 'band' ? 'Stop the band' : 'Play to the band'}
        </button>
        {/* Not disabled: it would lose the focus, and whoever uses keys the place. */}
        <button
          type="button"
          aria-disabled={delay.measuring}
          onClick={delay.measuring ? undefined : measure}
        >
          Measure the delay
        </button>
      </p>
      <p className="quiet" role="status">
        {playsWith === null
          ? delayWords(delay)
          : 'What you keep has this beat and these bars. With headphones the microphone hears you alone.'}
      </p>
      {delay.problems.length > 0 && (
        <p role="alert" className="problem">
          {delay.problems.map(problemText).join(' ')}
        </p>
      )}
    </section>
  );
}

function delayWords({ measuring, known }: UseEar['sounds']['delay']): string {
  if (measuring) return 'Eight clicks are played and listened for …';
  if (known !== null) {
    const input = known.input === '' ? 'this input' : `“${known.input}”`;
    return `Sound takes ${Math.round(1000 * known.seconds)} ms through ${input}, measured on ${momentName(known.at)}; what you play to a click is moved back by that.`;
  }
  return 'To measure the delay, let clicks come out of a loudspeaker near the microphone, not too loud.';
}
