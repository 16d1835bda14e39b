import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { standardForm } from '../../../src/core/form/standard';
import { formOfOwn } from '../../../src/core/form/types';
import { musicOf } from '../../../src/core/lesson/music';
import { newCollection } from '../../../src/core/library/collection';
import type { Phrase } from '../../../src/core/phrase/types';
import { encodePhrase } from '../../../src/io/json';
import { decodeLesson } from '../../../src/io/json/decode-lesson';
import { libraryPieces } from '../../../src/io/library/write';
import { lessonOfEveryKind, OWN_FORM } from '../../support/lesson';
import { memoryIo } from '../../support/memory-io';
import { soloOver } from '../../support/over-form';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);

describe('lesson', () => {
  it('writes phrases as a page, whose phrases come back equal', async () => {
    const files = { 'a.json': encodePhrase(samples[0]!), 'b.json': encodePhrase(samples[2]!) };
    const io = memoryIo({ files });
    const written = await run(
      ['lesson', 'a.json', 'b.json', '--title', 'Stairs', '-o', 'l.html'],
      io,
    );
    expect(written, io.stderr()).toBe(0);
    expect(io.stdout()).toContain('wrote l.html: 2 items');
    expect(new TextDecoder().decode(io.disk.get('l.html'))).toContain('<h1>Stairs</h1>');
    expect(await run(['show', 'l.html', '--json'], io), io.stderr()).toBe(0);
    const again = memoryIo({ files: { 'l.html': io.disk.get('l.html')! } });
    expect(await run(['merge', 'l.html', 'l.html', '-o', 'm.json'], again), again.stderr()).toBe(0);
    const { phrases, others } = JSON.parse(new TextDecoder().decode(again.disk.get('m.json')));
    expect(phrases).toEqual([samples[0], samples[2]]);
    expect(others.map((o: { format: string }) => o.format)).toEqual(['degreewise-lesson']);
  });

  it('writes its music in its order, each called by its title, with its comping; and says why where it cannot', async () => {
    const [, b] = lesson.phrases;
    const items = lesson.items.map((i) =>
      i.kind === 'solo' ? { ...i, comping: { phrase: b!.id, printed: false } } : i,
    );
    const accompanied = { ...lesson, items };
    const { music, along } = musicOf(accompanied);
    const io = memoryIo({ files: { 'l.json': JSON.stringify(accompanied) } });
    const convert = (...flags: string[]) => run(['convert', 'l.json', ...flags], io);
    expect(await convert('-o', 'out/', '--format', 'musicxml'), io.stderr()).toBe(0);
    const files = [...io.disk.keys()].filter((f) => f.startsWith('out/'));
    expect(files).toEqual([...files].sort());
    const texts = files.map((f) => new TextDecoder().decode(io.disk.get(f)));
    const titles = texts.map((t) => /<work-title>([^<]*)</u.exec(t)?.[1]);
    expect(titles).toEqual(music.map((p) => p.meta.title));
    const parts = texts.map((t) => t.match(/<score-part /gu)?.length);
    expect(parts).toEqual(music.map((p) => (along.has(p.id) ? 2 : 1)));
    expect(parts).toContain(2);
    expect(await convert('-o', 'l.mid')).toBe(2);
    expect(io.stderr()).toContain(`holds ${music.length} pieces of music`);
    // As data it stays whole.
    expect(await convert('-o', 'whole.json'), io.stderr()).toBe(0);
    const whole = JSON.parse(new TextDecoder().decode(io.disk.get('whole.json')));
    expect(whole.others).toEqual([JSON.parse(JSON.stringify(accompanied))]);
    const now = '2026-11-28T08:00:00Z';
    const bare = memoryIo({
      files: { 'c.json': JSON.stringify(newCollection([], { id: 'c', now, title: 'Week' })) },
    });
    expect(await run(['convert', 'c.json', '-o', 'c.mid'], bare)).toBe(1);
    expect(bare.stderr()).toContain('there is no music in it, only the 1 collection');
  });

  it('shows a solo made of phrases with its form, and one of somebody’s own that lies in the library', async () => {
    const solo = soloOver(formOfOwn(OWN_FORM), 2, 'solo-1');
    const blues = soloOver(standardForm('blues')!, 1, 'solo-2');
    const library = libraryPieces([solo, blues], [OWN_FORM]);
    const io = memoryIo({ files: { 'l.json': [...library].join('') } });
    expect(await run(['lesson', 'l.json', '-o', 'out.json'], io), io.stderr()).toBe(0);
    const made = decodeLesson(new TextDecoder().decode(io.disk.get('out.json')));
    const forms = made.ok
      ? made.value.items.map((i) => (i.kind === 'form' ? i.form.id : i.kind))
      : [];
    expect(forms).toEqual([OWN_FORM.id, 'solo', 'blues', 'solo']);
    expect(io.stderr()).toBe('');
    const bare = memoryIo({ files: { 's.json': encodePhrase({ ...blues, chords: [] }) } });
    expect(await run(['lesson', 's.json', '-o', 'out.json'], bare), bare.stderr()).toBe(0);
    expect(bare.stderr()).toContain('“Long way home” brings no form: it has no chords');
  });

  it('takes a lesson as it is, from data and from a page', async () => {
    const io = memoryIo({ files: { 'l.json': JSON.stringify(lesson) } });
    expect(await run(['lesson', 'l.json', '-o', 'l.html'], io), io.stderr()).toBe(0);
    expect(await run(['lesson', 'l.html', '-o', 'back.json'], io), io.stderr()).toBe(0);
    const back = decodeLesson(new TextDecoder().decode(io.disk.get('back.json')));
    expect(back).toEqual({ ok: true, value: lesson });
    expect(await run(['lesson', 'l.json', '-o', 'l.pdf'], io)).toBe(2);
    expect(io.stderr()).toContain('ends in .html');
  });

  it('is for paper alone where its name says so, on the sheet and in the size that are asked for', async () => {
    const io = memoryIo({ files: { 'l.json': JSON.stringify(lesson) } });
    const wish = ['lesson', 'l.json', '--paper', 'letter', '--size', 'small'];
    expect(await run([...wish, '-o', 'l.pdf-ready.html'], io), io.stderr()).toBe(0);
    const html = new TextDecoder().decode(io.disk.get('l.pdf-ready.html'));
    expect(html).toContain('<body class="letter">');
    expect(html).toContain('<div class="paper small">');
    // Nothing runs, and nothing may: neither a button nor a second width of the music.
    expect(
      html.match(/<script(?! type="application\/json")|script-src|<button|data-music/gu),
    ).toBeNull();
    expect(html).not.toContain('class="narrow"');
    expect(await run(['lesson', 'l.pdf-ready.html', '-o', 'back.json'], io), io.stderr()).toBe(0);
    const back = decodeLesson(new TextDecoder().decode(io.disk.get('back.json')));
    expect(back).toEqual({ ok: true, value: lesson });
    expect(await run(['lesson', 'l.json', '--paper', 'a5', '-o', 'x.html'], io)).toBe(2);
    expect(io.stderr()).toContain('Use a4, letter.');
  });

  it('writes nothing that would not open again', async () => {
    const many = Array.from({ length: 501 }, (_, i) => ({ ...samples[0]!, id: `p${i}` }));
    const io = memoryIo({ files: { 'many.json': [...libraryPieces(many, [])].join('') } });
    for (const out of ['l.json', 'l.html']) {
      expect(await run(['lesson', 'many.json', '-o', out], io)).toBe(1);
      expect(io.disk.has(out)).toBe(false);
    }
    expect(io.stderr()).toMatch(/many\.json.*501.*at most 500/u);
  });
});

describe('a form of one’s own', () => {
  it('carries a solo, and says what is wrong with it', async () => {
    const all = samples.map((p, i) => [`s/${i}.json`, encodePhrase(p)] as const);
    const bad = { ...OWN_FORM, sections: [{ name: '', bars: 'I7|H7' }] };
    const files = { 'form.json': JSON.stringify(OWN_FORM), 'bad.json': JSON.stringify(bad) };
    const io = memoryIo({ files: { ...Object.fromEntries(all), ...files } });
    const args = ['--from', 's/0.json', 's/2.json', 's/6.json', 's/8.json', '--json'];
    expect(await run(['solo', '--form', 'form.json', ...args], io), io.stderr()).toBe(0);
    const { choruses } = JSON.parse(io.stdout());
    expect(choruses[0].phrase.bars).toHaveLength(10);
    expect(await run(['solo', '--form', 'bad.json', ...args], io)).toBe(1);
    expect(io.stderr()).toMatch(/bad\.json.*bar 2/u);
  });

  it('is listed, and found by its title or id where the phrases are', async () => {
    const files = {
      'all.json': [
        ...libraryPieces(
          [0, 2, 6, 8].map((i) => samples[i]!),
          [OWN_FORM],
        ),
      ].join(''),
      'twins.json': [...libraryPieces(samples.slice(0, 1), [{ ...OWN_FORM, id: 'form-2' }])].join(
        '',
      ),
      'phrase.json': encodePhrase(samples[0]!),
    };
    const io = () => memoryIo({ files });
    const say = async (...args: readonly string[]) => {
      const world = io();
      return { code: await run(args, world), out: world.stdout(), err: world.stderr() };
    };
    const listed = await say('forms', 'all.json', 'phrase.json');
    expect(listed.code, listed.err).toBe(0);
    expect(listed.out).toMatch(/^blues: /mu);
    expect(listed.out).toMatch(/^"Ten bars with a way in" in all\.json: blues, 4\/4/mu);
    const { forms } = JSON.parse((await say('forms', 'all.json', '--json')).out);
    expect(forms.at(-1)).toMatchObject({ file: 'all.json', id: 'form-1', tempo: OWN_FORM.tempo });
    const none = await say('forms', 'phrase.json');
    expect([none.code, none.err]).toEqual([1, expect.stringContaining('no song form here')]);
    expect((await say('forms', 'gone.json')).code).toBe(1);
    const asked = ['--form', 'ten BARS with a way in', '--from', 'all.json'];
    const solo = await say('solo', ...asked, '--json');
    expect(solo.code, solo.err).toBe(0);
    expect(JSON.parse(solo.out).choruses[0].phrase.bars).toHaveLength(10);
    const two = ['--from', 'all.json', 'twins.json', '--form', OWN_FORM.meta.title];
    const both = await say('solo', ...two);
    expect([both.code, both.err]).toEqual([2, expect.stringContaining('form-1, form-2')]);
    const no = await say('solo', '--form', 'Eleven', '--from', 'all.json');
    expect([no.code, no.err]).toEqual([2, expect.stringContaining("'Ten bars with a way in'")]);
  });

  it('is a lesson, and so are the phrases that a collection names, in its order', async () => {
    const [a, b, c] = samples as [Phrase, Phrase, Phrase];
    const now = a.meta.created;
    const week = newCollection([c.id, a.id, 'gone'], { id: 'c1', now, title: 'Week 3' });
    const files = {
      'form.json': JSON.stringify(OWN_FORM),
      'week.json': JSON.stringify(week),
      'all.json': [...libraryPieces([a, b, c], [OWN_FORM])].join(''),
      'more.json': encodePhrase(b),
    };
    const io = memoryIo({ files });
    const made = async (...args: readonly string[]) => {
      expect(await run(['lesson', ...args, '-o', 'l.json', '--force'], io), io.stderr()).toBe(0);
      const read = decodeLesson(new TextDecoder().decode(io.disk.get('l.json')));
      if (!read.ok) throw new Error(read.problems[0]?.message);
      return read.value;
    };
    const { items, meta } = await made('form.json', '--key', 'Bb');
    expect(items).toEqual([
      { kind: 'form', id: 'i1', form: formOfOwn(OWN_FORM), tonic: { letter: 'B', alter: -1 } },
    ]);
    expect(meta.title).toBe(OWN_FORM.meta.title);
    const taught = await made('form.json', 'week.json', 'all.json');
    expect(taught.items.map((i) => ('phrase' in i ? i.phrase : i.kind))).toEqual([
      'form',
      c.id,
      a.id,
    ]);
    expect(io.stderr()).toContain("of 'Week 3' 1 phrase is in none of the files");
    await made('week.json', 'all.json', 'more.json');
    expect(io.stderr()).toContain("more.json: left out, as 'Week 3' does not name it");
    expect(io.stderr()).not.toContain('all.json: left out');
    // What lies in a library beside the phrases was not asked for.
    expect((await made('all.json')).items).toHaveLength(3);
    expect(await run(['lesson', 'week.json', '-o', 'l.html'], io)).toBe(1);
    expect(io.stderr()).toContain('Name the library that holds them as well');
    expect(await run(['lesson', 'form.json', '--key', 'H', '-o', 'l.html'], io)).toBe(2);
  });
});
