import { memo, useLayoutEffect, useRef } from 'react';

/**
 * One line of music. Drawn again only when its SVG text changes, so that an edit in one line leaves
 * the others alone. The text is read as XML: what is in it stays text and is never run.
 */
export const System = memo(function System({ svg }: { readonly svg: string }) {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
    if (parsed.localName !== 'svg') throw new RangeError('the engraver wrote no SVG');
    ref.current?.replaceChildren(document.importNode(parsed, true));
  }, [svg]);
  return <div className="system" ref={ref} />;
});
