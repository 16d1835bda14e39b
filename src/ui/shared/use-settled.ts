import { startTransition, useEffect, useState } from 'react';

/**
 * A value once it has stood still for a while: for what need not follow each key of somebody who
 * types on, such as what is offered next.
 * @param quiet How long it must stand still, in milliseconds.
 */
export function useSettled<T>(value: T, quiet: number): T {
  const [settled, setSettled] = useState<T>(() => value);
  useEffect(() => {
    const timer = setTimeout(() => startTransition(() => setSettled(() => value)), quiet);
    return () => clearTimeout(timer);
  }, [value, quiet]);
  return settled;
}
