import { type Anchor, ROLES, type Role } from '../../phrase/types';
import { degreeNearMidi, degreeSemitones, degreeSign, USUAL_DEGREES } from '../../theory/degree';
import { chromaOf, midiOf, mod, samePitch } from '../../theory/pitch';
import { analyse } from '../../understand/analyse';
import { changePitched, firstPitched, withField } from '../change';
import { defineCommand } from '../command';
import { cannot } from '../outcome';
import { rootAt } from '../spell';

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
        title: value === 'outside' ? 'outside' : `${/^[aeo]/u.test(value) ? 'an' : 'a'} ${value}`,
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

/** Whether the note belongs to the next chord already (D2). */
export const flipAnticipation = defineCommand<undefined>({
  id: 'mean.anticipation',
  group: 'What a note means',
  title: 'Count it with the next chord, or with this one',
  words: 'anticipation push',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const first = firstPitched(s);
    if (first === null) return cannot('no note is chosen');
    const reading = analyse(s.phrase).byId.get(first.id);
    const spans = analyse(s.phrase).spans;
    const last = reading?.owner === spans.at(-1) && reading?.anticipates === false;
    if (spans.length < 2 || last) return cannot('no other chord comes after it');
    const anticipates = reading?.anticipates !== true;
    return changePitched(
      s,
      (n) => ({ ...n, anticipation: anticipates }),
      anticipates ? 'counted with the next chord' : 'counted with this chord',
    );
  },
});

/** The next usual name of the same sound: ♭3 and ♯2, ♭5 and ♯4. */
export const respell = defineCommand<undefined>({
  id: 'mean.respell',
  group: 'What a note means',
  title: 'Call it by its other name',
  words: 'enharmonic spelling flat sharp respell',
  ask: { kind: 'nothing' },
  apply: (s) =>
    changePitched(
      s,
      (n, at) => {
        const { root } = rootAt(s.phrase, at.event.onset);
        const midi = midiOf(n.pitch);
        const names = USUAL_DEGREES[mod(midi - chromaOf(root), 12)]!.flatMap((d) => {
          const pitch = degreeNearMidi(root, d, midi);
          return pitch === null || midiOf(pitch) !== midi ? [] : [{ d, pitch }];
        });
        const here = names.findIndex((x) => samePitch(x.pitch, n.pitch));
        const next = names[(here + 1) % names.length];
        if (next === undefined || samePitch(next.pitch, n.pitch)) {
          const now = USUAL_DEGREES.flat().find(
            (d) => mod(degreeSemitones(d), 12) === mod(midi - chromaOf(root), 12),
          );
          return `it has one usual name here${now === undefined ? '' : `, ${degreeSign(now)}`}`;
        }
        return { ...n, pitch: next.pitch };
      },
      'called by its other name',
    ),
});
