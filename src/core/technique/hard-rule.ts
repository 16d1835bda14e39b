/** The hard rules of N3 and M10, by name. */
export type HardRule =
  | 'no-such-string'
  | 'off-the-neck'
  | 'open-string'
  | 'bend-width'
  | 'slide-start'
  | 'trill-fret'
  | 'harmonic-node'
  | 'one-note-a-string'
  | 'four-fingers'
  | 'reach'
  | 'same-string'
  | 'legato-direction';
