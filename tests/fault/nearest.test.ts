import { describe, expect, it } from 'vitest';
import { suggest } from '../../src/fault/nearest.ts';

const known = ['limits', 'tool', 'tighten', 'torque', 'source', 'start', 'status'];

describe('the word that was meant', () => {
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

  it.each(['', 'x', 'keel', 'a-very-long-word-that-is-nothing'])('%j is nothing near', (typed) => {
    expect(suggest(typed, known)).toBeUndefined();
  });

  it('takes the first of two that are equally near', () => {
    expect(suggest('abd', ['abc', 'abe'])).toBe('abc');
  });
});
