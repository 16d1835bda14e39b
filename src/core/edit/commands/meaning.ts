import { type Anchor, type PitchedNote, ROLES, type Role, type Ticks } from '../../phrase/types';
import { degreeNearMidi, degreeSign, USUAL_DEGREES } from '../../theory/degree';
import { chromaOf, midiOf, mod, type Pitch, samePitch } from '../../theory/pitch';
import { analyse } from '../../understand/analyse';
import { rootAt } from '../../understand/spell';
import { changePitched, chosenPitched, withField } from '../change';
import { defineCommand } from '../command';
import { cannot } from '../outcome';
import { type Chosen, chosenNotes } from '../select';
import type { EditState } from '../state';

const ANCHORS = [
  { value: 'chord', title: 'its chord' },
  { value: 'key', title: 'the key' },
  { value: 'goal', title: 'the note it leads to' },
  { value: 'automatic', title: 'what is usual' },
] as const;

/** What the note follows when the phrase is moved (M5). */
export const setAnchor = defineCommand<Anchor | 'automatic'>({
  id: 'mean.anchor',
  group: 'What a note means',
  title: 'Let it follow, in a move,',
  words: 'anchor',
  ask: { kind: 'choice', choices: ANCHORS },
  apply: (s, anchor) =>
    changePitched(
      s,
      (n) => withField(n, 'anchor', anchor === 'automatic' ? undefined : anchor),
      `follows ${ANCHORS.find((a) => a.value === anchor)!.title}`,
      `it follows ${ANCHORS.find((a) => a.value === anchor)!.title} already`,
    ),
});

/** A role as what a note is. */
const ROLE_TITLES: Readonly<Record<Role, string>> = {
  'chord tone': 'a chord tone',
  'blue note': 'a blue note',
  approach: 'an approach note',
  passing: 'a passing note',
  neighbour: 'a neighbour note',
  extension: 'an extension',
  outside: 'outside the chord and the scale',
};

/** What the note is for (D3); what the user says goes before every rule. */
export const setRole = defineCommand<Role | 'automatic'>({
  id: 'mean.role',
  group: 'What a note means',
  title: 'Say that it is',
  words: 'role function',
  ask: {
    kind: 'choice',
    choices: [
      ...ROLES.map((value) => ({
        value,
        title: ROLE_TITLES[value],
      })),
      { value: 'automatic' as const, title: 'what the rules read' },
    ],
  },
  apply: (s, role) =>
    changePitched(
      s,
      (n) => withField(n, 'role', role === 'automatic' ? undefined : role),
      role === 'automatic' ? 'as the rules read it' : role,
      role === 'automatic'
        ? 'it is as the rules read it already'
        : `it is marked as ${role} already`,
    ),
});

/**
 * Whether notes belong to the next chord already (D2): all of them, unless all do. What the user
 * says goes before the rule.
 */
export const flipAnticipation = defineCommand<undefined>({
  id: 'mean.anticipation',
  group: 'What a note means',
  title: 'Count it with the next chord, or with this one',
  words: 'anticipation push',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const { spans, byId } = analyse(s.phrase);
    const readings = chosenPitched(s).flatMap((n) => byId.get(n.id) ?? []);
    const anticipates = readings.some((r) => !r.anticipates);
    const hasNext = readings.every(
      (r) => r.anticipates || (r.owner !== null && r.owner.index < spans.length - 1),
    );
    if (anticipates && !hasNext) {
      return cannot(`no other chord comes after ${readings.length === 1 ? 'it' : 'one of them'}`);
    }
    return changePitched(
      s,
      (n) => ({ ...n, anticipation: anticipates }),
      anticipates ? 'counted with the next chord' : 'counted with this chord',
    );
  },
});

/**
 * The next usual name of the same sound: ♭3 and ♯2, ♭5 and ♯4. Several that are called
 * differently all take the other name first; what has one name keeps it.
 */
export const respell = defineCommand<undefined>({
  id: 'mean.respell',
  group: 'What a note means',
  title: 'Call it by its other name',
  words: 'enharmonic spelling flat sharp respell',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const chosen = chosenNotes(s);
    const named = new Map<string, Named>();
    for (const { note, event } of chosen) {
      if (note.kind === 'pitched') named.set(note.id, namesOf(s, note, event.onset));
    }
    const several = [...named.values()].filter((x) => x.names.length > 1);
    const [first] = several;
    const alike = several.every((x) => x.here === first?.here);
    return changePitched(
      s,
      (n) => {
        const { names, here } = named.get(n.id)!;
        const next = alike ? (here + 1) % names.length : Math.min(1, names.length - 1);
        return { ...n, pitch: names[next] ?? n.pitch };
      },
      'called by its other name',
      named.size > 1 ? 'each of them has one usual name here' : oneName(s, chosen),
    );
  },
});

/** The usual names of a note's sound at its moment, and which of them it has; -1 for another. */
interface Named {
  readonly names: readonly Pitch[];
  readonly here: number;
}

function namesOf(s: EditState, n: PitchedNote, onset: Ticks): Named {
  const { root } = rootAt(s.phrase, onset);
  const midi = midiOf(n.pitch);
  const names = USUAL_DEGREES[mod(midi - chromaOf(root), 12)]!.flatMap((d) => {
    const pitch = degreeNearMidi(root, d, midi);
    return pitch === null || midiOf(pitch) !== midi ? [] : [pitch];
  });
  return { names, here: names.findIndex((p) => samePitch(p, n.pitch)) };
}

/** Why a single note cannot be called otherwise, with the degree that it is. */
function oneName(s: EditState, chosen: readonly Chosen[]): string {
  const only = chosen.find((c) => c.note.kind === 'pitched');
  if (only?.note.kind !== 'pitched') return 'it has one usual name here';
  const { root } = rootAt(s.phrase, only.event.onset);
  const semitones = mod(midiOf(only.note.pitch) - chromaOf(root), 12);
  return `it has one usual name here, ${degreeSign(USUAL_DEGREES[semitones]![0]!)}`;
}
