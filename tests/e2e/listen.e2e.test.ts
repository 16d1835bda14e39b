import type { Browser, Page } from 'playwright';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { accompany } from '../../src/core/backing/accompany';
import { centsAt } from '../../src/core/sound/curve';
import { perform } from '../../src/core/sound/perform';
import { hearMidi, type SentMidi } from '../support/midi-read';
import { readSamples } from '../support/samples';
import { expectAccessible, launchBrowser, type Visit, visit } from './browser';

/** What goes to the loudspeaker is looked at by an analyser that the page does not know of. */
function tap() {
  const connect = AudioNode.prototype.connect as (this: AudioNode, to: AudioNode) => AudioNode;
  AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
    if (to instanceof AudioDestinationNode) {
      const analyser = new AnalyserNode(this.context, { fftSize: 2048 });
      connect.call(this, analyser);
      Object.assign(window, { loudness: analyser });
    }
    return connect.call(this, to);
  } as typeof AudioNode.prototype.connect;
}

/** Loudest sample of the last 46 ms; -1 before anything was set up. */
const loudness = (page: Page) =>
  page.evaluate(() => {
    const { loudness: analyser } = window as unknown as { loudness?: AnalyserNode };
    if (analyser === undefined) return -1;
    const samples = new Float32Array(analyser.fftSize);
    analyser.getFloatTimeDomainData(samples);
    return samples.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  });

/** What the keys of a keyboard or a lock screen would call (W3C Media Session). */
function keepMediaKeys() {
  const keys: Record<string, () => void> = {};
  Object.assign(window, { keys });
  const set = MediaSession.prototype.setActionHandler;
  MediaSession.prototype.setActionHandler = function (
    this: MediaSession,
    action: MediaSessionAction,
    handler: MediaSessionActionHandler | null,
  ) {
    if (handler !== null) keys[action] = () => handler({ action });
    set.call(this, action, handler);
  };
}

const pressKey = (page: Page, name: 'play' | 'pause' | 'stop' | 'nexttrack') =>
  page.evaluate(
    (key) => (window as unknown as { keys: Record<string, () => void> }).keys[key]!(),
    name,
  );

/** What a page sees of an instrument that is connected, and what it sent there. */
interface FakeMidi {
  asked: number;
  refuse: boolean;
  sent: SentMidi[];
  unplug: () => void;
}

/** An instrument that writes down what it is sent (W3C Web MIDI API). */
function connectMidi() {
  const out = {
    id: 'one',
    name: 'Box of strings',
    state: 'connected',
    send: (data: number[], time?: number) =>
      midi.sent.push({ data: [...data], time: time ?? performance.now() }),
  };
  const access = { outputs: new Map([[out.id, out]]), onstatechange: null as (() => void) | null };
  const midi: FakeMidi = {
    asked: 0,
    refuse: true,
    sent: [],
    unplug: () => {
      out.state = 'disconnected';
      access.onstatechange?.();
    },
  };
  Object.assign(window, { midi });
  Object.defineProperty(navigator, 'requestMIDIAccess', {
    value: async () => {
      midi.asked += 1;
      if (midi.refuse) throw new DOMException('no', 'NotAllowedError');
      return access;
    },
  });
}

const sampleNamed = (title: string) =>
  readSamples().find((s) => s.phrase.meta.title === title)!.phrase;

const midiOf = (page: Page) =>
  page.evaluate(() => {
    const { asked, sent } = (window as unknown as { midi: FakeMidi }).midi;
    return { asked, sent, now: performance.now() };
  });

describe('listening to a phrase', () => {
  let browser: Browser;
  let at: Visit;
  beforeAll(async () => {
    browser = await launchBrowser();
    at = await visit(browser, inject('appAddress'));
    await at.context.addInitScript(tap);
    await at.context.addInitScript(connectMidi);
    await at.context.addInitScript(keepMediaKeys);
    await at.page.reload();
    await at.page.getByRole('link', { name: 'First Ferry Out' }).first().click();
    await at.page.getByRole('button', { name: 'Listen' }).waitFor();
  });
  afterAll(async () => {
    await browser.close();
  });

  it('sounds, marks what sounds in score, tablature and degrees, and stops by itself', async () => {
    const { page } = at;
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('100');
    await page.getByRole('button', { name: 'Listen' }).click();
    const marks = page.locator('.sounding span');
    await expect.poll(() => marks.count(), { timeout: 10_000 }).toBeGreaterThanOrEqual(3);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.01);
    // Two bars are less than five seconds.
    await page.getByRole('button', { name: 'Listen' }).waitFor({ timeout: 15_000 });
    await expect.poll(() => marks.count()).toBe(0);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
  });

  it('goes on over and over, slower from the same place, until the space bar stops it', async () => {
    const { page } = at;
    await page.getByRole('checkbox', { name: 'Over and over' }).check();
    await page.getByText('Keep the volume moderate', { exact: false }).waitFor();
    await page.locator('h1').click();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    // Longer than the phrase lasts.
    await page.waitForTimeout(4000);
    expect(await page.getByRole('button', { name: 'Stop' }).count()).toBe(1);
    // A lock screen says what plays (W3C Media Session), and a hidden page goes on unless somebody wants it silent.
    const session = () =>
      page.evaluate(() => {
        const { metadata, playbackState } = navigator.mediaSession;
        return [metadata?.title, playbackState];
      });
    expect(await session()).toEqual(['First Ferry Out', 'playing']);
    // Its keys stop and go on with what was heard.
    for (const ends of ['pause', 'stop'] as const) {
      await pressKey(page, ends);
      await page.getByRole('button', { name: 'Listen' }).waitFor();
      expect(await session()).toEqual(['First Ferry Out', 'paused']);
      await pressKey(page, 'play');
      await page.getByRole('button', { name: 'Stop' }).waitFor();
      await expect.poll(session).toEqual(['First Ferry Out', 'playing']);
    }
    const hide = (stops: 'yes' | 'no') =>
      page.evaluate((choice) => {
        localStorage.setItem('degreewise.listen.stops-when-hidden', choice);
        Object.defineProperty(document, 'hidden', { value: true, configurable: true });
        document.dispatchEvent(new Event('visibilitychange'));
        Reflect.deleteProperty(document, 'hidden');
      }, stops);
    await hide('no');
    expect(await session()).toEqual(['First Ferry Out', 'playing']);
    await hide('yes');
    await page.getByRole('button', { name: 'Listen' }).waitFor();
    await expect.poll(session).toEqual(['First Ferry Out', 'paused']);
    await page.evaluate(() => localStorage.removeItem('degreewise.listen.stops-when-hidden'));
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('50');
    // It may begin with a rest.
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expectAccessible(page);
    await page.locator('h1').click();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Listen' }).waitFor();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
  });

  it('switches between before and after a move at the same spot, by one key', async () => {
    const { page } = at;
    await page.getByRole('link', { name: 'Move it over IV7' }).click();
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.lower .sounding span').first().waitFor();
    await page.keyboard.press('Alt+x');
    expect(await page.getByRole('radio', { name: 'before' }).isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Stop' }).click();
    await page.goBack();
  });

  it('plays on an instrument that is connected, as it is performed, until that is unplugged', async () => {
    const { page } = at;
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('100');
    await page.getByRole('checkbox', { name: 'Over and over' }).uncheck();
    await page.getByRole('button', { name: 'Practise it' }).click();
    // The browser is asked on a press only, and its no is told in words.
    expect((await midiOf(page)).asked).toBe(0);
    const look = page.getByRole('button', { name: 'Look for MIDI instruments' });
    await look.click();
    await page.getByText('does not let this page reach MIDI instruments').waitFor();
    await page.evaluate(() => {
      (window as unknown as { midi: FakeMidi }).midi.refuse = false;
    });
    await look.click();
    await page.getByRole('combobox', { name: 'Through' }).selectOption('Box of strings');
    await page.getByRole('button', { name: 'Through this device' }).waitFor();
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.sounding span').first().waitFor();
    await page.getByRole('button', { name: 'Listen' }).waitFor({ timeout: 15_000 });
    const phrase = sampleNamed('First Ferry Out');
    const { sounds } = perform(phrase);
    const heard = hearMidi((await midiOf(page)).sent);
    const first = heard[0]!.on - 1000 * sounds[0]!.onset;
    expect(heard.map((n) => `${n.channel} ${n.key}`)).toEqual(
      sounds.map((s) => `${s.string - 1} ${s.midi}`),
    );
    heard.forEach((n, i) => {
      const s = sounds[i]!;
      expect(Math.abs((n.on - first) / 1000 - s.onset)).toBeLessThan(0.003);
      expect(Math.abs((n.off - n.on) / 1000 - s.length)).toBeLessThan(0.003);
      n.pitch.forEach(({ time, cents }, k) => {
        const until = n.pitch[k + 1]?.time ?? n.off;
        const wished = 100 * s.midi + centsAt(s, ((time + until) / 2 - n.on) / 1000);
        expect(Math.abs(cents - wished), `${i} at ${time - n.on} ms`).toBeLessThan(1.5);
      });
    });
    // The band comps with a rhythm out of the library, on a channel of its own.
    await page.getByRole('combobox', { name: 'Band' }).selectOption('shuffle');
    const chords = page.getByRole('combobox', { name: 'Chords', exact: true });
    await chords.focus();
    await chords.selectOption('Fish Market Scratch');
    const begun = (await midiOf(page)).sent.length;
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.sounding span').first().waitFor();
    await page.getByRole('button', { name: 'Stop' }).click();
    const stopped = await midiOf(page);
    const left = hearMidi(stopped.sent.filter((m) => (m.data[0]! & 15) < 6)).filter(
      (n) => n.off > stopped.now + 300,
    );
    expect(left).toEqual([]);
    const band = { feel: 'shuffle', rhythm: sampleNamed('Fish Market Scratch') } as const;
    const keys = new Set(accompany(phrase, band).comping!.sounds.map((s) => s.midi));
    const played = stopped.sent.slice(begun).filter((m) => m.data[0] === 0x97);
    expect(played.length).toBeGreaterThan(0);
    expect(played.filter((m) => !keys.has(m.data[1]!))).toEqual([]);
    await page.getByRole('combobox', { name: 'Band' }).selectOption('none');
    const ended = new Set(
      stopped.sent.filter((m) => m.data[0]! >> 4 === 11 && m.data[1] === 123).map((m) => m.data[0]),
    );
    expect(ended.size).toBe(16);
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.locator('.sounding span').first().waitFor();
    await page.evaluate(() => (window as unknown as { midi: FakeMidi }).midi.unplug());
    await page.getByText('Box of strings was unplugged. This device sounds again.').waitFor();
    await page.getByRole('button', { name: 'Listen' }).waitFor();
    await page.getByText('No MIDI instrument is connected', { exact: false }).waitFor();
    await page.getByRole('button', { name: 'Practise it' }).click();
  });

  it('is practised through the keys: counted in, redrawn with the next one, faster when it was good', async () => {
    const { page } = at;
    await page.getByRole('combobox', { name: 'Speed' }).selectOption('200');
    await page.getByRole('button', { name: 'Practise it' }).click();
    await page.getByRole('combobox', { name: 'Played' }).first().selectOption('fourths');
    await page.getByRole('combobox', { name: 'Band' }).selectOption('shuffle');
    await page.keyboard.press('Alt+p');
    const now = page.locator('.practice-now');
    await expect.poll(() => now.textContent(), { timeout: 10_000 }).toContain('Counting in');
    await expect.poll(() => now.textContent(), { timeout: 10_000 }).toMatch(/^Round 1: A blues/u);
    expect(await now.textContent()).toContain('Next: D blues');
    // The next key stands beneath, and its notes are not marked yet.
    const scores = page.locator('.practice-score');
    expect(await scores.count()).toBe(2);
    await scores.first().locator('.sounding span').first().waitFor();
    expect(await scores.last().locator('.sounding span').count()).toBe(0);
    await expectAccessible(page);
    // Seen in one look, whichever round it is: on a busy machine the next one begins between two.
    await page.waitForFunction(() => {
      const now = document.querySelector('.practice-now')?.textContent ?? '';
      const key = /^Round (?:[2-9]|1\d): (\S+ blues)/u.exec(now)?.[1];
      const score = document.querySelector('.practice-score')?.textContent ?? '';
      return key !== undefined && score.includes(`Now: ${key}`);
    });
    // A headset's key for the next piece, and the page's own, go on with the next round.
    const round = async () =>
      Number(/^Round (\d+)/u.exec((await now.textContent()) ?? '')?.[1] ?? 0);
    for (const skip of [() => pressKey(page, 'nexttrack'), () => page.keyboard.press('Alt+n')]) {
      const before = await round();
      await skip();
      await expect.poll(round, { timeout: 2000 }).toBeGreaterThan(before);
    }
    await page.getByRole('button', { name: 'Stop practising' }).click();
    await expect.poll(() => scores.count()).toBe(0);
    // Chords that are typed are taken with Enter, in a field that keeps the focus; a form puts its own there.
    const played = page.getByRole('combobox', { name: 'Played' }).first();
    await played.selectOption('list');
    const chords = page.getByRole('textbox', { name: 'Chords or keys' });
    await chords.fill('I IV');
    await chords.press('Enter');
    expect(await chords.evaluate((field) => field === document.activeElement)).toBe(true);
    await page.getByRole('combobox', { name: 'Chords of' }).selectOption({ index: 1 });
    await expect.poll(() => chords.inputValue()).not.toBe('I IV');
    await played.selectOption('fourths');
    await page.getByRole('combobox', { name: 'Band' }).selectOption('none');
    await page.getByRole('button', { name: 'Practise it' }).click();
  });

  it('is heard as it is written, until somebody wants it silent', async () => {
    const { page } = at;
    await page.getByRole('link', { name: 'Write in it' }).click();
    const sound = page.getByRole('checkbox', { name: 'Hear it as I write' });
    await sound.waitFor();
    const score = page.getByRole('application');
    await score.press('5');
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    await sound.uncheck();
    await score.press('7');
    await page.waitForTimeout(300);
    expect(await loudness(page)).toBeLessThan(0.001);
    // The space bar plays from the cursor on, and marks what is heard.
    await score.press(' ');
    await page.locator('.write-line .sounding span').first().waitFor();
    await score.press(' ');
    await page.getByRole('button', { name: 'Listen from here' }).waitFor();
    await sound.check();
    await score.press('Control+z');
    await score.press('Control+z');
    await page.getByRole('link', { name: 'Done' }).click();
    await page.getByRole('button', { name: 'Listen' }).waitFor();
  });

  it('is silent on another page, and complains about nothing', async () => {
    const { page, complaints } = at;
    await page.getByRole('button', { name: 'Listen' }).click();
    await page.getByRole('button', { name: 'Stop' }).waitFor();
    await page.getByRole('link', { name: 'Library' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    // A card of the library plays, and stops at a second press; far down it has no button yet.
    await page.getByRole('link', { name: 'First Ferry Out' }).scrollIntoViewIfNeeded();
    await page.getByRole('button', { name: 'Hear First Ferry Out' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeGreaterThan(0.005);
    await page.getByRole('button', { name: 'Stop First Ferry Out' }).click();
    await expect.poll(() => loudness(page), { timeout: 10_000 }).toBeLessThan(0.001);
    expect(complaints).toEqual([]);
  });
});
