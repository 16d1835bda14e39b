/** How a note began, as it was heard. */
export type HeardAttack = 'pluck' | 'hammer-on' | 'pull-off' | 'slide';

/** The pitch of a note at one moment. */
export interface HeardPitch {
  /** Seconds from the beginning of the recording. */
  readonly at: number;
  /** MIDI number, with cents as its fraction. */
  readonly midi: number;
}

/** One note of a recording: when it sounds and what its pitch does, before anything is written. */
export interface HeardNote {
  /** Seconds from the beginning of the recording. */
  readonly onset: number;
  readonly end: number;
  /** Median of the curve, a MIDI number with cents as its fraction. */
  readonly pitch: number;
  /** Where it begins, likewise. */
  readonly start: number;
  /** Ascending in time. */
  readonly curve: readonly HeardPitch[];
  readonly attack: HeardAttack;
  readonly bend?: HeardBend;
  /** Depth of its vibrato in cents. */
  readonly vibrato?: number;
  /** Semitones below (negative) or above it that it was slid in from; null where that cannot be told. */
  readonly slideIn?: number | null;
  /** It slides off at its end, to no definite pitch. */
  readonly slideOut?: 'up' | 'down';
  readonly muted: boolean;
  /** 0 to 1. */
  readonly confidence: number;
  /** How likely it was played on each string of a six-string guitar, from the first to the sixth; they sum to 1. */
  readonly strings?: readonly number[];
  /** What it may be instead; absent where that was not heard (takes of before). */
  readonly others?: HeardOthers;
}

/** What was heard, at the moments of a note, of what it may be instead. All shares are from 0 to 1, as the model says them. */
export interface HeardOthers {
  /** Pitches of which no note was made: semitones from that of the note, how much it begins there, how much it sounds on. */
  readonly pitches: readonly OtherPitch[];
  /** Of pluck, hammer-on, pull-off and slide; they sum to 1. */
  readonly attacks: readonly number[];
  /** Of a bend. */
  readonly bends: number;
}

export interface OtherPitch {
  readonly by: number;
  readonly begins: number;
  readonly sounds: number;
}

export interface HeardBend {
  readonly semitones: number;
  readonly shape: 'bend' | 'bend-release' | 'pre-bend-release';
}

/** What was heard of a recording. */
export interface Heard {
  /** Ascending by onset, then by pitch. */
  readonly notes: readonly HeardNote[];
  /** Strokes without pitch. */
  readonly dead: readonly { readonly onset: number; readonly confidence: number }[];
  /** Length of the recording in seconds. */
  readonly seconds: number;
  /** Steady tones that are no playing and were left out, in hertz; absent where there was none. */
  readonly steady?: readonly number[];
}
