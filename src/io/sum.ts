/**
 * A number that goes with texts: 52 bits, of FNV-1a twice with 32 (G. Fowler, L. Noll and K.-P. Vo). Against damage,
 * not against malice.
 */
export function sumOf(...texts: readonly string[]): number {
  let [a, b] = [0x811c_9dc5, 0x0135_32a7];
  for (const part of texts) {
    for (let i = 0; i < part.length; i++) {
      const c = part.charCodeAt(i);
      a = Math.imul(a ^ c, 0x0100_0193);
      b = Math.imul(b ^ (c + i), 0x0100_0193);
    }
  }
  return (a >>> 0) * 0x10_0000 + ((b >>> 8) & 0xf_ffff);
}
