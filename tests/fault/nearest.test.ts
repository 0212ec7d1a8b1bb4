import { describe, expect, it } from 'vitest';
import { suggest } from '../../src/fault/nearest.ts';

const known = ['limits', 'tool', 'tighten', 'torque', 'source', 'start', 'status'];

describe('the word most likely meant', () => {
  it.each([
    ['limit', 'limits'],
    ['tigthen', 'tighten'],
    ['STATUS', 'status'],
    ['statsu', 'status'],
    ['souce', 'source'],
    ['torqe', 'torque'],
  ])('%s is %s', (typed, meant) => {
    expect(suggest(typed, known)).toBe(meant);
  });

  it.each(['', 'x', 'keel', 'a-very-long-word-that-is-nothing'])('%j has no known word near it', (typed) => {
    expect(suggest(typed, known)).toBeUndefined();
  });

  it('is the first of two that are equally near', () => {
    expect(suggest('abd', ['abc', 'abe'])).toBe('abc');
  });
});
