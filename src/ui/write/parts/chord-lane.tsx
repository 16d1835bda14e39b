import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { beatsOfBar, chordAt, chordPair } from '../../../core/edit/commands/harmony';
import { type BarSpan, barSpans, positionOf } from '../../../core/phrase/time';
import type { ChordChange, Phrase, Ticks } from '../../../core/phrase/types';
import type { PartProps } from '../part-props';
import { type ChordDraft, type ChordField, chordFields, textToStore } from './chord-draft';
import './parts.css';
import { WholeLane } from './whole-lane';

type LaneProps = Pick<PartProps, 'writer' | 'onDone'>;

/**
 * The chords bar by bar, each as symbol and as numeral, kept in step. What is no chord stays as it is
 * typed, with the reason under it, and comes into the phrase as soon as it is one.
 */
export function ChordLane({ writer, onDone }: LaneProps) {
  const { phrase } = writer.state;
  const lane = useRef<HTMLDivElement>(null);
  const { drafts, draftAt, keep, letGo } = useDrafts(writer);
  const [added, setAdded] = useState<{ readonly at: Ticks } | null>(null);
  useEffect(() => {
    if (added !== null)
      lane.current?.querySelector<HTMLElement>(`[data-at="${added.at}"]`)?.focus();
  }, [added]);

  const takeOut = (onset: Ticks) => {
    const nothing = { onset, text: '' };
    if (writer.why(chordAt, nothing) === null) writer.run(chordAt, nothing);
    draftAt(onset, null);
    lane.current?.querySelector<HTMLElement>(`[data-bar="${barStart(phrase, onset)}"]`)?.focus();
  };
  const onKey = (e: KeyboardEvent<HTMLInputElement>, onset: Ticks, as: ChordField) => {
    if (e.key === 'Escape') {
      e.preventDefault();
      onDone();
    }
    if (e.key !== 'Enter' || e.nativeEvent.isComposing) return;
    e.preventDefault();
    if (!keep(onset)) return;
    const all = [...(lane.current?.querySelectorAll<HTMLElement>(`[data-as="${as}"]`) ?? [])];
    const next = all[all.indexOf(e.currentTarget) + 1];
    if (next !== undefined) next.focus();
    else lane.current?.querySelector<HTMLElement>('[data-as="lane"]')?.focus();
  };

  return (
    <div className="chord-lane" ref={lane}>
      <p className="quiet">
        Write each chord as a symbol or as a numeral; the other follows. N.C. stands for no chord.
      </p>
      <ol className="chord-bars">
        {barSpans(phrase).map((bar) => (
          <LaneBar
            key={bar.start}
            bar={bar}
            phrase={phrase}
            drafts={drafts}
            cell={(onset) => ({
              draft: drafts.get(onset) ?? null,
              onDraft: (draft) => draftAt(onset, draft),
              onLeave: () => keep(onset),
              onKey: (e, as) => onKey(e, onset, as),
              onTakeOut: () => takeOut(onset),
            })}
            onAdd={(onset) => {
              draftAt(onset, { as: 'symbol', text: '' });
              setAdded({ at: onset });
            }}
          />
        ))}
      </ol>
      <WholeLane writer={writer} onDone={onDone} onKept={letGo} />
    </div>
  );
}

interface LaneBarProps {
  readonly bar: BarSpan;
  readonly phrase: Phrase;
  readonly drafts: ReadonlyMap<Ticks, ChordDraft>;
  /** What a chord at a moment shows and does. */
  readonly cell: (onset: Ticks) => Omit<CellProps, 'onset' | 'name' | 'phrase'>;
  readonly onAdd: (onset: Ticks) => void;
}

/** The chords of one bar, kept or only typed, and the beats where another can be added. */
function LaneBar({ bar, phrase, drafts, cell, onAdd }: LaneBarProps) {
  const name = bar.number === 0 ? 'Pickup' : `Bar ${bar.number}`;
  const inside = (t: Ticks) => t >= bar.start && t < bar.end;
  const chords = phrase.chords.filter((c) => inside(c.onset));
  const onsets = new Set([...chords.map((c) => c.onset), ...[...drafts.keys()].filter(inside)]);
  const free = beatsOfBar(phrase, bar.start).filter((t) => !onsets.has(t));
  const before = phrase.chords.filter((c) => c.onset < bar.start).at(-1);
  return (
    <li>
      <h2 tabIndex={-1} data-bar={bar.start}>
        {name}
        {onsets.has(bar.start) || before === undefined ? null : (
          <span className="quiet"> goes on with {signOf(before, phrase)}</span>
        )}
      </h2>
      {[...onsets]
        .sort((a, b) => a - b)
        .map((onset) => (
          <ChordCell
            key={onset}
            onset={onset}
            name={`${name}, beat ${beatOf(phrase, onset)}`}
            phrase={phrase}
            {...cell(onset)}
          />
        ))}
      {free.length === 0 ? null : (
        // biome-ignore lint/a11y/useSemanticElements: a row of buttons is no form.
        <div className="chord-free" role="group" aria-label={`${name}, add a chord`}>
          <span aria-hidden="true">Add on beat</span>
          {free.map((onset) => (
            <button
              key={onset}
              type="button"
              aria-label={`Add a chord on beat ${beatOf(phrase, onset)} of ${name.toLowerCase()}`}
              onClick={() => onAdd(onset)}
            >
              {beatOf(phrase, onset)}
            </button>
          ))}
        </div>
      )}
    </li>
  );
}

/** What is typed and not yet in the phrase, moment by moment. */
function useDrafts(writer: LaneProps['writer']) {
  const { phrase } = writer.state;
  const [drafts, setDrafts] = useState<ReadonlyMap<Ticks, ChordDraft>>(new Map());
  /** What is in the phrase already, though it is not yet drawn so. */
  const kept = useRef(new WeakSet<ChordDraft>());
  const draftAt = (onset: Ticks, draft: ChordDraft | null) =>
    setDrafts((before) => {
      const next = new Map(before);
      if (draft === null) next.delete(onset);
      else next.set(onset, draft);
      return next;
    });
  /** Writes what is typed at a moment; false where it is no chord yet. */
  const keep = (onset: Ticks): boolean => {
    const draft = drafts.get(onset);
    // Enter moves the focus on, and leaving a field keeps it too.
    if (draft === undefined || kept.current.has(draft)) return true;
    const text = textToStore(draft, phrase.key);
    if (text === null) return false;
    const stored = phrase.chords.find((c) => c.onset === onset);
    const same = text === (stored === undefined ? '' : (stored.symbol ?? 'N.C.'));
    if (!same && writer.run(chordAt, { onset, text }).kind !== 'done') return false;
    kept.current.add(draft);
    draftAt(onset, null);
    return true;
  };
  return { drafts, draftAt, keep, letGo: () => setDrafts(new Map()) };
}

interface CellProps {
  readonly onset: Ticks;
  readonly name: string;
  readonly phrase: Phrase;
  readonly draft: ChordDraft | null;
  readonly onDraft: (draft: ChordDraft) => void;
  readonly onLeave: () => void;
  readonly onKey: (e: KeyboardEvent<HTMLInputElement>, as: ChordField) => void;
  readonly onTakeOut: () => void;
}

/** One chord in its two fields. */
function ChordCell(props: CellProps) {
  const { onset, name, phrase, draft, onDraft, onLeave, onKey, onTakeOut } = props;
  const id = useId();
  const group = useRef<HTMLDivElement>(null);
  const stored = phrase.chords.find((c) => c.onset === onset) ?? null;
  const fields = chordFields(stored, draft, phrase.key);
  const field = (as: ChordField, label: string) => {
    const wrong = fields.problem !== null && draft?.as === as;
    return (
      <div className="chord-field">
        <label htmlFor={`${id}-${as}`}>{label}</label>
        <input
          id={`${id}-${as}`}
          type="text"
          autoComplete="off"
          autoCapitalize="off"
          spellCheck={false}
          data-as={as}
          data-at={as === 'symbol' ? onset : undefined}
          value={fields[as]}
          aria-invalid={wrong}
          aria-describedby={wrong ? `${id}-why` : undefined}
          onChange={(e) => onDraft({ as, text: e.target.value })}
          onBlur={(e) => {
            // On the way to the other field an empty chord is not given up.
            const inside = group.current?.contains(e.relatedTarget) === true;
            if (!(inside && draft?.text.trim() === '')) onLeave();
          }}
          onKeyDown={(e) => onKey(e, as)}
        />
      </div>
    );
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a group in a row, with no frame of its own.
    <div className="chord-cell" role="group" aria-label={name} ref={group}>
      <span className="chord-beat">Beat {beatOf(phrase, onset)}</span>
      {field('symbol', 'Symbol')}
      {field('numeral', 'Numeral')}
      <button
        type="button"
        aria-label={`Take out the chord of ${name.toLowerCase()}`}
        onClick={onTakeOut}
      >
        Take out
      </button>
      <p id={`${id}-why`} role="status" className="refused" hidden={fields.problem === null}>
        {fields.problem === null ? '' : `Not a chord yet: ${fields.problem}.`}
      </p>
    </div>
  );
}

function signOf(c: ChordChange, p: Phrase): string {
  const { symbolSign, numeralSign } = chordPair(c.symbol, p.key);
  return c.symbol === null ? symbolSign : `${symbolSign} (${numeralSign})`;
}

function barStart(p: Phrase, onset: Ticks): Ticks {
  return barSpans(p).find((b) => onset >= b.start && onset < b.end)?.start ?? 0;
}

/** The beat as a musician says it, at most two digits after the point. */
function beatOf(p: Phrase, onset: Ticks): string {
  return String(Math.round(positionOf(p, onset).beat * 100) / 100);
}
