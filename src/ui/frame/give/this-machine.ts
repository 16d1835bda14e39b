/** Whether a page under this name is seen from its own machine only (RFC 6761 for names, RFC 1122 for 127/8). */
export function isOfThisMachine(hostname: string): boolean {
  return /^(?:localhost|.+\.localhost|127(?:\.\d+){3}|\[::1\])$/u.test(hostname);
}
