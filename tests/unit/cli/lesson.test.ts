import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { encodePhrase } from '../../../src/io/json';
import { decodeLesson } from '../../../src/io/json/decode-lesson';
import { libraryPieces } from '../../../src/io/library/write';
import { lessonOfEveryKind, OWN_FORM } from '../../support/lesson';
import { memoryIo } from '../../support/memory-io';
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

  it('takes a lesson as it is, from data and from a page', async () => {
    const io = memoryIo({ files: { 'l.json': JSON.stringify(lesson) } });
    expect(await run(['lesson', 'l.json', '-o', 'l.html'], io), io.stderr()).toBe(0);
    expect(await run(['lesson', 'l.html', '-o', 'back.json'], io), io.stderr()).toBe(0);
    const back = decodeLesson(new TextDecoder().decode(io.disk.get('back.json')));
    expect(back).toEqual({ ok: true, value: lesson });
    expect(await run(['lesson', 'l.json', '-o', 'l.pdf'], io)).toBe(2);
    expect(io.stderr()).toContain('ends in .html');
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
});
