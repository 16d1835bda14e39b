import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/**
 * `npx tsx tests/scripts/spectra-kernel.ts` prints the kernel of the capture model's spectra in base64, as it stands in
 * `src/sound/capture/spectra-bytes.ts`; needs `wat2wasm` (Debian's wabt). It does what `front-end.ts` and `dsp/fft.ts` do in
 * TypeScript, operation by operation, but for two frames beside each other: each value of 16 bytes is that of both. So what
 * comes out is the same to the last bit.
 */
const get = (name: string) => `(local.get $${name})`;
const set = (name: string, value: string) => `(local.set $${name} ${value})`;
const add = (a: string, b: string) => `(i32.add ${a} ${b})`;
const at = (base: string, index: string, shift: number) =>
  add(get(base), `(i32.shl ${index} (i32.const ${shift}))`);
const i32 = (n: number) => `(i32.const ${n})`;
const plus = (a: string, b: string) => `(f64x2.add ${a} ${b})`;
const minus = (a: string, b: string) => `(f64x2.sub ${a} ${b})`;
const times = (a: string, b: string) => `(f64x2.mul ${a} ${b})`;
const load = (place: string, offset = 0) => `(v128.load offset=${offset} ${place})`;
const splat = (place: string) => `(v128.load64_splat ${place})`;
const store = (place: string, value: string) => `(v128.store ${place} ${value})`;
const locals = (type: string, names: string) =>
  names
    .split(' ')
    .map((n) => `(local $${n} ${type})`)
    .join(' ');
const params = (names: string) =>
  names
    .split(' ')
    .map((n) => `(param $${n} i32)`)
    .join(' ');
/** A loop with a counter from a value up to another, at least once. */
const each = (name: string, counter: string, from: string, to: string, body: string) =>
  `${set(counter, from)} (loop $${name} ${body} ${set(counter, add(get(counter), i32(1)))} (br_if $${name} (i32.lt_s ${get(counter)} ${to})))`;
const HALF = '(v128.const f64x2 0.5 0.5)';

/** Even and odd samples under a window, as real and imaginary parts, each where the transform begins with it. */
const sample = (offset: number) =>
  `(f64x2.promote_low_f32x4 (f32x4.replace_lane 1 (f32x4.splat (f32.load offset=${offset} ${get('a')})) (f32.load offset=${offset} ${get('b')})))`;
const gather = `(func (export "gather") ${params('x hop window place half zr zi')}
 ${locals('i32', 'i a b w to')}
 ${each(
   'all',
   'i',
   i32(0),
   get('half'),
   `${set('a', at('x', get('i'), 3))} ${set('b', add(get('a'), `(i32.shl ${get('hop')} ${i32(2)})`))}
 ${set('w', at('window', get('i'), 4))}
 ${set('to', `(i32.shl (i32.load ${at('place', get('i'), 2)}) ${i32(4)})`)}
 ${store(add(get('zr'), get('to')), times(sample(0), splat(get('w'))))}
 ${store(add(get('zi'), get('to')), times(sample(4), splat(add(get('w'), i32(8)))))}`,
 )})`;

/** Two stages at once, as `twoStages` of `dsp/fft.ts`. */
const pair = (re: string, im: string, c: string, s: string) => [
  minus(times(get(re), get(c)), times(get(im), get(s))),
  plus(times(get(re), get(s)), times(get(im), get(c))),
];
const [bx, by] = pair('br', 'bi', 'c1', 's1');
const [dx, dy] = pair('dr', 'di', 'c1', 's1');
const [cx, cy] = pair('ur', 'ui', 'c2', 's2');
const [ex, ey] = pair('vr', 'vi', 'c3', 's3');
const quads = ['a', 'b', 'c', 'd'];
const twoStages = `(func $two (export "twoStages") ${params('zr zi size half cos sin')}
 ${locals('i32', 'start k step quarter t r0 i0 r1 i1 r2 i2 r3 i3 span')}
 ${locals('v128', 'ar ai br bi cr ci dr di c1 s1 c2 s2 c3 s3 px py ur ui vr vi')}
 ${set('step', `(i32.div_u ${get('size')} (i32.shl ${get('half')} ${i32(2)}))`)}
 ${set('quarter', `(i32.shr_u ${get('size')} ${i32(2)})`)}
 ${set('span', `(i32.shl ${get('half')} ${i32(4)})`)}
 (loop $starts
 ${set('t', i32(0))}
 ${set('r0', at('zr', get('start'), 4))} ${set('i0', at('zi', get('start'), 4))}
 ${each(
   'inner',
   'k',
   i32(0),
   get('half'),
   `${[1, 2, 3].map((n) => `${set(`r${n}`, add(get(`r${n - 1}`), get('span')))} ${set(`i${n}`, add(get(`i${n - 1}`), get('span')))}`).join(' ')}
 ${quads.map((q, n) => `${set(`${q}r`, load(get(`r${n}`)))} ${set(`${q}i`, load(get(`i${n}`)))}`).join(' ')}
 ${set('c1', splat(at('cos', `(i32.shl ${get('t')} ${i32(1)})`, 3)))} ${set('s1', splat(at('sin', `(i32.shl ${get('t')} ${i32(1)})`, 3)))}
 ${set('c2', splat(at('cos', get('t'), 3)))} ${set('s2', splat(at('sin', get('t'), 3)))}
 ${set('c3', splat(at('cos', add(get('t'), get('quarter')), 3)))} ${set('s3', splat(at('sin', add(get('t'), get('quarter')), 3)))}
 ${set('px', bx!)} ${set('py', by!)}
 ${set('br', minus(get('ar'), get('px')))} ${set('bi', minus(get('ai'), get('py')))}
 ${set('ar', plus(get('ar'), get('px')))} ${set('ai', plus(get('ai'), get('py')))}
 ${set('px', dx!)} ${set('py', dy!)}
 ${set('ur', plus(get('cr'), get('px')))} ${set('ui', plus(get('ci'), get('py')))}
 ${set('vr', minus(get('cr'), get('px')))} ${set('vi', minus(get('ci'), get('py')))}
 ${set('px', cx!)} ${set('py', cy!)}
 ${store(get('r0'), plus(get('ar'), get('px')))} ${store(get('i0'), plus(get('ai'), get('py')))}
 ${store(get('r2'), minus(get('ar'), get('px')))} ${store(get('i2'), minus(get('ai'), get('py')))}
 ${set('px', ex!)} ${set('py', ey!)}
 ${store(get('r1'), plus(get('br'), get('px')))} ${store(get('i1'), plus(get('bi'), get('py')))}
 ${store(get('r3'), minus(get('br'), get('px')))} ${store(get('i3'), minus(get('bi'), get('py')))}
 ${set('r0', add(get('r0'), i32(16)))} ${set('i0', add(get('i0'), i32(16)))}
 ${set('t', add(get('t'), get('step')))}`,
 )}
 ${set('start', add(get('start'), `(i32.shl ${get('half')} ${i32(2)})`))}
 (br_if $starts (i32.lt_s ${get('start')} ${get('size')}))))`;

const lastStage = `(func (export "lastStage") ${params('zr zi size cos sin')}
 ${locals('i32', 'a half r0 i0 r1 i1')} ${locals('v128', 'br bi c s px py ar ai')}
 ${set('half', `(i32.shr_u ${get('size')} ${i32(1)})`)}
 ${each(
   'all',
   'a',
   i32(0),
   get('half'),
   `${set('r0', at('zr', get('a'), 4))} ${set('i0', at('zi', get('a'), 4))}
 ${set('r1', add(get('r0'), `(i32.shl ${get('half')} ${i32(4)})`))} ${set('i1', add(get('i0'), `(i32.shl ${get('half')} ${i32(4)})`))}
 ${set('br', load(get('r1')))} ${set('bi', load(get('i1')))}
 ${set('c', splat(at('cos', get('a'), 3)))} ${set('s', splat(at('sin', get('a'), 3)))}
 ${set('px', minus(times(get('br'), get('c')), times(get('bi'), get('s'))))}
 ${set('py', plus(times(get('br'), get('s')), times(get('bi'), get('c'))))}
 ${set('ar', load(get('r0')))} ${set('ai', load(get('i0')))}
 ${store(get('r1'), minus(get('ar'), get('px')))} ${store(get('i1'), minus(get('ai'), get('py')))}
 ${store(get('r0'), plus(get('ar'), get('px')))} ${store(get('i0'), plus(get('ai'), get('py')))}`,
 )})`;

/** The lines of the spectrum of `2 · half` real samples, how strong each is. */
const strength = (re: string, im: string) => `(f64x2.sqrt ${plus(times(re, re), times(im, im))})`;
const ZERO = '(v128.const f64x2 0 0)';
const linesOf = `(func (export "lines") ${params('zr zi half cos sin out')}
 ${locals('i32', 'k j')} ${locals('v128', 'kr ki jr ji er ei or oi c s re im')}
 ${set('re', plus(load(get('zr')), load(get('zi'))))} ${store(get('out'), strength(get('re'), ZERO))}
 ${set('re', minus(load(get('zr')), load(get('zi'))))} ${store(at('out', get('half'), 4), strength(get('re'), ZERO))}
 ${each(
   'all',
   'k',
   i32(1),
   get('half'),
   `${set('j', `(i32.sub ${get('half')} ${get('k')})`)}
 ${set('kr', load(at('zr', get('k'), 4)))} ${set('ki', load(at('zi', get('k'), 4)))}
 ${set('jr', load(at('zr', get('j'), 4)))} ${set('ji', load(at('zi', get('j'), 4)))}
 ${set('er', times(plus(get('kr'), get('jr')), HALF))} ${set('ei', times(minus(get('ki'), get('ji')), HALF))}
 ${set('or', times(plus(get('ki'), get('ji')), HALF))} ${set('oi', times(minus(get('jr'), get('kr')), HALF))}
 ${set('c', splat(at('cos', get('k'), 3)))} ${set('s', splat(at('sin', get('k'), 3)))}
 ${set('re', minus(plus(get('er'), times(get('c'), get('or'))), times(get('s'), get('oi'))))}
 ${set('im', plus(plus(get('ei'), times(get('c'), get('oi'))), times(get('s'), get('or'))))}
 ${store(at('out', get('k'), 4), strength(get('re'), get('im')))}`,
 )})`;

const bands = `(func (export "bands") ${params('from weights count lines sums')}
 ${locals('i32', 'b i end line')} ${locals('v128', 'sum')}
 ${each(
   'all',
   'b',
   i32(0),
   get('count'),
   `${set('i', `(i32.load ${at('from', get('b'), 3)})`)} ${set('end', `(i32.load offset=4 ${at('from', get('b'), 3)})`)}
 ${set('line', at('lines', get('i'), 4))} ${set('sum', ZERO)}
 (block $none (loop $weights (br_if $none (i32.ge_s ${get('i')} ${get('end')}))
 ${set('sum', plus(get('sum'), times(splat(get('weights')), load(get('line')))))}
 ${set('weights', add(get('weights'), i32(8)))} ${set('line', add(get('line'), i32(16)))} ${set('i', add(get('i'), i32(1)))}
 (br $weights)))
 ${store(at('sums', get('b'), 4), get('sum'))}`,
 )})`;

const text = `(module (memory (export "memory") 1)
${[gather, twoStages, lastStage, linesOf, bands].join('\n')})`;

const folder = mkdtempSync(path.join(tmpdir(), 'kernel-'));
writeFileSync(path.join(folder, 'kernel.wat'), text);
execFileSync('wat2wasm', [path.join(folder, 'kernel.wat'), '-o', path.join(folder, 'kernel.wasm')]);
console.log(readFileSync(path.join(folder, 'kernel.wasm')).toString('base64'));
