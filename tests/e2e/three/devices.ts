import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { nodeIo } from '../../../src/cli/node-io';
import { run } from '../../../src/cli/run';
import type { Phrase } from '../../../src/core/phrase/types';
import type { Thing } from '../../../src/io/kinds/kind';
import { KINDS, PHRASES } from '../../../src/io/kinds/kinds';
import { decodeLibrary, othersOf } from '../../../src/io/library/decode';
import { libraryBytes } from '../../../src/publish/publish';
import type { PageDevice } from './page';

/** A library and its copy of the folder. */
export interface Device {
  readonly name: string;
  /** All things by kind and id, as the text in which they are kept. */
  all(): Promise<ReadonlyMap<string, string>>;
  /** Puts a text in the place of another (null: nothing); whether it was acknowledged. */
  put(key: string, before: string | null, text: string): Promise<boolean>;
  /** Removes what is there; its text, or null where nothing was. */
  remove(key: string): Promise<string | null>;
  /** Takes something back from what was removed; its text, or null where nothing was. */
  restore(which: number): Promise<string | null>;
  /** Brings library and folder in step, or begins to. */
  look(how: 'quick' | 'whole'): Promise<void>;
  /** Ends what is going on in the midst of it, and begins again. */
  again(): Promise<void>;
  /** Why it is not in step; null where it is. */
  trouble(): Promise<string | null>;
  files(): Promise<Readonly<Record<string, string>>>;
  /** What a file service does to the folder, if the file is still `before`. */
  set(path: string, before: string | null, text: string | null): Promise<boolean>;
}

/** A browser. */
export function inBrowser(name: string, page: Page): Device {
  const call = <K extends keyof PageDevice>(
    what: K,
    ...words: Parameters<PageDevice[K]>
  ): Promise<Awaited<ReturnType<PageDevice[K]>>> =>
    page.evaluate(
      ([w, all]) => {
        const { device } = window as unknown as {
          device: Record<string, (...a: unknown[]) => never>;
        };
        return device[w]!(...all);
      },
      [what, words] as const,
    );
  return {
    name,
    all: async () => new Map(await call('all')),
    put: (key, before, text) => call('put', key, before, text),
    remove: (key) => call('remove', key),
    restore: (which) => call('restore', which),
    look: (how) => call('look', how),
    async again() {
      await page.reload();
      await call('opened');
    },
    async trouble() {
      const state = await call('state');
      if (state.kind !== 'in step') return JSON.stringify(state);
      return state.unreadable.length > 0 ? JSON.stringify(state.unreadable) : null;
    },
    files: () => call('readAll'),
    set: (p, before, text) => call('set', p, before, text),
  };
}

/** A library file and a folder on the disk, brought in step by the command line. */
export class AtCommandLine implements Device {
  readonly name = 'command line';
  private readonly library: string;
  private readonly folder: string;
  private said: string | null = null;
  private readonly gone: { readonly key: string; readonly text: string }[] = [];
  /** One command after the other, as one person types them. */
  private last: Promise<unknown> = Promise.resolve();

  constructor(
    place: string,
    private readonly late: number,
  ) {
    this.library = path.join(place, 'library.json');
    this.folder = path.join(place, 'shared');
    mkdirSync(this.folder, { recursive: true });
  }

  private one<T>(work: () => T | Promise<T>): Promise<T> {
    const done = this.last.then(work);
    this.last = done.catch(() => undefined);
    return done;
  }

  private read(): Map<string, Thing> {
    let text: string;
    try {
      text = readFileSync(this.library, 'utf8');
    } catch {
      return new Map();
    }
    const read = decodeLibrary(text);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const phrases = read.value.phrases.map((value) => ({ kind: PHRASES, value }));
    const things: readonly Thing[] = [...phrases, ...othersOf(read.value)];
    return new Map(things.map((t) => [`${t.kind.name} ${t.kind.identityOf(t.value).id}`, t]));
  }

  private write(things: ReadonlyMap<string, Thing>): void {
    const all = [...things.values()];
    const phrases = all.filter((t) => t.kind === PHRASES).map((t) => t.value as Phrase);
    const bytes = libraryBytes(
      phrases,
      all.filter((t) => t.kind !== PHRASES),
    );
    if (!bytes) throw new Error('no library');
    writeFileSync(this.library, bytes);
  }

  all = () =>
    this.one(() => new Map([...this.read()].map(([k, t]) => [k, JSON.stringify(t.value)])));

  put = (key: string, before: string | null, text: string) =>
    this.one(() => {
      const things = this.read();
      const was = things.get(key);
      if ((was === undefined ? null : JSON.stringify(was.value)) !== before) return false;
      const kind = KINDS.find((k) => key.startsWith(`${k.name} `))!;
      const read = kind.decode(text);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      this.write(things.set(key, { kind, value: read.value }));
      return true;
    });

  remove = (key: string) =>
    this.one(() => {
      const things = this.read();
      const was = things.get(key);
      if (was === undefined) return null;
      things.delete(key);
      this.write(things);
      const text = JSON.stringify(was.value);
      this.gone.push({ key, text });
      return text;
    });

  /** From an older copy of the file. */
  restore = (which: number) =>
    this.one(() => {
      const one = this.gone[which % Math.max(1, this.gone.length)];
      const things = this.read();
      if (one === undefined || things.has(one.key)) return null;
      const kind = KINDS.find((k) => one.key.startsWith(`${k.name} `))!;
      const read = kind.decode(one.text);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      this.write(things.set(one.key, { kind, value: read.value }));
      return one.text;
    });

  look = () =>
    this.one(async () => {
      const parts: string[] = [];
      const told = { write: (t: string) => void parts.push(t), isTerminal: false };
      const now = () => new Date(Date.now() + this.late);
      const io = { ...nodeIo(), out: told, err: told, now };
      const code = await run(['carry', this.library, this.folder], io);
      const said = parts.join('');
      this.said = code === 0 && !/type the same again/u.test(said) ? null : said;
      if (code === 2) throw new Error(said);
    });

  again = () => this.look();
  trouble = async () => this.said;

  files = async () => {
    const texts: Record<string, string> = {};
    for (const entry of readdirSync(this.folder, { recursive: true, withFileTypes: true })) {
      if (!entry.isFile() || entry.name.startsWith('.')) continue;
      const full = path.join(entry.parentPath, entry.name);
      const name = path.relative(this.folder, full).split(path.sep).join('/');
      try {
        texts[name] = readFileSync(full, 'utf8');
      } catch {
        // It went away meanwhile.
      }
    }
    return texts;
  };

  set = async (name: string, before: string | null, text: string | null) => {
    const full = path.join(this.folder, name);
    let there: string | null = null;
    try {
      there = readFileSync(full, 'utf8');
    } catch {
      // Nothing is there.
    }
    if (there !== before) return false;
    if (text === null) rmSync(full, { force: true });
    else {
      mkdirSync(path.dirname(full), { recursive: true });
      writeFileSync(full, text);
    }
    return true;
  };
}
