import { describe, expect, it } from 'vitest';
import { formsNamed } from '../../../../src/core/form/named';
import { OWN_FORM } from '../../../support/lesson';

const titled = (id: string, title: string) => {
  return { ...OWN_FORM, id, meta: { ...OWN_FORM.meta, title } };
};

describe('the forms that a name means', () => {
  const forms = [
    titled('a', 'Mill'),
    titled('b', 'mill'),
    titled('Mill', 'Loft'),
    titled('c', 'Pier'),
  ];
  const ids = (name: string) => formsNamed(forms, name).map((f) => f.id);

  it('goes by the id before the title, and by the title before its capitals', () => {
    expect(ids('Mill')).toEqual(['Mill']);
    expect(ids('mill')).toEqual(['b']);
    expect(ids(' MILL')).toEqual(['a', 'b']);
    expect(ids('pier ')).toEqual(['c']);
    expect(ids('quay')).toEqual([]);
  });

  it('counts a form that lies in two files once, and its versions apart', () => {
    const pier = titled('c', 'Pier');
    expect(formsNamed([pier, pier], 'Pier')).toEqual([pier]);
    const faster = { ...pier, tempo: { ...pier.tempo, bpm: 200 } };
    expect(formsNamed([pier, faster], 'Pier')).toHaveLength(2);
  });
});
