import type { Refusal } from './types';

/** Whether a write was refused. */
export function isRefusal<T>(result: { readonly value: T } | Refusal): result is Refusal {
  return 'kind' in result;
}
