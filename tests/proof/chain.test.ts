import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chainReader, commonBuild, readChain } from '../../src/proof/chain.ts';
import { lineHash } from '../../src/proof/line.ts';
import { chainOf } from './lines.ts';
import { codeOf, valueOf } from './outcomes.ts';

const writer = 'abcdefg2';
const file = `journal/${writer}.jsonl`;
const texts = chainOf(12);
const look = (lines: readonly string[]) => readChain(writer, file, lines);

describe('an unbroken chain', () => {
  it('is read whole, with the hash of every line', () => {
    const chain = look(texts);
    expect(chain.fault).toBeUndefined();
    expect(chain.links.map(({ hash }) => hash)).toEqual(texts.map(lineHash));
  });

  it('may be continued from a known line', () => {
    const after = look(texts.slice(0, 5)).links.at(-1);
    const reader = chainReader(writer, file, after);
    expect(texts.slice(5).every((text) => reader.take(text))).toBe(true);
    expect(reader.chain().links).toHaveLength(7);
    expect(chainReader(writer, file, after).take(texts[6] ?? '')).toBe(false);
  });

  it('may be empty', () => expect(look([])).toEqual({ writer, links: [] }));
});

describe('a broken chain ends at its first wrong line', () => {
  const placeOf = (lines: readonly string[]): string => {
    const { fault, links } = look(lines);
    return fault === undefined
      ? 'unbroken'
      : `${fault.code} ${fault.where?.slice(file.length) ?? ''} after ${links.length}`;
  };

  it('removed: every line but the last ones', () => {
    for (let at = 0; at < texts.length - 1; at += 1)
      expect(placeOf(texts.toSpliced(at, 1))).toBe(`chain-seq :${at + 1} after ${at}`);
  });

  it('repeated', () => {
    for (let at = 0; at < texts.length; at += 1)
      expect(placeOf(texts.toSpliced(at, 0, texts[at] ?? ''))).toBe(`chain-seq :${at + 2} after ${at + 1}`);
  });

  it('swapped', () => {
    fc.assert(
      fc.property(fc.nat(11), fc.nat(11), (a, b) => {
        fc.pre(a < b);
        const lines = texts.with(a, texts[b] ?? '').with(b, texts[a] ?? '');
        expect(placeOf(lines)).toBe(`chain-seq :${a + 1} after ${a}`);
      }),
    );
  });

  it('inserted: another line in the same place', () => {
    const other = chainOf(12, { by: 'other' });
    for (let at = 1; at < texts.length; at += 1)
      expect(placeOf(texts.with(at, other[at] ?? ''))).toBe(`chain-prev :${at + 1} after ${at}`);
    expect(placeOf(texts.with(0, other[0] ?? ''))).toBe('chain-prev :2 after 1');
  });

  it('of another build, of another writer, not a line', () => {
    const build = 'cd'.repeat(32);
    expect(placeOf([texts[0] ?? '', chainOf(2, { build })[1] ?? ''])).toMatch(/^chain-(prev|build) :2/);
    expect(placeOf(chainOf(3, { writer: 'zzzzzzzz' }))).toBe('chain-writer :1 after 0');
    expect(placeOf([...texts, ''])).toBe('line-malformed :13 after 12');
    expect(placeOf([...texts.slice(0, 3), '', ...texts.slice(3)])).toBe('line-malformed :4 after 3');
  });

  it('any changed character', () => {
    fc.assert(
      fc.property(fc.nat(10), fc.nat(), fc.constantFrom('0', 'a', '"', ' ', '}', 'é'), (line, at, other) => {
        const text = texts[line] ?? '';
        const changed = text.slice(0, at % text.length) + other + text.slice((at % text.length) + 1);
        fc.pre(changed !== text);
        // a changed line that is still well formed is not the line that the next one names
        expect(placeOf(texts.with(line, changed))).toMatch(new RegExp(`:(${line + 1}|${line + 2}) after`));
      }),
    );
  });
});

describe('the build of several writers', () => {
  const founder = look(texts);
  const build = lineHash(texts[0] ?? '');
  const joiner = (of: string) =>
    readChain('zzzzzzzz', 'journal/zzzzzzzz.jsonl', chainOf(3, { writer: 'zzzzzzzz', build: of }));

  it('is the hash of its first line', () => {
    expect(valueOf(commonBuild([founder, joiner(build)]))).toBe(build);
    expect(valueOf(commonBuild([joiner(build), founder]))).toBe(build);
    expect(valueOf(commonBuild([]))).toBeUndefined();
  });

  it('is refused where lines belong to another build, or the first file is missing', () => {
    expect(codeOf(commonBuild([founder, joiner('cd'.repeat(32))]))).toBe('build-two');
    expect(codeOf(commonBuild([founder, joiner('')]))).toBe('build-two');
    expect(codeOf(commonBuild([joiner(build)]))).toBe('build-unfounded');
  });
});
