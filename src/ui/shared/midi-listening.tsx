import { useEffect, useId, useRef, useState } from 'react';
import { type Channels, Gatherer, type Struck, TOGETHER } from '../../io/midi-in/gather';
import { MidiParser } from '../../io/midi-in/parse';

/** How the instrument numbers its strings. */
type Sending = 'one channel for all' | 'one channel a string';

const SENDING: readonly Sending[] = ['one channel for all', 'one channel a string'];

interface Props {
  /** Strings of the instrument that is played, where it sends each on a channel of its own. */
  readonly strings: number;
  /** What becomes of what is struck. */
  readonly invitation: string;
  /** What was struck together; one pitch at least. */
  readonly onStruck: (struck: readonly Struck[]) => void;
}

/** Listens to MIDI instruments once it is asked to, and hands on what is struck together. */
export function MidiListening({ strings, invitation, onStruck }: Props) {
  const [access, setAccess] = useState<MIDIAccess | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [sending, setSending] = useState<Sending>('one channel for all');
  const [first, setFirst] = useState(1);
  const inputs = useInputs(access);
  // What was heard half must not be forgotten when the page is drawn again.
  const latest = useRef(onStruck);
  useEffect(() => {
    latest.current = onStruck;
  }, [onStruck]);
  useEffect(() => {
    if (access === null) return;
    const channels: Channels =
      sending === 'one channel for all'
        ? { kind: 'one' }
        : { kind: 'a string each', first: first - 1, strings };
    return listen(inputs, channels, (struck) => latest.current(struck));
  }, [access, inputs, sending, first, strings]);
  if (typeof navigator.requestMIDIAccess !== 'function') {
    return (
      <p>This browser cannot hear MIDI instruments. Another one may; everything else works.</p>
    );
  }
  const connect = () => {
    navigator.requestMIDIAccess().then(
      (granted) => {
        setAccess(granted);
        setTrouble(null);
      },
      () => setTrouble('The browser did not allow it. Allow MIDI for this page and try again.'),
    );
  };
  if (access === null) {
    return (
      <>
        <p>{invitation}</p>
        <p className="buttons">
          <button type="button" onClick={connect}>
            Listen to MIDI instruments
          </button>
        </p>
        {trouble === null ? null : <p role="alert">{trouble}</p>}
      </>
    );
  }
  return (
    <>
      <p role="status">
        {inputs.length === 0
          ? 'No instrument is connected. Connect one; it is heard at once.'
          : `Listening to ${inputs.map((i) => i.name ?? 'an instrument').join(', ')}.`}
      </p>
      <HowItSends sending={sending} onSending={setSending} first={first} onFirst={setFirst} />
      <p className="buttons">
        <button type="button" onClick={() => setAccess(null)}>
          Stop listening
        </button>
      </p>
    </>
  );
}

/** One channel for all strings, or one a string and which is the first. */
function HowItSends(props: {
  readonly sending: Sending;
  readonly onSending: (sending: Sending) => void;
  readonly first: number;
  readonly onFirst: (channel: number) => void;
}) {
  const { sending, onSending, first, onFirst } = props;
  const id = useId();
  return (
    <>
      <p>
        <label htmlFor={`${id}-sends`}>It sends</label>{' '}
        <select
          id={`${id}-sends`}
          value={sending}
          onChange={(e) => {
            const chosen = SENDING.find((s) => s === e.target.value);
            if (chosen !== undefined) onSending(chosen);
          }}
        >
          {SENDING.map((s) => (
            <option key={s}>{s}</option>
          ))}
        </select>
      </p>
      {sending === 'one channel a string' ? (
        <p>
          <label htmlFor={`${id}-first`}>Channel of the first string</label>{' '}
          <input
            id={`${id}-first`}
            type="number"
            min={1}
            max={16}
            value={first}
            onChange={(e) => {
              const channel = Number(e.target.value);
              if (Number.isInteger(channel) && channel >= 1 && channel <= 16) onFirst(channel);
            }}
          />
        </p>
      ) : null}
    </>
  );
}

/** The instruments that are connected; follows what is plugged in and out. */
function useInputs(access: MIDIAccess | null): readonly MIDIInput[] {
  const [inputs, setInputs] = useState<readonly MIDIInput[]>([]);
  const known = useRef('');
  useEffect(() => {
    if (access === null) return;
    const look = () => {
      const now = [...access.inputs.values()].filter((i) => i.state === 'connected');
      const names = now.map((i) => i.id).join(' ');
      // Opening an input is reported as a change too.
      if (names === known.current) return;
      known.current = names;
      setInputs(now);
    };
    known.current = '-';
    look();
    access.addEventListener('statechange', look);
    return () => access.removeEventListener('statechange', look);
  }, [access]);
  return access === null ? [] : inputs;
}

function listen(
  inputs: readonly MIDIInput[],
  channels: Channels,
  write: (struck: readonly Struck[]) => void,
): () => void {
  const gatherer = new Gatherer(channels);
  let timer: ReturnType<typeof setTimeout> | null = null;
  const settle = () => {
    timer = null;
    const struck = gatherer.settle();
    if (struck.length > 0) write(struck);
  };
  const ends = inputs.map((input) => {
    const parser = new MidiParser();
    const onMessage = (e: MIDIMessageEvent) => {
      for (const note of parser.read(e.data ?? [])) {
        const before = gatherer.take(note, e.timeStamp);
        if (before.length > 0) write(before);
        if (note.kind === 'on') {
          if (timer !== null) clearTimeout(timer);
          timer = setTimeout(settle, TOGETHER);
        }
      }
    };
    input.addEventListener('midimessage', onMessage);
    return () => input.removeEventListener('midimessage', onMessage);
  });
  return () => {
    for (const end of ends) end();
    if (timer !== null) clearTimeout(timer);
  };
}
