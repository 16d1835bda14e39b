/** A message as it was sent, with the moment for which it was. */
export interface SentMidi {
  readonly data: readonly number[];
  /** Milliseconds. */
  readonly time: number;
}

/** A note as a receiver hears it. */
export interface HeardNote {
  readonly channel: number;
  readonly key: number;
  readonly on: number;
  readonly off: number;
  /** Cents over middle C's own number 0, from each moment on. */
  readonly pitch: readonly { readonly time: number; readonly cents: number }[];
}

interface Channel {
  rpn: [msb: number, lsb: number];
  range: number;
  bend: number;
  open: { key: number; on: number; pitch: { time: number; cents: number }[] } | null;
}

/**
 * What a receiver of MIDI 1.0 that has one voice a channel makes of messages: registered parameter 0 sets
 * the range of the bends (2 semitones until then), a bend changes what sounds, controller 123 ends it. Written
 * from the standard, and with nothing of ours.
 */
export function hearMidi(sent: readonly SentMidi[]): readonly HeardNote[] {
  const order = sent.map((m, i) => ({ ...m, i })).sort((a, b) => a.time - b.time || a.i - b.i);
  const notes: HeardNote[] = [];
  const channels = new Map<number, Channel>();
  for (const { data, time } of order) {
    const [status = 0, a = 0, b = 0] = data;
    const number = status & 15;
    const c = channels.get(number) ?? { rpn: [127, 127], range: 2, bend: 0, open: null };
    channels.set(number, c);
    const cents = (key: number) => 100 * key + (c.bend * c.range * 100) / 8192;
    const end = () => {
      if (c.open !== null) notes.push({ channel: number, off: time, ...c.open });
      c.open = null;
    };
    switch (status >> 4) {
      case 0x9:
        if (c.open !== null) throw new Error(`channel ${number} strikes ${a} over ${c.open.key}`);
        c.open = { key: a, on: time, pitch: [{ time, cents: cents(a) }] };
        break;
      case 0x8:
        if (c.open?.key === a) end();
        break;
      case 0xb:
        if (a === 101) c.rpn[0] = b;
        else if (a === 100) c.rpn[1] = b;
        else if (a === 6 && c.rpn[0] === 0 && c.rpn[1] === 0) c.range = b;
        else if (a === 123) end();
        break;
      case 0xe:
        c.bend = a + 128 * b - 8192;
        c.open?.pitch.push({ time, cents: cents(c.open.key) });
    }
  }
  return notes.sort((x, y) => x.on - y.on || x.channel - y.channel);
}
