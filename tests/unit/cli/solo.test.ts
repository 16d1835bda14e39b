import { describe, expect, it } from 'vitest';
import { run } from '../../../src/cli/run';
import { checkPlayable } from '../../../src/core/neck/playable';
import { decodePhrase, encodeLibrary } from '../../../src/io/json';
import { OWN_FORM } from '../../support/lesson';
import { memoryIo } from '../../support/memory-io';
import { readSamples } from '../../support/samples';

const LIBRARY = encodeLibrary({
  format: 'degreewise-library',
  version: 2,
  phrases: readSamples().map((s) => s.phrase),
});

async function degreewise(...args: readonly string[]) {
  const io = memoryIo({ files: { 'all.json': LIBRARY } });
  const code = await run(args, io);
  const text = (path: string) => new TextDecoder().decode(io.disk.get(path));
  return { code, out: io.stdout(), err: io.stderr(), text };
}

describe('forms and solo', () => {
  it('show the forms, as text and as data', async () => {
    const { code, out } = await degreewise('forms');
    expect(code).toBe(0);
    expect(out).toMatch(/^blues: twelve-bar blues, blues, 4\/4/mu);
    const { forms } = JSON.parse((await degreewise('forms', '--json')).out);
    expect(forms.map((f: { id: string }) => f.id)).toContain('aaba');
  });

  it('are called by keys and numerals as they are set, whatever is typed', async () => {
    expect((await degreewise('forms')).out).toContain('♯iv°7');
    for (const typed of ['Bb', 'B♭']) {
      const args = ['solo', '--form', 'eight-bars', '--from', 'all.json', '--key', typed];
      const { text } = await degreewise(...args, '-o', 'made.json');
      const solo = decodePhrase(text('made.json'));
      expect(solo.ok && solo.value.meta.title).toBe('Solo over eight-bar blues in B♭');
    }
  });

  it('lay phrases over a form, say why, and write a phrase that can be played', async () => {
    const args = ['solo', '--form', 'eight-bars', '--from', 'all.json', '--key', 'E'];
    const told = await degreewise(...args);
    expect(told.code, told.err).toBe(0);
    expect(told.out).toMatch(/^Bars? 1/mu);
    const { choruses } = JSON.parse((await degreewise(...args, '--json')).out);
    expect(choruses[0].parts[0].firstBar).toBeGreaterThan(0);
    const written = await degreewise(...args, '-o', 'solo.json');
    const read = decodePhrase(written.text('solo.json'));
    if (!read.ok) throw new Error(read.problems[0]?.message);
    expect(checkPlayable(read.value)).toEqual([]);
  });

  it('pins a phrase by its title, leaves bars empty, and names a pin that is wrong', async () => {
    const args = ['solo', '--form', 'blues', '--from', 'all.json', '--key', 'G', '--json'];
    const made = await degreewise(...args, '--pin', '5=Third Rung', '--leave', '7,8');
    expect(made.code, made.err).toBe(0);
    const [chorus] = JSON.parse(made.out).choruses;
    const fifth = chorus.parts.find((p: { firstBar: number }) => p.firstBar === 5);
    expect(fifth.phrase).toBe('Third Rung');
    const onPurpose = chorus.empty.filter((e: { why: string }) => e.why.includes('on purpose'));
    expect(onPurpose.map((e: { bar: number }) => e.bar)).toEqual([7, 8]);
    expect((await degreewise(...args, '--pin', '5')).err).toContain("in --pin: '5' is no bar");
    expect((await degreewise(...args, '--pin', '5=Nobody')).err).toContain("no phrase 'Nobody'");
    expect((await degreewise(...args, '--wish', 'fire')).err).toContain('--wish');
    expect((await degreewise(...args, '--leave', '0')).err).toContain("'0' is no bar");
  });

  it('take a form and a pin by their titles, whatever the capitals, and say what is near', async () => {
    const over = (form: string, ...more: string[]) =>
      degreewise('solo', '--form', form, '--from', 'all.json', '--json', ...more);
    for (const form of ['Blues', 'Twelve-Bar Blues', ' eight-bar blues']) {
      const made = await over(form, '--pin', '1=third rung');
      expect(made.code, made.err).toBe(0);
      expect(JSON.parse(made.out).choruses[0].parts[0].phrase).toBe('Third Rung');
    }
    const slip = await over('blus');
    expect(slip.err).toContain("there is no form 'blus'. Perhaps 'blues' is meant. Add --form");
    expect((await over('blues', '--sed', '3')).err).toContain(
      "--sed here. Perhaps '--seed' is meant.",
    );
  });

  it('say that a key has no signature, and that a level leaves nothing', async () => {
    const args = ['solo', '--form', 'blues', '--from', 'all.json'];
    const sharp = await degreewise(...args, '--key', 'G#');
    expect([sharp.code, sharp.err]).toEqual([
      1,
      '--key: G# blues has no key signature: it would need more than seven accidentals. Use Ab blues, which sounds the same.\n',
    ]);
    const flat = await degreewise(...args, '--key', 'Fb');
    expect(flat.err).toContain('Use E blues, which sounds the same.');
    // Of a minor key only the tonic is taken, and the minor form has its signature.
    expect((await degreewise(...args, '--key', 'G#m')).err).toContain('Use Ab blues');
    const minor = ['solo', '--form', 'minor-blues', '--from', 'all.json', '--key', 'G#m'];
    expect((await degreewise(...minor)).code).toBe(0);
    const three = ['solo', '--form', 'one-chord', '--meter', '12/8', '--from', 'all.json'];
    expect((await degreewise(...three, '--level', '1')).err).toContain('and of level 1 at most');
  });

  it('read phrases, or a form, from the standard input, which can be read once', async () => {
    const said = async (input: string, ...args: string[]) => {
      const io = memoryIo({ files: { 'all.json': LIBRARY, '-': input } });
      return { code: await run(['solo', ...args], io), err: io.stderr() };
    };
    const form = JSON.stringify(OWN_FORM);
    expect(await said(LIBRARY, '--form', 'eight-bars', '--from', '-')).toMatchObject({ code: 0 });
    expect(await said(form, '--form', '-', '--from', 'all.json')).toMatchObject({ code: 0 });
    const twice = await said(form, '--form', '-', '--from', '-');
    expect([twice.code, twice.err]).toEqual([
      2,
      expect.stringContaining('the standard input can be read only once'),
    ]);
  });

  it('draws by a seed, printed or written: it is no seed of a band', async () => {
    const args = ['solo', '--form', 'eight-bars', '--from', 'all.json', '--seed', '5'];
    args.push('--tempo', '72', '--feel', 'straight');
    const printed = await degreewise(...args, '--json');
    expect(printed.code, printed.err).toBe(0);
    const written = await degreewise(...args, '-o', 'solo.json');
    expect(written.code, written.err).toBe(0);
    const read = decodePhrase(written.text('solo.json'));
    if (!read.ok) throw new Error(read.problems[0]?.message);
    expect(JSON.parse(printed.out).choruses[0].phrase.voices).toEqual(read.value.voices);
    expect([read.value.tempo.bpm, read.value.feel.kind]).toEqual([72, 'straight']);
    const { out } = await degreewise('help', 'solo');
    expect(out.match(/^ {2}--seed /gmu)).toHaveLength(1);
  });

  it('read the part and the octave that are asked for', async () => {
    const note = (step: string, octave: number) =>
      `<note><pitch><step>${step}</step><octave>${octave}</octave></pitch><duration>1</duration><type>quarter</type></note>`;
    const part = (id: string, octave: number) =>
      `<part id="${id}"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>${['E', 'G', 'A', 'G'].map((x) => note(x, octave)).join('')}</measure></part>`;
    const names = ['P1', 'P2'].map(
      (id) => `<score-part id="${id}"><part-name>${id}</part-name></score-part>`,
    );
    const score = `<score-partwise><part-list>${names.join('')}</part-list>${part('P1', 3)}${part('P2', 4)}</score-partwise>`;
    const first = async (...args: readonly string[]) => {
      const io = memoryIo({ files: { 'a.musicxml': score } });
      const asked = ['solo', '--form', 'one-chord', '--from', 'a.musicxml', '--key', 'E', '--json'];
      expect(await run([...asked, ...args], io), io.stderr()).toBe(0);
      // The octave it was read in, whatever octave suits the form.
      const [chorus] = JSON.parse(io.stdout()).choruses;
      return chorus.phrase.voices[0].events[0].notes[0].pitch.octave - chorus.parts[0].octaves;
    };
    const [low, second, higher] = [
      await first(),
      await first('--part', '2'),
      await first('--octave', '1'),
    ];
    expect([second - low, higher - low]).toEqual([1, 1]);
    const io = memoryIo({ files: { 'a.musicxml': score } });
    expect(await run(['solo', '--form', 'blues', '--from', 'a.musicxml', '--part', 'x'], io)).toBe(
      2,
    );
    expect(io.stderr()).toContain('--part');
  });

  it('say what a file under --form holds instead', async () => {
    const args = ['solo', '--from', 'all.json', '--form'];
    const { code, err } = await degreewise(...args, 'all.json');
    expect(code).toBe(1);
    expect(err).toContain(`no song form here, but ${readSamples().length} phrases`);
    expect(err).toContain('--from');
    // One that cannot be read says why, and of one with another ending that it is no form.
    expect((await degreewise(...args, 'gone.mid')).err).toContain('gone.mid');
  });

  it('say what is wrong', async () => {
    const from = ['--from', 'all.json'];
    const wrong = async (...args: readonly string[]) => {
      const { code, err } = await degreewise('solo', ...args);
      expect(code).toBe(2);
      return err;
    };
    expect(await wrong(...from)).toContain('the form is missing');
    expect(await wrong(...from, '--form', 'x')).toContain("no form 'x'");
    expect(await wrong('--form', 'blues')).toContain('where the phrases are is missing');
    expect(await wrong(...from, '--form', 'blues', '--key', 'H')).toContain("'H' is no key");
    expect(await wrong(...from, '--form', 'blues', '--level', '9')).toContain('--level');
    for (const bad of [
      ['tempo', '9'],
      ['tempo', ''],
      ['feel', 'funky'],
      ['meter', '4/3'],
    ] as const)
      expect(await wrong(...from, '--form', 'blues', `--${bad[0]}=${bad[1]}`)).toContain(bad[0]);
    const none = await degreewise('solo', '--form', 'blues', '--from', 'gone.json');
    expect(none.code).toBe(1);
    const bars = Array.from({ length: 12 }, (_, i) => i + 1).join();
    const rests = await degreewise('solo', ...from, '--form', 'blues', '--leave', bars);
    expect([rests.code, rests.err]).toEqual([1, expect.stringContaining('every bar is left')]);
    const named = await degreewise('solo', ...from, '--form', 'blues', '--pin', '1=Nobody');
    // What is advised can be done, and shows the ids.
    const advised = /'degreewise (\w+) "" FILE... --json'/u.exec(named.err)?.[1] ?? '';
    const shown = await degreewise(advised, '', 'all.json', '--json');
    expect(shown.out).toContain(`"id": "${readSamples()[0]!.phrase.id}"`);
    const forms = await degreewise('forms', 'blues');
    expect([forms.code, forms.err]).toEqual([2, expect.stringContaining("'blues'")]);
  });
});
