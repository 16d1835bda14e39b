import { parseArgs } from 'node:util';
import { fail, ok, type Problem, type Result } from '../core/result';
import { perhaps } from './words';

/** An option of a command: a switch, or one with a value. */
export interface Flag {
  readonly name: string;
  readonly short?: string;
  readonly takes: 'nothing' | 'value';
  /** Its value names what is read, so that - is the standard input. */
  readonly reads?: true;
}

export interface Flags {
  /** Values by option name; a switch that is set has an empty value. */
  readonly values: ReadonlyMap<string, string>;
  readonly positionals: readonly string[];
}

/**
 * Splits the words of a command line into options and names. Every option may stand once, anywhere;
 * `--name=value` and `--name value` are the same, a negative number is a value, `--` ends the options.
 */
export function readFlags(args: readonly string[], known: readonly Flag[]): Result<Flags> {
  const options = Object.fromEntries(
    known.map((f) => [
      f.name,
      {
        type: f.takes === 'value' ? ('string' as const) : ('boolean' as const),
        ...(f.short === undefined ? {} : { short: f.short }),
      },
    ]),
  );
  // Not strict: the rules below are ours, and so are the words in which they are told.
  const { tokens } = parseArgs({
    args: [...args],
    options,
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  const values = new Map<string, string>();
  const positionals: string[] = [];
  for (const t of tokens) {
    if (t.kind === 'positional') positionals.push(t.value);
    if (t.kind !== 'option') continue;
    const flag = known.find((f) => f.name === t.name);
    if (flag === undefined) return fail(unknown(t.rawName, known));
    if (values.has(flag.name)) return fail({ message: `the option ${t.rawName} is given twice` });
    const value = t.value ?? '';
    if (flag.takes === 'nothing') {
      if (t.value !== undefined) return fail({ message: `the option ${t.rawName} takes no value` });
    } else if (
      t.value === undefined ||
      (looksLikeOption(value) && !t.inlineValue && !(value === '-' && flag.reads))
    ) {
      return fail(
        value === '-' && flag.name === 'out'
          ? {
              message: 'nothing is written to the standard output with -o -',
              fix: "Name a file, or print with 'degreewise show'.",
            }
          : { message: `the option ${t.rawName} needs a value` },
      );
    }
    values.set(flag.name, value);
  }
  return ok({ values, positionals });
}

function looksLikeOption(value: string): boolean {
  return value.startsWith('-') && !/^-\d/u.test(value);
}

function unknown(rawName: string, known: readonly Flag[]): Problem {
  // Some come from two lists that a command takes in.
  const names = [...new Set(known.map((f) => `--${f.name}`))];
  return {
    message: `there is no option ${rawName} here`,
    ...(names.length === 0
      ? {}
      : { fix: `${perhaps(rawName, names)}The options are ${names.join(', ')}.` }),
  };
}
