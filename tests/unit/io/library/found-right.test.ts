import { afterEach, describe, expect, it, vi } from 'vitest';
import { PHRASES } from '../../../../src/io/kinds/kinds';
import { FoundRight } from '../../../../src/io/library/found-right';
import { LibraryReader } from '../../../../src/io/library/read';
import { libraryPieces } from '../../../../src/io/library/write';
import { readSamples } from '../../../support/samples';

/* A file is read twice when it is brought in: once to see that all of it is right, once to take it. */

const samples = readSamples().map((s) => s.phrase);
const file = [...libraryPieces(samples)].join('');

afterEach(() => {
  vi.restoreAllMocks();
});

function read(text: string, right: FoundRight) {
  const reader = new LibraryReader(undefined, right);
  const all = [...reader.take(new TextEncoder().encode(text))];
  return { all, end: reader.end() };
}

describe('a file that was found right', () => {
  it('is not checked again, and gives the same', () => {
    const right = new FoundRight();
    const first = read(file, right);
    const decode = vi.spyOn(PHRASES, 'decode');
    const second = read(file, right);
    expect(decode).not.toHaveBeenCalled();
    expect(second).toEqual(first);
    expect(second.all.map((e) => e.value)).toEqual(samples);
    expect(second.all.map((e) => e.text)).toEqual(samples.map((p) => JSON.stringify(p)));
  });

  it('is checked where it is not what it was', () => {
    const right = new FoundRight();
    read(file, right);
    const decode = vi.spyOn(PHRASES, 'decode');
    const other = read(file.replace('"bpm":', '"bpm":9'), right);
    expect(decode).toHaveBeenCalledOnce();
    expect(other.end.ok).toBe(false);
    // Fields in another order are put in that of the schema, as ever.
    const [one] = samples;
    const { id, ...rest } = one!;
    const text = file.replace(JSON.stringify(one), () => JSON.stringify({ ...rest, id }));
    expect(text).not.toBe(file);
    const turned = read(text, right);
    expect(decode).toHaveBeenCalledTimes(2);
    expect(turned.all.map((e) => e.text)).toEqual(samples.map((p) => JSON.stringify(p)));
  });

  it('counts as such only when its end was reached', () => {
    const right = new FoundRight();
    new LibraryReader(undefined, right).take(new TextEncoder().encode(file)).next();
    const decode = vi.spyOn(PHRASES, 'decode');
    read(file, right);
    expect(decode).toHaveBeenCalledTimes(samples.length);
  });
});
