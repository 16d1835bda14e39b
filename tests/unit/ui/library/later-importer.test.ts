import { describe, expect, it } from 'vitest';
import type { Importer, ImportState } from '../../../../src/ui/frame/importer';
import { laterImporter } from '../../../../src/ui/frame/later-importer';

const FILE = { name: 'a.json' };

/** One that tells what it was given. */
function real() {
  const taken: string[] = [];
  let state: ImportState = { kind: 'idle' };
  const listeners = new Set<() => void>();
  const importer: Importer<typeof FILE> = {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    state: () => state,
    take: async (files) => {
      taken.push(...files.map((f) => f.name));
      state = { kind: 'done', files: [] };
      for (const changed of listeners) changed();
    },
    again: async (index) => void taken.push(`again ${index}`),
    stop: () => taken.push('stop'),
    dismiss: () => taken.push('dismiss'),
  };
  return { importer, taken };
}

describe('an importer that comes with the first file', () => {
  it('is asked for once, and everything goes on to it', async () => {
    const { importer, taken } = real();
    let asked = 0;
    const later = laterImporter(async () => {
      asked += 1;
      return importer;
    });
    const seen: string[] = [];
    later.subscribe(() => seen.push(later.state().kind));
    await later.take([]);
    expect([asked, later.state().kind]).toEqual([0, 'idle']);
    const taking = later.take([FILE]);
    expect(later.state()).toMatchObject({ kind: 'reading', name: 'a.json', done: 0, total: 1 });
    await taking;
    await later.take([FILE]);
    await later.again(0, {});
    later.dismiss();
    expect(asked).toBe(1);
    expect(taken).toEqual(['a.json', 'a.json', 'again 0', 'dismiss']);
    expect(seen).toEqual(['reading', 'done', 'done']);
  });

  it('that does not come says why, and is asked for again', async () => {
    const { importer, taken } = real();
    let network = false;
    const later = laterImporter(async () => {
      if (!network) throw new Error('There is no network.');
      return importer;
    });
    await later.take([FILE]);
    expect(later.state()).toEqual({
      kind: 'done',
      files: [{ kind: 'out', name: 'a.json', reasons: ['There is no network.'] }],
    });
    network = true;
    await later.take([FILE]);
    expect(taken).toEqual(['a.json']);
  });

  it('that is stopped while it comes reads nothing', async () => {
    const { importer, taken } = real();
    const later = laterImporter(async () => importer);
    const taking = later.take([FILE]);
    later.stop();
    await taking;
    expect([later.state().kind, taken]).toEqual(['idle', []]);
  });
});
