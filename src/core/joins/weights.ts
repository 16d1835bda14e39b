/**
 * The features of a join: how well a phrase follows the one before it. Each is 0 or more; those that
 * say *share* end at 1.
 */
export interface JoinFeatures {
  /** Octaves beyond a third from the last note before to the first note. */
  readonly leap: number;
  /** 1 where the first note is a step from the last note before: one or two semitones. */
  readonly near: number;
  /** 1 where the last note is the last note of the phrase before. */
  readonly lands: number;
  /** How many of its last four steps, from the end, are those of the phrase before; share. */
  readonly cadence: number;
  /** 1 where it begins on the pitch on which the phrase before the one before began. */
  readonly beginsAlike: number;
  /** Octaves between where the one ends and where the other begins (mean of eight notes each). */
  readonly register: number;
  /** Octaves between the highest notes. */
  readonly peak: number;
  /** Octaves between the lowest notes. */
  readonly floor: number;
  /** Share of its notes on pitches that were heard in the phrase before. */
  readonly pitches: number;
  /** Share of its notes on pitch classes that were heard neither in the phrase before nor in the one before that. */
  readonly newTones: number;
  /** The longest run of pitches that it takes over from the phrase before, as a share of six. */
  readonly quotes: number;
  /** The same from the phrase before the one before. */
  readonly quotesEarlier: number;
  /** Its first steps found again anywhere in the phrase before, as direction, size and note value; share. */
  readonly echo: number;
  /** Share of its figures of three notes, by direction, size and note values, that are in the phrase before. */
  readonly figures: number;
  /** As `figures`, with the phrase before the one before: call and answer. */
  readonly figuresEarlier: number;
  /** Share of its figures of four notes, by their very intervals, that are in the phrase before. */
  readonly cells: number;
  /** Difference of note values (16ths, eighths, quarters, longer); share. */
  readonly pulse: number;
  /** Doublings or halvings of the number of notes a beat. */
  readonly density: number;
  /** The same against the phrase before the one before. */
  readonly densityEarlier: number;
  /** Doublings or halvings of the length. */
  readonly length: number;
}

/*
 * What each feature counts; the larger the sum, the better the join. Learnt by conditional logistic
 * regression (ridge 3) from 205 solos by 30 players in the Weimar Jazz Database (Pfleiderer, Frieler, Abeßer,
 * Zaddach, Burkhart (eds.), Inside the Jazzomat, Schott Campus 2017), of which no phrase is shipped: the
 * phrase that really followed against 99 phrases of others, moved by one interval and by chord, and against
 * others of the same solo. The figures are in the README.
 */

/** Where only the phrase before is looked at. */
export const JOIN_WEIGHTS: JoinFeatures = {
  leap: -0.99,
  near: 0.38,
  lands: 0.34,
  cadence: 1.22,
  beginsAlike: 0,
  register: -0.29,
  peak: -0.72,
  floor: -0.43,
  pitches: 0.38,
  newTones: -1.42,
  quotes: 1.92,
  quotesEarlier: 0,
  echo: 1.15,
  figures: 0.74,
  figuresEarlier: 0,
  cells: 1.7,
  pulse: -1,
  density: -0.95,
  densityEarlier: 0,
  length: -0.23,
};

/** Where the phrase before the one before is looked at, too. */
export const AFTER_TWO_WEIGHTS: JoinFeatures = {
  leap: -1,
  near: 0.38,
  lands: 0.34,
  cadence: 1.22,
  beginsAlike: 0.4,
  register: -0.27,
  peak: -0.61,
  floor: -0.36,
  pitches: 0.73,
  newTones: -1.94,
  quotes: 1.55,
  quotesEarlier: 1.66,
  echo: 1.15,
  figures: 0.51,
  figuresEarlier: 0.91,
  cells: 1.78,
  pulse: -0.85,
  density: -0.69,
  densityEarlier: -0.58,
  length: -0.23,
};

/** Means over phrases taken at random, moved by chord to where they stand (the same solos). */
export const RANDOM_JOIN: JoinFeatures = {
  leap: 0.4,
  near: 0.14,
  lands: 0.04,
  cadence: 0.02,
  beginsAlike: 0,
  register: 0.56,
  peak: 0.59,
  floor: 0.63,
  pitches: 0.4,
  newTones: 0.33,
  quotes: 0.24,
  quotesEarlier: 0,
  echo: 0.41,
  figures: 0.12,
  figuresEarlier: 0,
  cells: 0.02,
  pulse: 0.44,
  density: 0.74,
  densityEarlier: 0,
  length: 1.16,
};

/** The same with the phrase before the one before. */
export const RANDOM_AFTER_TWO: JoinFeatures = {
  ...RANDOM_JOIN,
  beginsAlike: 0.04,
  newTones: 0.15,
  quotesEarlier: 0.24,
  figuresEarlier: 0.12,
  densityEarlier: 0.75,
};
