import { afterEach, expect, it } from 'vitest';
import { typeNow } from '../../src/ui/frame/type-now';

/* Keys that were pressed before a field was there reach it as text: in a field of one line and in one of several. */

afterEach(() => document.body.replaceChildren());

function focused<T extends 'input' | 'textarea'>(name: T): HTMLElementTagNameMap[T] {
  const field = document.createElement(name);
  document.body.append(field);
  field.focus();
  return field;
}

const type = (...keys: readonly string[]) => {
  for (const key of keys) typeNow(new KeyboardEvent('keydown', { key }));
};

it.each(['input', 'textarea'] as const)('writes into a field: %s', (name) => {
  const field = focused(name);
  let told = 0;
  field.addEventListener('input', () => told++);
  type('T', 'y', 'x', 'Backspace', 'p', 'Shift', 'e');
  expect([field.value, told]).toEqual(['Type', 6]);
  field.setSelectionRange(1, 4);
  type('o');
  expect(field.value).toBe('To');
  field.maxLength = 3;
  type('p', 'p');
  expect(field.value).toBe('Top');
  typeNow(new KeyboardEvent('keydown', { key: 'a', ctrlKey: true }));
  expect(field.value).toBe('Top');
});

it('leaves a key to whoever takes it, and begins no line where Enter was taken', () => {
  const field = focused('textarea');
  field.addEventListener('keydown', (e) => e.key === 'Enter' && e.preventDefault());
  type('a', 'Enter');
  expect(field.value).toBe('a');
});
