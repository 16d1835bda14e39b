import type { Carried } from './use-finger-drag';

/** Room that it takes at most, in px: half of it stays between the finger and the side of the window. */
const WIDTH = 220;
/** Nearer to the top it stands beneath the finger. Px. */
const ABOVE = 120;

interface Props {
  readonly carried: Carried;
  readonly title: string;
  /** Bars that it covers. */
  readonly bars: number;
}

/** What a finger carries, beside the finger, with the bars it would lie on. */
export function InHand({ carried, title, bars }: Props) {
  const { over, from, x, y } = carried;
  const middle = Math.min(Math.max(x, WIDTH / 2), window.innerWidth - WIDTH / 2);
  const height = y > ABOVE ? 'calc(-100% - 1.75rem)' : '2.75rem';
  return (
    <div
      className="in-hand"
      aria-hidden="true"
      style={{
        maxWidth: WIDTH,
        transform: `translate(${middle}px, ${y}px) translate(-50%, ${height})`,
      }}
    >
      <strong className="part-title">{title}</strong>
      <span>
        {over === null || over === from ? 'stays where it is' : `onto ${named(over, bars)}`}
      </span>
    </div>
  );
}

const named = (first: number, bars: number) =>
  bars === 1 ? `bar ${first}` : `bars ${first} to ${first + bars - 1}`;
