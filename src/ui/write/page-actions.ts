import { cut } from '../../core/edit/commands/taking';
import type { History } from '../../core/edit/history';
import type { Action } from '../frame/actions';
import { nextSteps, redoWords, undoWords } from '../frame/edits';
import type { Clipboard } from './clipboard';
import { openPart } from './parts/open-part';
import type { PageDoings } from './use-doings';

/** Back and forward, each with what it would take back or do again. */
export function stepActions(
  history: History,
  undo: () => void,
  redo: () => void,
): readonly Action[] {
  const next = nextSteps(history);
  return [
    {
      id: 'write.undo',
      title: next.undo === null ? 'Undo' : undoWords(next.undo),
      find: 'Undo',
      group: 'Going about',
      words: 'back',
      shownKey: 'Ctrl+Z',
      ...(next.undo === null ? { blocked: 'nothing to undo' } : {}),
      run: undo,
    },
    {
      id: 'write.redo',
      title: next.redo === null ? 'Do again' : redoWords(next.redo),
      find: 'Do again',
      group: 'Going about',
      words: 'redo forward',
      shownKey: 'Ctrl+Y',
      ...(next.redo === null ? { blocked: 'nothing was undone' } : {}),
      run: redo,
    },
  ];
}

/** The clipboard; copying and cutting say why they cannot. */
export function clipboardActions(
  clipboard: Clipboard,
  whyNot: () => string | null,
): readonly Action[] {
  return [
    {
      id: 'write.copy',
      title: 'Copy what is chosen',
      group: 'Taking and putting',
      words: 'clipboard',
      shownKey: 'Ctrl+C',
      why: whyNot,
      run: clipboard.copy,
    },
    {
      id: 'write.cut',
      title: cut.title,
      group: 'Taking and putting',
      words: 'clipboard',
      shownKey: 'Ctrl+X',
      why: whyNot,
      run: clipboard.cut,
    },
    {
      id: 'write.paste',
      title: 'Put in what is on the clipboard',
      group: 'Taking and putting',
      words: 'paste insert',
      shownKey: 'Ctrl+V',
      run: () => void clipboard.paste('as it is'),
    },
    {
      id: 'write.paste-over',
      title: 'Put in what is on the clipboard, over the chord at the cursor',
      group: 'Taking and putting',
      words: 'paste insert move roles degrees',
      shownKey: 'Ctrl+Shift+V',
      run: () => void clipboard.paste('over the chord'),
    },
  ];
}

/** What is further down on the page, folded. */
const UNFOLDED: readonly Action[] = [
  {
    id: 'write.text',
    title: 'Type or paste it as text: quick text or tablature',
    group: 'Going about',
    words: 'one line plain ascii tab edit',
    run: () => openPart('text'),
  },
  {
    id: 'write.midi',
    title: 'Write from a MIDI instrument',
    group: 'Going about',
    words: 'keyboard connect play in',
    run: () => openPart('midi'),
  },
  {
    id: 'write.bend-shape',
    title: 'Draw the shape of the bend',
    group: 'Going about',
    words: 'curve release hold up down',
    run: () => openPart('bend'),
  },
];

/** What is done with the phrase as a whole. */
export function pageActions(doings: PageDoings, onAnother: () => void): readonly Action[] {
  return [
    {
      id: 'write.title',
      title: 'Give it a title',
      group: 'Going about',
      words: 'name rename call',
      run: doings.onTitle,
    },
    ...UNFOLDED,
    {
      id: 'write.done',
      title: 'Done: go to its page',
      group: 'Going about',
      words: 'leave finish end close read',
      run: doings.toPage,
    },
    {
      id: 'write.move',
      title: 'Move it to a chord, a key, an octave or another instrument',
      group: 'Going about',
      words: 'transpose',
      leaves: true,
      run: doings.toMove,
    },
    {
      id: 'write.vary',
      title: 'Vary it: double stops, approaches, fewer notes, another ending',
      group: 'Going about',
      words: 'variation variations change develop',
      leaves: true,
      run: doings.toVary,
    },
    {
      id: 'write.print',
      title: 'Print it or make a PDF',
      group: 'Going about',
      words: 'paper',
      run: doings.toPrint,
    },
    {
      id: 'write.export',
      title: 'Export it as a file',
      group: 'Going about',
      words: 'musicxml mxl svg png text json download save picture',
      run: doings.onExport,
    },
    {
      id: 'write.copy-phrase',
      title: 'Write on in a copy of this phrase',
      group: 'Going about',
      words: 'duplicate again version keep',
      run: doings.onCopy,
    },
    {
      id: 'write.another',
      title: 'Write a new phrase',
      group: 'Going about',
      words: 'another next begin create empty lick',
      run: onAnother,
    },
  ];
}
