import type * as z from 'zod/mini';
import type { Library, Phrase } from '../../../../src/core/phrase/types';
import type { librarySchema, phraseSchema } from '../../../../src/io/json/schema';

/*
 * The types of the model and of what the schema reads are one and the same in both directions:
 * `tsc` fails here if either of them drifts. Nothing runs.
 */

type Primitive = string | number | boolean | null | undefined;
type Deep<T> = T extends Primitive ? T : { readonly [K in keyof T]: Deep<T[K]> };
type Same<A, B> =
  (<T>() => T extends A ? 1 : 2) extends <T>() => T extends B ? 1 : 2 ? true : false;
type Assert<T extends true> = T;

type Read = Deep<z.infer<typeof phraseSchema>>;
export type PhraseIsRead = Assert<Same<Read, Deep<Phrase>>>;
export type LibraryIsRead = Assert<Same<Deep<z.infer<typeof librarySchema>>, Deep<Library>>>;

/** No field of the model can be written to, or `Deep` above would hide a difference. */
export type ModelIsReadonly = Assert<Same<Phrase, Deep<Phrase>>>;

/*
 * Copies that have drifted apart, to show that the comparison sees it. An expected error that does
 * not occur is an error itself.
 */
type With<K extends keyof Phrase, T> = Deep<Omit<Phrase, K> & { [P in K]: T }>;
type Flat<T> = { [K in keyof T]: T[K] };
type Plain = { onset: number; symbol: string | null };
type Drifted<K extends keyof Phrase, T> = Same<Flat<Read>, Flat<With<K, T>>>;

/** The construction itself finds no difference where there is none. */
export type NoDrift = Assert<Drifted<'parent', string | null>>;
// @ts-expect-error the parent may be null
export type NeverNull = Assert<Drifted<'parent', string>>;
// @ts-expect-error a second version
export type OtherVersion = Assert<Drifted<'version', 1 | 2>>;
// @ts-expect-error one more clef
export type OtherClef = Assert<Drifted<'instrument', Phrase['instrument'] & { clef: 'alto' }>>;
// @ts-expect-error one voice only
export type OneVoice = Assert<Drifted<'voices', readonly [Phrase['voices'][0]]>>;
// @ts-expect-error symbols of any text
export type AnySymbol = Assert<Drifted<'chords', readonly Plain[]>>;
// @ts-expect-error a field too few
export type NoMarks = Assert<Same<Flat<Read>, Flat<Deep<Omit<Phrase, 'marks'>>>>>;
