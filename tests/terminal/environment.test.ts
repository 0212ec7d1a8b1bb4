import { describe, expect, it } from 'vitest';
import { forcedColour, isInteractive } from '../../src/terminal/environment.ts';

describe('the environment', () => {
  it('is interactive when both ends are a terminal that is not dumb', () => {
    const tty = { isTTY: true };
    expect(isInteractive(tty, tty, { TERM: 'xterm' })).toBe(true);
    expect(isInteractive(tty, tty, {})).toBe(true);
    expect(isInteractive(tty, tty, { TERM: 'dumb' })).toBe(false);
    expect(isInteractive({}, tty, {})).toBe(false);
    expect(isInteractive(tty, { isTTY: false }, {})).toBe(false);
  });

  it('has no colour where NO_COLOR is set and not empty', () => {
    expect(forcedColour({ NO_COLOR: '1', FORCE_COLOR: '3' })).toBe('0');
    expect(forcedColour({ NO_COLOR: '' })).toBeUndefined();
    expect(forcedColour({})).toBeUndefined();
  });
});
