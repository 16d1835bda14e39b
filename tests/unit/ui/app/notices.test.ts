import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createNotices } from '../../../../src/ui/frame/notices';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

const texts = (n: ReturnType<typeof createNotices>) => n.list().map((x) => x.text);

describe('notices', () => {
  it('keep the last two results, all offers and all trouble, in order', () => {
    const n = createNotices();
    n.done('one');
    n.trouble('bad', ['bar 2: why']);
    n.done('two');
    n.show({ kind: 'offer', text: 'new version' });
    n.done('three');
    expect(texts(n)).toEqual(['bad', 'two', 'new version', 'three']);
    expect(n.list()[0]!.lines).toEqual(['bar 2: why']);
  });

  it('go by themselves, later where they offer something; trouble stays until it was read', () => {
    const n = createNotices();
    n.done('saved');
    n.done('removed', { label: 'Undo', run: () => {} });
    n.trouble('bad');
    vi.advanceTimersByTime(7_000);
    expect(texts(n)).toEqual(['saved', 'removed', 'bad']);
    vi.advanceTimersByTime(2_000);
    expect(texts(n)).toEqual(['removed', 'bad']);
    vi.advanceTimersByTime(12_000);
    expect(texts(n)).toEqual(['bad']);
  });

  it('stay while somebody is at them', () => {
    const n = createNotices();
    n.done('removed', { label: 'Undo', run: () => {} });
    n.hold(true);
    vi.advanceTimersByTime(60_000);
    expect(texts(n)).toEqual(['removed']);
    n.hold(false);
    vi.advanceTimersByTime(3_000);
    expect(texts(n)).toEqual([]);
  });

  it('can be put away, once', () => {
    const n = createNotices();
    const changed = vi.fn();
    const id = n.trouble('bad');
    n.subscribe(changed);
    n.dismiss(id);
    n.dismiss(id);
    expect(n.list()).toEqual([]);
    expect(changed).toHaveBeenCalledTimes(1);
  });
});
