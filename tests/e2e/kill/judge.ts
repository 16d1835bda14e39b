import type { Message, Seen } from './protocol';

interface Acknowledged {
  readonly revision: number;
  readonly title: string;
}

/**
 * Compares what the library promised before the browser was killed with what it holds afterwards.
 * Knows nothing of the program but the messages.
 */
export class Judge {
  private readonly acknowledged = new Map<string, Acknowledged>();
  private readonly gone = new Set<string>();
  private readonly revisions = new Set<number>();
  acknowledgements = 0;
  /** Phrases that an older program had left. */
  private old = 0;
  /** How often the beginning of the list was shown before the library was open. */
  early = 0;
  /** How often the browser threw its database away, and the second copy stepped in. */
  restored = 0;
  readonly faults: string[] = [];

  /** What was heard last, for whoever waits in vain. */
  last = 'nothing';

  hear(session: number, message: Message): void {
    this.last = `${message.kind} in session ${session}`;
    if (message.kind === 'broken') this.faults.push(`session ${session}: ${message.why}`);
    if (message.kind === 'opened') this.open(session, message.seen);
    if (message.kind === 'filled') this.old = message.count;
    if (message.kind === 'gone') {
      this.acknowledgements++;
      this.gone.add(message.id);
      this.acknowledged.delete(message.id);
    }
    if (message.kind === 'saved') {
      this.acknowledgements++;
      if (this.revisions.has(message.revision)) {
        this.faults.push(`session ${session}: revision ${message.revision} was given twice`);
      }
      this.revisions.add(message.revision);
      this.acknowledged.set(message.id, message);
    }
  }

  private open(session: number, seen: Seen): void {
    const fault = (what: string) => this.faults.push(`session ${session}: ${what}`);
    if (seen.mishap === 'restored') this.restored++;
    else if (seen.mishap !== null) fault(`the library was ${seen.mishap}`);
    if (seen.early === 'right') this.early++;
    if (seen.early === 'wrong') fault('the list did not begin as was shown while it opened');
    const old = seen.phrases.filter((p) => p.id.startsWith('old-')).length;
    if (old !== this.old) fault(`${old} of ${this.old} older phrases are there`);
    if (seen.state !== 'ready') fault(`the library is ${seen.state}`);
    for (const key of seen.problems) fault(`record ${key} is damaged`);
    const found = new Map(seen.phrases.map((p) => [p.id, p]));
    for (const p of seen.phrases) {
      if (!p.whole) fault(`phrase ${p.id} is a mixture`);
      if (!p.id.startsWith('old-') && Number(p.title.split('.')[0]) >= session)
        fault(`phrase ${p.id} is from the future`);
    }
    for (const [id, promised] of this.acknowledged) {
      const p = found.get(id);
      if (p === undefined) fault(`phrase ${id} is gone`);
      else if (p.revision < promised.revision) {
        fault(
          `phrase ${id} is at ${p.revision} (${p.title}), ${promised.revision} was acknowledged`,
        );
      } else if (p.revision === promised.revision && p.title !== promised.title) {
        fault(`phrase ${id} reads ${p.title}, ${promised.title} was acknowledged`);
      } else if (later(promised.title, p.title) && p.revision > promised.revision) {
        fault(`phrase ${id} went back from ${promised.title} to ${p.title}`);
      }
    }
    for (const id of this.gone) {
      if (found.has(id)) fault(`phrase ${id} is back, its removal was acknowledged`);
    }
    for (const [group, ids] of importsIn(seen)) {
      if (ids.length !== IMPORTED) fault(`half an import: ${ids.length} phrases of ${group}`);
    }
    const [a, b] = [found.get('pair-1'), found.get('pair-2')];
    if (a?.title !== b?.title) fault(`half a transaction: ${a?.title} and ${b?.title}`);
  }
}

/** Phrases that come in together, in one transaction, under ids that begin alike. */
export const IMPORTED = 3;

function importsIn(seen: Seen): ReadonlyMap<string, readonly string[]> {
  const groups = new Map<string, string[]>();
  for (const { id } of seen.phrases) {
    const group = /^in-.*(?=-\d+$)/u.exec(id)?.[0];
    if (group !== undefined) groups.set(group, [...(groups.get(group) ?? []), id]);
  }
  return groups;
}

/** Whether the write named `a` was made after the one named `b`. */
function later(a: string, b: string): boolean {
  const [sa = 0, na = 0] = a.split('.').map(Number);
  const [sb = 0, nb = 0] = b.split('.').map(Number);
  return sa > sb || (sa === sb && na > nb);
}
