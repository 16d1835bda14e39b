import { useMemo, useState } from 'react';
import { barsText } from '../../../core/neck/hand-bars';
import { chordsOfLane, stretchesOf } from '../../../core/neck/neck-views';
import { type CountsFrom, keyOf, type NeckMark } from '../../../core/neck/on-neck';
import { noteAlone, type OtherPlace, otherPlaces } from '../../../core/neck/to-place';
import { openMidi } from '../../../core/phrase/instrument';
import type { Phrase } from '../../../core/phrase/types';
import type { Chord } from '../../../core/theory/chord';
import { degreeNearMidi } from '../../../core/theory/degree';
import type { PitchClass } from '../../../core/theory/pitch';
import { scaleNamed } from '../../../core/theory/scales';
import { drawNeck, type NeckView } from '../../../engrave/neck/picture';
import { fileStem } from '../../../publish/file-names';
import { type NeckContent, neckSheet } from '../../../publish/neck/sheet';
import { analysisOf } from '../../score/analysis';
import { saveFile } from '../../shared/save-file';
import { useLeftHanded } from '../../shared/use-left-handed';
import { keyName, noteName } from '../../shared/words';
import { useApp } from '../app-context';
import { BROWSER_TOOLS } from '../export/tools';
import { useHearing } from '../listen/use-player';
import { NeckBoard } from './neck-board';
import { degreesIn, type NeckChoice } from './neck-choice';
import { NeckChoices } from './neck-choices';
import { type Shown, viewOf } from './neck-view';
import { markText, placeText, toneText } from './neck-words';
import { ShapePanel } from './shape-panel';

interface NeckPanelProps {
  readonly phrase: Phrase;
  readonly choice: NeckChoice;
  readonly onChoose: (choice: NeckChoice) => void;
  readonly degrees: CountsFrom;
  /** Keeps the phrase with a note at another place; nothing can be moved when absent. */
  readonly onMoved?: (next: Phrase, words: string) => void;
  /** Keeps the phrase with a shape behind it; none can be put in when absent. */
  readonly onShape?: (next: Phrase, words: string) => void;
}

const TAP = 'Tap a place to hear it.';
const TAP_OR_DRAG = 'Tap a place to hear it; drag it to play it on another string.';

/** The neck of a phrase with what can be seen on it: what is played, a chord, a scale. */
export default function NeckPanel(props: NeckPanelProps) {
  const { phrase, choice, onChoose, degrees, onMoved, onShape } = props;
  const { notices } = useApp();
  const [leftHanded, setLeftHanded] = useLeftHanded();
  const [chosen, setChosen] = useState<string | null>(null);
  const analysis = analysisOf(phrase);
  const stretches = useMemo(() => stretchesOf(phrase), [phrase]);
  const chords = useMemo(() => chordsOfLane(analysis), [analysis]);
  const shown = useMemo(
    () => viewOf(phrase, choice, degrees, leftHanded),
    [phrase, choice, degrees, leftHanded],
  );
  const save = () =>
    saveNeck({ phrase, choice, degrees, chords, leftHanded, view: shown.view }).catch(
      (e: unknown) => notices.trouble(`The neck could not be saved: ${String(e)}.`),
    );
  return (
    <>
      <NeckChoices
        choice={choice}
        onChoose={onChoose}
        chords={chords}
        bars={stretches.map((s) => barsText(s.bars))}
        keyWords={keyName(phrase.key)}
      >
        <label>
          <input
            type="checkbox"
            checked={leftHanded}
            onChange={(e) => setLeftHanded(e.target.checked)}
          />
          Left-handed
        </label>
        {choice.show === 'shapes' ? null : (
          <button type="button" onClick={() => void save()}>
            Save the picture
          </button>
        )}
      </NeckChoices>
      {choice.show === 'shapes' ? (
        <ShapePanel
          phrase={phrase}
          choice={choice}
          onChoose={onChoose}
          leftHanded={leftHanded}
          {...(onShape === undefined ? {} : { onShape })}
        />
      ) : (
        <Seen
          phrase={phrase}
          shown={shown}
          chosen={chosen}
          setChosen={setChosen}
          onMoved={choice.show === 'phrase' ? onMoved : undefined}
        />
      )}
    </>
  );
}

/** The neck as it is shown, and what is said of the place that is chosen on it. */
function Seen(props: {
  readonly phrase: Phrase;
  readonly shown: Shown;
  /** The place, by its key. */
  readonly chosen: string | null;
  readonly setChosen: (key: string) => void;
  /** Nothing can be moved when absent. */
  readonly onMoved: NeckPanelProps['onMoved'];
}) {
  const { phrase, shown, chosen, setChosen, onMoved } = props;
  const { notices } = useApp();
  const { hear, hush } = useHearing();
  const analysis = analysisOf(phrase);
  const picture = useMemo(() => drawNeck(shown.view), [shown]);
  const nameOf = (m: NeckMark) =>
    shown.root === null ? markText(phrase, analysis, m) : toneText(m, shown.root, shown.of);
  const mark = picture.marks.find((m) => keyOf(m.mark) === chosen)?.mark ?? null;
  const movable = onMoved !== undefined;
  const placesFor = (m: NeckMark) => otherPlaces(phrase, m.ids);
  const move = (to: OtherPlace) => {
    if (!to.phrase.ok) {
      notices.trouble(`Not at ${placeText(to)}: ${to.phrase.problems[0]!.message}.`);
      return;
    }
    hush();
    setChosen(keyOf(to));
    onMoved?.(to.phrase.value, placeText(to));
  };
  const choose = (m: NeckMark) => {
    setChosen(keyOf(m));
    const alone = soundOf(phrase, m, shown.root);
    if (alone !== null) hear(alone);
  };
  return (
    <>
      <NeckBoard
        picture={picture}
        label={`Neck: ${shown.of}`}
        nameOf={nameOf}
        chosen={chosen}
        onChoose={choose}
        {...(movable ? { placesFor, onMove: move } : {})}
      />
      <div className="neck-said" aria-live="polite">
        {mark === null ? (
          <span className="quiet">{movable ? TAP_OR_DRAG : TAP}</span>
        ) : (
          <>
            {capitalised(nameOf(mark))}.
            {movable ? <Elsewhere places={placesFor(mark)} onMove={move} /> : null}
          </>
        )}
      </div>
    </>
  );
}

/** Where else the chosen note has the same pitch. */
function Elsewhere(props: {
  readonly places: readonly OtherPlace[];
  readonly onMove: (to: OtherPlace) => void;
}) {
  const possible = props.places.filter((p) => p.phrase.ok);
  if (possible.length === 0) return null;
  return (
    <span className="buttons">
      {possible.map((p) => (
        <button key={keyOf(p)} type="button" onClick={() => props.onMove(p)}>
          Play it on {placeText(p)}
        </button>
      ))}
    </span>
  );
}

/** Saves the picture as it is shown, engraved for paper. */
async function saveNeck(p: {
  readonly phrase: Phrase;
  readonly choice: NeckChoice;
  readonly degrees: CountsFrom;
  readonly chords: readonly Chord[];
  readonly leftHanded: boolean;
  readonly view: NeckView;
}): Promise<void> {
  const { phrase, choice, leftHanded } = p;
  const content = sheetContent(phrase, choice, p.degrees, p.chords);
  const { frets } = p.view;
  const within = choice.show === 'phrase' || frets === undefined ? {} : { frets };
  const svg = await neckSheet(phrase, { content, leftHanded, ...within }, BROWSER_TOOLS);
  const name = `${fileStem(phrase.meta.title)}-neck.svg`;
  saveFile({ name, content: svg, type: 'image/svg+xml' });
}

function sheetContent(
  p: Phrase,
  c: NeckChoice,
  degrees: CountsFrom,
  chords: readonly Chord[],
): NeckContent {
  if (c.show === 'phrase') return { kind: 'phrase', degrees };
  const chord = c.show === 'chord' ? chords[c.part] : undefined;
  if (chord !== undefined) return { kind: 'chord', chords: [chord] };
  const { tonic, mode } = p.key;
  if (c.show === 'own') {
    const own = degreesIn(c.own);
    return { kind: 'scale', name: `over ${noteName(tonic)}`, root: tonic, degrees: own };
  }
  const scale = scaleNamed(c.scale === '' ? mode : c.scale)!;
  return {
    kind: 'scale',
    name: `${noteName(tonic)} ${scale.name}`,
    root: tonic,
    degrees: scale.degrees,
  };
}

/** What a tap sounds: the note of the phrase, or the tone of a chord or scale at the place. */
function soundOf(p: Phrase, m: NeckMark, root: PitchClass | null): Phrase | null {
  const [id] = m.ids;
  if (id !== undefined) return noteAlone(p, id);
  const degree = m.labels[0]?.degree ?? null;
  if (degree === null || root === null) return null;
  const pitch = degreeNearMidi(root, degree, openMidi(p.instrument, m.string) + m.fret);
  if (pitch === null) return null;
  const { string, fret } = m;
  const note = { kind: 'pitched', id: 'tone', pitch, string, fret } as const;
  const event = { onset: 0, duration: 10_080, notes: [note] } as const;
  return noteAlone({ ...p, voices: [{ events: [event], tuplets: [] }] }, note.id);
}

function capitalised(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
