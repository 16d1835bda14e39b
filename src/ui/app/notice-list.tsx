import { useEffect, useLayoutEffect, useRef, useSyncExternalStore } from 'react';
import { useApp } from '../frame/app-context';
import { DO_AGAIN, type Notice, UNDO } from '../frame/notices';
import { focusPage } from '../shared/focus-page';

/** What the app says, at the foot of the page; read out as it comes. */
export function NoticeList() {
  const { notices } = useApp();
  const list = useSyncExternalStore(notices.subscribe, notices.list);
  const ref = useRef<HTMLDivElement>(null);
  useRoomBelow(ref);
  useStepKeys();
  // Where the focus was before it came here.
  const before = useRef<EventTarget | null>(null);
  const giveBack = () => {
    const { current: from } = before;
    if (from instanceof HTMLElement && from.isConnected) from.focus({ preventScroll: true });
    else focusPage();
  };
  const calm = list.filter((n) => n.kind !== 'trouble');
  const trouble = list.filter((n) => n.kind === 'trouble');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: it only notes that somebody is there.
    <div
      className="notices"
      ref={ref}
      onPointerEnter={() => notices.hold(true)}
      onPointerLeave={() => notices.hold(false)}
      onFocus={(e) => {
        notices.hold(true);
        if (!e.currentTarget.contains(e.relatedTarget)) before.current = e.relatedTarget;
      }}
      onBlur={() => notices.hold(false)}
    >
      {/* Both regions are always there: what is put into a new one is not read out everywhere. */}
      <div role="alert">
        {trouble.map((n) => (
          <NoticeView key={n.id} notice={n} giveBack={giveBack} />
        ))}
      </div>
      <div role="status">
        {calm.map((n) => (
          <NoticeView key={n.id} notice={n} giveBack={giveBack} />
        ))}
      </div>
    </div>
  );
}

/** Tells the styles how much of the window's foot is taken, so that nothing lies under it. */
function useRoomBelow(ref: { readonly current: HTMLElement | null }): void {
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const root = document.documentElement;
    const observer = new ResizeObserver(() => {
      // Who is at the end of the page stays there: what ends it goes up with the room.
      const atEnd = window.scrollY > 0 && root.scrollHeight - innerHeight - window.scrollY < 2;
      root.style.setProperty('--foot', `${element.offsetHeight}px`);
      if (atEnd) window.scrollTo(0, root.scrollHeight);
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [ref]);
}

/** Where a key is for what is typed, or for a page that takes steps back itself. */
const TYPED_IN = 'input:not([type="checkbox"]), textarea, [role="application"]';

/** Ctrl+Z and Ctrl+Y do what was offered last under their names. */
function useStepKeys(): void {
  const { notices } = useApp();
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      if (e.defaultPrevented || e.repeat || e.altKey || !(e.ctrlKey || e.metaKey)) return;
      const key = e.key.toLowerCase();
      const label = key === 'y' || (key === 'z' && e.shiftKey) ? DO_AGAIN : key === 'z' ? UNDO : '';
      if (label === '' || document.querySelector('dialog[open]') !== null) return;
      if (e.target instanceof Element && e.target.closest(TYPED_IN) !== null) return;
      for (const n of [...notices.list()].reverse()) {
        const action = n.actions.find((a) => a.label === label);
        if (action === undefined) continue;
        e.preventDefault();
        notices.dismiss(n.id);
        action.run();
        return;
      }
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  }, [notices]);
}

interface NoticeProps {
  readonly notice: Notice;
  /** Puts the focus where it was. */
  readonly giveBack: () => void;
}

function NoticeView({ notice, giveBack }: NoticeProps) {
  const { notices } = useApp();
  const putAway = () => {
    // The button that is pressed goes with it.
    giveBack();
    notices.dismiss(notice.id);
  };
  return (
    <div className={`notice notice-${notice.kind}`}>
      <div className="notice-text">
        <p>{notice.text}</p>
        {notice.part !== undefined && (
          <progress max={1} value={notice.part} aria-label={notice.text} />
        )}
        {notice.lines.length > 0 && (
          <ul>
            {notice.lines.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        )}
      </div>
      {notice.actions.map((a) => (
        <button
          type="button"
          key={a.label}
          onClick={() => {
            putAway();
            a.run();
          }}
        >
          {a.label}
        </button>
      ))}
      {notice.kind !== 'work' && (
        <button type="button" onClick={putAway} aria-label={`Close: ${notice.text}`}>
          Close
        </button>
      )}
    </div>
  );
}
