/** Fetches the neck, on its own or ahead of its use. */
export function fetchNeck() {
  return import('./neck').then((m) => ({ default: m.Neck }));
}
