import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type Collection, newCollection } from '../../src/core/library/collection';
import { carry } from '../../src/io/folder/carry';
import { FileLibrary } from '../../src/io/folder/file-library';
import { noNotes } from '../../src/io/folder/notes';
import '../../src/io/kinds/checks-at-hand';
import { COLLECTIONS } from '../../src/io/kinds/kinds';
import { MemoryFolder } from '../support/memory-folder';
import { runs } from '../support/thorough';

type Op = { readonly path: string; readonly text: string | null };

/** A device: its library, its copy of the folder, what it remembers and what is on its way to it. */
class Device {
  readonly library = new FileLibrary([]);
  readonly folder = new MemoryFolder();
  readonly notes = noNotes();
  readonly coming: Op[] = [];
  /** What each thing was before it was changed last. */
  readonly before = new Map<string, Collection>();

  value(id: string): Collection | null {
    // Nothing but collections is put in.
    return this.library.get({ kind: COLLECTIONS, id }) as Collection | null;
  }
}

/** Three devices, a file service between them, and what was written and lives. */
class World {
  readonly devices = [new Device(), new Device(), new Device()] as const;
  /** What the service has of each path in the end. */
  private readonly last = new Map<string, string | null>();
  private time = 0;
  /** Titles that were written, and those that were written over or removed since by who saw them. */
  readonly written = new Set<string>();
  readonly over = new Set<string>();
  readonly undone = new Set<string>();

  constructor() {
    this.devices.forEach((d, i) => {
      d.folder.onWrite = (path, text) => {
        this.last.set(path, text);
        for (const [j, other] of this.devices.entries())
          if (j !== i) other.coming.push({ path, text });
      };
    });
  }

  now(): string {
    this.time += 1;
    return new Date(1_780_000_000_000 + this.time * 1000).toISOString();
  }

  edit(d: Device, id: string, slow: boolean): void {
    const before = d.value(id);
    const now = this.now();
    // A clock may be behind.
    const modified = slow ? '2020-01-01T00:00:00.000Z' : now;
    const title = `T${this.time}`;
    if (before !== null) this.over.add(before.meta.title);
    this.written.add(title);
    const value = before ?? newCollection([], { id, now, title });
    if (before !== null) d.before.set(id, before);
    const read = COLLECTIONS.decode({ ...value, meta: { ...value.meta, title, modified } });
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    d.library.put({ kind: COLLECTIONS, value: read.value });
  }

  /** Puts a phrase into a collection; who puts others in elsewhere takes nothing away. */
  put(d: Device, id: string): void {
    const before = d.value(id);
    if (before === null) return;
    const modified = this.now();
    const phrases = [...before.phrases, `p${this.time}`];
    this.written.add(`p${this.time}`);
    const value = { ...before, meta: { ...before.meta, modified }, phrases };
    d.library.put({ kind: COLLECTIONS, value });
  }

  remove(d: Device, id: string): void {
    const before = d.value(id);
    if (before === null) return;
    this.over.add(before.meta.title);
    d.before.set(id, before);
    d.library.drop({ kind: COLLECTIONS, id });
  }

  /** Takes an edit or a removal back: the very same content again. */
  undo(d: Device, id: string): void {
    const earlier = d.before.get(id);
    const now = d.value(id);
    if (earlier === undefined || earlier === now) return;
    if (now !== null) this.over.add(now.meta.title);
    this.undone.add(earlier.meta.title);
    d.library.put({ kind: COLLECTIONS, value: earlier });
  }

  async sync(d: Device): Promise<number> {
    const writes = d.folder.writes;
    const { lines } = await carry(d.library, d.folder, d.notes, { now: this.now() });
    return lines.length + d.folder.writes - writes;
  }

  deliver(d: Device, which: number, part: boolean): void {
    const op = d.coming[which % Math.max(1, d.coming.length)];
    if (op === undefined) return;
    if (part) {
      d.folder.set(op.path, op.text === null ? '' : op.text.slice(0, op.text.length / 2));
      return;
    }
    d.coming.splice(d.coming.indexOf(op), 1);
    d.folder.set(op.path, op.text);
  }

  /** A service that keeps both files of one name: the other's beside one's own. */
  copyBeside(d: Device, which: number): void {
    const op = d.coming[which % Math.max(1, d.coming.length)];
    if (op?.text === undefined || op.text === null) return;
    const path = op.path.replace(/\.json$/u, ' (1).json');
    d.folder.set(path, op.text);
    this.last.set(path, op.text);
    for (const x of this.devices) if (x !== d) x.folder.set(path, op.text);
  }

  /** All that is on its way arrives, the last of each path. */
  settle(): void {
    for (const d of this.devices) {
      d.coming.length = 0;
      for (const path of [...d.folder.texts.keys()]) {
        if (!this.last.has(path)) d.folder.set(path, null);
      }
      for (const [path, text] of this.last) {
        if ((d.folder.texts.get(path) ?? null) !== text) d.folder.set(path, text);
      }
    }
  }

  async toTheEnd(): Promise<number> {
    for (let round = 1; ; round++) {
      this.settle();
      let done = 0;
      for (const d of this.devices) {
        done += await this.sync(d);
        this.settle();
      }
      if (done === 0 || round === 12) return round;
    }
  }
}

const device = fc.nat(2);
const id = fc.constantFrom('a', 'b');
const arbStep = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({ do: fc.constant('edit' as const), device, id, slow: fc.boolean() }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('remove' as const), device, id }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('undo' as const), device, id }) },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('sync' as const), device }) },
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('deliver' as const),
      device,
      which: fc.nat(9),
      part: fc.boolean(),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ do: fc.constant('copy' as const), device, which: fc.nat(9) }),
  },
);
const arbSteps = fc.array(arbStep, { minLength: 4, maxLength: 40 });

it('ends with equal libraries and nothing lost, whatever arrives in whatever order', async () => {
  await fc.assert(
    fc.asyncProperty(arbSteps, async (steps) => {
      const world = new World();
      for (const s of steps) {
        const d = world.devices[s.device]!;
        if (s.do === 'edit') world.edit(d, s.id, s.slow);
        else if (s.do === 'remove') world.remove(d, s.id);
        else if (s.do === 'undo') world.undo(d, s.id);
        else if (s.do === 'sync') {
          await world.sync(d);
          // Doing it again does nothing.
          expect(await world.sync(d)).toBe(0);
        } else if (s.do === 'copy') world.copyBeside(d, s.which);
        else world.deliver(d, s.which, s.part);
      }
      expect(await world.toTheEnd()).toBeLessThan(12);
      const [a, ...others] = world.devices.map(
        (d) =>
          new Map(
            d.library.all().map(({ value }) => [(value as Collection).id, value as Collection]),
          ),
      );
      for (const b of others) expect(b).toEqual(a);
      const sure = (title: string) => !world.undone.has(title);
      const things = [...a!].map(([key, v]) => ({ key, title: v.meta.title }));
      const titles = new Set(things.map((t) => t.title));
      const living = [...world.written].filter((t) => !world.over.has(t) && sure(t));
      expect(living.filter((t) => !titles.has(t))).toEqual([]);
      // What was written over or removed comes back under no id; where two versions met before one of
      // them was written over, it stays beside the other.
      const back = things.filter((t) => !t.key.includes('.v-') && world.over.has(t.title));
      expect(back.filter((t) => sure(t.title))).toEqual([]);
      // A file a thing, and what was removed.
      const files = [...world.devices[0].folder.texts.keys()].filter((p) => p.endsWith('.json'));
      expect(files).toHaveLength(things.length);
    }),
    { numRuns: runs(60, 5000), seed: 20_261_127 },
  );
});

it('joins collections into which phrases were put at once', async () => {
  const arbPuts = fc.array(
    fc.record({ device, do: fc.constantFrom('put', 'put', 'sync', 'deliver'), which: fc.nat(9) }),
    { minLength: 4, maxLength: 30 },
  );
  await fc.assert(
    fc.asyncProperty(arbPuts, async (steps) => {
      const world = new World();
      world.edit(world.devices[0], 'a', false);
      await world.toTheEnd();
      world.written.clear();
      for (const s of steps) {
        const d = world.devices[s.device]!;
        if (s.do === 'put') world.put(d, 'a');
        else if (s.do === 'sync') await world.sync(d);
        else world.deliver(d, s.which, false);
      }
      expect(await world.toTheEnd()).toBeLessThan(12);
      const [a, ...others] = world.devices.map((d) =>
        d.library.all().map((t) => t.value as Collection),
      );
      for (const b of others) expect(b).toEqual(a);
      expect(a).toHaveLength(1);
      expect([...a![0]!.phrases].sort()).toEqual([...world.written].sort());
    }),
    { numRuns: runs(30, 3000), seed: 20_261_127 },
  );
});
