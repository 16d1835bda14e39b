import { describe, expect, it } from 'vitest';
import { STANDARD_FORMS } from '../../../../src/core/form/standard';
import { formOfOwn } from '../../../../src/core/form/types';
import { readBench, withPlayed, writeBench } from '../../../../src/ui/solo/bench';
import { OWN_FORM } from '../../../support/lesson';

const forms = [...STANDARD_FORMS, formOfOwn(OWN_FORM)];

describe('a form played otherwise than it says', () => {
  it('comes back from the address, and is the same form while only other things change', () => {
    const twelve = { beats: 12, beatType: 8 } as const;
    const plain = readBench({ form: 'blues' }, forms);
    const bench = withPlayed(withPlayed(plain, { meter: twelve }), { bpm: 60 });
    expect(bench.form.tempo).toEqual({ bpm: 60, unit: 'dotted-quarter' });
    expect(readBench(writeBench(bench), forms)).toEqual(bench);
    const again = readBench({ ...writeBench(bench), level: '2' }, forms);
    expect(again.form).toBe(bench.form);
    expect(plain.form).toBe(forms[0]);
  });

  it('does without what makes no sense in an address, and leaves a form of one’s own as it is', () => {
    const bad = { form: 'blues', bpm: '5', feel: 'funky', meter: '4/3' };
    expect(readBench(bad, forms).form).toBe(forms[0]);
    expect(readBench({ form: OWN_FORM.id, bpm: '60' }, forms).form).toBe(forms.at(-1));
  });
});
