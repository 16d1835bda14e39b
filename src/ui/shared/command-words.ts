import type { Command } from '../../core/edit/command';

/** A command with what it is told, in words: `Bend a whole tone`. */
export function titleOfRun(command: Command, value?: unknown): string {
  const { ask, title } = command;
  switch (ask.kind) {
    case 'choice': {
      const choice = ask.choices.find((c) => c.value === value);
      return choice === undefined ? title : `${title} ${choice.title}`;
    }
    case 'number':
    case 'text':
      return value === undefined || value === '' ? title : `${title}: ${String(value)}`;
    case 'nothing':
    case 'given':
      return title;
  }
}

const NAMES: Readonly<Record<string, string>> = {
  ArrowRight: '→',
  ArrowLeft: '←',
  ArrowUp: '↑',
  ArrowDown: '↓',
};

/** A key as it is shown: `Ctrl+→`, `b`. Letters are as they are printed by the keyboard. */
export function keyWords(key: string): string {
  const parts = key === '+' ? ['+'] : key.split(/(?<=.)\+(?=.)/u);
  return parts.map((p) => NAMES[p] ?? p).join('+');
}
