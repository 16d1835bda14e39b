import { layForm } from '../../core/form/lay';
import { gapsAsked, phraseOf, placeOf, type Sheet } from '../../core/lesson/sheets';
import type { Carried, FormItem, LessonItem, ShapesItem } from '../../core/lesson/types';
import { feelName } from '../../core/library/level-and-feel';
import type { Phrase } from '../../core/phrase/types';
import { findShapes } from '../../core/shapes/find';
import type { ShapeKind } from '../../core/shapes/types';
import { chordOf, chordSign } from '../../core/theory/chord';
import { formatPitchClass, pitchClassSign } from '../../core/theory/pitch';
import { romanSign } from '../../core/theory/roman';
import { analyse } from '../../core/understand/analyse';
import { drawUpright } from '../../engrave/neck/upright';
import { typesetText } from '../../io/text/signs';
import { degreeText, usualView } from '../degree-labels';
import { necksOf } from '../neck/sheet';
import { escapeXml } from '../svg/escape';
import { degreesInWords, type MusicList, sheetHtml } from './music';

/** So many shapes of a chord are shown. */
const SHAPES_SHOWN = 3;

/** An item as HTML. */
export function itemHtml(lesson: Carried, item: LessonItem, list: MusicList): string {
  const heading = item.heading ?? headingOf(lesson, item);
  const head = heading === '' ? '' : `<h2>${escapeXml(heading)}</h2>`;
  const todo = item.todo === undefined ? '' : `<div class="todo">${paragraphs(item.todo)}</div>`;
  const body = bodyOf(lesson, item, list);
  const plain = item.kind === 'text' ? ' plain' : '';
  return `<section class="item${plain}">${head}${todo}${body}</section>`;
}

/** A triad of a seventh chord lacks its seventh: which tones a shape has is said over it. */
const SHAPES: Readonly<Record<ShapeKind, string>> = {
  'double stop': 'Double stops',
  triad: 'Triads',
  shell: 'Shells',
  'four-note': 'Four-note shapes',
};

/** What stands over an item that has no heading of its own; empty for a text. */
export function headingOf(lesson: Carried, item: LessonItem): string {
  const title = 'phrase' in item ? phraseOf(lesson, item).meta.title : '';
  switch (item.kind) {
    case 'text':
      return '';
    case 'phrase':
    case 'solo':
      return title;
    case 'pair':
      return `${title}, moved`;
    case 'neck':
      return item.shows === 'phrase' ? `${title} on the neck` : `The chords under ${title}`;
    case 'shapes':
      return `${SHAPES[item.shape]} of ${item.chords.map(chordSign).join(', ')} around fret ${item.near}`;
    case 'form':
      return `The form: ${item.form.title} in ${pitchClassSign(item.tonic)}`;
    case 'rounds':
      return `Exercise: ${title} ${roundsInWords(item.cycle)}`;
    case 'gaps':
      return `Exercise: fill the gaps of ${title}`;
    case 'degrees':
      return `Exercise: name the degrees of ${title}`;
    case 'answer':
      return `Exercise: answer ${title}`;
  }
}

function roundsInWords(cycle: Extract<LessonItem, { kind: 'rounds' }>['cycle']): string {
  switch (cycle.kind) {
    case 'same':
      return 'again';
    case 'fourths':
      return 'in every key, by fourths';
    case 'semitones':
      return 'in every key, by semitones';
    case 'list':
      return `over ${typesetText(cycle.text.trim())}`;
  }
}

function bodyOf(lesson: Carried, item: LessonItem, list: MusicList): string {
  switch (item.kind) {
    case 'text':
      return paragraphs(item.text);
    case 'form':
      return formHtml(item);
    case 'shapes':
      return shapesHtml(item);
    case 'neck': {
      const phrase = phraseOf(lesson, item);
      const content =
        item.shows === 'phrase'
          ? { kind: 'phrase' as const, degrees: usualView(analyse(phrase)) }
          : { kind: 'chord' as const };
      const name = escapeXml(headingOf(lesson, item));
      const necks = necksOf(phrase, { content }).map((n) =>
        n.svg.replace('<svg ', `<svg role="img" aria-label="${name}" `),
      );
      return `<div class="neck" tabindex="0" role="group" aria-label="${name}">${necks.join('')}</div>`;
    }
    default:
      return musicHtml(lesson, item, list);
  }
}

function musicHtml(lesson: Carried, item: LessonItem, list: MusicList): string {
  const sheets = list.sheets(item);
  if (!sheets.ok) return `<p>${escapeXml(`Left out: ${sheets.problems[0]!.message}.`)}</p>`;
  const view = item.kind === 'degrees' ? item.from : null;
  const music = sheets.value.map((s) => {
    const caption = s.caption === '' ? '' : `<h3>${captionOf(s)}</h3>`;
    if (s.leftOut !== null) return `${caption}<p>${escapeXml(`Left out: ${s.leftOut}.`)}</p>`;
    return caption + sheetHtml(s, view, list) + changesHtml(s) + answerHtml(s, view);
  });
  return factsHtml(lesson, item) + music.join('') + sourcesHtml(item);
}

function captionOf(s: Sheet): string {
  const words: Readonly<Record<string, string>> = { before: 'Before', after: 'After' };
  const own = words[s.caption];
  const title = escapeXml(s.printed.meta.title);
  return own === undefined ? title : `${own}: ${title}`;
}

/** What the notes became is printed; of octaves and of the hand the tablature says enough on paper. */
function changesHtml({ changes }: Sheet): string {
  if (changes.length === 0) return '';
  const list = changes.map((c) => {
    return `<li${c.about === 'hand' ? ' class="on-screen"' : ''}>${escapeXml(capital(c.text))}.</li>`;
  });
  const seen = changes.every((c) => c.about === 'hand') ? ' on-screen' : '';
  return (
    `<div class="changes quiet${seen}"><p>What was not simply moved:</p> ` +
    `<ul>${list.join(' ')}</ul></div>`
  );
}

/** What was asked, to be opened when one has tried; it is not printed. */
function answerHtml(s: Sheet, view: 'chord' | 'key' | null): string {
  if (s.degrees === 'told' && s.gaps.length === 0) return '';
  const analysis = analyse(s.heard);
  const degrees = view ?? usualView(analysis);
  const told =
    s.degrees === 'asked'
      ? degreesInWords(s.heard, analysis, degrees)
      : s.gaps.map((e) => gapInWords(s.heard, e, analysis, degrees)).join('; ');
  const asked = s.gaps.length === 0 ? '' : `<p class="quiet">${escapeXml(gapsAsked(s))}</p>`;
  return `${asked}<details><summary>The answer</summary><p>${escapeXml(told)}.</p></details>`;
}

function gapInWords(
  p: Phrase,
  e: Sheet['gaps'][number],
  analysis: ReturnType<typeof analyse>,
  view: 'chord' | 'key',
): string {
  const notes = e.notes.map((n) => {
    const reading = analysis.byId.get(n.id);
    const degree = reading === undefined ? null : degreeText(reading, view);
    const place = `string ${n.string}, ${n.fret === 0 ? 'open' : `fret ${n.fret}`}`;
    return degree === null ? place : `${degree} on ${place}`;
  });
  return `${placeOf(p, e)}: ${notes.join(' and ')}`;
}

function factsHtml(lesson: Carried, item: LessonItem): string {
  if (!('phrase' in item)) return '';
  const p = phraseOf(lesson, item);
  const { meter } = p.bars[0]!;
  const facts = [
    `${typesetText(formatPitchClass(p.key.tonic))} ${p.key.mode}`,
    `${meter.beats}/${meter.beatType}`,
    feelName(p.feel),
  ];
  const notes =
    item.kind === 'phrase' && p.meta.notes !== undefined ? paragraphs(p.meta.notes) : '';
  return `<p class="facts">${escapeXml(facts.join(' · '))}</p>${notes}`;
}

function sourcesHtml(item: LessonItem): string {
  if (item.kind !== 'solo' || item.parts.length === 0) return '';
  const parts = item.parts.map((p) => {
    const bars =
      p.firstBar === p.lastBar ? `Bar ${p.firstBar}` : `Bars ${p.firstBar} to ${p.lastBar}`;
    return `<li>${escapeXml(`${bars}: ${p.title}`)}</li>`;
  });
  return `<ul class="sources">${parts.join('')}</ul>`;
}

function formHtml({ form, tonic }: FormItem): string {
  const laid = layForm(form, tonic);
  if (!laid.ok) return `<p>${escapeXml(`Left out: ${laid.problems[0]!.message}.`)}</p>`;
  const { bars, sectionStarts, key } = laid.value;
  const meter = `${form.meter.beats}/${form.meter.beatType}`;
  const sections = form.sections.map((s, i) => {
    const from = sectionStarts[i]! - 1;
    const to = (sectionStarts[i + 1] ?? bars.length + 1) - 1;
    const cells = bars.slice(from, to).map((chords) => {
      const signs = chords.map((c) => (c === null ? 'N.C.' : chordSign(c))).join(' ');
      const numerals = chords.map((c) => (c === null ? '–' : romanSign(c, key))).join(' ');
      return `<li><b>${escapeXml(signs)}</b><span class="quiet">${escapeXml(numerals)}</span></li>`;
    });
    const name = s.name === '' ? '' : `<h3>${escapeXml(s.name)}</h3>`;
    return `<div class="together">${name}<ol class="bars">${cells.join('')}</ol></div>`;
  });
  return `<p class="facts">${meter} · ${escapeXml(feelName(form.feel))}</p>${sections.join('')}`;
}

function shapesHtml({ instrument, chords, shape, near }: ShapesItem): string {
  return chords
    .map((symbol) => {
      const found = findShapes(instrument, chordOf(symbol), { kinds: [shape], near });
      const list = found.slice(0, SHAPES_SHOWN).map((s) => {
        const { svg } = drawUpright({ instrument, tones: s.tones });
        const name = `${chordSign(symbol)}, ${s.name}`;
        const drawn = svg.replace('<svg ', `<svg role="img" aria-label="${escapeXml(name)}" `);
        return `<li>${drawn}<span class="quiet">${escapeXml(s.name)}</span></li>`;
      });
      const body =
        list.length === 0
          ? `<p>There is none around fret ${near}.</p>`
          : `<ul class="shapes">${list.join('')}</ul>`;
      return `<div class="together"><h3>${escapeXml(chordSign(symbol))}</h3>${body}</div>`;
    })
    .join('');
}

/** A text of the user as paragraphs. */
export function paragraphs(text: string): string {
  return text
    .split(/\n\s*\n/u)
    .map((p) => p.trim())
    .filter((p) => p !== '')
    .map((p) => `<p>${escapeXml(p).replaceAll('\n', '<br>')}</p>`)
    .join('');
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
