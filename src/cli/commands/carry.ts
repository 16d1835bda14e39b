import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { mostBytesOf } from '../../io/file/decode-file';
import { carry } from '../../io/folder/carry';
import { FileLibrary } from '../../io/folder/file-library';
import { type Notes, noNotes } from '../../io/folder/notes';
import { type Carrying, type CarryingLine, type Folder, keyOf } from '../../io/folder/ports';
import { apartOf, besideAsThings } from '../../io/kinds/file-kinds';
import type { Thing } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import { libraryBytes } from '../../publish/publish';
import type { CarryOptions } from '../carry-flags';
import { CarryMemory } from '../carry-memory';
import { readSource } from '../input';
import type { Shell } from '../shell';
import { count } from '../words';

/** So many things are told by name; of more only how many. */
const MOST_TOLD = 20;

/** So many removed at once are asked about, where they are over a quarter of what was in step. */
const MANY = 8;

/** Brings a library file and a folder in step, and says what it did. */
export async function carryLibrary(shell: Shell, o: CarryOptions): Promise<void> {
  const { files } = shell.io;
  if ((await files.kindOf(o.folder)) === 'file') {
    return shell.misuse({ message: `'${o.folder}' is no folder`, fix: 'Name a folder.' });
  }
  const before = await bytesOf(shell, o.library);
  if (!before.ok) return shell.refuse(o.library, before.problems);
  if (before.value === null && (await files.kindOf(o.folder)) === 'none') {
    const message = `there is no such file, and no folder '${o.folder}' that one could be made from`;
    return shell.refuse(o.library, [{ message, fix: 'Look at both names.' }]);
  }
  const read = await libraryOf(shell, o.library, before.value !== null);
  if (read === null) return;
  const { library, beside } = read;
  const { folder, place } = await shell.io.folder(o.folder);
  const memory = await CarryMemory.of(shell.io.files, o.library);
  if (memory.isNewer) {
    return shell.refuse(memory.path, [
      {
        message: 'it was written by a newer release of the program',
        fix: 'Use that release. Nothing was changed; without this file, what differs is kept as both and what was removed may come back.',
      },
    ]);
  }
  if (memory.trouble !== null) {
    shell.remark(
      `${memory.path}: ${memory.trouble}. What cannot be read of it is taken as never in step: nothing is removed for that, what was removed since may come back, and what differs is kept as both.\n`,
    );
  }
  // What was in step with a library that is no longer there says nothing about a new one.
  const notes = before.value === null ? noNotes() : memory.of(place);
  const lost = missing(library, notes);
  if (lost > MANY && !o.dry && !o.removals) {
    return shell.refuse(o.library, [
      {
        message: `${count(lost, 'thing')} that stood in it when it was in step last are missing, and would be removed from '${o.folder}' and from every library that is in step with it`,
        fix: 'Add --removals if they were removed. If this is an older copy, put the newer one back, or merge the folder into it first.',
      },
    ]);
  }
  let done: Carrying;
  try {
    done = await carry(library, o.dry ? untouched(folder) : folder, notes, {
      now: shell.io.now().toISOString(),
      thorough: o.all,
      progress: (_what, n, of) => shell.progress(n, of, o.folder),
    });
  } catch (e) {
    const message = e instanceof Error ? e.message : String(e);
    return shell.refuse(o.folder, [{ message, fix: 'Begin again: what was done is found done.' }]);
  }
  for (const { path, problems } of done.unreadable) shell.refuse(`${o.folder}/${path}`, problems);
  if (!o.dry) {
    const kept = library.changed
      ? await keep(shell, o.library, [...library.all(), ...beside], before.value)
      : ok(null);
    if (!kept.ok) return shell.refuse(o.library, kept.problems);
    const remembered = await memory.keep(place, notes);
    if (!remembered.ok) shell.refuse(memory.path, remembered.problems);
  }
  tell(shell, o, done);
}

/** How many are missing that were in step last; 0 where they are a quarter at most. */
function missing(library: FileLibrary, notes: Notes): number {
  const here = new Set([...library.entries()].map(keyOf));
  const seen = [...notes.keys()].filter((key) => notes.lastOf(key)?.version !== null);
  const gone = seen.filter((key) => !here.has(key)).length;
  return gone * 4 > seen.length ? gone : 0;
}

/** null where there is no such file yet. */
async function bytesOf(shell: Shell, path: string): Promise<Result<Uint8Array | null>> {
  if ((await shell.io.files.kindOf(path)) === 'none') return ok(null);
  return shell.io.files.read(path, mostBytesOf);
}

/** What the folder carries, and what stays in the library: earlier versions, and how phrases were played. */
interface ToCarry {
  readonly library: FileLibrary;
  readonly beside: readonly Thing[];
}

async function libraryOf(shell: Shell, path: string, there: boolean): Promise<ToCarry | null> {
  if (!there) return { library: new FileLibrary([]), beside: [] };
  const source = await readSource(shell.io, path);
  if (!source.ok) {
    shell.refuse(path, source.problems, source.text);
    return null;
  }
  if (!source.value.library) {
    shell.misuse({
      message: `'${path}' is no library`,
      fix: `Make one of it: degreewise merge ${path} -o library.json`,
    });
    return null;
  }
  const { phrases, others = [] } = source.value;
  const { others: carried, ...beside } = apartOf(others);
  return {
    library: new FileLibrary([...phrases.map((value) => ({ kind: PHRASES, value })), ...carried]),
    beside: besideAsThings(beside),
  };
}

/** Writes the library, unless it has changed since it was read. */
async function keep(
  shell: Shell,
  path: string,
  things: readonly Thing[],
  before: Uint8Array | null,
): Promise<Result<unknown>> {
  const now = await bytesOf(shell, path);
  if (!now.ok) return now;
  const same = (a: Uint8Array, b: Uint8Array) =>
    a.length === b.length && a.every((byte, i) => byte === b[i]);
  const still = now.value === null ? before === null : before !== null && same(now.value, before);
  if (!still) {
    return fail({
      message: 'the library changed while it was brought in step, and was not written',
      fix: 'Type the same again.',
    });
  }
  // What is of this kind is a phrase.
  const phrases = things.filter((t) => t.kind === PHRASES).map((t) => t.value as Phrase);
  const others = things.filter((t) => t.kind !== PHRASES);
  return shell.io.files.write(path, libraryBytes(phrases, others), true);
}

/** The folder without its writing. */
function untouched(folder: Folder): Folder {
  return {
    list: (folders) => folder.list(folders),
    read: (path) => folder.read(path),
    write: async () => '',
    remove: async () => true,
  };
}

function tell(shell: Shell, o: CarryOptions, { lines, unreadable, waiting }: Carrying): void {
  if (o.json) {
    const told = lines.map(({ kind, id, title, what }) => ({ what, kind: kind.name, id, title }));
    const broken = unreadable.map((u) => u.path);
    shell.print(`${JSON.stringify({ done: told, unreadable: broken, waiting }, null, 2)}\n`);
    return;
  }
  const would = o.dry ? 'would be ' : '';
  const groups = new Map<CarryingLine['what'], CarryingLine[]>();
  for (const line of lines) groups.set(line.what, [...(groups.get(line.what) ?? []), line]);
  for (const [what, all] of groups) {
    if (all.length > MOST_TOLD && what !== 'kept as both') {
      shell.print(`${would}${what}: ${count(all.length, 'thing')}\n`);
      continue;
    }
    for (const { kind, title } of all) shell.print(`${would}${what}: ${kind.noun} '${title}'\n`);
  }
  if (waiting > 0)
    shell.remark(`${count(waiting, 'thing')} changed meanwhile: type the same again\n`);
  const broken = unreadable.length;
  if (lines.length === 0 && waiting === 0 && broken === 0) shell.print('in step: nothing to do\n');
}
