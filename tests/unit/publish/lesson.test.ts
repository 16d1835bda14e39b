import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { addItem, lessonOf } from '../../../src/core/lesson/edit';
import { decodeLesson } from '../../../src/io/json/decode-lesson';
import { lessonPage } from '../../../src/publish/lesson/write';
import { lessonOfEveryKind } from '../../support/lesson';
import { readSamples } from '../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);

describe('a lesson page', async () => {
  const html = await lessonPage(lesson);
  if (process.env.LESSON_OUT !== undefined) writeFileSync(process.env.LESSON_OUT, html);
  const inside = (tag: RegExp) => tag.exec(html)?.[1] ?? '';

  it('allows its own script and style, the fonts in it, and nothing else', () => {
    const hash = (text: string) => `sha256-${createHash('sha256').update(text).digest('base64')}`;
    const policy = inside(/Content-Security-Policy" content="([^"]*)"/u);
    expect(policy).toContain(`script-src '${hash(inside(/<script>([\s\S]*?)<\/script>/u))}'`);
    expect(policy).toContain(`style-src '${hash(inside(/<style>([\s\S]*?)<\/style>/u))}'`);
    expect(policy).toContain("default-src 'none'");
    const markup = html.replace(/<script[\s\S]*?<\/script>|<style>[\s\S]*?<\/style>/gu, '');
    expect(markup).not.toMatch(/\s(?:src|href|style|on\w+)=/u);
  });

  it('carries the lesson whole, whatever its texts hold', () => {
    const data = inside(/id="degreewise-lesson">([\s\S]*?)<\/script>/u);
    expect(decodeLesson(data)).toEqual({ ok: true, value: lesson });
    expect(html).toContain('Then find it &lt;again&gt; &amp; again.');
  });

  it('says over shapes which tones of a chord they have', () => {
    // The triad of A7 lacks the seventh.
    expect(html).toContain('<h2>Triads of A7, D7 around fret 5</h2>');
  });

  it('says under each take what it is otherwise there, on paper without what the tablature shows', async () => {
    const walk = samples.find((p) => p.meta.title === 'Tin Roof Walk')!;
    const cycle = { kind: 'list', text: 'IV' } as const;
    const start = lessonOf([walk], { id: 'l', now: '2026-11-29T08:00:00Z', title: 'Walk' });
    const rounds = addItem(start, { kind: 'rounds', id: 'x', phrase: walk.id, cycle });
    for (const plays of [true, false]) {
      const page = await lessonPage(rounds, { plays });
      const told = /<div class="changes quiet">([\s\S]*?)<\/div>/u.exec(page)?.[1] ?? '';
      expect(told).toContain(
        '<li>♯4 becomes 7: it keeps its distance from A, where it leads (bar 2',
      );
      expect(told).toContain('<li class="on-screen">The shape cannot be kept');
    }
    // Over V only the octave gave way.
    expect(html.match(/<div class="changes[^>]*>/gu)).toEqual([
      '<div class="changes quiet on-screen">',
    ]);
  });

  it('has beside each moment what its notes are, but not what is asked', () => {
    const told = (heading: string) => {
      const section = html.split('<section').find((s) => s.includes(heading))!;
      const wide = /<div class="wide">([\s\S]*?)<div class="narrow">/u.exec(section)![1]!;
      return [...wide.matchAll(/data-told="([^"]*)"/gu)].flatMap((m) => m[1]!.split(' '));
    };
    const plain = told('<h2>First Ferry Out</h2>');
    expect(plain.filter((t) => t !== '.').join(' ')).toBe('♭3 3 5 R ♭7 6 5 3 R');
    expect(new Set(told('name the degrees of First Ferry Out'))).toEqual(new Set(['.', '-']));
    const gapped = told('fill the gaps of First Ferry Out').filter((t) => t !== '.');
    expect(gapped.join(' ')).toBe('♭3 3 R ♭7 5 3');
  });

  it('is under 400 kB without its music, and shows every item', () => {
    const music =
      /<div class="music">[\s\S]*?<\/div>\n?<\/section>|<script type=[\s\S]*?<\/script>/gu;
    expect(html.replace(music, '').length).toBeLessThan(400_000);
    expect(html.match(/<section class="item/gu)).toHaveLength(lesson.items.length);
    const played = [...html.matchAll(/data-music="(\w+)"/gu)].map((m) => m[1]!);
    // Two phrases, a pair, a solo, three rounds, gaps, degrees and an answer.
    expect(played).toHaveLength(11);
    const moved = JSON.parse(inside(/id="degreewise-moved">([\s\S]*?)<\/script>/u)) as unknown[];
    expect(Math.max(...played.map((m) => (m.startsWith('m') ? Number(m.slice(1)) : -1)))).toBe(
      moved.length - 1,
    );
  });
});
