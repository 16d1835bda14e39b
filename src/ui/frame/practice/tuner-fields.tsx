import { useEffect, useState } from 'react';
import { openMidi } from '../../../core/phrase/instrument';
import type { Instrument, Phrase } from '../../../core/phrase/types';
import { toneOf } from '../../../core/sound/tone';
import type { Sound } from '../../../core/sound/types';
import { IN_TUNE, type TunerReading } from '../../../sound/player/tuner/reading';
import { NotThere, onDemand } from '../../shared/on-demand';
import { noteName } from '../../shared/words';
import { useApp } from '../app-context';
import { playing } from '../listen/playing';
import { tellWhy, type UsePlayer } from '../listen/use-player';

const tuner = onDemand('The tuner', () => import('../../../sound/player/tuner/tuner'));

const NO_MICROPHONE =
  'There is no microphone that may be used. Allow it for this page in the browser, or tune by ear to the strings that sound here.';

/** The instrument's open strings: to be heard, or tuned to with the microphone. */
export function TunerFields(props: { readonly phrase: Phrase; readonly player: UsePlayer }) {
  const { phrase, player } = props;
  const { notices } = useApp();
  const { instrument } = phrase;
  const [open, setOpen] = useState(false);
  const hear = (string: number) => {
    player.stop();
    const sounds = [openString(instrument, string)];
    playing
      .get()
      .then((p) => p.strike({ instrument, tone: toneOf(phrase), sounds }, 'phrase'))
      .catch((reason: unknown) => tellWhy(notices, reason));
  };
  return (
    <>
      <span className="tuner-strings">
        {instrument.tuning
          .map((pitch, i) => (
            <button
              type="button"
              // biome-ignore lint/suspicious/noArrayIndexKey: a string is its number.
              key={i}
              aria-label={`Hear string ${i + 1}, ${noteName(pitch)}`}
              onClick={() => hear(i + 1)}
            >
              <small>{i + 1}</small> {noteName(pitch)}
            </button>
          ))
          .reverse()}
      </span>
      <button type="button" aria-pressed={open} onClick={() => setOpen(!open)}>
        {open ? 'Let the microphone go' : 'Tune with the microphone'}
      </button>
      {open ? <Microphone instrument={instrument} onEnd={() => setOpen(false)} /> : null}
    </>
  );
}

function Microphone(props: { readonly instrument: Instrument; readonly onEnd: () => void }) {
  const { instrument, onEnd } = props;
  const { notices } = useApp();
  const [reading, setReading] = useState<TunerReading | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is opened once for an instrument.
  useEffect(() => {
    let stop: (() => void) | null = null;
    let gone = false;
    tuner
      .get()
      .then((t) => t.startTuner(instrument, setReading))
      .then(
        (end) => {
          if (gone) end();
          else stop = end;
        },
        (reason: unknown) => {
          notices.trouble(reason instanceof NotThere ? reason.message : NO_MICROPHONE);
          onEnd();
        },
      );
    return () => {
      gone = true;
      stop?.();
    };
  }, [instrument]);
  return (
    <div className="tuner">
      <div className="tuner-scale" aria-hidden="true">
        {reading === null ? null : (
          <span
            className="tuner-needle"
            data-tuned={isTuned(reading)}
            style={{ left: `${50 + Math.max(-50, Math.min(50, reading.cents))}%` }}
          />
        )}
      </div>
      <p aria-hidden="true" className="tuner-words">
        {reading === null ? 'Pluck an open string.' : centsWords(reading, instrument)}
      </p>
      <p role="status" className="unseen">
        {reading === null ? '' : spokenWords(reading, instrument)}
      </p>
      <p className="quiet">Nothing is recorded, and nothing leaves this device.</p>
    </div>
  );
}

function isTuned(r: TunerReading): boolean {
  return Math.abs(r.cents) <= IN_TUNE;
}

function stringWords(r: TunerReading, i: Instrument): string {
  const pitch = i.tuning[r.string - 1];
  return `String ${r.string}${pitch === undefined ? '' : `, ${noteName(pitch)}`}`;
}

function centsWords(r: TunerReading, i: Instrument): string {
  const cents = Math.round(Math.abs(r.cents));
  const off = isTuned(r) ? 'in tune' : `${cents} cents ${r.cents > 0 ? 'too high' : 'too low'}`;
  return `${stringWords(r, i)}: ${off}`;
}

/** In few words, which change seldom: they are read out. */
function spokenWords(r: TunerReading, i: Instrument): string {
  const near = Math.abs(r.cents) < 15 ? 'a little ' : '';
  const off = isTuned(r) ? 'in tune' : r.cents > 0 ? `${near}too high` : `${near}too low`;
  return `${stringWords(r, i)}: ${off}`;
}

/** Seconds for which a string is heard. */
const RINGS = 4;

function openString(i: Instrument, string: number): Sound {
  return {
    noteId: null,
    voice: 0,
    string,
    fret: 0,
    onset: 0,
    length: RINGS,
    tick: 0,
    level: 0,
    begin: 'plucked',
    manner: 'open',
    midi: openMidi(i, string),
    curve: [{ at: 0, cents: 0 }],
  };
}
