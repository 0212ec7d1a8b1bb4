import type { BuildFile } from '../../../src/aircraft/file.ts';
import type { Chooser } from './chooser.ts';
import { segments, type Made, type Making, type StepText } from './segments.ts';

/** The pages of one build, with what build.yaml says. Invented by chance. */
export interface BuildPages {
  /** Each text; of a procedure with two revisions both, the older first. */
  readonly texts: readonly string[];
  readonly file: Partial<BuildFile>;
}

export const gates: readonly string[] = ['hull-close', 'first-flight'];

const stepLine = (step: StepText): string => `  - ${JSON.stringify(step)}\n`;

interface PageOptions {
  readonly sided: boolean;
  readonly strict: boolean;
  readonly shop: boolean;
  readonly after?: { readonly procedure: string; readonly sameLot: boolean };
  readonly gate?: string;
}

const headOf = (procedure: string, { sided, strict, shop, after }: PageOptions, revision: string): string =>
  [
    `procedure: ${procedure}`,
    `title: Work on ${procedure}`,
    `revision: ${revision}`,
    ...(sided ? ['each: [left, right]'] : []),
    ...(strict ? ['strict: true'] : []),
    ...(after ? [`after: [{ procedure: ${after.procedure}${after.sameLot ? ', same-lot: true' : ''} }]`] : []),
    'gather:',
    '  tools: [{ tool: scale, in-date: true }, { tool: caliper, in-date: true }, { tool: torque-wrench, in-date: true }]',
    '  materials: [{ material: adhesive, lot: true, in-date: true }, { material: sealant, lot: true, in-date: true }]',
    '  parts: [{ part: A1-27, quantity: 1, serial: true }]',
    ...(shop ? ['  shop: { temperature: 15 to 30 °C, humidity: at most 70 % }'] : []),
    'steps:',
    '',
  ].join('\n');

/** The page of the next revision: tighter limits, another ratio, a step more; of some pages a step less. */
const nextRevision = (steps: readonly StepText[], choose: Chooser): readonly StepText[] => {
  const text = JSON.stringify(steps)
    .replaceAll('at most 0.2 mm', 'at most 0.15 mm')
    .replaceAll('"hardener":"44"', '"hardener":"45"');
  const changed = JSON.parse(text) as StepText[];
  const at = choose.below(changed.length);
  changed.splice(at, 0, { step: 'wipe-down', title: 'Wipe it down' });
  const spare = changed.findIndex(({ step }) => step.endsWith('-tidy'));
  return spare >= 0 && choose.maybe(0.5) ? changed.toSpliced(spare, 1) : changed;
};

const pageOf = (procedure: string, options: PageOptions, choose: Chooser): readonly string[] => {
  const making: Making = { procedure, choose, sided: options.sided, passes: options.gate !== undefined };
  const count = 1 + choose.below(4);
  const parts: readonly Made[] = Array.from({ length: count }, (_, index) =>
    choose.weighted(segments)(making, `s${index + 1}`),
  );
  const steps: StepText[] = parts.flatMap((one) => [...one]);
  // Every page ends with a look: the walk is after holds above all.
  steps.push({ step: 'sweep', title: 'Sweep up' });
  steps.push({
    step: 'last-look',
    title: 'Look at it all',
    hold: { by: 'inspector', 'look-for': ['all in its place'] },
  });
  if (options.gate !== undefined) steps.push({ step: 'pass', title: `Pass ${options.gate}`, gate: options.gate });
  const page = (revision: string, list: readonly StepText[]): string =>
    headOf(procedure, options, revision) + list.map(stepLine).join('');
  const first = page('A', steps);
  return choose.maybe(0.4) ? [first, page('B', nextRevision(steps, choose))] : [first];
};

export const tools: BuildFile['tools'] = [
  { tool: 'SC-1', kind: 'scale', 'in-date-until': '2030-01-31' },
  { tool: 'SC-2', kind: 'scale', 'in-date-until': '2020-01-31' },
  { tool: 'CA-1', kind: 'caliper', uncertainty: '0.02 mm', 'in-date-until': '2030-01-31' },
  { tool: 'CA-2', kind: 'caliper', 'in-date-until': '2030-01-31' },
  { tool: 'CA-3', kind: 'caliper', uncertainty: '0.02 mm', 'in-date-until': '2020-01-31' },
  { tool: 'TW-1', kind: 'torque-wrench', 'in-date-until': '2030-01-31' },
  { tool: 'TW-2', kind: 'torque-wrench', 'in-date-until': '2030-01-31' },
];

export const people: BuildFile['people'] = [
  { person: 'ines', name: 'Inés Varrow', powers: ['builder'] },
  { person: 'bo', powers: ['builder'] },
  { person: 'hal', powers: ['builder', 'inspector'] },
  { person: 'tobias', name: 'Tobias Ferring', powers: ['inspector'] },
  { person: 'ada', powers: ['inspector'] },
  { person: 'vera', powers: ['inspector'] },
  { person: 'quillon', powers: ['designer'] },
  { person: 'marit', powers: ['adviser', 'witness'] },
];

/** One to five procedures. Where there are three or more, the last two pass the gates. */
export const buildPages = (choose: Chooser): BuildPages => {
  const count = choose.weighted([
    [4, 1],
    [5, 2],
    [2, 3],
    [1, 4],
    [0.5, 5],
  ]);
  const gateAt = (index: number): { readonly gate?: string } => {
    const gate = count < 3 ? undefined : gates[index - (count - 2)];
    return gate === undefined ? {} : { gate };
  };
  const names = Array.from({ length: count }, (_, index) => `work-${index + 1}`);
  const all = names.map((name, index): readonly [string, PageOptions] => [
    name,
    {
      sided: choose.maybe(0.35),
      strict: choose.maybe(0.12),
      shop: choose.maybe(0.2),
      ...(index > 0 && choose.maybe(0.25)
        ? { after: { procedure: names[index - 1] ?? '', sameLot: choose.maybe(0.5) } }
        : {}),
      ...gateAt(index),
    },
  ]);
  return {
    texts: all.flatMap(([name, options]) => pageOf(name, options, choose)),
    file: {
      people,
      gates,
      tools,
      plan: names.map((procedure, index) => ({
        procedure,
        ...(index < count - 2 && choose.maybe(0.6) ? { before: 'hull-close' } : {}),
      })),
      stock: [
        { material: 'adhesive', number: 'L-1', 'use-by': '2030-01-31', extended: [] },
        { material: 'adhesive', number: 'L-2', 'use-by': '2030-01-31', extended: [] },
        { material: 'adhesive', number: 'L-old', 'use-by': '2020-01-31', extended: [] },
        { material: 'sealant', number: 'S-1', 'use-by': '2030-01-31', extended: [] },
      ],
    },
  };
};
