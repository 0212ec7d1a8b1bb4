import { execFileSync } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as ansiTokenize from '@alcalzone/ansi-tokenize';
import { build } from 'esbuild';
import fc from 'fast-check';
import stringWidth from 'string-width';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundle } from '../../src/scripts/build.mjs';
import { takeStandIns } from '../../src/scripts/stand-ins.mjs';
import * as ours from '../../src/scripts/stand-ins/ansi-tokenize.ts';
import { narrowText, separateText } from '../../src/scripts/stand-ins/plain.ts';
import { recent } from '../../src/scripts/stand-ins/recent.ts';
import { LazySegmenter } from '../../src/scripts/stand-ins/segmenter.ts';
import { bundlePackagesAsTheyCome } from '../support/bundle.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stand-ins-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** Texts as they are drawn, and worse: styles, frame lines, accents, emoji, wide and joining characters. */
const anyText = fc
  .array(
    fc.oneof(
      fc.constantFrom('\u001b[1m', '\u001b[31m', '\u001b[22;39m', '\u001b[38;5;9m', '\u001b[0m', '\u001b', '│', '±'),
      fc.constantFrom('漢', 'e\u0301', '👨‍👩‍👧', '🇩🇪', '\r\n', '\u200d', 'ｶ', '각'),
      fc.string({ maxLength: 8 }),
      fc.string({ maxLength: 4, unit: 'grapheme' }),
    ),
    { maxLength: 12 },
  )
  .map((parts) => parts.join(''));

describe('the stand-ins of the bundle', () => {
  it('change nothing that is drawn', async () => {
    const entry = fileURLToPath(new URL('fixtures/frames.tsx', import.meta.url));
    const bundled = join(folder, 'with.cjs');
    const asTheyCome = join(folder, 'without.mjs');
    await Promise.all([bundle(entry, bundled), bundlePackagesAsTheyCome(entry, asTheyCome)]);
    const framesOf = (file: string, more: Record<string, string>): string[] => {
      const env = { ...process.env, FORCE_COLOR: '3', CI: 'false', NO_COLOR: '', ...more };
      return JSON.parse(execFileSync(process.execPath, [file], { env, encoding: 'utf8' })) as string[];
    };
    const frames = framesOf(asTheyCome, {});
    expect(frames.length).toBeGreaterThan(90);
    expect(framesOf(bundled, {})).toEqual(frames);
    expect(framesOf(bundled, { DEV: 'true', CI: 'true' })).toEqual(frames);
  });

  it('stop the build when a package no longer imports what they replace', async () => {
    const place = join(folder, 'node_modules/ink/build/newer.js');
    await mkdir(dirname(place), { recursive: true });
    await writeFile(place, 'export {};');
    const built = build({
      entryPoints: [place],
      bundle: true,
      write: false,
      metafile: true,
      logLevel: 'silent',
      plugins: [takeStandIns],
    });
    await expect(built).rejects.toThrow('./measure-text.js is never imported: measure-text.ts stands in for nothing');
  });
});

describe('plain text', () => {
  const characters = Array.from({ length: 0x10000 }, (_, code) => String.fromCharCode(code)).filter((character) =>
    narrowText.test(character),
  );

  it('is one column wide at each character, alone and beside the others', () => {
    expect(characters.length).toBeGreaterThan(1000);
    for (const character of characters) expect(stringWidth(character), JSON.stringify(character)).toBe(1);
    expect(stringWidth(characters.join(''))).toBe(characters.length);
  });

  it('is cut at each character, and at escapes', () => {
    const text = ['\u001b', ...characters, '\u001b'].join('');
    expect(separateText.test(text)).toBe(true);
    expect(Array.from(new Intl.Segmenter().segment(text))).toHaveLength(text.length);
  });
});

describe('the lazy segmenter', () => {
  it.each(['grapheme', 'word'] as const)('cuts and finds each %s as the real one does', (granularity) => {
    const [lazy, real] = [new LazySegmenter('en', { granularity }), new Intl.Segmenter('en', { granularity })];
    const place = (found: { segment: string; index: number } | undefined) => found && [found.segment, found.index];
    fc.assert(
      fc.property(anyText, fc.nat(20), (text, index) => {
        expect(Array.from(lazy.segment(text), place)).toEqual(Array.from(real.segment(text), place));
        expect(place(lazy.segment(text).containing(index))).toEqual(place(real.segment(text).containing(index)));
      }),
    );
  });
});

describe('the tokens of a line', () => {
  it('give the same line as those of the package, when first seen and when seen again', () => {
    const { tokenize, styledCharsFromTokens, styledCharsToString } = ansiTokenize;
    fc.assert(
      fc.property(anyText, (line) => {
        const expected = styledCharsFromTokens(tokenize(line));
        for (const found of [0, 1].map(() => ours.styledCharsFromTokens(ours.tokenize(line)))) {
          expect(found).toEqual(expected);
          expect(ours.styledCharsToString(found)).toBe(styledCharsToString(expected));
        }
      }),
    );
  });
});

describe('the memory of recent answers', () => {
  /** Which of the numbers have to be worked out when they are asked for now. */
  const workedOut = (ask: (key: string, answer: () => string) => string, numbers: readonly number[]): number[] => {
    const found: number[] = [];
    for (const number of numbers) {
      const answer = ask(String(number), () => {
        found.push(number);
        return `answer ${number}`;
      });
      expect(answer).toBe(`answer ${number}`);
    }
    return found;
  };

  it('holds the answers asked for last, as many as its limit, and of all never more than twice as many', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(30)), fc.integer({ min: 1, max: 8 }), (questions, limit) => {
        const lastFirst = [...new Set(questions.toReversed())];
        const ask = recent<string>(limit);
        workedOut(ask, questions);
        expect(workedOut(ask, lastFirst.slice(0, limit))).toEqual([]);
        const askAgain = recent<string>(limit);
        workedOut(askAgain, questions);
        expect(workedOut(askAgain, lastFirst.slice(2 * limit))).toEqual(lastFirst.slice(2 * limit));
      }),
    );
  });
});
