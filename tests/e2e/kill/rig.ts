import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { bundlePage } from '../bundle-page';
import { breakDatabase } from './break-database';
import { Judge } from './judge';
import { DAMAGE, type Letter, type Message } from './protocol';

const CHROMIUM = '/usr/bin/chromium';
const ARGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  // A page opens its second window by itself.
  '--disable-popup-blocking',
];

export interface KillOptions {
  readonly kills: number;
  /** Chooses the moments. */
  readonly seed: number;
  /** A new profile after so many kills, so that the making of the database is killed too. */
  readonly profileEvery: number;
  /** After so many kills of a profile its database is made unreadable, so that the browser throws it away. */
  readonly breakAfter?: number;
  /** In every so many lives a second window writes too, and is killed after its first write. */
  readonly besideEvery: number;
  /** So many phrases of an older program lie in each new profile, and are killed while they migrate. */
  readonly old?: number;
  /** In every so many lives what is only there to open sooner is damaged before. */
  readonly spoilEvery?: number;
  readonly progress?: (kills: number, acknowledgements: number) => void;
}

export interface KillReport {
  readonly kills: number;
  /** Kills while the page had not yet said that the library is open. */
  readonly early: number;
  readonly acknowledgements: number;
  /** Of these, those of a second window. */
  readonly beside: number;
  /** How often the beginning of the list was shown before the library was open; it was right then. */
  readonly shownEarly: number;
  /** How often the browser itself threw its database away and the second copy stepped in. */
  readonly restored: number;
  /** Acknowledged writes that were lost, broken libraries, halves of transactions. */
  readonly faults: readonly string[];
}

/**
 * Kills the whole browser at random moments while a page writes to the library, and looks after
 * each kill whether everything that was acknowledged is there. A kill ends processes, not the
 * machine: it shows that no acknowledgement runs ahead of the transaction, not that disks are honest.
 */
export async function killBrowsers(options: KillOptions): Promise<KillReport> {
  const script = await bundlePage(path.join(import.meta.dirname, 'page.ts'));
  const random = mulberry(options.seed);
  const post = new Post(script);
  const address = await post.listen();
  let judge = new Judge();
  let early = 0;
  let acknowledgements = 0;
  let beside = 0;
  let spoils = 0;
  const heal = options.spoilEvery !== undefined ? '&heal' : '';
  let restored = 0;
  let shownEarly = 0;
  const faults: string[] = [];
  let profile = newProfile();
  const endProfile = () => {
    acknowledgements += judge.acknowledgements;
    restored += judge.restored;
    shownEarly += judge.early;
    faults.push(...judge.faults);
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  };
  try {
    // One session more than kills: the last one only looks.
    for (let session = 1; session <= options.kills + 1; session++) {
      const last = session === options.kills + 1;
      if (!last && session > 1 && (session - 1) % options.profileEvery === 0) {
        // The old profile is looked at once more before it goes.
        await look(session, profile, `${address}?session=${session}${heal}`, post, judge);
        endProfile();
        profile = newProfile();
        judge = new Judge();
      }
      if (last) {
        await look(session, profile, `${address}?session=${session}${heal}`, post, judge);
        break;
      }
      if (
        options.breakAfter !== undefined &&
        (session - 1) % options.profileEvery === options.breakAfter
      ) {
        breakDatabase(profile);
      }
      const two = session % options.besideEvery === 0;
      const windows = two ? '&windows' : '';
      const first = (session - 1) % options.profileEvery === 0;
      const old = first && options.old !== undefined ? `&old=${options.old}` : '';
      const damaged = options.spoilEvery !== undefined && session % options.spoilEvery === 0;
      const spoilt = damaged && !first ? `&spoil=${DAMAGE[spoils++ % DAMAGE.length]}` : '';
      const browser = start(
        profile,
        `${address}?session=${session}${windows}${old}${spoilt}${heal}`,
      );
      const killed = once(browser, 'exit');
      const moment = random();
      let left = moment < 0.65 ? 1 + Math.floor(12 * random()) : Number.POSITIVE_INFINITY;
      let writing: () => void = () => undefined;
      const bothWrite = new Promise<void>((resolve) => {
        writing = resolve;
      });
      let waits = two;
      let filled: () => void = () => undefined;
      const lies = new Promise<void>((resolve) => {
        filled = resolve;
      });
      const opened = post.expect(session, (m) => {
        judge.hear(session, m);
        if (m.kind === 'filled') filled();
        // Nothing will be written, so that there is nothing to wait for.
        if (m.kind === 'broken') kill(browser);
        if ('id' in m && m.id.includes('three-')) {
          beside += 1;
          waits = false;
          writing();
        }
        // At the very moment of an acknowledgement, when one that came too early would show.
        if (!waits && (m.kind === 'saved' || m.kind === 'gone') && --left === 0) kill(browser);
      });
      if (old !== '') {
        early += 1;
        await within(lies, session, judge);
        await Promise.race([opened, pause(1_500 * random())]);
        kill(browser);
      } else if (moment < 0.2) {
        early += 1;
        await Promise.race([opened, pause(250 + 500 * random())]);
        kill(browser);
      } else if (moment >= 0.65) {
        await within(two ? bothWrite : opened, session, judge);
        await pause(50 + 600 * random());
        kill(browser);
      }
      await within(killed, session, judge);
      post.close(session);
      options.progress?.(session, acknowledgements + judge.acknowledgements);
    }
  } finally {
    endProfile();
    await post.end();
  }
  return { kills: options.kills, early, acknowledgements, beside, restored, shownEarly, faults };
}

/** Opens the library once more, to see what the last kill has left. */
async function look(session: number, profile: string, address: string, post: Post, judge: Judge) {
  const browser = start(profile, address);
  try {
    await within(
      post.expect(session, (m) => judge.hear(session, m)),
      session,
      judge,
    );
  } finally {
    const killed = once(browser, 'exit');
    kill(browser);
    await killed;
    post.close(session);
  }
}

function newProfile(): string {
  return mkdtempSync(path.join(os.tmpdir(), 'degreewise-kill-'));
}

/** In a process group of its own, so that one signal ends all of its processes at once. */
function start(profile: string, address: string): ChildProcess {
  return spawn(CHROMIUM, [...ARGS, `--user-data-dir=${profile}`, address], {
    detached: true,
    stdio: 'ignore',
  });
}

function kill(browser: ChildProcess): void {
  if (browser.pid === undefined) throw new Error(`${CHROMIUM} does not start`);
  // What was killed before is gone, and its number may be another's.
  if (browser.exitCode === null && browser.signalCode === null)
    process.kill(-browser.pid, 'SIGKILL');
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** Milliseconds; on a machine with much to do the opening of a library of thousands takes a minute. */
const PATIENCE = 240_000;

/** Fails when something does not happen in time, and says what was heard until then. */
async function within(event: Promise<unknown>, session: number, judge: Judge): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      const heard = [`last heard: ${judge.last}`, ...judge.faults].join('; ');
      reject(new Error(`session ${session}: nothing happens; ${heard}`));
    }, PATIENCE);
  });
  await Promise.race([event, late]).finally(() => clearTimeout(timer));
}

/** Serves the page, and takes its letters. One port for all sessions: a library belongs to an address. */
class Post {
  private readonly server: Server;
  private readonly sessions = new Map<number, (m: Message) => void>();

  constructor(script: string) {
    this.server = createServer((request, response) => {
      if (request.method === 'POST') {
        void this.take(request).then(() => response.writeHead(204).end());
      } else if (request.url === '/page.js') {
        response.writeHead(200, { 'content-type': 'text/javascript' }).end(script);
      } else {
        response
          .writeHead(200, { 'content-type': 'text/html' })
          .end('<!doctype html><title>Kill</title><script src="/page.js"></script>');
      }
    });
  }

  async listen(): Promise<string> {
    this.server.listen(0, '127.0.0.1');
    await once(this.server, 'listening');
    // A server that listens on a port has an address with one.
    return `http://127.0.0.1:${(this.server.address() as AddressInfo).port}/`;
  }

  /** Resolves when the session's page says that the library is open. */
  expect(session: number, hear: (m: Message) => void): Promise<void> {
    return new Promise((resolve) => {
      this.sessions.set(session, (m) => {
        hear(m);
        if (m.kind === 'opened' || m.kind === 'broken') resolve();
      });
    });
  }

  close(session: number): void {
    this.sessions.delete(session);
  }

  async end(): Promise<void> {
    this.server.closeAllConnections();
    this.server.close();
    await once(this.server, 'close');
  }

  /** A letter that is cut off by the kill was not received, and promises nothing. */
  private async take(request: IncomingMessage): Promise<void> {
    let text = '';
    try {
      for await (const part of request) text += String(part);
    } catch {
      return;
    }
    const letter: Letter = JSON.parse(text);
    for (const m of letter.messages) this.sessions.get(letter.session)?.(m);
  }
}

/** Random numbers from 0 to 1 that a seed repeats (mulberry32, public domain, Tommy Ettinger). */
function mulberry(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}
