import type { Spot, SpotDegree, Why } from '../../core/search/define/why';
import { degreeSign } from '../../core/theory/degree';
import { barName, capital } from '../shared/words';

/** So many bars are told. */
const MOST_BARS = 3;

/** Where the notes stand that were looked for: `Bar 2: 5 6 ♭7; bar 4: 6→♭7`, of a bend from where to where; empty where there are none. */
export function placesFound({ spots }: Why): string {
  const told = spots.slice(0, MOST_BARS).map(spotName);
  const more = spots.length - told.length;
  if (more > 0) told.push(`and in ${more} more`);
  return told.length === 0 ? '' : capital(told.join('; '));
}

/** `bar 2: 5 6 ♭7`. */
function spotName({ bar, degrees }: Spot): string {
  return `${barName(bar)}: ${degrees.map(degreeName).join(' ')}`;
}

function degreeName(d: SpotDegree | null): string {
  if (d === null) return '×';
  return d.from === null ? degreeSign(d.heard) : `${degreeSign(d.from)}→${degreeSign(d.heard)}`;
}
