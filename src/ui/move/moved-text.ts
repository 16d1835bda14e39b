import type { MovedPlaces } from '../../core/neck/moved-places';
import { capital, count } from '../shared/words';

/** `5 notes go to another place, 2 stay where they are.` */
export function movedText({ moved, stayed, gone }: MovedPlaces): string {
  const parts = [
    moved === 0 ? '' : `${count(moved, 'note')} ${moved === 1 ? 'goes' : 'go'} to another place`,
    stayed === 0 ? '' : `${stays(stayed, moved > 0)} where ${stayed === 1 ? 'it is' : 'they are'}`,
    gone === 0 ? '' : `${count(gone, 'note')} ${gone === 1 ? 'is' : 'are'} left out`,
  ].filter((t) => t !== '');
  return parts.length === 0 ? 'There are no notes in it.' : `${capital(parts.join(', '))}.`;
}

function stays(n: number, shortly: boolean): string {
  return `${shortly ? n : count(n, 'note')} ${n === 1 ? 'stays' : 'stay'}`;
}
