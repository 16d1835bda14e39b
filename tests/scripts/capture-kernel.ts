import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/**
 * `npx tsx tests/scripts/capture-kernel.ts` prints the kernel of the capture model in base64, as it stands in
 * `src/sound/capture/kernel-bytes.ts`; needs `wat2wasm` (Debian's wabt). Two rows of x by sixteen outputs at a
 * time was the fastest of twelve shapes that were measured.
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

const multiply = `(func (export "gemm") (param $x i32) (param $xs i32) (param $w i32) (param $y i32) (param $ys i32) (param $rows i32) (param $K i32)
 (local $k i32) (local $wp i32)
 ${lines(rows, (r) => `(local $v${r} v128) (local $x${r} i32) (local $y${r} i32)`)}
 ${lines(vectors, (i) => `(local $w${i} v128)`)}
 ${lines(all, ([r, i]) => `(local $a${r}_${i} v128)`)}
 (local.set $xs (i32.shl (local.get $xs) (i32.const 2)))
 (local.set $ys (i32.shl (local.get $ys) (i32.const 2)))
 (loop $row
 ${lines(rows, (r) => `${next('x', r, 'xs')} ${next('y', r, 'ys')}`)}
 ${lines(all, ([r, i]) => `(local.set $a${r}_${i} (v128.load offset=${i * 16} (local.get $y${r})))`)}
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

const cut = (name: string, params: string, from: string, step: string) =>
  `(func (export "${name}") (param $x i32) ${params} (param $n i32)
 (loop $each (v128.store (local.get $x) (f32x4.max ${from} (v128.const f32x4 0 0 0 0)))
 ${advance('x', '(i32.const 16)')} ${step} ${advance('n', '(i32.const -4)')} (br_if $each (i32.gt_s (local.get $n) (i32.const 0)))))`;

const text = `(module (memory (export "memory") 1)
${multiply}
${cut('relu', '', '(v128.load (local.get $x))', '')}
${cut('addrelu', '(param $y i32)', '(f32x4.add (v128.load (local.get $x)) (v128.load (local.get $y)))', advance('y', '(i32.const 16)'))})`;

const folder = mkdtempSync(path.join(tmpdir(), 'kernel-'));
writeFileSync(path.join(folder, 'kernel.wat'), text);
execFileSync('wat2wasm', [path.join(folder, 'kernel.wat'), '-o', path.join(folder, 'kernel.wasm')]);
console.log(readFileSync(path.join(folder, 'kernel.wasm')).toString('base64'));
