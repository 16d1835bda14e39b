import type { NotePlace } from './place';

/** N3, M11: a hammer-on goes up, a pull-off down, a slide to another fret with the string stopped. */
export function checkMotion(
  attack: 'hammer-on' | 'pull-off' | 'slide' | 'slide-plucked',
  from: number,
  to: number,
  place: NotePlace,
): void {
  if (attack === 'hammer-on') {
    if (to <= from) {
      place.report(
        `a hammer-on from fret ${from} to fret ${to} does not go up`,
        to < from ? 'Make it a pull-off.' : 'Pluck the note.',
        'attack',
      );
    }
  } else if (attack === 'pull-off') {
    if (to >= from) {
      place.report(
        `a pull-off from fret ${from} to fret ${to} does not go down`,
        to > from ? 'Make it a hammer-on.' : 'Pluck the note.',
        'attack',
      );
    }
  } else if (from === to) {
    place.report(
      `a slide from fret ${from} to the same fret goes nowhere`,
      'Slide to another fret, or pluck the note.',
      'attack',
    );
  } else if (from === 0 || to === 0) {
    place.report(
      'an open string cannot be slid to or from',
      'Start and end the slide on frets, or pluck the note.',
      'attack',
    );
  }
}
