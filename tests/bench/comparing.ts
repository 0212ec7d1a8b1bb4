import { compareProcedures } from '../../src/procedure/compare/compare.ts';
import { readProcedure } from '../../src/procedure/load.ts';
import type { Procedure } from '../../src/procedure/model.ts';
import type { Result } from './measures.ts';
import { median } from './statistics.ts';

/** One step as manuals have them: words, a reading within limits, now and then a hold. */
const step = (number: number): string => `  - step: step-${number}
    title: Fit bracket ${number} to frame ${number % 97}
    do: Lay the bracket on its frame, look along the edge, and close the gap with the shims of bag ${number % 13}.
    why: The next bracket stands on this one.
    takes: 15 min
    readings:
      - { reading: gap-${number}, ask: Largest gap under flange ${number}, unit: mm, limits: at most 0.${(number % 8) + 1} mm, tool: feeler-gauge, source: manual ${number % 50} }
${number % 50 === 49 ? '    hold: { by: inspector, look-for: [no gap, no burr] }\n' : ''}`;

/** Every tenth step has changed: its words, limits, id or place, or it has been removed. */
const revised = (steps: readonly string[]): readonly string[] => {
  const out: string[] = [];
  steps.forEach((text, number) => {
    const kind = number % 10 === 3 ? Math.floor(number / 10) % 5 : -1;
    if (kind === 0) out.push(text.replace('look along', 'look twice along'));
    else if (kind === 1) out.push(text.replace('at most 0.', 'at most 1.'));
    else if (kind === 2) out.push(text.replace(`step: step-${number}`, `step: bracket-${number}`));
    else if (kind === 3) out.splice(Math.max(0, out.length - 7), 0, text);
    else if (kind !== 4) out.push(text);
  });
  return out;
};

const fileOf = (steps: readonly string[]): string =>
  `procedure: long\ntitle: Long\nrevision: A\ngather: { tools: [{ tool: feeler-gauge }] }\nsteps:\n${steps.join('')}`;

const load = (text: string): Procedure => {
  const { procedure, messages } = readProcedure(text, 'long.yaml', { checks: false });
  if (procedure === undefined) throw new Error(messages[0]?.what);
  return procedure;
};

interface Timed {
  readonly loading: number;
  readonly comparing: number;
  readonly changes: number;
}

const once = (count: number): Timed => {
  const steps = Array.from({ length: count }, (_, number) => step(number));
  const texts = [fileOf(steps), fileOf(revised(steps))] as const;
  const begun = performance.now();
  const [before, now] = [load(texts[0]), load(texts[1])];
  const loaded = performance.now();
  const { changes } = compareProcedures(before, now);
  return { loading: loaded - begun, comparing: performance.now() - loaded, changes: changes.length };
};

const timed = (count: number, runs: number): Timed => {
  const all = Array.from({ length: runs }, () => once(count));
  return {
    loading: median(all.map(({ loading }) => loading)),
    comparing: median(all.map(({ comparing }) => comparing)),
    changes: all[0]?.changes ?? 0,
  };
};

/** Comparing two long procedures that differ in a tenth of their steps, against loading both; and the growth from half as many steps. */
export const comparing = (count: number): Result => {
  once(200);
  const [half, whole] = [timed(count / 2, 5), timed(count, 5)];
  const ratio = whole.comparing / whole.loading;
  const growth = whole.comparing / half.comparing;
  return {
    what: `compare, ${count} steps`,
    against: 'loading both',
    found: `${ratio.toFixed(2)}  (${whole.comparing.toFixed(0)} : ${whole.loading.toFixed(0)} ms; ${whole.changes} changes; twice the steps take ${growth.toFixed(1)} times as long)`,
    aim: 'at most 3.0',
    reached: ratio <= 3,
  };
};
