import type { NoteState } from '../../core/move/request';
import type { Phrase } from '../../core/phrase/types';
import type { Problem } from '../../core/result';
import { formatDegree } from '../../core/theory/degree';
import { formatPitch } from '../../core/theory/pitch';
import { variedChild } from '../../core/vary/child';
import { changedIds, type VariedNote, type VaryReport } from '../../core/vary/report';
import {
  VARIATION_GROUPS,
  VARIATION_IDS,
  type VariationGroup,
  variationOf,
} from '../../core/vary/table';
import { type Varied, varyPhrase } from '../../core/vary/vary';
import { wrapText } from '../../io/text/char-width';
import { CHANGE_MARK } from '../../io/text/move-report';
import { varyReportText } from '../../io/text/vary-report';
import { writeTextTabs } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { degreeView, type OutputPlan, writeOutput } from '../output';
import type { Shell } from '../shell';
import type { VaryCommand } from '../vary-flags';

type Wish = Extract<VaryCommand, { readonly kind: 'vary' }>;

const INDENT = 18;

/** Every variation with what it promises, by group. */
export function listVariations(json: boolean, width: number): string {
  if (json) {
    const rows = VARIATION_IDS.map((name) => {
      const { group, words, promise } = variationOf(name);
      return { name, group, words, promise };
    });
    return `${JSON.stringify({ variations: rows }, null, 2)}\n`;
  }
  const groups = Object.keys(VARIATION_GROUPS) as readonly VariationGroup[];
  const texts = groups.map((g) => {
    const rows = VARIATION_IDS.filter((id) => variationOf(id).group === g).flatMap((id) => {
      const { words, promise } = variationOf(id);
      const [first = '', ...more] = wrapText(`${words}: ${promise}`, width - INDENT);
      return [`  ${id.padEnd(INDENT - 2)}${first}`, ...more.map((l) => ' '.repeat(INDENT) + l)];
    });
    return `${VARIATION_GROUPS[g]}\n${rows.join('\n')}\n`;
  });
  return texts.join('\n');
}

/** Varies every phrase of the files; prints the results, lists them as data or writes them. */
export async function varyFiles(
  shell: Shell,
  wish: Wish,
  plan: OutputPlan | null,
  each: (work: (s: Source, first: boolean) => void | Promise<void>) => Promise<void>,
): Promise<void> {
  const listed: Listed[] = [];
  let single = wish.files.length === 1;
  await each(async (source, first) => {
    if (source.library) single = false;
    const found = varySource(shell, wish, source);
    if (found === null) return;
    if (plan !== null) {
      const results = found.flatMap(({ phrase, varied }) =>
        varied.map((v) => asChild(shell, phrase, v.phrase, wish)),
      );
      const several = results.length > source.phrases.length;
      await writeOutput(shell, plan, { ...source, library: source.library || several }, results);
    } else if (wish.json) {
      listed.push(...found.map((f) => listOf(source.path, f, wish)));
    } else {
      found.forEach((f, i) => {
        if (!first || i > 0) shell.print('\n');
        shell.print(pageOf(shell, f, wish));
      });
    }
  });
  if (wish.json && (listed.length > 0 || !single)) {
    const [only] = listed;
    const value = single && only !== undefined ? { variations: only.variations } : listed;
    shell.print(`${JSON.stringify(value, null, 2)}\n`);
  }
}

function asChild(shell: Shell, parent: Phrase, phrase: Phrase, { how }: Wish): Phrase {
  const now = shell.io.now().toISOString();
  return variedChild(parent, phrase, how, { id: shell.io.newId(), now });
}

/** A phrase with what was made of it. */
interface Found {
  readonly phrase: Phrase;
  readonly varied: readonly Varied[];
}

/** Null where a phrase of the source has no such variation; what is in the way is said. */
function varySource(shell: Shell, wish: Wish, source: Source): readonly Found[] | null {
  const problems: Problem[] = [];
  const found = source.phrases.flatMap((phrase, i): Found[] => {
    const made = varyPhrase(phrase, wish.how, wish);
    if (made.ok) return [{ phrase, varied: made.value }];
    const name = source.library ? `phrase ${i + 1} ('${phrase.meta.title}'), ` : '';
    problems.push(...made.problems.map((p) => ({ ...p, message: name + p.message })));
    return [];
  });
  if (problems.length === 0) return found;
  shell.refuse(source.path, problems);
  return null;
}

function pageOf(shell: Shell, { phrase, varied }: Found, wish: Wish): string {
  const { width, ascii } = shell;
  const names = wish.how.map((id) => variationOf(id).words).join(', ');
  const tab = writeTextTabs(
    [
      { phrase, caption: 'before' },
      ...varied.map((v, i) => ({
        phrase: v.phrase,
        caption: varied.length === 1 ? names : `${i + 1}. ${names}`,
        marks: new Map([...changedIds(v.report)].map((id) => [id, CHANGE_MARK])),
      })),
    ],
    {
      width,
      ascii,
      degrees: degreeView(phrase),
      markLegend: `${CHANGE_MARK}  added or changed`,
    },
  );
  const said = varied.flatMap((v, i) => {
    const lines = [v.reasons.join('; '), ...varyReportText(v.report)];
    const head = varied.length === 1 ? '' : `${i + 1}. `;
    return lines.flatMap((l, k) =>
      wrapText(l, width - 5).map((t, n) => (k === 0 && n === 0 ? head.padEnd(3) : '   ') + t),
    );
  });
  const text = `${tab}\n${said.join('\n')}\n`;
  return ascii ? plainSigns(text) : text;
}

function plainSigns(text: string): string {
  return text.replaceAll('𝄫', 'bb').replaceAll('♭', 'b').replaceAll('♯', '#').replaceAll('→', '>');
}

/** What `vary --json` lists of one phrase. */
interface Listed {
  readonly file: string;
  readonly title: string;
  readonly variations: readonly {
    readonly how: readonly string[];
    readonly reasons: readonly string[];
    readonly counts: VaryReport['counts'];
    readonly gaveWay: readonly string[];
    readonly effort: VaryReport['effort'];
    readonly notes: readonly ListedChange[];
  }[];
}

interface ListedChange {
  readonly onset: number;
  readonly change: string;
  readonly role: string | null;
  readonly before: ListedState | null;
  readonly after: ListedState | null;
}

/** Of a bent note pitch and degree are its target's, string and fret where it is pressed. */
interface ListedState {
  readonly string: number;
  readonly fret: number;
  readonly pitch: string;
  readonly chordDegree: string | null;
  readonly keyDegree: string;
}

function listOf(file: string, { phrase, varied }: Found, wish: Wish): Listed {
  const variations = varied.map(({ reasons, report }) => ({
    how: wish.how,
    reasons,
    counts: report.counts,
    gaveWay: report.gaveWay,
    effort: { before: hundredth(report.effort.before), after: hundredth(report.effort.after) },
    notes: report.notes.map(listedChange),
  }));
  return { file, title: phrase.meta.title, variations };
}

function hundredth(n: number | null): number | null {
  return n === null ? null : Math.round(n * 100) / 100;
}

function listedChange({ onset, change, role, before, after }: VariedNote): ListedChange {
  return { onset, change, role, before: listedState(before), after: listedState(after) };
}

function listedState(s: NoteState | null): ListedState | null {
  if (s === null) return null;
  const d = s.target?.chordDegree ?? s.chordDegree;
  return {
    string: s.string,
    fret: s.fret,
    pitch: formatPitch(s.target?.pitch ?? s.pitch),
    chordDegree: d === null ? null : formatDegree(d),
    keyDegree: formatDegree(s.keyDegree),
  };
}
