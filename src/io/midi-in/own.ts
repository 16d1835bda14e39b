import type { Phrase } from '../../core/phrase/types';
import { playedTicks, unfold } from '../../core/sound/unfold';
import { readScore, type WrittenScore } from '../midi-out/score';
import { writeMidi } from '../midi-out/write';
import type { ImportLog } from '../musicxml/read/log';
import { chordsOf } from './chords';
import { keyOfSignature } from './key-found';
import { type PartNote, partsOf, type SongPart } from './parts';
import { readSong, type Song, type SongNote, type TextAt } from './song';
import { microsOf, tempoOf } from './tempo';
import { wordsOf } from './words';

/**
 * The phrase that this program wrote into a file beside its notes, where the notes of the part are still
 * the ones it plays: compared by playing it again, so that a file changed elsewhere is read by its notes.
 * Title, tempo, key, chords and words are the file's, where another program changed them.
 */
export function ownPhrase(song: Song, part: SongPart, log: ImportLog): Phrase | null {
  const score = song.own.map(readScore).find((s) => s !== null);
  if (score === undefined) return null;
  const again = playedAgain(score, song);
  const own = again === null ? undefined : partsOf(again)[0];
  const same = again !== null && own !== undefined && sameNotes(own.notes, part.notes, song.tick);
  const phrase = same ? withChanges(score.phrase, again, song, log) : null;
  if (same ? phrase === null : !isOfAnother(own, song)) {
    log.add('assumed', 'it was changed since it was written here, and is read by what it plays');
  }
  return phrase;
}

/** Whether another part of the file has the notes: whoever reads its bass reads nothing that was changed. */
function isOfAnother(own: SongPart | undefined, song: Song): boolean {
  return own !== undefined && partsOf(song).some((p) => sameNotes(own.notes, p.notes, song.tick));
}

/** What the phrase plays now; null where that is no longer as long as the file, or not in its metres. */
function playedAgain({ phrase, played }: WrittenScore, song: Song): Song | null {
  const whole = { start: 0, end: phrase.length, at: 0 };
  const ticks = playedTicks(played.repeats === false ? [whole] : unfold(phrase));
  const end = song.tracks[0]?.end ?? 0;
  if (Math.abs(ticks - end) > nearly(song.tick)) return null;
  const again = readSong(writeMidi(phrase, { ...played, score: false }));
  if (!again.ok) return null;
  const metres = (s: Song) => s.meters.map((m) => `${m.beats}/${m.beatType}`).join();
  return metres(again.value) === metres(song) ? again.value : null;
}

/** Ticks within which two moments are one: a program that saves a file rounds to its own. */
function nearly(tick: number): number {
  return Math.max(2, 1.1 * tick);
}

/** Cents within which two courses of the pitch are one, where they are steep and rounded in time. */
const SAME_PITCH = 25;
/** Moments of a note at which its pitch is compared. */
const LOOKS = 16;

function sameNotes(a: readonly PartNote[], b: readonly PartNote[], tick: number): boolean {
  if (a.length !== b.length) return false;
  const near = nearly(tick);
  const order = (x: SongNote, y: SongNote) =>
    x.channel - y.channel || x.at - y.at || x.midi - y.midi;
  const others = [...b].sort(order);
  return [...a].sort(order).every((n, i) => {
    const o = others[i]!;
    if (n.channel !== o.channel || n.midi !== o.midi) return false;
    if (Math.abs(n.at - o.at) > near || Math.abs(n.end - o.end) > near) return false;
    return Array.from({ length: LOOKS }, (_, k) => (k + 0.5) / LOOKS).every(
      (share) => Math.abs(centsOf(n, share) - centsOf(o, share)) <= SAME_PITCH,
    );
  });
}

/** The bend of a note at a share of its length. */
function centsOf(n: SongNote, share: number): number {
  const at = n.at + share * (n.end - n.at);
  let cents = 0;
  for (const b of n.bends) {
    if (b.at > at) break;
    cents = b.cents;
  }
  return cents;
}

/** With what another program changed beside the notes; null where it stands in time that is unfolded. */
function withChanges(p: Phrase, again: Song, song: Song, log: ImportLog): Phrase | null {
  const sameChords = sameTexts(again.markers, song.markers);
  const sameWords = sameTexts(again.texts, song.texts);
  if (!(sameChords && sameWords) && unfold(p).length > 1) return null;
  const sameTitle = song.title === again.title || song.title === '';
  const sameTempo = Math.abs(microsOf(song) - microsOf(again)) <= microsOf(again) / 10_000;
  const [was, now] = [again.keys[0], song.keys[0]];
  const sameKey = was?.fifths === now?.fifths && was?.minor === now?.minor;
  const dynamics = p.marks.filter((m) => m.kind === 'dynamic');
  const words = () => [...dynamics, ...wordsOf(song, p.length)].sort((a, b) => a.onset - b.onset);
  return {
    ...p,
    meta: sameTitle ? p.meta : { ...p.meta, title: song.title },
    tempo: sameTempo ? p.tempo : tempoOf(song, p.bars[0]?.meter).tempo,
    key: sameKey ? p.key : (keyOfSignature(song) ?? p.key),
    chords: sameChords ? p.chords : chordsOf(song, p.length, log),
    marks: sameWords ? p.marks : words(),
  };
}

function sameTexts(a: readonly TextAt[], b: readonly TextAt[]): boolean {
  return (
    a.length === b.length &&
    a.every((t, i) => t.text === b[i]!.text && Math.abs(t.at - b[i]!.at) < 1_000)
  );
}
