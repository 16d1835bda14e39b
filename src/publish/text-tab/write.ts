import { writeTextTab } from '../../io/text-tab/write/write-text-tab';
import type { Writer } from '../format';

/** Characters in a line. */
const WIDTH = 80;

export const write: Writer = (phrase, { degrees }) =>
  writeTextTab(phrase, { width: WIDTH, degrees });
