/** 128 random bits in hexadecimal; also where `crypto.randomUUID` is missing, on plain http. */
export function randomId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))]
    .map((b) => b.toString(16).padStart(2, '0'))
    .join('');
}
