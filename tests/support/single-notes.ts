import { build } from './build';

/** Single notes, a second from one to the next, so that each has its own beginning; what is heard of it lasts twelve seconds. */
export const SINGLE_NOTES = build(
  'e 5/3 e - e 5/5 e - e 4/2 e - e 4/5 e - | e 3/2 e - e 3/4 e - e 2/3 e - e 2/5 e - | e 1/3 e - e 1/5 e - e 2/6 e - e 3/5 e -',
  { tempo: { bpm: 60, unit: 'quarter' } },
);
