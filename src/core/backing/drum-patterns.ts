import type { Drum } from '../sound/parts';
import type { Place } from './grid';
import type { BackingFeel } from './types';

export interface KitStroke {
  readonly place: Place;
  readonly drum: Drum;
  /** Decibels about mezzo-forte. */
  readonly level: number;
  /** Beats that a brush is drawn. */
  readonly held?: number;
}

/** What is played on each of the four kinds of beat. */
export type KitBar = readonly [
  readonly KitStroke[],
  readonly KitStroke[],
  readonly KitStroke[],
  readonly KitStroke[],
];

export interface Kit {
  /** Bars in turn, each with its variants, the plain one first. */
  readonly bars: readonly (readonly [KitBar, ...KitBar[]])[];
  /** Whether variants come in any bar or only in every second one. */
  readonly turns: 'any' | 'second';
}

const hit =
  (drum: Drum, usual: number) =>
  (place: Place = 'on', level = usual): KitStroke => ({ place, drum, level });
const kick = hit('kick', 0);
const snare = hit('snare', 0);
const stick = hit('cross-stick', -2);
const hat = hit('closed hat', -5);
const open = hit('open hat', -5);
const foot = hit('foot hat', -5);
const ride = hit('ride', -4);
const high = hit('high tom', -1);
const low = hit('low tom', 0);
const brush = hit('brush', -5);
const sweep = (): KitStroke => ({ place: 'on', drum: 'sweep', level: -8, held: 1 });

const eighths = [hat('on', -4), hat('and', -8)];
const thirds = [hat('on', -4), hat('third', -9), hat('two thirds', -7)];
const ghost = (place: Place) => snare(place, -13);

/** The kit's patterns: common practice of the trade in each feel; levels are ours. */
export const KIT: Readonly<Record<BackingFeel, Kit>> = {
  straight: {
    turns: 'second',
    bars: [
      [
        [
          [kick(), ...eighths],
          [snare('on', -2), ...eighths],
          [kick('on', -2), kick('and', -2), ...eighths],
          [snare('on', -2), ...eighths],
        ],
        [
          [kick(), ...eighths],
          [snare('on', -2), kick('and', -3), ...eighths],
          [kick('and', -2), ...eighths],
          [snare('on', -2), ...eighths],
        ],
        [
          [kick(), ...eighths],
          [snare('on', -2), ...eighths],
          [kick('on', -2), ...eighths],
          [snare('on', -2), hat('on', -4), open('and', -7)],
        ],
      ],
    ],
  },
  rock: {
    turns: 'second',
    bars: [
      [
        [
          [kick('on', 2), ...eighths],
          [snare('on', 2), ...eighths],
          [kick('on', 1), ...eighths],
          [snare('on', 2), ...eighths],
        ],
        [
          [kick('on', 2), ...eighths],
          [snare('on', 2), kick('and', 0), ...eighths],
          [kick('on', 1), ...eighths],
          [snare('on', 2), ...eighths],
        ],
        [
          [kick('on', 2), ...eighths],
          [snare('on', 2), ...eighths],
          [kick('on', 1), kick('and', 1), ...eighths],
          [snare('on', 2), ...eighths],
        ],
      ],
    ],
  },
  shuffle: {
    turns: 'second',
    bars: [
      [
        [
          [kick(), ...eighths],
          [snare(), ...eighths],
          [kick(), ...eighths],
          [snare(), ...eighths],
        ],
        [
          [kick(), ...eighths],
          [snare(), ...eighths],
          [kick(), kick('and', -3), ...eighths],
          [snare(), ...eighths],
        ],
        [
          [kick(), ...eighths, ghost('and')],
          [snare(), ...eighths],
          [kick(), ...eighths, ghost('and')],
          [snare(), ...eighths],
        ],
      ],
    ],
  },
  'twelve-eight': {
    turns: 'second',
    bars: [
      [
        [
          [kick(), ...thirds],
          [snare(), ...thirds],
          [kick('on', -1), ...thirds],
          [snare(), ...thirds],
        ],
        [
          [kick(), ...thirds],
          [snare(), kick('two thirds', -3), ...thirds],
          [kick('on', -1), ...thirds],
          [snare(), ...thirds],
        ],
      ],
    ],
  },
  swing: {
    turns: 'any',
    bars: [
      [
        [
          [ride(), kick('on', -10)],
          [ride('on', -2), ride('and', -7), foot(), kick('on', -11)],
          [ride(), kick('on', -10)],
          [ride('on', -2), ride('and', -7), foot(), kick('on', -11)],
        ],
        [
          [ride(), kick('on', -10)],
          [ride('on', -2), ride('and', -7), foot(), kick('on', -11), ghost('and')],
          [ride(), kick('on', -10)],
          [ride('on', -2), ride('and', -7), foot(), snare('on', -10)],
        ],
        [
          [ride(), kick('on', -10)],
          [ride('on', -2), foot(), kick('on', -11)],
          [ride(), ride('and', -7), kick('on', -10)],
          [ride('on', -2), foot(), kick('and', -6)],
        ],
      ],
    ],
  },
  bossa: {
    turns: 'any',
    bars: [
      [
        [
          [kick('on', -4), stick(), ...eighths],
          [kick('and', -6), stick('and'), ...eighths],
          [kick('on', -4), ...eighths],
          [stick(), kick('and', -6), ...eighths],
        ],
      ],
      [
        [
          [kick('on', -4), ...eighths],
          [stick(), kick('and', -6), ...eighths],
          [kick('on', -4), stick('and'), ...eighths],
          [kick('and', -6), ...eighths],
        ],
      ],
    ],
  },
  ballad: {
    turns: 'any',
    bars: [
      [
        [
          [sweep(), kick('on', -8)],
          [sweep(), brush(), foot('on', -8)],
          [sweep()],
          [sweep(), brush(), foot('on', -8)],
        ],
        [
          [sweep(), kick('on', -8)],
          [sweep(), brush(), foot('on', -8)],
          [sweep(), kick('and', -10)],
          [sweep(), brush(), foot('on', -8)],
        ],
      ],
    ],
  },
};

type Cell = readonly KitStroke[];

const rockFills: readonly [Cell, ...Cell[]] = [
  [snare(), snare('and', -2)],
  [snare(), snare('e', -4), high('and'), high('a', -2)],
  [snare(), kick('and', 0)],
  [high(), low('and')],
];
const tripletFills: readonly [Cell, ...Cell[]] = [
  [snare(), snare('third', -4), snare('two thirds', -2)],
  [snare(), high('third', -1), high('two thirds', -1)],
  [snare(), kick('two thirds', -1)],
];
const softFills: readonly [Cell, ...Cell[]] = [[stick(), stick('and', -4)], [stick('and', -3)]];

/** What a fill plays on its first beats. */
export const FILLS: Readonly<Record<BackingFeel, readonly [Cell, ...Cell[]]>> = {
  straight: rockFills,
  rock: rockFills,
  shuffle: tripletFills,
  'twelve-eight': tripletFills,
  swing: [
    [ride(), foot(), snare('and', -4)],
    [snare('on', -3), snare('third', -6), high('two thirds', -4)],
    [ride(), foot(), snare('third', -7), snare('two thirds', -4)],
  ],
  bossa: softFills,
  ballad: [
    [sweep(), brush()],
    [sweep(), brush('on', -6), brush('and', -8)],
  ],
};

/** What it plays on its last beat, which leads into the next section. */
export const LEADS: Readonly<Record<BackingFeel, readonly [Cell, ...Cell[]]>> = {
  straight: [
    [snare(), high('e', -2), high('and'), low('a', 1)],
    [snare(), snare('and', 0)],
    [high(), low('and', 1)],
  ],
  rock: [
    [snare('on', 1), snare('e', -1), low('and', 1), low('a', 1)],
    [snare('on', 2), snare('and', 2)],
    [low('on', 1), low('and', 2)],
  ],
  shuffle: [
    [snare(), high('third', -1), low('two thirds', 1)],
    [snare(), snare('two thirds', 1)],
  ],
  'twelve-eight': [
    [snare(), high('third', -1), low('two thirds', 1)],
    [high(), high('third', -2), low('two thirds', 0)],
  ],
  swing: [
    [snare('on', -3), kick('two thirds', -2)],
    [high('on', -4), low('two thirds', -2), foot()],
    [snare('on', -4), snare('third', -6), kick('two thirds', -2), foot()],
  ],
  bossa: [
    [stick(), stick('and', -2)],
    [snare('on', -6), snare('and', -5)],
  ],
  ballad: [[sweep(), brush(), brush('and', -8), foot('on', -8)]],
};
