import type { DragEvent } from 'react';

/** What is carried: the id of a phrase, and the bar it lay on, where it lay on one. */
const TYPE = 'application/x-degreewise-phrase';

/** Takes a phrase along; `from` is the bar it lies on, null where it comes from the shelf. */
export function draggedPart(e: DragEvent, id: string, from: number | null): void {
  e.dataTransfer.setData(TYPE, JSON.stringify([id, from]));
  e.dataTransfer.effectAllowed = 'copyMove';
}

/** Lets what we carry be dropped here; nothing else. @returns whether it is ours. */
export function takesDrops(e: DragEvent): boolean {
  const ours = e.dataTransfer.types.includes(TYPE);
  if (ours) e.preventDefault();
  return ours;
}

/** Tells what of ours was dropped; nothing else is taken. */
export function droppedOn(e: DragEvent, then: (id: string, from: number | null) => void): void {
  const text = e.dataTransfer.getData(TYPE);
  if (text === '') return;
  e.preventDefault();
  // Written by us: the browser gives our type to our pages alone, and what it names is looked up.
  const [id, from] = JSON.parse(text) as [string, number | null];
  then(id, from);
}
