import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { beatsOfBar, chordAt, chordPair } from '../../../core/edit/commands/harmony';
import { laneText, laneWithBars, layForm, wholeLane } from '../../../core/edit/commands/lane';
import { barsMissing } from '../../../core/edit/lane-bars';
import { FORM_NAMES, FORMS } from '../../../core/edit/setup/forms';
import { barSpans, positionOf } from '../../../core/phrase/time';
import type { ChordChange, Phrase, Ticks } from '../../../core/phrase/types';
import { count, keyName } from '../../shared/words';
import type { PartProps } from '../part-props';
import { type ChordDraft, type ChordField, chordFields, textToStore } from './chord-draft';
import './parts.css';

type LaneProps = Pick<PartProps, 'writer' | 'onDone'>;

/**
 * The chords bar by bar, each as symbol and as numeral, kept in step. What is no chord stays as it is
 * typed, with the reason under it, and comes into the phrase as soon as it is one.
 */
export function ChordLane({ writer, onDone }: LaneProps) {
  const { phrase } = writer.state;
  const [drafts, setDrafts] = useState<ReadonlyMap<Ticks, ChordDraft>>(new Map());
  const [added, setAdded] = useState<{ readonly at: Ticks } | null>(null);
  const lane = useRef<HTMLDivElement>(null);
  /** What is in the phrase already, though it is not yet drawn so. */
  const kept = useRef(new WeakSet<ChordDraft>());
  useEffect(() => {
    if (added !== null)
      lane.current?.querySelector<HTMLElement>(`[data-at="${added.at}"]`)?.focus();
  }, [added]);

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
        {barSpans(phrase).map((bar) => {
          const name = bar.number === 0 ? 'Pickup' : `Bar ${bar.number}`;
          const inside = (t: Ticks) => t >= bar.start && t < bar.end;
          const chords = phrase.chords.filter((c) => inside(c.onset));
          const onsets = new Set([
            ...chords.map((c) => c.onset),
            ...[...drafts.keys()].filter(inside),
          ]);
          const free = beatsOfBar(phrase, bar.start).filter((t) => !onsets.has(t));
          const before = phrase.chords.filter((c) => c.onset < bar.start).at(-1);
          return (
            <li key={bar.start}>
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
                    draft={drafts.get(onset) ?? null}
                    onDraft={(draft) => draftAt(onset, draft)}
                    onLeave={() => keep(onset)}
                    onKey={(e, as) => onKey(e, onset, as)}
                    onTakeOut={() => takeOut(onset)}
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
                      onClick={() => {
                        draftAt(onset, { as: 'symbol', text: '' });
                        setAdded({ at: onset });
                      }}
                    >
                      {beatOf(phrase, onset)}
                    </button>
                  ))}
                </div>
              )}
            </li>
          );
        })}
      </ol>
      <WholeLane writer={writer} onDone={onDone} onKept={() => setDrafts(new Map())} />
    </div>
  );
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

/** All chords in one field, bars parted by strokes. */
function WholeLane({ writer, onDone, onKept }: LaneProps & { readonly onKept: () => void }) {
  const id = useId();
  const { phrase } = writer.state;
  const [typed, setTyped] = useState<string | null>(null);
  const text = laneText(phrase);
  const problem =
    typed === null || typed.trim() === '' || typed === text ? null : writer.why(wholeLane, typed);
  // The form may be there before its bars: they are offered, never added without a word.
  const missing = problem === null || typed === null ? 0 : barsMissing(phrase, typed);
  const fits = missing > 0 && typed !== null && writer.why(laneWithBars, typed) === null;
  const keepWithBars = () => {
    if (!fits || writer.run(laneWithBars, typed).kind !== 'done') return;
    onKept();
    setTyped(null);
  };
  const keep = () => {
    if (typed === null || problem !== null) return;
    if (typed.trim() !== '' && typed !== text) {
      if (writer.run(wholeLane, typed).kind !== 'done') return;
      onKept();
    }
    setTyped(null);
  };
  const hint =
    text === null && phrase.chords.length > 0
      ? 'The chords as they are cannot be said in one line. What you write here takes their place.'
      : 'Bars are parted by |, chords in a bar by spaces: I7 | IV7 | I7 V7. A single bar ends with |: I7 V7 |.';
  return (
    <div className="lane-field">
      <label htmlFor={`${id}-lane`}>All chords in one line</label>
      <input
        id={`${id}-lane`}
        type="text"
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        data-as="lane"
        value={typed ?? text ?? ''}
        aria-invalid={problem !== null}
        aria-describedby={`${id}-hint`}
        onChange={(e) => setTyped(e.target.value)}
        onBlur={keep}
        onKeyDown={(e) => {
          if (e.key === 'Escape') onDone();
          if (e.key !== 'Enter' || e.nativeEvent.isComposing) return;
          if (fits) keepWithBars();
          else keep();
        }}
      />
      <p id={`${id}-hint`} role="status" className={problem === null || fits ? 'quiet' : 'refused'}>
        {fits
          ? `These are ${count(phrase.bars.length + missing, 'bar')} of chords, and the phrase has ${count(phrase.bars.length, 'bar')}.`
          : problem === null
            ? hint
            : `Not yet: ${problem}.`}
      </p>
      {fits ? (
        <button type="button" onClick={keepWithBars}>
          Add {count(missing, 'bar')} and write them <kbd>Enter</kbd>
        </button>
      ) : null}
      <FormChoice
        writer={writer}
        onLaid={() => {
          setTyped(null);
          onKept();
        }}
      />
    </div>
  );
}

/** The chords of a form by its name, in the key of the phrase, with the bars they need. */
function FormChoice({
  writer,
  onLaid,
}: Pick<LaneProps, 'writer'> & { readonly onLaid: () => void }) {
  const id = useId();
  const [told, setTold] = useState('');
  return (
    <>
      <label htmlFor={`${id}-form`}>
        Or a form by its name, in {keyName(writer.state.phrase.key)}
      </label>
      <select
        id={`${id}-form`}
        value=""
        aria-describedby={`${id}-told`}
        onChange={(e) => {
          const outcome = writer.run(layForm, e.target.value);
          setTold(outcome.kind === 'done' ? '' : `Not done: ${outcome.because}.`);
          if (outcome.kind === 'done') onLaid();
        }}
      >
        <option value="">Choose one</option>
        {FORM_NAMES.map((name) => (
          <option key={name} value={name}>
            {FORMS[name].title}
          </option>
        ))}
      </select>
      <p id={`${id}-told`} role="status" className="refused" hidden={told === ''}>
        {told}
      </p>
    </>
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
