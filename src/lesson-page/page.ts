import type { Phrase } from '../core/phrase/types';
import type { Stretch } from '../core/practice/types';
import { BarChoice } from './bars';
import { NoteByNote } from './notes';
import { Player } from './player';
import type { Way } from './stream';
import './page.css';

// It says that no script runs.
document.getElementById('silent')?.remove();

/** What the page carries: its lesson, and the music that moves have made. */
function dataOf<T>(id: string): T {
  return JSON.parse(document.getElementById(id)?.textContent ?? 'null') as T;
}

const { phrases } = dataOf<{ readonly phrases: readonly Phrase[] }>('degreewise-lesson');
const moved = dataOf<readonly Phrase[]>('degreewise-moved');

/** `p2` is a phrase of the lesson, `m2` one that was moved. */
function phraseNamed(name: string): Phrase | undefined {
  if (name === '') return undefined;
  const list = name.startsWith('p') ? phrases : moved;
  return list[Number(name.slice(1))];
}

const input = (id: string) => document.getElementById(id) as HTMLInputElement;
const way = (button: HTMLButtonElement): Way => ({
  speed: Number(input('speed').value),
  loops: input('loop').checked,
  clicks: input('click').checked,
  countsIn: input('count').checked,
  stretch: bars.get(button)?.stretch ?? null,
});

const buttons = [...document.querySelectorAll<HTMLButtonElement>('button[data-music]')];
let playing: HTMLButtonElement | null = null;
/** Which bars of its music each plays, where there are several. */
const bars = new Map<HTMLButtonElement, BarChoice>();
const player = new Player(() => show(null));

function show(button: HTMLButtonElement | null): void {
  playing = button;
  for (const b of buttons) {
    const on = b === button;
    b.setAttribute('aria-pressed', String(on));
    b.querySelector('span')!.textContent = on ? 'Stop' : 'Play';
  }
  document.documentElement.toggleAttribute('data-playing', button !== null);
  if (button === null) mark(null, null);
  else requestAnimationFrame(follow);
}

async function play(button: HTMLButtonElement): Promise<void> {
  const phrase = phraseNamed(button.dataset.music ?? '');
  if (phrase === undefined) return;
  for (const single of notes) single.clear();
  show(button);
  await sound(phrase, way(button), phraseNamed(button.dataset.with ?? ''));
}

async function sound(phrase: Phrase, how: Way, along: Phrase | null = null): Promise<void> {
  const trouble = document.getElementById('trouble')!;
  try {
    trouble.textContent = '';
    await player.play(phrase, along, how);
  } catch {
    show(null);
    trouble.textContent = 'This browser gives no sound. Try another one, or play it yourself.';
  }
}

function stop(): void {
  player.stop();
  show(null);
}

const told = document.createElement('p');
told.className = 'unseen';
told.setAttribute('role', 'status');
document.querySelector('main')!.append(told);
const notes: NoteByNote[] = [];

/** A note by itself, whatever else was heard. */
async function hear(phrase: Phrase, button: HTMLButtonElement, stretch: Stretch): Promise<void> {
  stop();
  await sound(phrase, { ...way(button), stretch, loops: false, clicks: false, countsIn: false });
}

for (const button of buttons) {
  const music = button.closest<HTMLElement>('.music');
  const phrase = phraseNamed(button.dataset.music ?? '');
  if (music !== null && phrase !== undefined) {
    const chosen = () => bars.get(button)?.stretch ?? null;
    const single = new NoteByNote(music, phrase, told, chosen, (stretch) => {
      for (const other of notes) if (other !== single) other.clear();
      void hear(phrase, button, stretch);
    });
    notes.push(single);
    if (phrase.bars.length > 1) {
      const title = button.querySelector('.unseen')?.textContent?.trim() ?? '';
      const changed = () => {
        if (playing === button) void play(button);
      };
      const note = (line: HTMLElement, x: number) => single.under(line, x);
      bars.set(button, new BarChoice(music, phrase, title, changed, note));
    }
    single.listen();
  }
  button.addEventListener('click', () => {
    if (playing === button) stop();
    else void play(button);
  });
}

const output = document.getElementById('percent')!;
const again = () => {
  output.textContent = `${input('speed').value} %`;
  if (playing !== null) void play(playing);
};
for (const id of ['speed', 'loop', 'click', 'count']) input(id).addEventListener('change', again);
input('speed').addEventListener('input', () => {
  output.textContent = `${input('speed').value} %`;
});
document.addEventListener('keydown', (e) => {
  if (e.key !== 'Escape') return;
  if (playing !== null) stop();
  for (const single of notes) single.clear();
});

/** Moves the mark along with what is heard. */
function follow(): void {
  if (playing === null) return;
  mark(playing.closest('.music'), player.tick());
  requestAnimationFrame(follow);
}

let line: HTMLElement | null = null;
const now = document.createElement('i');
now.className = 'now';
now.setAttribute('aria-hidden', 'true');

/** Puts the mark at a moment of the music; takes it away where there is none. */
function mark(music: Element | null, tick: number | null): void {
  const at = tick === null || music === null ? null : placeIn(music, tick);
  if (at === null) {
    now.remove();
    line = null;
    return;
  }
  if (at.line !== line) {
    line = at.line;
    line.append(now);
    const { top, bottom } = line.getBoundingClientRect();
    if (top < 0 || bottom > window.innerHeight - 80) line.scrollIntoView({ block: 'center' });
  }
  now.style.left = `${at.percent}%`;
}

function placeIn(music: Element, tick: number) {
  for (const each of music.querySelectorAll<HTMLElement>('.line[data-to]')) {
    // Two widths of the same music are in the page, of which one is shown.
    if (each.offsetParent === null || tick >= Number(each.dataset.to)) continue;
    let percent = 0;
    for (const word of (each.dataset.at ?? '').split(' ')) {
      const [onset, x] = word.split(':').map(Number);
      if (onset !== undefined && onset <= tick + 1) percent = x ?? percent;
    }
    return { line: each, percent };
  }
  return null;
}
