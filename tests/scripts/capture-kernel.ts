import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/**
 * `npx tsx tests/scripts/capture-kernel.ts` prints the kernel of the capture model in base64, as it stands in
 * `src/sound/capture/kernel-bytes.ts`; needs `wat2wasm` (Debian's wabt). Two rows of x by sixteen outputs at a
 * time was the fastest of twelve shapes that were measured; two or four rows of w in one round of the loop take half
 * as long again (engines run out of registers). `spread` and `join` are the two ends of a convolution of three
 * taps, four outputs at once (Winograd's F(4, 3): Lavin and Gray, "Fast Algorithms for Convolutional Neural
 * Networks", 2015; the matrices are from memory, and held by a test against plain sums).
 */
const rows = [0, 1];
const vectors = [0, 1, 2, 3];
const all = rows.flatMap((r) => vectors.map((i) => [r, i] as const));
const lines = <T>(list: readonly T[], text: (x: T) => string) => list.map(text).join('\n ');
const next = (name: string, r: number, step: string) =>
  r === 0
    ? `(local.set $${name}0 (local.get $${name}))`
    : `(local.set $${name}${r} (i32.add (local.get $${name}${r - 1}) (local.get $${step})))`;
const advance = (name: string, by: string) =>
  `(local.set $${name} (i32.add (local.get $${name}) ${by}))`;

const bytes = (name: string) => `(local.set $${name} (i32.shl (local.get $${name}) (i32.const 2)))`;
const upTo = (n: number) => Array.from({ length: n }, (_, i) => i);
const ZERO = '(v128.const f32x4 0 0 0 0)';

/** A product of matrices, added to what is there or in its place. */
const multiply = (
  name: string,
  onto: boolean,
) => `(func (export "${name}") (param $x i32) (param $xs i32) (param $w i32) (param $y i32) (param $ys i32) (param $rows i32) (param $K i32)
 (local $k i32) (local $wp i32)
 ${lines(rows, (r) => `(local $v${r} v128) (local $x${r} i32) (local $y${r} i32)`)}
 ${lines(vectors, (i) => `(local $w${i} v128)`)}
 ${lines(all, ([r, i]) => `(local $a${r}_${i} v128)`)}
 ${bytes('xs')} ${bytes('ys')}
 (loop $row
 ${lines(rows, (r) => `${next('x', r, 'xs')} ${next('y', r, 'ys')}`)}
 ${lines(all, ([r, i]) => `(local.set $a${r}_${i} ${onto ? `(v128.load offset=${i * 16} (local.get $y${r}))` : ZERO})`)}
 (local.set $k (local.get $K)) (local.set $wp (local.get $w))
 (loop $each
 ${lines(vectors, (i) => `(local.set $w${i} (v128.load offset=${i * 16} (local.get $wp)))`)}
 ${lines(
   rows,
   (
     r,
   ) => `(local.set $v${r} (v128.load32_splat (local.get $x${r}))) ${vectors.map((i) => `(local.set $a${r}_${i} (f32x4.add (local.get $a${r}_${i}) (f32x4.mul (local.get $v${r}) (local.get $w${i}))))`).join(' ')}
 ${advance(`x${r}`, '(i32.const 4)')}`,
 )}
 ${advance('wp', '(i32.const 64)')} ${advance('k', '(i32.const -1)')} (br_if $each (local.get $k)))
 ${lines(all, ([r, i]) => `(v128.store offset=${i * 16} (local.get $y${r}) (local.get $a${r}_${i}))`)}
 ${advance('x', '(i32.shl (local.get $xs) (i32.const 1))')} ${advance('y', '(i32.shl (local.get $ys) (i32.const 1))')}
 ${advance('rows', '(i32.const -2)')} (br_if $row (i32.gt_s (local.get $rows) (i32.const 0)))))`;

const cut = `(func (export "cut") (param $x i32) (param $n i32)
 (loop $each (v128.store (local.get $x) (f32x4.max (v128.load (local.get $x)) ${ZERO}))
 ${advance('x', '(i32.const 16)')} ${advance('n', '(i32.const -4)')} (br_if $each (i32.gt_s (local.get $n) (i32.const 0)))))`;

const plus = (a: string, b: string) => `(f32x4.add ${a} ${b})`;
const minus = (a: string, b: string) => `(f32x4.sub ${a} ${b})`;
const times = (n: number, a: string) => `(f32x4.mul (v128.const f32x4 ${n} ${n} ${n} ${n}) ${a})`;
const a = (i: number) => `(local.get $a${i})`;

/** The six values of four outputs, from the six inputs they see. */
const SPREAD = [
  plus(minus(times(4, a(0)), times(5, a(2))), a(4)),
  minus(plus(a(3), a(4)), times(4, plus(a(1), a(2)))),
  plus(minus(a(4), a(3)), times(4, minus(a(1), a(2)))),
  plus(minus(a(4), a(2)), times(2, minus(a(3), a(1)))),
  minus(minus(a(4), a(2)), times(2, minus(a(3), a(1)))),
  plus(minus(times(4, a(1)), times(5, a(3))), a(5)),
];
/** And the outputs from six. */
const JOIN = [
  plus(plus(a(0), plus(a(1), a(2))), plus(a(3), a(4))),
  plus(minus(a(1), a(2)), times(2, minus(a(3), a(4)))),
  plus(plus(a(1), a(2)), times(4, plus(a(3), a(4)))),
  plus(plus(minus(a(1), a(2)), times(8, minus(a(3), a(4)))), a(5)),
];

/** Places a step apart, from a first one on. */
const places = (name: string, from: string, step: string, count: number) =>
  lines(upTo(count), (i) =>
    i === 0
      ? `(local.set $${name}0 (local.get $${from}))`
      : `(local.set $${name}${i} (i32.add (local.get $${name}${i - 1}) (local.get $${step})))`,
  );
const further = (name: string, count: number) =>
  lines(upTo(count), (i) => advance(`${name}${i}`, '(i32.const 16)'));
const locals = (name: string, count: number, type: string) =>
  upTo(count)
    .map((i) => `(local $${name}${i} ${type})`)
    .join(' ');
const loadSix = lines(upTo(6), (i) => `(local.set $a${i} (v128.load (local.get $p${i})))`);

const spread = `(func (export "spread") (param $x i32) (param $step i32) (param $apart i32) (param $v i32) (param $plane i32) (param $tiles i32)
 (local $c i32) ${locals('p', 6, 'i32')} ${locals('q', 6, 'i32')} ${locals('a', 6, 'v128')}
 ${['step', 'apart', 'plane'].map(bytes).join(' ')}
 (loop $tile
 ${places('p', 'x', 'step', 6)} ${places('q', 'v', 'plane', 6)}
 (local.set $c (i32.const 16))
 (loop $each
 ${loadSix}
 ${SPREAD.map((sum, i) => `(v128.store (local.get $q${i}) ${sum})`).join('\n ')}
 ${further('p', 6)} ${further('q', 6)}
 ${advance('c', '(i32.const -1)')} (br_if $each (local.get $c)))
 ${advance('x', '(local.get $apart)')} ${advance('v', '(i32.const 256)')}
 ${advance('tiles', '(i32.const -1)')} (br_if $tile (local.get $tiles))))`;

const joinSum = (sum: string, i: number, onto: boolean) => {
  const biased = plus(sum, `(v128.load (local.get $r${i}))`);
  const whole = onto ? plus(biased, `(v128.load (local.get $q${i}))`) : biased;
  return `(v128.store (local.get $q${i}) (f32x4.max ${whole} ${ZERO}))`;
};
const join = (
  name: string,
  onto: boolean,
) => `(func (export "${name}") (param $v i32) (param $plane i32) (param $b i32) (param $bstep i32) (param $bapart i32) (param $y i32) (param $step i32) (param $apart i32) (param $tiles i32)
 (local $c i32) ${locals('p', 6, 'i32')} ${locals('q', 4, 'i32')} ${locals('r', 4, 'i32')} ${locals('a', 6, 'v128')}
 ${['plane', 'bstep', 'bapart', 'step', 'apart'].map(bytes).join(' ')}
 (loop $tile
 ${places('p', 'v', 'plane', 6)} ${places('q', 'y', 'step', 4)} ${places('r', 'b', 'bstep', 4)}
 (local.set $c (i32.const 16))
 (loop $each
 ${loadSix}
 ${JOIN.map((sum, i) => joinSum(sum, i, onto)).join('\n ')}
 ${further('p', 6)} ${further('q', 4)} ${further('r', 4)}
 ${advance('c', '(i32.const -1)')} (br_if $each (local.get $c)))
 ${advance('v', '(i32.const 256)')} ${advance('b', '(local.get $bapart)')} ${advance('y', '(local.get $apart)')}
 ${advance('tiles', '(i32.const -1)')} (br_if $tile (local.get $tiles))))`;

const text = `(module (memory (export "memory") 1)
${multiply('multiply', true)}
${multiply('product', false)}
${cut}
${spread}
${join('join', false)}
${join('joinOnto', true)})`;

const folder = mkdtempSync(path.join(tmpdir(), 'kernel-'));
writeFileSync(path.join(folder, 'kernel.wat'), text);
execFileSync('wat2wasm', [path.join(folder, 'kernel.wat'), '-o', path.join(folder, 'kernel.wasm')]);
console.log(readFileSync(path.join(folder, 'kernel.wasm')).toString('base64'));
