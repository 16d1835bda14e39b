import { memo, useLayoutEffect, useRef } from 'react';
import { putSvg } from './put-svg';

/**
 * One line of music. Drawn again only when its SVG text changes, so that an edit in one line leaves
 * the others alone, and then only where it has changed.
 */
export const System = memo(function System({ svg }: { readonly svg: string }) {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (ref.current !== null) putSvg(ref.current, svg);
  }, [svg]);
  return <div className="system" ref={ref} />;
});
