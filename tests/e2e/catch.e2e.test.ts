import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, inject, it } from 'vitest';
import { writeWav } from '../../src/io/wav/write';
import { renderPhrase } from '../../src/sound/render';
import { build } from '../support/build';
import { expectAccessible, launchBrowser, launchHearing, visit } from './browser';

const address = inject('appAddress');

/** Two bars, rest of two beats, two bars: two phrases. */
const PLAYED = build(
  'q 3/5 e 2/5 e 1/5 h 2/8 | q 3/7 q 2/5 h - | q 3/5 q 3/7 q 2/5 q 2/6 | h 2/5(vib) h -',
  { tempo: { bpm: 150, unit: 'quarter' } },
);

/** Seconds of sound in the one recording that is kept, as the browser's decoder has it. */
async function soundKept(): Promise<number> {
  const db = await new Promise<IDBDatabase>((done, fail) => {
    const opening = indexedDB.open('degreewise-recordings');
    opening.onsuccess = () => done(opening.result);
    opening.onerror = () => fail(opening.error);
  });
  const all = await new Promise<{ sound: ArrayBuffer }[]>((done, fail) => {
    const reading = db.transaction('recordings').objectStore('recordings').getAll();
    reading.onsuccess = () => done(reading.result);
    reading.onerror = () => fail(reading.error);
  });
  db.close();
  const heard = await new OfflineAudioContext(1, 1, 48_000).decodeAudioData(all[0]!.sound);
  return heard.duration;
}

describe('catching what is played', () => {
  it('hears a microphone, shows notes, keeps phrases, asks what is unsure, and reads files', async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'catch-'));
    const wav = path.join(folder, 'played.wav');
    const sound = renderPhrase(PLAYED, { rate: 48_000, tail: 1 });
    writeFileSync(wav, writeWav(sound, 48_000));
    const browser = await launchHearing(wav);
    try {
      const { page, complaints } = await visit(browser, address, '#/');
      await page.getByRole('link', { name: 'Catch it' }).click();
      await page.evaluate(() => {
        const { mediaDevices } = navigator;
        const open = mediaDevices.getUserMedia.bind(mediaDevices);
        mediaDevices.getUserMedia = async (wish) => {
          const stream = await open(wish);
          (window as unknown as { track: unknown }).track = stream.getAudioTracks()[0];
          return stream;
        };
      });
      await page.getByRole('button', { name: 'Listen to what I play' }).click();
      const live = page.getByRole('list', { name: 'Notes as they are heard' });
      await live.getByText('C4').first().waitFor();
      await live.getByText('E4').first().waitFor();
      await live.getByText('F4').first().waitFor();
      // No loudspeaker leads to this microphone: that is said, with what to do.
      await page.getByRole('button', { name: 'Measure the delay' }).click();
      await page.getByText('Eight clicks are played').waitFor();
      const delay = page.getByRole('region', { name: 'Play to' }).getByRole('alert');
      await delay.waitFor({ timeout: 30_000 });
      expect(await delay.textContent()).toMatch(/clicks were heard|different times/u);
      // A band has nothing to play without chords; a click goes on until it is ended.
      await page.getByRole('button', { name: 'Play to the band' }).click();
      await page.getByText('a band needs chords to play', { exact: false }).waitFor();
      await page.getByLabel('Chords, going round').fill('I7 | IV7');
      await page.getByRole('button', { name: 'Play to the band' }).click();
      await page.getByText('What you keep has this beat').waitFor();
      // Numerals are played in C where nobody has said a key, and what is kept is in C then.
      expect(await page.getByLabel('Key').inputValue()).toBe('C');
      await page.getByRole('button', { name: 'Stop the band' }).click();
      await page.getByLabel('Beats a minute').fill('150');
      await page.getByLabel('Chords, going round').fill('');
      await page.getByRole('button', { name: 'Play to a click' }).click();
      // Until something is played after the bar that counts in, on a loaded machine too.
      await page.waitForTimeout(4000);
      // An input that goes away is said, and what was heard can still be kept.
      await page.evaluate(() => {
        const { track } = window as unknown as { track: MediaStreamTrack };
        track.dispatchEvent(new Event('ended'));
      });
      await page.getByText('the input has gone away', { exact: false }).waitFor();
      // A click without chords has no round; the last phrase is kept, and all is remembered on.
      await page.locator('h1').click();
      await page.keyboard.press('l');
      await page.getByText('nothing with a round was played to', { exact: false }).waitFor();
      await page.keyboard.press('p');
      const result = page.getByRole('region', { name: 'What was played' });
      await result.getByText(/^[12] phrases?, 150 beats a minute/u).waitFor({ timeout: 90_000 });
      // A slip in a field is said beside it, and what was played is kept all the same.
      await page.getByLabel('Key').fill('H');
      await page.getByText("'H' is no key", { exact: false }).waitFor();
      await page.getByRole('button', { name: 'Keep what I just played' }).click();
      await result.getByRole('status').waitFor({ timeout: 90_000 });
      await page.getByRole('button', { name: 'Write it again with these' }).click();
      expect(await page.getByLabel('Key').evaluate((e) => e === document.activeElement)).toBe(true);
      await page.getByLabel('Key').fill('');
      // It plays again and again, so that a slow machine has time; what a fake microphone drops on a
      // loaded machine moves notes, so pitches are looked at here.
      const names = await page.locator('.pitch-picture text').allTextContents();
      const heard = names.map((n) => n.replace(/ ?(?:begin|length)?\?$/u, ''));
      for (const name of ['C4', 'E4', 'A4', 'G4', 'D4', 'F4']) expect(heard).toContain(name);
      await result.getByText('150 beats a minute in the bars that it was played to').waitFor();
      expect(await page.getByRole('button', { name: 'Keep what I just played' }).count()).toBe(0);

      // The same from a file, where every sample is there.
      await page.getByLabel('Beats a minute').fill('150');
      await page.getByLabel('Or a recording from a file').setInputFiles(wav);
      await result.getByText('2 phrases, 150 beats a minute').waitFor({ timeout: 90_000 });
      await page.locator('svg.dw-score').first().waitFor();
      // Where no last phrase is found, in a silent input, that is said and what stands here stays.
      await page.evaluate(() => {
        navigator.mediaDevices.getUserMedia = async () =>
          new AudioContext().createMediaStreamDestination().stream;
      });
      await page.getByRole('button', { name: 'Listen to what I play' }).click();
      await page.getByRole('button', { name: 'Keep the last phrase' }).click();
      await page.getByText('no phrase was heard', { exact: false }).waitFor();
      expect(await page.locator('svg.dw-score').count()).toBe(2);
      await page.getByRole('button', { name: 'Stop listening' }).click();
      // One of the chords that are proposed, by its key.
      await page.getByText('Perhaps over').waitFor();
      await result.getByRole('button', { name: '(1)' }).focus();
      await page.keyboard.press('1');
      await page.getByText('Perhaps over').waitFor({ state: 'detached' });
      expect(await page.getByLabel('Chords, going round').inputValue()).not.toBe('');
      await expectAccessible(page);
      // One of the keys likewise, and undone.
      await page.getByText('Perhaps in the key of').waitFor();
      await page.keyboard.press('5');
      await page.getByText('Perhaps in the key of').waitFor({ state: 'detached' });
      expect(await page.getByLabel('Key', { exact: true }).inputValue()).not.toBe('');
      await page.keyboard.press('Control+z');
      await page.getByText('Perhaps in the key of').waitFor();
      const before = await page.locator('.pitch-picture .heard').count();
      await page.locator('.pitch-picture .heard rect').first().click();
      await result.getByText(/% sure\./u).waitFor();
      await page.getByRole('button', { name: 'Take it out (X)' }).focus();
      await page.keyboard.press('x');
      // By the key that undoes, by the one that does it again, and all that was taken out at once.
      const putBack = page.getByRole('button', { name: 'Put back what was taken out' });
      await result.getByRole('button', { name: 'Undo “take out C4”' }).waitFor();
      await page.keyboard.press('Control+z');
      await putBack.waitFor({ state: 'detached' });
      await expect.poll(() => page.locator('.pitch-picture .heard').count()).toBe(before);
      await page.keyboard.press('Control+y');
      await putBack.click();
      await expect.poll(() => page.locator('.pitch-picture .heard').count()).toBe(before);
      // It is called by what it is until somebody calls it something else.
      const title = result.getByRole('textbox', { name: 'Title' }).first();
      expect(await title.inputValue()).toMatch(/^played, 1: /u);
      await title.fill('Low water, played');
      await result.getByRole('heading', { name: 'Low water, played' }).waitFor();
      // The notes are corrected by the keys of the page for writing, with Caps Lock or without.
      await page.locator('.pitch-picture .heard rect').first().click();
      await result.getByText('Or is it').waitFor();
      await page.locator('h1').click();
      await page.keyboard.press('Enter');
      const score = result.getByRole('application').first();
      expect(await score.evaluate((e) => e === document.activeElement)).toBe(true);
      await page.keyboard.press('v');
      await result.getByRole('button', { name: /^Undo “.*vibrato/iu }).waitFor();
      await page.keyboard.press('Control+z');
      await result.getByRole('button', { name: /^Do again: “.*vibrato/iu }).waitFor();
      await page.keyboard.press('Control+y');
      await page.keyboard.press('Escape');
      expect(await score.evaluate((e) => e === document.activeElement)).toBe(false);
      // Written anew over other chords, it is still there.
      await page.getByLabel('Chords, going round').fill('C7');
      await page.getByRole('button', { name: 'Write it again with these' }).click();
      await result.locator('.where-line').getByText('of C7').waitFor();
      await result.getByRole('button', { name: /^Undo “.*vibrato/iu }).waitFor();
      await expectAccessible(page);
      // Half as fast and at its own pitch, again and again, then with the phrase after it.
      await result.getByLabel('Speed').first().selectOption('50');
      await result.getByLabel('Again and again').first().check();
      // Another part of the recording ends this one, and so does a phrase, whichever it is.
      await result.getByRole('button', { name: 'Hear the recording' }).first().click();
      const recording = result.getByRole('button', { name: 'Stop the recording' });
      await recording.waitFor();
      await result.getByRole('button', { name: 'Hear the recording' }).click();
      expect(await recording.count()).toBe(1);
      await result.getByRole('button', { name: 'Hear the phrase' }).first().click();
      await recording.waitFor({ state: 'detached' });
      await result.getByRole('button', { name: 'Stop the phrase' }).click();
      await result.getByRole('button', { name: 'Hear the recording' }).first().click();
      await recording.click();
      await result.getByLabel('Speed').first().selectOption('100');
      await result.getByRole('button', { name: 'One after the other' }).first().click();
      await result.getByRole('button', { name: 'Stop the phrase' }).first().waitFor();
      await result.getByRole('button', { name: 'Stop the phrase' }).first().click();
      // The space bar is that phrase's, and it alone says so; a field keeps its own.
      const stop = result.getByRole('button', { name: 'Stop the phrase' });
      await stop.waitFor({ state: 'detached' });
      await page.locator('h1').click();
      await page.keyboard.press(' ');
      await stop.waitFor();
      // Both have notes of the same ids: only the one that is heard is marked.
      await page.locator('.sounding span').first().waitFor();
      expect(await page.locator('.caught:has(.sounding)').count()).toBeLessThan(2);
      await page.keyboard.press(' ');
      await stop.waitFor({ state: 'detached' });
      await result.getByLabel('Again and again').first().press(' ');
      expect(await stop.count()).toBe(0);
      await result.getByLabel(/^Keep the recording with the phrases, about \d+ kB$/u).check();
      await result.getByRole('button', { name: 'Keep it as a phrase' }).first().click();
      // The page stays, with what is not kept yet.
      const keptOne = page.locator('.notice', { hasText: 'Kept as “Low water, played”.' });
      await keptOne.waitFor();
      expect(await result.getByRole('button', { name: 'Keep it as a phrase' }).count()).toBe(2);
      await keptOne.getByRole('button', { name: 'See it' }).click();
      await page.getByRole('heading', { level: 1, name: 'Low water, played' }).waitFor();
      // What was corrected can be taken back there too.
      await page.getByRole('button', { name: /^Undo “.*vibrato/iu }).waitFor();
      // The recording lies with the phrase, compressed, and can be heard and deleted there.
      const kept = page.getByRole('region', { name: 'As it was played', exact: true });
      const remove = kept.getByRole('button', { name: /^Delete the recording/u });
      const size = Number(/\((\d+) kB\)/u.exec((await remove.textContent()) ?? '')![1]);
      expect(size).toBeGreaterThan(10);
      expect(size).toBeLessThan(80);
      await kept.getByLabel('Again and again').check();
      await kept.getByRole('button', { name: 'Hear the recording' }).click();
      await page.waitForTimeout(200);
      await kept.getByRole('button', { name: 'Stop the recording' }).click();
      const seconds = await page.evaluate(soundKept);
      expect(seconds).toBeGreaterThan(2.4);
      expect(seconds).toBeLessThan(4.5);
      // The phrase ends it, as it ends the phrase.
      const stopKept = kept.getByRole('button', { name: 'Stop the recording' });
      await kept.getByRole('button', { name: 'Hear the recording' }).click();
      await stopKept.waitFor();
      await page.locator('.listen-button').first().click();
      await stopKept.waitFor({ state: 'detached' });
      await page.locator('.listen-button').first().click();
      await remove.click();
      await remove.waitFor({ state: 'detached' });
      expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('MAIN');
      const notice = page.locator('.notice', { hasText: 'The recording is deleted.' });
      await notice.getByRole('button', { name: 'Undo' }).click();
      await remove.waitFor();
      await expectAccessible(page);
      await remove.click();
      await remove.waitFor({ state: 'detached' });
      // Without the recording it is heard as it was played all the same, slower and again and again, and marked in the score.
      expect(await kept.locator('.pitch-picture .heard').count()).toBeGreaterThan(3);
      await kept.getByLabel('Speed as played').selectOption('50');
      await kept.getByRole('button', { name: 'Hear it as it was played' }).click();
      const stopPlayed = kept.getByRole('button', { name: 'Stop it' });
      await stopPlayed.waitFor();
      await page.locator('.sounding span').first().waitFor();
      // A line has no width, which counts as hidden here.
      await kept.locator('.playhead[visibility=visible]').waitFor({ state: 'attached' });
      await kept.getByLabel('Speed as played').selectOption('100');
      await stopPlayed.click();
      await stopPlayed.waitFor({ state: 'detached' });
      await page.reload();
      await kept.getByRole('button', { name: 'Delete how it was played' }).click();
      await kept.waitFor({ state: 'detached' });
      const forgotten = page.locator('.notice', { hasText: 'How it was played is deleted.' });
      await forgotten.getByRole('button', { name: 'Undo' }).click();
      await kept.waitFor();
      await expectAccessible(page);
      // What is there already is named when it is caught once more, and kept twice it is there once.
      await page.evaluate(() => {
        location.hash = '#/catch';
      });
      // What was not kept is there as it was left, after a reload as well: its corrections, its chords, and no sound.
      await result.getByText('As you left it; its sound was not kept.').waitFor();
      await page.reload();
      await result.getByText('As you left it; its sound was not kept.').waitFor();
      await result.getByRole('button', { name: /^Undo “.*vibrato/iu }).waitFor();
      expect(await page.getByLabel('Chords, going round').inputValue()).toBe('C7');
      expect(await result.getByRole('button', { name: 'Hear the recording' }).count()).toBe(0);
      await page.getByLabel('Chords, going round').fill('');
      await page.getByRole('button', { name: 'Write it again with these' }).click();
      await page.getByText('Perhaps over').waitFor();
      await result.getByRole('button', { name: /^Undo “.*vibrato/iu }).waitFor();
      await page.getByLabel('Beats a minute').fill('150');
      await page.getByLabel('Or a recording from a file').setInputFiles(wav);
      await result.getByRole('link', { name: 'Low water, played' }).waitFor();
      // Something new takes its place on the page, and not its place.
      const unkept = page.getByRole('region', { name: 'Not kept yet' }).getByRole('listitem');
      const left = unkept.filter({ hasText: /^played, .*: 2 phrases, 1 corrected/u });
      await left.getByRole('button', { name: 'Throw away played' }).click();
      await left.waitFor({ state: 'detached' });
      const thrown = page.locator('.notice', { hasText: 'What was caught is thrown away.' });
      await thrown.getByRole('button', { name: 'Undo' }).click();
      await left.getByRole('button', { name: 'Throw away played' }).click();
      await left.waitFor({ state: 'detached' });
      const keepAll = result.getByRole('button', { name: 'Keep all 2 phrases' });
      await keepAll.click();
      await page.getByText('2 new phrases are in the library.').waitFor();
      await keepAll.click();
      await page.getByText('All of it is in the library already.').waitFor();
      await page.locator('.pitch-picture .heard rect').first().click();
      await page.locator('h1').click();
      await page.keyboard.press('1');
      await keepAll.click();
      await page.getByText('is kept as corrected now.').waitFor();
      // Other strings are listened for elsewhere.
      await page.getByLabel('Played on').selectOption('Guitar with seven strings');
      const anew = page.getByText('It is heard anew for it.');
      await anew.waitFor();
      await page.getByRole('button', { name: 'Write it again with these' }).click();
      await anew.waitFor({ state: 'detached' });
      await keepAll.waitFor();
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('remembers what was played where the model cannot be fetched, until it can', async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'catch-offline-'));
    const wav = path.join(folder, 'played.wav');
    writeFileSync(wav, writeWav(renderPhrase(PLAYED, { rate: 48_000, tail: 1 }), 48_000));
    const browser = await launchHearing(wav);
    try {
      const { page, context } = await visit(browser, address, '#/catch');
      await context.route(/weights.*\.bin/u, (route) => route.abort());
      await page.getByRole('button', { name: 'Listen to what I play' }).click();
      const alert = page.locator('p[role=alert]');
      await alert.getByText('it could not be heard', { exact: false }).waitFor();
      await page.waitForTimeout(4000);
      await page.getByRole('button', { name: 'Stop listening' }).click();
      const keep = page.getByRole('button', { name: 'Keep what I just played' });
      await keep.click();
      await alert.getByText('it could not be heard', { exact: false }).waitFor();
      await context.unroute(/weights.*\.bin/u);
      await keep.click();
      await page.locator('.pitch-picture .heard').first().waitFor({ timeout: 60_000 });
    } finally {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('says in words that it may not listen', async () => {
    const browser = await launchBrowser();
    try {
      const { page } = await visit(browser, address, '#/catch');
      await page.getByRole('button', { name: 'Listen to what I play' }).click();
      const alert = page.locator('p[role=alert]');
      await alert.waitFor();
      expect(await alert.textContent()).toMatch(/not allowed to use the microphone|no microphone/u);
    } finally {
      await browser.close();
    }
  });
});
