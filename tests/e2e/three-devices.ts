import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import type { Browser } from 'playwright';
import '../../src/io/kinds/checks-at-hand';
import { KINDS } from '../../src/io/kinds/kinds';
import { randomFrom } from '../support/fuzz';
import { launchBrowser } from './browser';
import { bundlePage } from './bundle-page';
import { AtCommandLine, type Device, inBrowser } from './three/devices';
import { Ledger, marksIn } from './three/ledger';
import { FileService, shuffled } from './three/service';
import { canonical, edited, newThing } from './three/things';

/**
 * Two browsers and the command line on one folder, edited at once, with a file service between them that
 * delivers late, in any order, half and doubled files: `npx tsx tests/e2e/three-devices.ts 60 [FIRST SEED] [STEPS]`. The library, the keeper of the
 * folder and the command are those of the program; the folders are two of the private file system and one of
 * the disk. In the end all three are to be equal, with nothing lost and nothing removed back. `TELL=1` tells every step.
 */
const SEEDS = Number(process.argv[2] ?? 60);
const FIRST = Number(process.argv[3] ?? 1);
const STEPS = Number(process.argv[4] ?? 60);
const HOUR = 3_600_000;

const tell = (text: string) => process.env.TELL === '1' && console.log(`  ${text}`);

class History {
  readonly ledger = new Ledger();
  private marks = 0;
  readonly did = new Map<string, number>();

  constructor(
    private readonly devices: readonly Device[],
    readonly service: FileService,
    private readonly random: () => number,
  ) {}

  private one<T>(all: readonly T[]): T {
    return all[Math.floor(this.random() * all.length)]!;
  }

  private mark(): string {
    this.marks += 1;
    return `mk${this.marks}k`;
  }

  /** Clocks are wrong by up to a day. */
  private now(): string {
    return new Date(Date.now() + Math.round((this.random() - 0.5) * 48 * HOUR)).toISOString();
  }

  /** A new thing; now and then one that another device makes under the same id. */
  async add(d: Device): Promise<void> {
    const kind = this.random() < 0.4 ? 'phrase' : this.one(KINDS).name;
    const id =
      this.random() < 0.3 && kind !== 'use' && kind !== 'pair' && kind !== 'turn'
        ? 'same'
        : `${kind}-${this.marks + 1}`;
    const text = canonical(kind, newThing(kind, id, this.mark(), this.now()));
    if (await d.put(`${kind} ${id}`, null, text)) this.ledger.put(null, text);
  }

  async edit(d: Device, key?: string): Promise<void> {
    const all = await d.all();
    const chosen = key ?? this.one([...all.keys()]);
    const before = chosen === undefined ? undefined : all.get(chosen);
    if (before === undefined) return;
    const text = edited(chosen!, before, this.mark(), this.now(), this.random());
    if (text === null) return;
    tell(`${d.name} writes ${chosen}: ${marksIn(before)} -> ${marksIn(text)}`);
    if (await d.put(chosen!, before, text)) this.ledger.put(before, text);
  }

  async remove(d: Device): Promise<void> {
    const chosen = this.one([...(await d.all()).keys()]);
    if (chosen === undefined) return;
    const text = await d.remove(chosen);
    tell(`${d.name} removes ${chosen}: ${marksIn(text ?? '')}`);
    if (text !== null) this.ledger.removed(text);
  }

  async restore(d: Device): Promise<void> {
    const text = await d.restore(Math.floor(this.random() * 9));
    if (text === null) return;
    tell(`${d.name} takes back ${marksIn(text)}`);
    this.ledger.restored(text);
  }

  /** Somebody edits a file of the folder by hand, or gives it another name. */
  async byHand(d: Device): Promise<void> {
    const [at, text] = this.one(Object.entries(await d.files())) ?? [];
    if (at === undefined || text === undefined || !at.endsWith('.json')) return;
    let value: { readonly thing?: unknown };
    try {
      value = JSON.parse(text);
    } catch {
      // Half of it has come: nobody can do anything with it.
      return;
    }
    if (this.random() < 0.5) {
      const to = at.replace(/\.json$/u, `-moved${Math.floor(this.random() * 99)}.json`);
      if (await d.set(to, null, text)) await d.set(at, text, null);
      return;
    }
    const [old] = marksIn(text);
    if (old === undefined || at.startsWith('collections/') || marksIn(text).length !== 1) return;
    const before = JSON.stringify(value.thing);
    const after = before.replaceAll(old, this.mark());
    tell(`${d.name} by hand ${at}: ${old} -> ${marksIn(after)}`);
    if (await d.set(at, text, text.replace(before, after))) this.ledger.put(before, after);
  }

  /** The same thing is edited on all devices at once, while they look. */
  async atOnce(): Promise<void> {
    const [d] = shuffled(this.devices, this.random);
    const key = this.one([...(await d!.all()).keys()]);
    if (key === undefined) return;
    await Promise.all([
      ...this.devices.map((x) => this.edit(x, key)),
      ...this.devices.map((x) => (this.random() < 0.5 ? x.look('whole') : undefined)),
    ]);
  }

  private async beginAgain(d: Device): Promise<void> {
    await Promise.all([d.look('whole').catch(() => undefined), d.again()]);
    this.ledger.interrupted((await d.all()).values());
  }

  async step(): Promise<void> {
    const d = this.one(this.devices);
    const { service, random } = this;
    const all: readonly (readonly [string, number, () => Promise<unknown>])[] = [
      ['add', 2, () => this.add(d)],
      ['edit', 6, () => this.edit(d)],
      ['edit at once', 4, () => this.atOnce()],
      ['remove', 2, () => this.remove(d)],
      ['restore', 1, () => this.restore(d)],
      ['by hand', 1, () => this.byHand(d)],
      ['look', 6, () => d.look(random() < 0.3 ? 'quick' : 'whole')],
      ['send', 5, () => service.send(d, 0.3 + random())],
      ['deliver', 6, () => service.deliver(d, 0.2 + random(), 0.3)],
      [
        'deliver in a look',
        3,
        () => Promise.all([d.look('whole'), service.deliver(d, 0.8, 0.3), service.send(d, 0.5)]),
      ],
      ['edit in a look', 3, () => Promise.all([d.look('whole'), this.edit(d), this.edit(d)])],
      ['begin again', 1, () => this.beginAgain(d)],
    ];
    const [what, , work] = this.one(all.flatMap((a) => Array.from({ length: a[1] }, () => a)));
    tell(`${d.name}: ${what}`);
    this.did.set(what, (this.did.get(what) ?? 0) + 1);
    await work();
  }

  /** Looks and delivers until nothing changes any more. @returns rounds, or null where there is no end. */
  async toTheEnd(): Promise<number | null> {
    let last = '';
    for (let round = 1; round <= 15; round++) {
      await this.service.settle();
      for (const d of this.devices) {
        await d.look('whole');
        await this.service.settle();
      }
      const now = JSON.stringify(
        await Promise.all(
          this.devices.map(async (d) => [[...(await d.all())].sort(), await d.files()]),
        ),
      );
      const troubles = await Promise.all(this.devices.map((d) => d.trouble()));
      if (now === last && troubles.every((t) => t === null)) return round;
      last = now;
    }
    return null;
  }

  async faults(rounds: number | null): Promise<readonly string[]> {
    const all = await Promise.all(this.devices.map(async (d) => [d.name, await d.all()] as const));
    const faults = [...this.ledger.faults(all)];
    if (rounds === null) {
      faults.push('no end');
      for (const d of this.devices) faults.push(`${d.name}: ${await d.trouble()}`);
    }
    for (const d of this.devices) {
      const files = Object.keys(await d.files()).filter((f) => f.endsWith('.json'));
      const [, things] = all.find(([name]) => name === d.name)!;
      if (files.length !== things.size) {
        faults.push(`${d.name}: ${files.length} files of ${things.size} things`);
      }
    }
    return faults;
  }
}

async function history(browser: Browser, address: string, seed: number): Promise<History> {
  const random = randomFrom(seed);
  const place = mkdtempSync(path.join(dist, 'three-'));
  const open = async (name: string, late: number) => {
    const context = await browser.newContext();
    const page = await context.newPage();
    page.on('pageerror', (e) => console.log(`seed ${seed}, ${name}: ${e.message}`));
    page.on(
      'console',
      (m) => m.type() === 'error' && console.log(`seed ${seed}, ${name}: ${m.text()}`),
    );
    await page.goto(`${address}?late=${late}`);
    const device = inBrowser(name, page);
    await page.evaluate(async () => {
      const { device: d } = window as unknown as { device: Record<string, () => Promise<unknown>> };
      await d.opened!();
      await d.choose!();
    });
    return { device, context };
  };
  const skew = () => Math.round((random() - 0.5) * 12 * HOUR);
  const [one, two] = [await open('first browser', skew()), await open('second browser', skew())];
  const devices = [one.device, two.device, new AtCommandLine(place, skew())];
  const made = new History(devices, new FileService(devices, random), random);
  try {
    for (let i = 0; i < 6; i++) await made.add(devices[i % 3]!);
    if (random() < 0.5) await made.toTheEnd();
    for (let i = 0; i < STEPS; i++) await made.step();
    const rounds = await made.toTheEnd();
    // What the keepers do by themselves some seconds later must change nothing.
    await new Promise((resolve) => setTimeout(resolve, 2_500));
    const after = await made.toTheEnd();
    const faults = await made.faults(rounds === null ? null : after);
    const { size } = await devices[0]!.all();
    console.log(
      `seed ${seed}: ${made.ledger.acknowledged} acknowledged, ${size} things in the end, ${made.service.copies} conflict copies, ${rounds} rounds, ${faults.length} faults`,
    );
    for (const fault of faults) console.log(`  FAULT ${fault}`);
    wrong += faults.length > 0 ? 1 : 0;
  } finally {
    await one.context.close();
    await two.context.close();
    rmSync(place, { recursive: true, force: true });
  }
  return made;
}

const dist = path.resolve(import.meta.dirname, '../../dist');
mkdirSync(dist, { recursive: true });
const script = await bundlePage(path.join(import.meta.dirname, 'three/page.ts'), 'error');
const server = createServer((request, response) => {
  const isScript = request.url === '/page.js';
  response.setHeader('Content-Type', isScript ? 'text/javascript' : 'text/html');
  response.end(
    isScript ? script : '<!doctype html><title>A device</title><script src="/page.js"></script>',
  );
});
await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
const { port } = server.address() as AddressInfo;
const browser = await launchBrowser();
let wrong = 0;
const began = performance.now();
const did = new Map<string, number>();
let acknowledged = 0;
let copies = 0;
try {
  for (let seed = FIRST; seed < FIRST + SEEDS; seed++) {
    const h = await history(browser, `http://127.0.0.1:${port}/`, seed);
    for (const [what, n] of h.did) did.set(what, (did.get(what) ?? 0) + n);
    acknowledged += h.ledger.acknowledged;
    copies += h.service.copies;
  }
} finally {
  await browser.close();
  server.close();
}
const seconds = (performance.now() - began) / 1000;
console.log([...did].map(([what, n]) => `${what} ${n}`).join(', '));
console.log(
  `${SEEDS} seeds, ${acknowledged} edits and removals acknowledged, ${copies} conflict copies, ${seconds.toFixed(0)} s: ${wrong} with a fault`,
);
process.exitCode = wrong > 0 ? 1 : 0;
