import fc from 'fast-check';
import { expect, test } from 'vitest';
import { firstKey, looksLikeScript } from '../../src/procedure/first-key.ts';
import { readYaml } from '../../src/procedure/yaml.ts';

test.each([
  ['script: a', 'script'],
  ['\ufeffscript: a', 'script'],
  ['# one\n\n  # two\n---\nscript: a', 'script'],
  ['{ script: a, entries: [] }', 'script'],
  ["'script': a", 'script'],
  ['"script" : a', 'script'],
  ['procedure: script', 'procedure'],
  ['script', undefined],
  ['script:a', undefined],
  ['- script: a', undefined],
  ['', undefined],
])('%j', (text, key) => {
  expect(firstKey(text)).toBe(key);
  expect(looksLikeScript(text)).toBe(key === 'script');
});

test('is the first key that YAML reads', () => {
  const word = fc.stringMatching(/^[a-z][a-z -]{0,10}[a-z]$/);
  const before = fc.array(fc.constantFrom('', '# note', '  # far'), { maxLength: 5 });
  fc.assert(
    fc.property(word, before, fc.constantFrom('\n', '\r\n'), (key, lines, end) => {
      const text = [...lines, `${key}: value`, 'other: x', ''].join(end);
      const { tree } = readYaml(text, 'f');
      expect(firstKey(text)).toBe(tree?.kind === 'map' ? tree.entries[0]?.key : 'none');
    }),
  );
});
