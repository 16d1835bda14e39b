/**
 * A random identity of 26 letters and digits, 128 bits. `crypto.randomUUID` would need a secure
 * address, which a machine in the same room does not have.
 */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(26));
  return Array.from(bytes, (b) => SIGNS[b % SIGNS.length]).join('');
}

/** Thirty-two signs, so that every byte is used evenly; none that reads like another. */
const SIGNS = '0123456789abcdefghjkmnpqrstvwxyz';
