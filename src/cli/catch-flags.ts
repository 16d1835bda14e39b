import { parseLane } from '../core/move/lane';
import { STANDARD_GUITAR } from '../core/phrase/instrument';
import { instrumentFrom, readInstrument } from '../core/phrase/instruments';
import type { Instrument, Meter } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import { shortened } from '../core/shortened';
import { type Key, parseKey } from '../core/theory/key';
import type { Flag, Flags } from './flags';
import { readBpm, readMeter } from './form-played-flags';
import { type OutputOptions, readOutput } from './output-flags';

/** What `catch` is asked for. */
export interface CatchCommand {
  readonly file: string;
  /** The lane of chords it was played over, going round; absent where nobody knows. */
  readonly lane?: string;
  readonly key?: Key;
  /** Beats a minute. */
  readonly bpm?: number;
  readonly meter?: Meter;
  /** What it was played on; a guitar in standard tuning where absent. */
  readonly instrument?: Instrument;
  /** One phrase of all of it. */
  readonly whole: boolean;
  readonly json: boolean;
  readonly output: OutputOptions | null;
}

/** The options of the command beside those of every command that writes. */
export const CATCH: readonly Flag[] = [
  { name: 'chords', takes: 'value' },
  { name: 'key', takes: 'value' },
  { name: 'tempo', takes: 'value' },
  { name: 'meter', takes: 'value' },
  { name: 'instrument', takes: 'value' },
  { name: 'whole', takes: 'nothing' },
  { name: 'json', takes: 'nothing' },
];

/** Any key will do to see whether a lane can be read. */
const C: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** Reads the options of `catch`. */
export function readCatch(files: readonly string[], flags: Flags): Result<CatchCommand> {
  const [file, ...more] = files;
  if (file === undefined || more.length > 0) {
    return fail({
      message: file === undefined ? 'the recording is missing' : 'one recording is heard at a time',
      fix: 'Name one WAV file.',
    });
  }
  if (file === '') {
    return fail({
      message: 'the recording is named by nothing',
      fix: "Name one WAV file; '' is left where a variable of the shell is empty.",
    });
  }
  const keyText = flags.values.get('key');
  const key = keyText === undefined ? null : parseKey(keyText);
  if (keyText !== undefined && key === null) {
    return fail({
      message: `in --key: '${shortened(keyText)}' is no key`,
      fix: 'Write for example A, F#m or "Bb blues".',
    });
  }
  const lane = flags.values.get('chords');
  const bpm = readBpm(flags);
  if (!bpm.ok) return bpm;
  const meter = readMeter(flags);
  if (!meter.ok) return meter;
  const instrument = instrumentOf(flags.values.get('instrument'));
  if (!instrument.ok) return instrument;
  const output = readOutput(flags);
  if (!output.ok) return output;
  const json = flags.values.has('json');
  if (json && output.value !== null) {
    return fail({ message: '--json prints and -o writes', fix: 'Use one of the two.' });
  }
  const parsed = lane === undefined ? ok([]) : parseLane(lane, key ?? C);
  if (!parsed.ok) {
    return fail(
      ...parsed.problems.map((p) => ({
        ...p,
        message: `in --chords '${lane}'${p.bar === undefined ? '' : `, bar ${p.bar}`}: ${p.message}`,
      })),
    );
  }
  return ok({
    file,
    ...(lane === undefined ? {} : { lane }),
    ...(key === null ? {} : { key }),
    ...(bpm.value === null ? {} : { bpm: bpm.value }),
    ...(meter.value === null ? {} : { meter: meter.value }),
    ...(instrument.value === null ? {} : { instrument: instrument.value }),
    whole: flags.values.has('whole'),
    json,
    output: output.value,
  });
}

function instrumentOf(text: string | undefined): Result<Instrument | null> {
  if (text === undefined) return ok(null);
  const wish = readInstrument(text);
  return wish.ok ? ok(instrumentFrom(STANDARD_GUITAR, wish.value)) : wish;
}
