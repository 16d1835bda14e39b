import type { Writer } from '../format';
import { pictureOf } from './picture';

export const write: Writer = async (phrase, look, tools) =>
  (await pictureOf(phrase, look, tools)).svg;
