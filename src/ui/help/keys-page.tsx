import { COMMAND_GROUPS, type Command, type KeyFor } from '../../core/edit/command';
import { READING_NAMES } from '../../core/edit/commands/degrees';
import { COMMANDS } from '../../core/edit/table';
import { usePageTitle } from '../frame/app-context';
import type { RouteOf } from '../frame/route';
import '../shared/pages.css';
import { keyWords, titleOfRun } from '../shared/command-words';
import './help.css';

/** `#/help/keys`: every key of the writing page, from the table that the page itself runs by. */
export function KeysPage(_: { readonly route: RouteOf<'keys'> }) {
  usePageTitle('Keys');
  return (
    <article className="page keys-page">
      <header>
        <h1>What the keys do</h1>
        <p>
          While you write in a phrase. A key is the sign that your keyboard prints; the command key
          of a Mac is Ctrl here. What has no key is in the list of everything that can be done,{' '}
          <kbd>Ctrl+.</kbd>
        </p>
        <p>
          A fret above 9 is typed digit by digit: <kbd>1</kbd> <kbd>2</kbd>. A double stop is two
          frets with an arrow between: <kbd>5</kbd> <kbd>↑</kbd> <kbd>5</kbd>; then <kbd>→</kbd>{' '}
          goes on. A length holds for the note at the cursor and for those that follow. What is done
          to a note is done to the one at the cursor; <kbd>Shift+↑</kbd> chooses the string above it
          as well.
        </p>
      </header>
      {COMMAND_GROUPS.map((group) => (
        <GroupKeys key={group} group={group} />
      ))}
      <ListedKeys name="The system’s own" keys={SYSTEM} />
      <ListedKeys name="Where music is heard and practised" keys={HEARING} />
      <ListedKeys name="Where playing is caught" keys={CATCHING} />
      <footer className="quiet">
        What others wrote and this program uses:{' '}
        <a href="./licences.md" download>
          licences of the packages
        </a>
        ,{' '}
        <a href="./licences-offline.md" download>
          of what works offline
        </a>
        ,{' '}
        <a href="./licence-of-fonts.txt" download>
          licence of the fonts
        </a>
        .
      </footer>
    </article>
  );
}

const SYSTEM = [
  ['?', 'This page, and back with the browser’s own way back'],
  ['Ctrl+.', 'Everything that can be done, found by typing'],
  ['Ctrl+Z', 'Undo'],
  ['Ctrl+Y', 'Do again'],
  ['Ctrl+C', 'Copy what is chosen'],
  ['Ctrl+X', 'Cut what is chosen'],
  ['Ctrl+V', 'Put in what is on the clipboard'],
  ['Ctrl+Shift+V', 'Put it in over the chord at the cursor'],
  ['Ctrl+A', 'Choose everything in this voice'],
] as const;

/** The keys of the pages of a phrase, a move, a variation and a practice plan. */
const HEARING = [
  ['Space', 'Listen, or stop; while you write, from the cursor on'],
  ['Escape', 'Silence, on every page; what is chosen stays chosen'],
  ['Alt+X', 'Hear the other: before and after a move, the next variation'],
  ['Alt+P', 'Begin to practise, or stop'],
  ['Alt+N', 'Go on with the next round'],
  ['Alt+G', 'That was good: the next round faster'],
  ['Alt+K', 'Keep the variation that is heard'],
  ['Alt+J, Alt+K, Alt+L', 'In a practice plan: not yet, nearly, it sits'],
] as const;

/** The keys of `ui/catch/listening.tsx` and `taken.tsx`. */
const CATCHING = [
  ['K', 'Keep all that was just played'],
  ['L', 'Keep the last whole round of the chords that were played to'],
  ['P', 'Keep the last phrase: what was played since the last long rest'],
  ['N', 'The next note of which the program is not sure'],
  ['Y', 'It is right'],
  ['X', 'Take it out'],
  ['1 to 3', 'Write it again over the first, second or third chord that is proposed'],
] as const;

interface ListedProps {
  readonly name: string;
  readonly keys: readonly (readonly [key: string, what: string])[];
}

function ListedKeys({ name, keys }: ListedProps) {
  return (
    <section aria-label={name}>
      <h2>{name}</h2>
      <table className="keys">
        <tbody>
          {keys.map(([key, what]) => (
            <tr key={key}>
              <th scope="row">
                <kbd>{key}</kbd>
              </th>
              <td>{what}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

interface KeyRow {
  readonly title: string;
  readonly keys: readonly KeyFor<unknown>[];
}

function GroupKeys({ group }: { readonly group: Command['group'] }) {
  const rows = COMMANDS.filter((c) => c.group === group).flatMap(rowsOf);
  if (rows.length === 0) return null;
  return (
    <section aria-label={group}>
      <h2>{group}</h2>
      <table className="keys">
        <tbody>
          {rows.map(({ title, keys }) => (
            <tr key={title}>
              <th scope="row">
                {keys.map((k) => (
                  <span key={k.key} className="one-key">
                    <kbd>{keyWords(k.key)}</kbd>
                    {k.reading === undefined ? null : (
                      <>
                        {' '}
                        <small>
                          digits as {k.reading.map((r) => READING_NAMES[r]).join(' or ')}
                        </small>
                      </>
                    )}
                  </span>
                ))}
              </th>
              <td>{title}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** One row for each thing a command does by key, all its keys together. */
function rowsOf(command: Command): readonly KeyRow[] {
  const digits = command.keys.filter((k) => k.key === String(k.value));
  if (digits.length > 3) return [digitRow(command, digits), ...rowsByValue(command, digits)];
  return rowsByValue(command, []);
}

/** The digits of a command that all do the same kind of thing, in one row. */
function digitRow(command: Command, digits: readonly KeyFor<unknown>[]): KeyRow {
  const first = digits[0]!;
  const key = `${first.key} to ${digits.at(-1)!.key}`;
  return { title: `${command.title} ${key}`, keys: [{ ...first, key }] };
}

function rowsByValue(command: Command, without: readonly KeyFor<unknown>[]): readonly KeyRow[] {
  const left = command.keys.filter((k) => !without.includes(k));
  const values = [...new Set(left.map((k) => k.value))];
  return values.map((value) => ({
    title: titleOfRun(command, value),
    keys: left.filter((k) => k.value === value),
  }));
}
