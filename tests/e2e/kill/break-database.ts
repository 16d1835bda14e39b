import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/**
 * Changes one byte in the middle of the logs of a profile's databases, as a torn write that was
 * written behind; at its next start the browser deletes them. The browser must not be running.
 */
export function breakDatabase(profile: string): void {
  const folder = path.join(profile, 'Default', 'IndexedDB');
  const logs = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((f) => f.endsWith('.log'))
    .map((f) => path.join(folder, f));
  for (const log of logs) {
    const bytes = readFileSync(log);
    bytes.writeUInt8(bytes.readUInt8(bytes.length >> 1) ^ 0xff, bytes.length >> 1);
    writeFileSync(log, bytes);
  }
}
