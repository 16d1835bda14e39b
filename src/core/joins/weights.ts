/**
 * The features of a join: how well a phrase follows the one before it. Each is 0 or more; those that
 * say *share* end at 1.
 */
export interface JoinFeatures {
  /** Octaves beyond a third from the last note before to the first note. */
  readonly leap: number;
  /** Octaves between where the one ends and where the other begins (mean of eight notes each). */
  readonly register: number;
  /** Share of its notes on pitches that were heard in the phrase before. */
  readonly pitches: number;
  /** Pitch classes shared with the phrase before the one before, by how often they sound; share. */
  readonly tonesEarlier: number;
  /** Its first steps found again anywhere in the phrase before, as direction, size and note value; share. */
  readonly echo: number;
  /** Share of its figures of three notes that are in the phrase before. */
  readonly figures: number;
  /** As `echo`, with the phrase before the one before: call and answer. */
  readonly echoEarlier: number;
  /** Difference of note values (16ths, eighths, quarters, longer); share. */
  readonly pulse: number;
  /** Doublings or halvings of the number of notes a beat. */
  readonly density: number;
  /** Doublings or halvings of the length. */
  readonly length: number;
}

/**
 * What each feature counts; the larger the sum, the better the join. Learnt by conditional logistic
 * regression from 205 solos by 30 players in the Weimar Jazz Database (Pfleiderer, Frieler, Abeßer,
 * Zaddach, Burkhart (eds.), Inside the Jazzomat, Schott Campus 2017), of which no phrase is shipped:
 * the phrase that really followed against 99 phrases of others. Guide tones over the rest, direction,
 * contour and a chord tone on the first note were tried there and carry nothing beyond these.
 */
export const JOIN_WEIGHTS: JoinFeatures = {
  leap: -0.98,
  register: -0.46,
  pitches: 2.04,
  tonesEarlier: 2.43,
  echo: 1.35,
  figures: 1.25,
  echoEarlier: 1.18,
  pulse: -1.33,
  density: -1.07,
  length: -0.32,
};
