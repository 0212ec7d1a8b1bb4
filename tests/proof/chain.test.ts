import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chainReader, commonBuild, linkAfter, readChain } from '../../src/proof/chain.ts';
import { lineHash, lineText } from '../../src/proof/line.ts';
import { chainOf, sealed, second } from './lines.ts';
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

  it('gives each line its own person, key, job and type, whatever those of the line before', () => {
    const lines: string[] = [];
    const others = [
      {},
      { by: 'second', key: second.key.fingerprint },
      { job: 'j-1' },
      { job: 'j-2', type: 'park' },
      {},
    ];
    for (const [index, other] of others.entries()) {
      const build = index === 0 ? '' : lineHash(lines[0] ?? '');
      const prev = index === 0 ? '' : lineHash(lines.at(-1) ?? '');
      lines.push(lineText(sealed({ type: 'remark', data: {}, ...other, build, prev, seq: index + 1 })));
    }
    const chain = look(lines);
    expect(chain.fault).toBeUndefined();
    expect(chain.links.map(({ line }) => line)).toEqual(lines.map((text) => JSON.parse(text) as unknown));
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

  it('of another build, though it names the line before it', () => {
    const first = texts[0] ?? '';
    const stray = lineText(sealed({ type: 'remark', data: {}, build: 'cd'.repeat(32), seq: 2, prev: lineHash(first) }));
    expect(placeOf([first, stray])).toBe('chain-build :2 after 1');
    const second = texts[1] ?? '';
    const third = lineText(
      sealed({ type: 'remark', data: {}, build: 'cd'.repeat(32), seq: 3, prev: lineHash(second) }),
    );
    expect(placeOf([first, second, third])).toBe('chain-build :3 after 2');
  });

  it('of another writer in the middle of the file', () => {
    const stray = sealed({
      type: 'remark',
      data: {},
      writer: 'zzzzzzzz',
      seq: 2,
      build: lineHash(texts[0] ?? ''),
      prev: lineHash(texts[0] ?? ''),
    });
    expect(placeOf([texts[0] ?? '', lineText(stray)])).toBe('chain-writer :2 after 1');
  });

  it('that cannot be read as text, and nothing is taken after it', () => {
    const reader = chainReader(writer, file);
    expect(reader.take(texts[0] ?? '')).toBe(true);
    expect(reader.refuse('line-bytes', 'it is not UTF-8')).toBe(false);
    expect(reader.take(texts[1] ?? '')).toBe(false);
    const { fault, links } = reader.chain();
    expect(links).toHaveLength(1);
    expect([fault?.code, fault?.what, fault?.where]).toEqual(['line-bytes', 'it is not UTF-8', `${file}:2`]);
  });

  it('after which even the line that would have followed is refused', () => {
    const reader = chainReader(writer, file);
    expect(texts.slice(0, 2).map((text) => reader.take(text))).toEqual([true, true]);
    expect(reader.take('x')).toBe(false);
    expect(reader.take(texts[2] ?? '')).toBe(false);
    expect(reader.chain().fault?.code).toBe('line-malformed');
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

describe('one line after another', () => {
  const { links } = look(texts);
  const at = (index: number) => {
    const link = links[index];
    if (link === undefined) throw new Error('no such line');
    return link;
  };

  it('follows the line before it, and no other', () => {
    expect(valueOf(linkAfter(writer, file, undefined, at(0)))).toBe(at(0));
    expect(valueOf(linkAfter(writer, file, at(0), at(1)))).toBe(at(1));
    expect(codeOf(linkAfter(writer, file, undefined, at(1)))).toBe('chain-seq');
    expect(codeOf(linkAfter(writer, file, at(1), at(1)))).toBe('chain-seq');
    expect(codeOf(linkAfter('zzzzzzzz', file, at(0), at(1)))).toBe('chain-writer');
    const refused = linkAfter(writer, file, at(3), at(9));
    expect(refused.ok ? '' : refused.fault.where).toBe(`${file}:5`);
  });

  it('has the hash of its bytes, where the caller has read them already', () => {
    const reader = chainReader(writer, file);
    for (const text of texts) reader.take(text, Buffer.from(text));
    expect(reader.chain().links).toEqual(links);
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
    const [stranger, headless] = [commonBuild([founder, joiner('cd'.repeat(32))]), commonBuild([joiner(build)])];
    expect(stranger.ok ? '' : stranger.fault.where).toBe('journal/zzzzzzzz.jsonl:1');
    expect(headless.ok ? '' : headless.fault.where).toBe('journal');
  });

  it('is not changed by a writer that has no line yet', () => {
    const empty = { writer: 'yyyyyyyy', links: [] };
    expect(valueOf(commonBuild([empty, founder, joiner(build)]))).toBe(build);
    expect(valueOf(commonBuild([empty]))).toBeUndefined();
  });
});
