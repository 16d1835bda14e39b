import { useLayoutEffect, useRef, useSyncExternalStore } from 'react';
import { useApp } from '../frame/app-context';
import type { Notice } from '../frame/notices';

/** What the app says, at the foot of the page; read out as it comes. */
export function NoticeList() {
  const { notices } = useApp();
  const list = useSyncExternalStore(notices.subscribe, notices.list);
  const ref = useRef<HTMLDivElement>(null);
  useRoomBelow(ref);
  const calm = list.filter((n) => n.kind !== 'trouble');
  const trouble = list.filter((n) => n.kind === 'trouble');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: it only notes that somebody is there.
    <div
      className="notices"
      ref={ref}
      onPointerEnter={() => notices.hold(true)}
      onPointerLeave={() => notices.hold(false)}
      onFocus={() => notices.hold(true)}
      onBlur={() => notices.hold(false)}
    >
      {/* Both regions are always there: what is put into a new one is not read out everywhere. */}
      <div role="alert">
        {trouble.map((n) => (
          <NoticeView key={n.id} notice={n} />
        ))}
      </div>
      <div role="status">
        {calm.map((n) => (
          <NoticeView key={n.id} notice={n} />
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

function NoticeView({ notice }: { readonly notice: Notice }) {
  const { notices } = useApp();
  const putAway = () => notices.dismiss(notice.id);
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
