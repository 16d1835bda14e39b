import { expect, it } from 'vitest';
import { isOfThisMachine } from '../../../src/ui/frame/give/this-machine';

it.each(['localhost', 'degreewise.localhost', '127.0.0.1', '127.3.2.1', '[::1]'])(
  '%s is seen from its own machine only',
  (name) => {
    expect(isOfThisMachine(name)).toBe(true);
  },
);

it.each(['192.168.1.20', 'localhost.example', 'example.org', '127.example.org', '', '10.127.0.0'])(
  '%s may be reached from elsewhere',
  (name) => {
    expect(isOfThisMachine(name)).toBe(false);
  },
);
