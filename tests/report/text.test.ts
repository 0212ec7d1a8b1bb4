import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { readRecord } from '../../src/record/read.ts';
import { instantText, timeText } from '../../src/report/people.ts';
import { recordHtml, recordPlain } from '../../src/report/record-sheet.ts';
import { sheetText } from '../../src/report/text.ts';
import { columnWidths, rowLines, wrap } from '../../src/report/wrap.ts';
import { recordFrom, wholeJob } from '../record/fixture.ts';

const golden = (name: string): Buffer => readFileSync(new URL(`golden/${name}`, import.meta.url));

const document = recordFrom(wholeJob());
const plain = recordPlain(document);

const word = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }).map((text) => text.replaceAll(' ', ''));

describe('a record kept from the first version', () => {
  // A file in the first version of the format: it must stay readable, and be printed as it was then.
  const read = readRecord(golden('record.json'));
  if (!read.ok) throw new Error(read.fault.what);

  it('is printed as it was', async () => {
    await expect(recordPlain(read.value)).toMatchFileSnapshot('golden/record.txt');
  });
});

describe('the plain form', () => {
  it('keeps to 80 columns', () => {
    for (const line of plain.split('\n')) expect(stringWidth(line), line).toBeLessThanOrEqual(80);
  });

  it('has no trailing space, no tab and ends in one LF', () => {
    expect(plain).not.toMatch(/[ \t]\n/);
    expect(plain).not.toContain('\t');
    expect(plain).toMatch(/[^\n]\n$/);
  });

  it('marks a struck value with a word', () => {
    expect(plain).toContain('219 mm (struck)');
  });

  it('spells out characters that would steer a terminal, and keeps the text on its line', () => {
    const text = sheetText({ title: 't', blocks: [{ kind: 'list', items: [['a\u001b[2Jb\u202ec\nsignature good']] }] });
    expect(text).toBe('- a\\u{1b}[2Jb\\u{202e}c\\nsignature good\n');
  });

  it('never calls a release of a hold anything but hold released', () => {
    const said = `${plain} ${recordHtml(document)}`;
    expect(said).toContain('✓ hold released');
    expect(said.replaceAll('hold released', '').replaceAll('REMOTE', '')).not.toMatch(/\breleased\b/);
  });

  it('never says approved, airworthy, certified, safe or compliant, except to deny it', () => {
    const own = plain
      .replaceAll(/\s+/g, ' ')
      .replaceAll(/dryfit approves nothing|not an approval of airworthiness/g, '');
    expect(own).not.toMatch(/approv|airworth|certif|\bsafe|complian|\bmeasured\b(?! *Adapter)/i);
  });
});

describe('times', () => {
  it('are as entered, with the offset of the clock, without seconds where they are zero', () => {
    expect(instantText('2026-03-02T09:00:00+01:00')).toBe('2026-03-02 09:00 +01:00');
    expect(instantText('2026-03-02T09:00:30Z')).toBe('2026-03-02 09:00:30 UTC');
    expect(instantText('2026-03-02T09:00:00.250-05:30')).toBe('2026-03-02 09:00:00.250 -05:30');
  });

  it('are both shown where something was entered late', () => {
    expect(timeText({ at: '2026-03-02T09:00:00Z', when: '2026-03-01T08:00:00Z' })).toBe(
      '2026-03-01 08:00 UTC, entered 2026-03-02 09:00 UTC',
    );
  });
});

describe('wrapping', () => {
  it('keeps every character in order, and every line in its width', () => {
    fc.assert(
      fc.property(fc.array(word, { maxLength: 20 }), fc.integer({ min: 4, max: 60 }), (words, width) => {
        const lines = wrap(words.join(' '), width);
        for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(width);
        expect(lines.join('').replaceAll(' ', '')).toBe(words.join(''));
      }),
    );
  });

  it('breaks at spaces where it can', () => {
    expect(wrap('the maker says so', 9)).toEqual(['the maker', 'says so']);
    expect(wrap('abcdefgh', 3)).toEqual(['abc', 'def', 'gh']);
    expect(wrap('', 3)).toEqual(['']);
  });
});

describe('columns', () => {
  it('are as wide as they want where the line has room, and together never wider than the line', () => {
    expect(columnWidths([3, 5], 80)).toEqual([3, 5]);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 7 }), (wanted) => {
        const widths = columnWidths(wanted, 80);
        expect(widths.reduce((sum, one) => sum + one, 0) + 2 * (wanted.length - 1)).toBeLessThanOrEqual(80);
        widths.forEach((one, index) => expect(one).toBeLessThanOrEqual(wanted[index] ?? 0));
      }),
    );
  });

  it('keep each cell within them', () => {
    expect(rowLines(['one', 'two three'], [3, 5])).toEqual(['one  two', '     three']);
  });
});
