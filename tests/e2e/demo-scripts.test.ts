import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { builtProgram, root } from '../support/built.ts';

const scripts = join(root, 'tests/scripts');
const { folder, dryfit } = builtProgram('demos');

const textOf = (script: string): string => readFileSync(join(scripts, script), 'utf8');

/** Scripts whose job stays open on purpose: a failed sample keeps it from completing. Other tests look at them. */
const leftOpen: readonly string[] = ['cold-night.yaml'];

/** Scripts that carry out procedures of the demo. */
const walks = readdirSync(scripts).filter(
  (name) =>
    name.endsWith('.yaml') && !leftOpen.includes(name) && textOf(name).includes('\nprocedures: ../../procedures\n'),
);

/** The procedure, and the side, of every job that a script starts. */
const startsOf = (script: string): readonly string[] =>
  [...textOf(script).matchAll(/ start: ([a-z-]+)(?:, each: ([a-z-]+))? }/g)].map(([, procedure, side]) =>
    side === undefined ? procedure! : `${procedure!}-${side}`,
  );

interface RecordedResult {
  readonly result: string;
  readonly value?: string;
}

/** The results in the record of a script's only job of a procedure: the name and the number as printed. */
const resultsOf = (state: string, procedure: string): Readonly<Record<string, string | undefined>> => {
  const records = join(state, 'records');
  const job = readdirSync(records).find((name) => name.startsWith(procedure)) ?? '';
  const record = JSON.parse(readFileSync(join(records, job, '1/record.json'), 'utf8')) as {
    readonly steps: readonly { readonly results?: readonly RecordedResult[] }[];
  };
  return Object.fromEntries(
    record.steps.flatMap(({ results }) => (results ?? []).map(({ result, value }) => [result, value] as const)),
  );
};

describe.each(walks)('%s', (script) => {
  it('takes every job that it starts to a signed record, and verify confirms it', () => {
    const state = join(folder, script);
    expect(dryfit('rehearse', join(scripts, script), '--state', state)).toMatchObject({ status: 0, stderr: '' });
    const jobs = readdirSync(join(state, 'records')).map((job) => job.replace(/-[0-9a-f]{6}$/, ''));
    expect(jobs.toSorted()).toEqual(startsOf(script).toSorted());
    expect(dryfit('verify', state).status).toBe(0);
  });
});

/** Worked out by hand beside the demo's invented limits. */
const byHand: readonly (readonly [script: string, procedure: string, results: Readonly<Record<string, string>>])[] = [
  ['elevator-cable.yaml', 'elevator-cable', { 'target-tension': '168 N' }],
  ['hull-leak-test.yaml', 'hull-leak-test', { 'leak/bay-1': '0.62 L/h', 'leak/bay-3': '0.31 L/h' }],
  [
    'weigh-and-balance.yaml',
    'weigh-and-balance',
    {
      'empty-weight': '214.8 kg',
      'empty-centre': '2.70034 m',
      'empty-chord': '36.644 %',
      'no-fuel-chord': '19.1414 %',
      'full-chord': '20.2953 %',
    },
  ],
];

it.each(byHand)('%s: the record of %s gives what was worked out by hand', (script, procedure, results) => {
  expect(resultsOf(join(folder, script), procedure)).toMatchObject(results);
});

it('every procedure of the demo has a script, and a twin has one for each side', () => {
  const walked = walks.flatMap(startsOf);
  expect(walked).toEqual(expect.arrayContaining(['aileron-travel-left', 'aileron-travel-right']));
  const procedures = readdirSync(join(root, 'procedures')).flatMap((name) => /^(.+)\.yaml$/.exec(name)?.[1] ?? []);
  expect(procedures.filter((id) => !walked.some((job) => job.startsWith(id)))).toEqual([]);
});
