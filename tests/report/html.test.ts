import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { escapeText } from '../../src/fault/escape.ts';
import type { RecordDocument } from '../../src/record/document.ts';
import { escapeHtml, sheetHtml } from '../../src/report/html.ts';
import { instantText } from '../../src/report/people.ts';
import { recordHtml, recordSheet } from '../../src/report/record-sheet.ts';
import { printWith, runText, type Block, type Printers, type Run } from '../../src/report/sheet.ts';
import { recordFrom, wholeJob } from '../record/fixture.ts';

const document = recordFrom(wholeJob());
const html = recordHtml(document);

const tags =
  /<\/?(?:html|head|body|title|h[123]|p|dl|dt|dd|table|thead|tbody|tr|th|td|ul|li|section|strong|code|del|pre|span)(?: (?:class="(?:warning|large|good|bad|open)"|lang="en"))?>/g;
const head = /^<!doctype html>|<meta [^<>]*>|<style>[^<]*<\/style>/g;

/** The text of a page: every tag that this project writes taken out, every entity read. Anything else left of `<` is a hole. */
const contentOf = (page: string): string => {
  const bare = page.replace(head, '').replace(tags, '');
  expect(bare).not.toMatch(/[<>]/);
  expect(bare.replace(/&(?:amp|lt|gt|quot|#39);/g, '')).not.toContain('&');
  return bare
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&');
};

const nasty = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.constantFrom(
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    '</style><b>',
    '</title><b>',
    "' onmouseover='x",
    '&lt;b&gt;',
    '\u001b[31mred\u0007',
    'a\u202eb\u2066c',
    'two\nlines\r\nthree',
    ']]>',
    '<!--',
  ),
);

/** A record in which every text that a person or a file brings is another. */
const withTexts = (texts: readonly string[]): RecordDocument => {
  let next = 0;
  const keep = new Set([
    'record',
    'v',
    'state',
    'kind',
    'as',
    'verdict',
    'by',
    'did',
    'ratio',
    'result',
    'between',
    'accepted',
    'what',
  ]);
  const swap = (value: unknown, key: string): unknown => {
    if (typeof value === 'string') return keep.has(key) ? value : (texts[next++ % texts.length] ?? '');
    if (Array.isArray(value)) return value.map((one) => swap(one, key));
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, swap(one, name)]));
  };
  return swap(document, '') as RecordDocument;
};

const runs: Printers<readonly Run[]> = {
  heading: ({ text }) => [text],
  text: (one) => one.runs,
  facts: ({ rows }) => rows.flatMap(([label, value]) => [label, ...value]),
  table: ({ head, rows }) => [...head, ...rows.flat(2)],
  list: ({ items }) => items.flat(),
  verbatim: ({ lines }) => lines,
  large: ({ blocks }) => blocks.flatMap(runsOf),
};

const runsOf = (block: Block): readonly Run[] => printWith(runs, block);

describe('the page', () => {
  it('needs no other file and runs no script', () => {
    expect(html).toMatch(/^<!doctype html>\n<html lang="en">/);
    expect(html).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
    expect(html).not.toMatch(/<(script|img|link|iframe|object|svg)|url\(|@import|https?:|\son\w+=/i);
  });

  it('is printed in 12 pt, and the sheet of a hold larger', () => {
    expect(html).toMatch(/body \{ font: 12pt/);
    expect(html).toMatch(/\.large \{ font-size: 16pt/);
    expect(html).toMatch(/@media print/);
    expect(html.match(/<section class="large">/g)).toHaveLength(2);
  });

  it('closes every tag that it opens', () => {
    const open: string[] = [];
    for (const [tag, slash, name] of html.replace(head, '').matchAll(/<(\/?)([a-z0-9]+)[^>]*>/g)) {
      if (slash === '') open.push(name ?? '');
      else expect(open.pop(), tag).toBe(name);
    }
    expect(open).toEqual([]);
  });

  it('has the text of its sheet and no other, in the same order', () => {
    const said = contentOf(html);
    let place = 0;
    for (const run of recordSheet(document).blocks.flatMap(runsOf)) {
      const found = said.indexOf(escapeText(runText(run)), place);
      expect(found, runText(run)).toBeGreaterThanOrEqual(place);
      place = found;
    }
  });

  it('shows a text with markup in it as text', () => {
    expect(html).toContain('clean &lt;b&gt;wood&lt;/b&gt; &amp; no &quot;cracks&quot;');
    expect(html).not.toContain('<b>wood');
  });

  it('strikes through a struck value, and says so in a word', () => {
    expect(html).toContain('<del>219 mm</del> (struck)');
    expect(html).toContain('<strong>21.9 mm</strong>');
  });
});

describe('text from anybody', () => {
  it('is never markup, and no control or bidi character gets through', () => {
    fc.assert(
      fc.property(fc.array(nasty, { minLength: 1, maxLength: 20 }), (texts) => {
        const page = recordHtml(withTexts(texts));
        contentOf(page);
        // eslint-disable-next-line no-control-regex -- what must not be there
        expect(page).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
      }),
      { numRuns: 60 },
    );
  });

  it('can be read back out of the page', () => {
    fc.assert(
      fc.property(nasty, (text) => {
        const page = sheetHtml({ title: 't', blocks: [{ kind: 'text', runs: [text] }] });
        expect(contentOf(page)).toContain(escapeText(text));
      }),
    );
  });

  it('is safe inside a quoted attribute too', () => {
    fc.assert(fc.property(nasty, (text) => !/[<>"'\n]/.test(escapeHtml(text))));
  });
});

describe('every value', () => {
  const entered = document.steps.flatMap((step) => [
    ...(step.readings ?? []).flatMap((reading) => reading.entered),
    ...(step.tighten?.entered ?? []).map((act) => ({ ...act, value: act.torque ?? '' })),
  ]);

  it('is on the page with its person and time, struck ones too', () => {
    const said = contentOf(html);
    expect(entered.length).toBeGreaterThan(8);
    for (const one of [...entered, ...entered.flatMap(({ struck }) => struck)]) {
      expect(said).toContain(one.value);
      expect(said).toContain(instantText(one.at));
      if (one.when !== undefined) expect(said).toContain(instantText(one.when));
    }
  });

  it('is there with its hash, key, lot, batch, tag and weight', () => {
    const said = contentOf(html);
    const wanted = [
      ...document.journal.entries.map(({ hash }) => hash),
      ...document.people.flatMap(({ keys }) => keys),
      ...document.lots.map(({ number }) => number),
      ...document.loose.map(({ tag }) => tag),
      ...document.steps
        .flatMap(({ mix }) => mix?.batches ?? [])
        .flatMap(({ batch, weights }) => [batch, ...weights.map(({ weight }) => weight)]),
      document.job.sha256,
      document.build.build,
    ];
    for (const text of wanted) expect(said).toContain(text);
  });

  it('comes with the cautions and with what signed means', () => {
    const said = contentOf(html);
    for (const text of [...document.statement.cautions, ...document.statement.signed]) expect(said).toContain(text);
  });
});
