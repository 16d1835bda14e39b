import { type RefObject, useEffect, useMemo, useRef } from 'react';
import type { LaidForm } from '../../core/form/lay';
import { barSpans } from '../../core/phrase/time';
import type { Phrase } from '../../core/phrase/types';
import { usualView } from '../../publish/degree-labels';
import { useApp } from '../frame/app-context';
import { keepAsNew } from '../frame/keep-as-new';
import { BandChoice } from '../frame/listen/band-choice';
import { ListenBar } from '../frame/listen/listen-bar';
import { usePlayer } from '../frame/listen/use-player';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { analysisOf } from '../score/analysis';
import { type Look, LookFields, readLook, writeLook } from '../score/look-fields';
import { ScoreJoined } from '../score/score-joined';
import { ScoreView } from '../score/score-view';
import { Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import { useKept } from '../shared/use-kept';
import { BarPanel } from './bar-panel';
import { empty, isPinned, put, refill, setPinned } from './bench';
import { Comping, useComping } from './comping';
import { FormBars } from './form-bars';
import { InHand } from './in-hand';
import { IntoLesson } from './into-lesson';
import { PhraseShelf } from './phrase-shelf';
import type { MadePart, Other, SoloMade } from './solo-worker';
import type { BenchSteps } from './use-bench';
import { useFingerDrag } from './use-finger-drag';

interface Props {
  readonly laid: LaidForm;
  readonly phrases: readonly Phrase[];
  readonly steps: BenchSteps;
  readonly made: SoloMade | null;
  readonly others: readonly Other[] | null;
  /** Whether what is asked for cannot be made: what is shown was made before. */
  readonly refused: boolean;
  /** The chosen bar, from 1. */
  readonly bar: number;
  readonly onBar: (bar: number) => void;
  readonly route: RouteOf<'solo'>;
}

/** What was exchanged is heard once another solo is made, with the bar before it. */
interface Exchanged {
  readonly bar: number;
  /** The solo before; null where nothing was laid yet. */
  readonly of: Phrase | null;
}

/** The bars with what can be done to them, and the solo beneath them. */
export function Workbench(props: Props) {
  const { made } = props;
  const phrase = made?.phrase ?? null;
  // Written by what is beneath, so that the bars stay where they are (and the focus in them) when it comes and goes.
  const hear = useRef<((part: MadePart) => void) | null>(null);
  const exchanged = useRef<Exchanged | null>(null);
  return (
    <>
      <Bars
        {...props}
        hear={(part) => hear.current?.(part)}
        onExchanged={(bar) => {
          exchanged.current = { bar, of: phrase };
        }}
      />
      {made === null || phrase === null ? null : (
        <Heard {...props} made={made} phrase={phrase} hear={hear} exchanged={exchanged} />
      )}
    </>
  );
}

interface HeardProps extends Props {
  readonly made: SoloMade;
  readonly phrase: Phrase;
  readonly hear: RefObject<((part: MadePart) => void) | null>;
  readonly exchanged: RefObject<Exchanged | null>;
}

function Heard(props: HeardProps) {
  const { made, phrase, route, hear, exchanged } = props;
  const { bench } = props.steps;
  const app = useApp();
  const player = usePlayer(phrase);
  const [atOnce, setAtOnce] = useKept('solo.heard-at-once', true);
  const usual = useMemo(() => usualView(analysisOf(phrase)), [phrase]);
  const look = readLook(route.query, usual);
  const { play } = player;
  const comping = useComping(phrase, route);
  const beneath = comping.joined ? comping.part : null;
  useEffect(() => {
    hear.current = (part) => play({ kind: 'listen', stretch: around(phrase, part) });
  }, [hear, play, phrase]);
  useEffect(() => {
    const change = exchanged.current;
    if (change === null || change.of === phrase) return;
    exchanged.current = null;
    const part = made.parts.find((p) => p.firstBar === change.bar);
    // Also while something sounds: going on in the middle would not let the join be heard.
    if (part === undefined || !atOnce) return;
    play({ kind: 'listen', stretch: around(phrase, part) });
  }, [made, phrase, atOnce, play, exchanged]);
  return (
    <>
      <p className="at-once">
        <label>
          <input type="checkbox" checked={atOnce} onChange={(e) => setAtOnce(e.target.checked)} />{' '}
          Play each exchange at once
        </label>
      </p>
      <Sounding value={player.heard}>
        <Written phrase={phrase} beneath={beneath?.phrase ?? null} look={look} />
      </Sounding>
      <ListenBar player={player}>
        <BandChoice player={player} />
      </ListenBar>
      <p className="buttons">
        <button type="button" className="strong" onClick={() => void keepAsNew(app, phrase, route)}>
          Keep it as a phrase
        </button>
        <IntoLesson
          solo={{
            ...{ form: bench.form, tonic: bench.key.tonic, phrase, parts: placesOf(made) },
            comping: comping.part?.phrase ?? null,
          }}
        />
      </p>
      <Comping solo={phrase} comping={comping} player={player} look={look} route={route} />
      <LookFields
        look={look}
        onChange={(next) => {
          // What is as usual again leaves the address.
          const query = { ...route.query, show: '', degrees: '', ...writeLook(next, usual) };
          navigate({ ...route, query }, 'replace');
        }}
      />
    </>
  );
}

/** The solo, with what goes on its lines. */
function Written(props: {
  readonly phrase: Phrase;
  readonly beneath: Phrase | null;
  readonly look: Look;
}) {
  const { phrase, beneath, look } = props;
  const label = `Notes of ${titleOf(phrase)}`;
  if (beneath === null) return <ScoreView phrase={phrase} label={label} {...look} />;
  const labels = [label, 'Notes of the comping'] as const;
  return <ScoreJoined upper={phrase} lower={beneath} name="Comping" labels={labels} {...look} />;
}

const placesOf = ({ parts }: SoloMade) =>
  parts.map(({ firstBar, lastBar, title }) => ({ firstBar, lastBar, title }));

/** A part with the bar before it, so that the join is heard. */
function around(phrase: Phrase, { firstBar, lastBar }: MadePart) {
  const spans = barSpans(phrase);
  const from = spans.find((s) => s.number === firstBar - 1)?.start ?? 0;
  const to = spans.find((s) => s.number === lastBar)?.end ?? phrase.length;
  return { from, to, fills: 'bar' as const };
}

interface BarsProps extends Props {
  readonly hear: (part: MadePart) => void;
  readonly onExchanged: (bar: number) => void;
}

function Bars(props: BarsProps) {
  const { laid, phrases, steps, made, others, bar, onBar, hear, onExchanged } = props;
  const { bench, go } = steps;
  const lying = made?.parts ?? [];
  const part = lying.find((p) => p.firstBar <= bar && bar <= p.lastBar) ?? null;
  const byId = useMemo(() => new Map(phrases.map((p) => [p.id, p])), [phrases]);
  const putHere = (at: number, p: Phrase, from: number | null = null) => {
    // A part that is dragged leaves its place.
    const rest = lying.filter((l) => l.firstBar !== from);
    const item = { bar: at, id: p.id, octaves: null, pinned: true };
    onExchanged(at);
    go(put(bench, rest, item, p.bars.length));
    onBar(at);
  };
  const dropped = (at: number, id: string, from: number | null) => {
    const phrase = byId.get(id);
    if (phrase !== undefined && from !== at) putHere(at, phrase, from);
  };
  const area = useRef<HTMLDivElement>(null);
  const carried = useFingerDrag(area, dropped);
  const inHand = carried === null ? undefined : byId.get(carried.id);
  const doings = {
    pin: (p: MadePart, pinned: boolean) => go(setPinned(bench, lying, p.firstBar, pinned)),
    exchange: (p: MadePart | null, o: Other) => {
      const at = p?.firstBar ?? bar;
      // What was chosen by hand stays through another chorus, as what was put there does.
      const item = { bar: at, id: o.id, octaves: o.octaves, pinned: true };
      onExchanged(at);
      go(put(bench, p === null ? lying : lying.filter((l) => l !== p), item, o.bars));
    },
    octave: (p: MadePart, by: 1 | -1) => {
      const item = { bar: p.firstBar, id: p.id, octaves: p.octaves + by, pinned: true };
      onExchanged(p.firstBar);
      go(put(bench, lying, item, p.lastBar - p.firstBar + 1));
    },
    takeAway: (from: number, to: number) => go(empty(bench, lying, from, to)),
    refill: (at: number) => go(refill(bench, lying, at)),
    hear,
  };
  return (
    <div ref={area}>
      <FormBars
        laid={laid}
        made={made}
        held={bench.held}
        chosen={bar}
        onChoose={onBar}
        onDrop={dropped}
        target={carried?.over ?? null}
      />
      <BarPanel
        bar={bar}
        made={made}
        part={part}
        pinned={part !== null && isPinned(bench.held, part)}
        resting={bench.held.some((h) => h.id === null && h.bar === bar)}
        fill={bench.fill}
        refused={props.refused}
        others={others}
        doings={doings}
      >
        <PhraseShelf phrases={phrases} bar={bar} onPut={(p) => putHere(bar, p)} />
      </BarPanel>
      {carried === null || inHand === undefined ? null : (
        <InHand carried={carried} title={titleOf(inHand)} bars={inHand.bars.length} />
      )}
    </div>
  );
}
