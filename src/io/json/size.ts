import { MOST_CORRECTED } from '../../core/heard/played';
import type { Problem } from '../../core/result';
import { LIMITS } from './limits';
import { pointerTo } from './pointer';

/** A list or object on the way down, with the way back up. */
interface Node {
  readonly value: object;
  readonly parent: Node | null;
  readonly key: string | number;
  readonly depth: number;
}

/**
 * Refuses what is too large before anything looks at it closely, so that a hostile file costs
 * little more than reading it: nesting, the longest list under each name, notes and values in all.
 * Does not recurse.
 * @returns the first bound that is broken, or null.
 */
export function checkSize(raw: object): Problem | null {
  const stack: Node[] = [{ value: raw, parent: null, key: '', depth: 0 }];
  let values = 0;
  let notes = 0;
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    const { value, key } = node;
    if (node.depth > LIMITS.depth) {
      return tooLarge(node, 'the file is nested too deeply', `at most ${LIMITS.depth} levels`);
    }
    if (Array.isArray(value)) {
      const most = LISTS.get(key) ?? MOST_OTHERWISE;
      if (value.length > most) {
        return tooLarge(node, `the list has ${value.length} entries`, `at most ${most}`);
      }
      if (key === 'notes') notes += value.length;
      if (notes > LIMITS.notes) {
        return tooLarge(node, 'the phrase has too many notes', `at most ${LIMITS.notes}`);
      }
    }
    const keys = Object.keys(value);
    if (!Array.isArray(value) && keys.length > MOST_OTHERWISE) {
      return tooLarge(node, `there are ${keys.length} fields here`, `at most ${MOST_OTHERWISE}`);
    }
    values += keys.length;
    if (values > LIMITS.values) {
      return tooLarge(node, 'the phrase holds too much', `at most ${LIMITS.values} values`);
    }
    for (const name of keys) {
      const child = (value as Readonly<Record<string, unknown>>)[name];
      if (typeof child === 'object' && child !== null) {
        stack.push({ value: child, parent: node, key: name, depth: node.depth + 1 });
      }
    }
  }
  return null;
}

/** Longest list under each name; a library's phrases are checked one by one. */
const LISTS: ReadonlyMap<string | number, number> = new Map([
  ['bars', LIMITS.bars],
  ['chords', LIMITS.chords],
  ['marks', LIMITS.marks],
  ['events', LIMITS.notes],
  ['tuplets', LIMITS.notes],
  ['tags', LIMITS.tags],
  ['items', LIMITS.items],
  ['curve', LIMITS.curve],
  ['sounds', LIMITS.notes],
  ['pitches', LIMITS.pitches],
  ['corrected', MOST_CORRECTED],
]);
const MOST_OTHERWISE = 100;

function tooLarge(node: Node, message: string, bound: string): Problem {
  const path: (string | number)[] = [];
  for (let n = node; n.parent !== null; n = n.parent) path.unshift(n.key);
  return {
    message: `${message}, and ${bound} are read`,
    fix: 'Split it into several, or check whether the file is what you meant to open.',
    pointer: pointerTo(path),
  };
}
