import { describe, expect, it } from 'vitest';
import { isInSample, isWording, nameOf, textAt } from './mutant.ts';
import { scoreLines, type Tried } from './scores.ts';

describe('a change', () => {
  it('is read from its place in the file', () => {
    const source = 'const a = 1;\nconst b = [\n  2,\n];\n';
    expect(textAt(source, { start: { line: 0, column: 6 }, end: { line: 0, column: 7 } })).toBe('a');
    expect(textAt(source, { start: { line: 1, column: 10 }, end: { line: 3, column: 1 } })).toBe('[\n  2,\n]');
  });

  it('keeps its name when its lines are laid out anew', () => {
    expect(nameOf('a.ts', 'ArrayDeclaration', '[\n  2,\n]', '[]')).toBe(
      nameOf('a.ts', 'ArrayDeclaration', '[ 2, ]', '[]'),
    );
  });

  it.each([
    ["'longer than the file'", true],
    ['`${count} of them are left`', true],
    ["'Give the key alone'", true],
    ["'gate-open'", false],
    ["'-----BEGIN SSH SIGNATURE-----'", false],
    ['`${person} namespaces="${all}" ${key}`', false],
    ["'N m'", false],
    ["''", false],
  ])('of %s is of wording: %s', (text, expected) => {
    expect(isWording('StringLiteral', text)).toBe(expected);
    expect(isWording('ConditionalExpression', text)).toBe(false);
  });
});

describe('a sample of one in five', () => {
  const names = Array.from({ length: 5000 }, (_, index) => `change ${index}`);

  it('has about a fifth of the changes, the same ones each time', () => {
    const sample = names.filter((name) => isInSample(name, 5));
    expect(sample.length).toBeGreaterThan(850);
    expect(sample.length).toBeLessThan(1150);
    expect(names.filter((name) => isInSample(name, 5))).toEqual(sample);
  });

  it('of one in one has all', () => {
    expect(names.every((name) => isInSample(name, 1))).toBe(true);
  });
});

describe('the table', () => {
  const tried = (file: string, status: string, reason?: string): Tried => ({
    name: 'x',
    file,
    line: 7,
    mutator: 'BooleanLiteral',
    was: 'true',
    becomes: 'false',
    status,
    reason,
  });

  it('names each change that no test found, and counts the others', () => {
    const results = [
      tried('src/a.ts', 'Killed'),
      tried('src/a.ts', 'Killed'),
      tried('src/a.ts', 'RuntimeError'),
      tried('src/a.ts', 'Timeout'),
      tried('src/a.ts', 'Survived'),
      tried('src/b.ts', 'NoCoverage'),
      tried('src/b.ts', 'CompileError', 'wording'),
    ];
    expect(scoreLines('room', results)).toEqual([
      'src/a.ts:7  BooleanLiteral',
      '  - true',
      '  + false',
      'src/b.ts:7  BooleanLiteral, no test comes here',
      '  - true',
      '  + false',
      '          mutants  killed  timeouts  survived  no test   score',
      'src/a.ts        5       3         1         1        0  80.0 %',
      'src/b.ts        1       0         0         0        1   0.0 %',
      'room            6       3         1         1        1  66.7 %',
      'not tried: 1 of wording, 0 outside the sample',
    ]);
  });
});
