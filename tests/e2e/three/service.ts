import type { Device } from './devices';

interface Seen {
  /** What the client found in the folder, or put there. */
  readonly text: string | null;
  /** The state of the service that it was made from. */
  readonly revision: number;
}

/** What came to the service of a path. */
interface Kept {
  readonly text: string | null;
  readonly revision: number;
}

/**
 * A file service of the plain sort, with a client on each device: what changed in a folder goes up when the client
 * gets to it, what others have sent comes down later, one file at a time in any order, sometimes half first.
 * Where a file was changed on both sides it gives the other name to the one that came later, as
 * such services do. It knows nothing of what is in the files.
 */
export class FileService {
  private readonly kept = new Map<string, Kept>();
  private readonly clients = new Map<Device, Map<string, Seen>>();
  private readonly busy = new Map<Device, Promise<unknown>>();
  private revision = 0;
  copies = 0;

  constructor(
    private readonly devices: readonly Device[],
    private readonly random: () => number,
  ) {
    for (const d of devices) this.clients.set(d, new Map());
  }

  /** Sends some of what changed in the folder of a device. @param part Of a file, how likely it goes. */
  send(d: Device, part: number): Promise<number> {
    return this.alone(d, () => this.sendSome(d, part));
  }

  private async sendSome(d: Device, part: number): Promise<number> {
    const client = this.clients.get(d)!;
    const files = await d.files();
    const paths = new Set([...Object.keys(files), ...client.keys()]);
    let sent = 0;
    for (const path of paths) {
      const here = files[path] ?? null;
      const seen = client.get(path) ?? { text: null, revision: 0 };
      // A file that is just being made has nothing in it yet: services wait for it.
      if (here === seen.text || here === '' || this.random() >= part) continue;
      sent += 1;
      const there = this.kept.get(path) ?? { text: null, revision: 0 };
      if (there.text === here) client.set(path, { text: here, revision: there.revision });
      else if (there.revision === seen.revision || there.text === null) {
        client.set(path, { text: here, revision: this.keep(path, here) });
      } else if (here === null) {
        // Gone here and changed there: what changed stays.
        client.set(path, { text: null, revision: seen.revision });
      } else await this.keepBoth(d, path, here);
    }
    return sent;
  }

  /** Lets some of what others have sent arrive at a device. @param part Of a file, how likely it comes. */
  deliver(d: Device, part: number, half: number): Promise<number> {
    return this.alone(d, () => this.deliverSome(d, part, half));
  }

  private async deliverSome(d: Device, part: number, half: number): Promise<number> {
    const client = this.clients.get(d)!;
    const coming = [...this.kept].filter(([p, k]) => (client.get(p)?.revision ?? 0) < k.revision);
    let came = 0;
    for (const [path, { text, revision }] of shuffled(coming, this.random)) {
      if (this.random() >= part) continue;
      const seen = client.get(path) ?? { text: null, revision: 0 };
      const halfFirst = text !== null && this.random() < half;
      const put = halfFirst ? text.slice(0, Math.floor(text.length * this.random())) : text;
      // A file that is not what the client knows was changed here: that goes up first.
      if (!(await d.set(path, seen.text, put))) continue;
      came += 1;
      client.set(path, { text: put, revision: halfFirst ? seen.revision : revision });
    }
    return came;
  }

  /** Everything that is on its way goes and comes; whether there was anything. */
  async settle(): Promise<boolean> {
    let any = false;
    for (let round = 0; round < 20; round++) {
      let moved = 0;
      for (const d of this.devices) {
        moved += await this.send(d, 1);
        moved += await this.deliver(d, 1, 0);
      }
      if (moved === 0) return any;
      any = true;
    }
    throw new Error('the file service does not come to rest');
  }

  /** A client does one thing after the other. */
  private alone<T>(d: Device, work: () => Promise<T>): Promise<T> {
    const done = (this.busy.get(d) ?? Promise.resolve()).then(work);
    this.busy.set(
      d,
      done.catch(() => undefined),
    );
    return done;
  }

  private async keepBoth(d: Device, path: string, here: string): Promise<void> {
    this.copies += 1;
    const copy = path.replace(/(\.[a-z]+)$/u, ` (${d.name}, ${this.copies})$1`);
    if (!(await d.set(copy, null, here))) return;
    const client = this.clients.get(d)!;
    client.set(copy, { text: here, revision: this.keep(copy, here) });
    const there = this.kept.get(path)!;
    if (await d.set(path, here, there.text)) client.set(path, there);
  }

  private keep(path: string, text: string | null): number {
    this.revision += 1;
    this.kept.set(path, { text, revision: this.revision });
    return this.revision;
  }
}

export function shuffled<T>(all: readonly T[], random: () => number): readonly T[] {
  return all
    .map((one) => [random(), one] as const)
    .sort(([a], [b]) => a - b)
    .map(([, one]) => one);
}
