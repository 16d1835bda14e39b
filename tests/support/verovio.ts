import { SaxesParser } from 'saxes';
import { enableLog, LOG_OFF, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';

/** One note as verovio understood it from a file; times in ticks of 10,080 a quarter, exact. */
export interface VerovioNote {
  readonly id: string;
  readonly onset: number;
  readonly duration: number;
  /** `F#4` on a notation staff; null on tab. */
  readonly spelled: string | null;
  /** As written; on a tab staff from tuning, string and fret, as verovio reckons it. */
  readonly midi: number;
  readonly string: number | null;
  readonly fret: number | null;
}

export interface VerovioReading {
  readonly notes: ReadonlyMap<string, VerovioNote>;
  /** Pairs of ids that are tied. */
  readonly ties: readonly (readonly [string, string])[];
  /** Onsets of the chord symbols, ticks, with verovio's four decimals of a beat. */
  readonly harmonies: readonly { readonly onset: number; readonly text: string }[];
  /** Of each staff: diatonic steps and semitones from what is written to what sounds. */
  readonly transpositions: readonly (readonly [number, number])[];
}

export type ReadByVerovio = (xml: string) => VerovioReading;

/** Starts verovio once; the function it gives reads a MusicXML file. */
export async function startVerovio(): Promise<ReadByVerovio> {
  const module = await createModule();
  // It would say of each technique on tab that it cannot draw it.
  enableLog(LOG_OFF, module);
  const toolkit = new VerovioToolkit(module);
  toolkit.setOptions({ breaks: 'none' });
  return (xml) => {
    if (!toolkit.loadData(xml)) throw new Error('verovio cannot read the file');
    const mei = parse(toolkit.getMEI());
    // Pitches of elements are known only after it.
    toolkit.renderToMIDI();
    return readMei(mei, (id) => toolkit.getMIDIValuesForElement(id).pitch ?? Number.NaN);
  };
}

interface Mei {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Mei[];
  text: string;
}

function parse(text: string): Mei {
  const root: Mei = { name: '', attributes: {}, children: [], text: '' };
  const stack = [root];
  const parser = new SaxesParser({ xmlns: false });
  parser.on('opentag', (tag) => {
    const node = { name: tag.name, attributes: tag.attributes, children: [], text: '' };
    stack.at(-1)!.children.push(node);
    stack.push(node);
  });
  parser.on('text', (t) => {
    stack.at(-1)!.text += t;
  });
  parser.on('closetag', () => stack.pop());
  parser.write(text).close();
  return root;
}

const WHOLE = 40_320;

interface Walk {
  readonly notes: Map<string, VerovioNote>;
  readonly midiOf: (id: string) => number;
  /** Ticks of a full bar. */
  meter: number;
  beat: number;
  readonly ties: [string, string][];
  readonly harmonies: { onset: number; text: string }[];
  readonly transpositions: [number, number][];
}

function readMei(root: Mei, midiOf: (id: string) => number): VerovioReading {
  const walk: Walk = {
    notes: new Map(),
    midiOf,
    meter: WHOLE,
    beat: WHOLE / 4,
    ties: [],
    harmonies: [],
    transpositions: [],
  };
  let at = 0;
  const visit = (node: Mei) => {
    if (node.name === 'measure') at += measure(walk, node, at);
    else {
      if (node.name === 'meterSig') setMeter(walk, node.attributes.count, node.attributes.unit);
      setMeter(walk, node.attributes['meter.count'], node.attributes['meter.unit']);
      if (node.name === 'staffDef' && node.attributes.lines !== undefined) {
        const { 'trans.diat': steps = 0, 'trans.semi': semitones = 0 } = node.attributes;
        walk.transpositions.push([Number(steps), Number(semitones)]);
      }
      node.children.forEach(visit);
    }
  };
  visit(root);
  return walk;
}

function setMeter(walk: Walk, count: string | undefined, unit: string | undefined): void {
  if (count === undefined || unit === undefined) return;
  walk.beat = WHOLE / Number(unit);
  walk.meter = Number(count) * walk.beat;
}

/** @returns the length of the measure: that of its longest layer. */
function measure(walk: Walk, node: Mei, start: number): number {
  let length = 0;
  const layers = node.children.filter((c) => c.name === 'staff').flatMap((s) => s.children);
  for (const l of layers) {
    let at = start;
    for (const child of l.children) at = layerItem(walk, child, at, 1);
    length = Math.max(length, at - start);
  }
  for (const c of node.children) {
    if (c.name === 'tie') {
      walk.ties.push([reference(c.attributes.startid), reference(c.attributes.endid)]);
    } else if (c.name === 'harm') {
      const onset = start + (Number(c.attributes.tstamp) - 1) * walk.beat;
      walk.harmonies.push({ onset, text: allText(c) });
    }
  }
  return length;
}

function reference(id: string | undefined): string {
  return (id ?? '').replace(/^#/u, '');
}

function allText(node: Mei): string {
  return node.text.trim() + node.children.map(allText).join('');
}

/** @returns where the next item of the layer starts. */
function layerItem(walk: Walk, node: Mei, at: number, ratio: number): number {
  switch (node.name) {
    case 'beam':
    case 'bTrem':
    case 'graceGrp': {
      return node.children.reduce((t, c) => layerItem(walk, c, t, ratio), at);
    }
    case 'tuplet': {
      const { num, numbase } = node.attributes;
      const inside = (ratio * Number(numbase)) / Number(num);
      return node.children.reduce((t, c) => layerItem(walk, c, t, inside), at);
    }
    case 'mRest':
    case 'mSpace':
      return at + walk.meter;
    case 'rest':
    case 'space':
      return at + lengthOf(node, ratio);
    case 'note':
    case 'chord':
    case 'tabGrp': {
      const notes = node.name === 'note' ? [node] : node.children.filter((c) => c.name === 'note');
      const isGrace = [node, ...notes].some((n) => n.attributes.grace !== undefined);
      if (isGrace) return at;
      const duration = lengthOf(node, ratio);
      for (const n of notes) addNote(walk, n, at, duration);
      return at + duration;
    }
    default:
      return at;
  }
}

/** From value and dots, not from the duration that verovio copies from the file. */
function lengthOf(node: Mei, ratio: number): number {
  const dots = Number(node.attributes.dots ?? 0);
  return (WHOLE / Number(node.attributes.dur)) * (2 - 1 / 2 ** dots) * ratio;
}

function addNote(walk: Walk, n: Mei, onset: number, duration: number): void {
  const id = n.attributes['xml:id']!;
  const string = n.attributes['tab.course'];
  const fret = n.attributes['tab.fret'];
  walk.notes.set(id, {
    id,
    onset,
    duration,
    spelled: n.attributes.pname === undefined ? null : spelledOf(n),
    midi: walk.midiOf(id),
    string: string === undefined ? null : Number(string),
    fret: fret === undefined ? null : Number(fret),
  });
}

const ACCIDENTALS: Readonly<Record<string, string>> = {
  s: '#',
  f: 'b',
  n: '',
  x: '##',
  ss: '##',
  ff: 'bb',
};

function spelledOf(n: Mei): string {
  const accid = n.children.find((c) => c.name === 'accid')?.attributes ?? {};
  const sign =
    n.attributes.accid ?? n.attributes['accid.ges'] ?? accid.accid ?? accid['accid.ges'] ?? 'n';
  return `${n.attributes.pname!.toUpperCase()}${ACCIDENTALS[sign] ?? `?${sign}`}${n.attributes.oct}`;
}
