/**
 * Loudness (ITU-R BS.1770-4) and peaks of every tone, of the drums, of the metronome and of samples with a
 * band in every feel, and what the limiter takes: `npx tsx tests/scripts/loudness.ts`.
 */
import { accompany } from '../../src/core/backing/accompany';
import { BACKING_FEELS } from '../../src/core/backing/types';
import { DRUMS, type DrumHit, type Mix, PART_NAMES, USUAL_MIX } from '../../src/core/sound/parts';
import { perform } from '../../src/core/sound/perform';
import { TONES, type ToneName, toneOf } from '../../src/core/sound/tone';
import { Engine } from '../../src/sound/engine';
import { build } from '../support/build';
import { loudness } from '../support/loudness';
import { readSamples } from '../support/samples';

const RATE = 44_100;
const EVEN: Mix = Object.fromEntries(PART_NAMES.map((n) => [n, 0])) as Mix;
const SILENT = Object.fromEntries(PART_NAMES.map((n) => [n, Number.NEGATIVE_INFINITY])) as Mix;
const TEMPO = { tempo: { bpm: 100, unit: 'quarter' } } as const;
const LINE = build('e 5/3 4/2 4/5 3/2 3/5 2/3 2/6 1/3 q 1/8 e 1/5 2/6 q 2/3 3/5', TEMPO);
const CHORDS = build(
  'q 5/3+4/2+3/0+2/1+1/0 e 5/3+4/2+3/0+2/1+1/0 5/3+4/2+3/0+2/1+1/0 q 6/3+5/2+4/0+3/0+2/0+1/3 6/3+5/2+4/0+3/0+2/0+1/3',
  TEMPO,
);
const LOUD = build(
  'q 6/3+5/2+4/0+3/0+2/0+1/3@acc 6/3+5/2+4/0+3/0+2/0+1/3@acc 6/3+5/2+4/0+3/0+2/0+1/3@acc 6/3+5/2+4/0+3/0+2/0+1/3@acc',
  TEMPO,
);
const BASS = build('q 4/3 4/7 3/5 3/7 | 4/3 4/7 3/5 3/7', {
  ...TEMPO,
  instrument: 'bass',
} as never);

function heard(fill: (e: Engine) => void, seconds: number, mix = EVEN) {
  const engine = new Engine(RATE, mix);
  fill(engine);
  const x = new Float32Array(Math.round(seconds * RATE));
  let least = 1;
  for (let at = 0; at + 128 <= x.length; at += 128) {
    engine.render(x.subarray(at, at + 128));
    least = Math.min(least, engine.reduction);
  }
  return { x, least };
}

function tell(name: string, { x, least }: { x: Float32Array; least: number }): void {
  const peak = x.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  console.log(
    `${name.padEnd(40)} ${loudness(x, RATE).toFixed(1).padStart(6)} LUFS  peak ${(20 * Math.log10(peak)).toFixed(1).padStart(6)} dB  limiter ${(20 * Math.log10(least)).toFixed(1)} dB`,
  );
}

for (const tone of TONES as readonly ToneName[]) {
  for (const [word, phrase] of [
    ['line', tone === 'bass' ? BASS : LINE],
    ['chords', CHORDS],
    ['loud chords', LOUD],
  ] as const) {
    if (tone === 'bass' && word !== 'line') continue;
    const played = perform(phrase);
    tell(
      `${tone}, ${word}`,
      heard((e) => {
        e.setUp('phrase', { instrument: phrase.instrument, tone });
        e.play({ part: 'phrase', sounds: played.sounds });
      }, played.length),
    );
  }
}

const beat = 0.5;
const groove: DrumHit[] = Array.from({ length: 16 }, (_, i) => [
  { drum: 'closed hat', onset: (i * beat) / 2, level: i % 2 === 0 ? 0 : -4 } as const,
  ...(i % 8 === 0 || i % 8 === 5
    ? [{ drum: 'kick', onset: (i * beat) / 2, level: 0 } as const]
    : []),
  ...(i % 4 === 2 ? [{ drum: 'snare', onset: (i * beat) / 2, level: 0 } as const] : []),
]).flat();
const swing: DrumHit[] = Array.from({ length: 8 }, (_, i) => [
  { drum: 'ride', onset: i * beat, level: 0 } as const,
  ...(i % 2 === 1
    ? [
        { drum: 'ride', onset: (i + 2 / 3) * beat, level: -3 } as const,
        { drum: 'foot hat', onset: i * beat, level: 0 } as const,
      ]
    : []),
]).flat();
tell(
  'groove',
  heard((e) => e.play({ part: 'drums', sounds: groove }), 4),
);
tell(
  'ride and foot hat',
  heard((e) => e.play({ part: 'drums', sounds: swing }), 4),
);
tell(
  'metronome',
  heard(
    (e) =>
      e.play({
        part: 'click',
        sounds: Array.from(
          { length: 8 },
          (_, i) => ({ beat: i % 4 === 0 ? 'first' : 'beat', onset: i * beat, level: 0 }) as const,
        ),
      }),
    4,
  ),
);
for (const drum of DRUMS) {
  tell(
    drum,
    heard(
      (e) =>
        e.play({
          part: 'drums',
          sounds: [0, 1, 2, 3].map((i) => ({ drum, onset: i * beat, level: 0 })),
        }),
      2,
    ),
  );
}

// Samples with a band, as it is heard: all of it, and the band's parts alone.
readSamples()
  .slice(0, 12)
  .forEach(({ name, phrase }, i) => {
    const feel = BACKING_FEELS[i % BACKING_FEELS.length]!;
    const played = perform(phrase);
    const band = accompany(phrase, { feel, seed: 1 });
    const fill = (e: Engine) => {
      e.setUp('phrase', { instrument: phrase.instrument, tone: toneOf(phrase) });
      e.play({ part: 'phrase', sounds: played.sounds });
      for (const part of ['bass', 'comping'] as const) {
        const own = band[part];
        if (own === null) continue;
        e.setUp(part, own);
        e.play({ part, sounds: own.sounds });
      }
      e.play({ part: 'drums', sounds: band.drums });
    };
    tell(`${feel}, ${name}`.slice(0, 40), heard(fill, played.length, USUAL_MIX));
    for (const part of ['phrase', 'bass', 'comping', 'drums'] as const) {
      const alone = { ...SILENT, [part]: USUAL_MIX[part] };
      tell(`  ${part}`, heard(fill, played.length, alone));
    }
  });
