// Writes kernel.wat (SIMD kernels) and, with wat2wasm (Debian 'wabt'), kernel.wasm.
// gemm: y[r][0..16) += sum_k x[r*xs + k] * w[k][0..16), two rows at a time (rows even); strides in floats. Two rows by four
// vectors was the fastest of twelve shapes measured here (18.6 GFLOP/s; 1 x 12 vectors 9.8).
import { execFileSync } from 'child_process';
import fs from 'fs';

const rb = 2,
  nv = 4,
  r_ = [...Array(rb).keys()],
  n_ = [...Array(nv).keys()],
  A = r_.flatMap((r) => n_.map((i) => [r, i]));
const gemm = (
  fma,
) => `(func (export "gemm") (param $x i32) (param $xs i32) (param $w i32) (param $y i32) (param $ys i32) (param $rows i32) (param $K i32)
 (local $k i32) (local $wp i32) ${r_.map((r) => `(local $v${r} v128) (local $x${r} i32) (local $y${r} i32)`).join(' ')} ${n_.map((i) => `(local $w${i} v128)`).join(' ')} ${A.map(([r, i]) => `(local $a${r}_${i} v128)`).join(' ')}
 (local.set $xs (i32.shl (local.get $xs) (i32.const 2))) (local.set $ys (i32.shl (local.get $ys) (i32.const 2)))
 (loop $row
  ${r_.map((r) => `(local.set $x${r} ${r ? `(i32.add (local.get $x${r - 1}) (local.get $xs))` : '(local.get $x)'}) (local.set $y${r} ${r ? `(i32.add (local.get $y${r - 1}) (local.get $ys))` : '(local.get $y)'})`).join(' ')}
  ${A.map(([r, i]) => `(local.set $a${r}_${i} (v128.load offset=${i * 16} (local.get $y${r})))`).join(' ')}
  (local.set $k (local.get $K)) (local.set $wp (local.get $w))
  (loop $kk
   ${n_.map((i) => `(local.set $w${i} (v128.load offset=${i * 16} (local.get $wp)))`).join(' ')}
   ${r_.map((r) => `(local.set $v${r} (v128.load32_splat (local.get $x${r}))) ${n_.map((i) => (fma ? `(local.set $a${r}_${i} (f32x4.relaxed_madd (local.get $v${r}) (local.get $w${i}) (local.get $a${r}_${i})))` : `(local.set $a${r}_${i} (f32x4.add (local.get $a${r}_${i}) (f32x4.mul (local.get $v${r}) (local.get $w${i}))))`)).join(' ')} (local.set $x${r} (i32.add (local.get $x${r}) (i32.const 4)))`).join(' ')}
   (local.set $wp (i32.add (local.get $wp) (i32.const ${nv * 16}))) (local.set $k (i32.sub (local.get $k) (i32.const 1))) (br_if $kk (local.get $k)))
  ${A.map(([r, i]) => `(v128.store offset=${i * 16} (local.get $y${r}) (local.get $a${r}_${i}))`).join(' ')}
  (local.set $x (i32.add (local.get $x) (i32.mul (local.get $xs) (i32.const ${rb})))) (local.set $y (i32.add (local.get $y) (i32.mul (local.get $ys) (i32.const ${rb}))))
  (local.set $rows (i32.sub (local.get $rows) (i32.const ${rb}))) (br_if $row (i32.gt_s (local.get $rows) (i32.const 0)))))`;
const wat = (fma) => `(module (memory (export "memory") 1)
${gemm(fma)}
(func (export "relu") (param $x i32) (param $n i32)
  (loop $l (v128.store (local.get $x) (f32x4.max (v128.load (local.get $x)) (v128.const f32x4 0 0 0 0)))
   (local.set $x (i32.add (local.get $x) (i32.const 16))) (local.set $n (i32.sub (local.get $n) (i32.const 4))) (br_if $l (i32.gt_s (local.get $n) (i32.const 0)))))
(func (export "addrelu") (param $x i32) (param $y i32) (param $n i32)
  (loop $l (v128.store (local.get $x) (f32x4.max (f32x4.add (v128.load (local.get $x)) (v128.load (local.get $y))) (v128.const f32x4 0 0 0 0)))
   (local.set $x (i32.add (local.get $x) (i32.const 16))) (local.set $y (i32.add (local.get $y) (i32.const 16))) (local.set $n (i32.sub (local.get $n) (i32.const 4))) (br_if $l (i32.gt_s (local.get $n) (i32.const 0)))))
)`;
const d = new URL('.', import.meta.url).pathname;
for (const [name, fma] of [
  ['kernel', false],
  ['kernel-fma', true],
]) {
  fs.writeFileSync('/tmp/' + name + '.wat', wat(fma));
  execFileSync('wat2wasm', [
    ...(fma ? ['--enable-relaxed-simd'] : []),
    '/tmp/' + name + '.wat',
    '-o',
    d + name + '.wasm',
  ]);
  console.log(name, fs.statSync(d + name + '.wasm').size, 'bytes');
}
