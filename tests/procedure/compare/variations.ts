import fc from 'fast-check';
import { readFileSync, readdirSync } from 'node:fs';
import { renameSteps } from '../../../src/procedure/compare/rename-steps.ts';
import { readProcedure } from '../../../src/procedure/load.ts';
import type { Procedure, Reading, Step } from '../../../src/procedure/model.ts';
import { parseLimits } from '../../../src/quantity/limits.ts';
import { parseDuration } from '../../../src/quantity/time.ts';
import { unitNamed } from '../../../src/quantity/units.ts';

const read = (url: URL): Procedure => {
  const { procedure, messages } = readProcedure(readFileSync(url, 'utf8'), url.pathname, { checks: false });
  if (!procedure) throw new Error(JSON.stringify(messages));
  return procedure;
};

const demos = new URL('../../../procedures/', import.meta.url);

/** The file with every key, and the demo's. */
export const originals: readonly Procedure[] = [
  read(new URL('../every-key.yaml', import.meta.url)),
  ...readdirSync(demos)
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => read(new URL(name, demos))),
];

const limitsOf = (text: string) => {
  const limits = parseLimits(text);
  if (!limits.ok) throw new Error(text);
  return limits.value;
};

const durationOf = (text: string) => {
  const duration = parseDuration(text);
  if (!duration.ok) throw new Error(text);
  return duration.value;
};

const words = ['glue', 'clamp', 'the flange', 'twice', 'look along the edge', 'mark it'];
const names = ['keel-line', 'frame-bay-3', 'bay-9', 'spar'];
const lengths = ['at most 0.2 mm', 'at most 1/10 in', '12.5 ± 0.1 mm', '12 to 13 mm', 'more than 1 mm', 'at least t'];

type Vary = (step: Step, text: string, name: string, index: number) => Step;

const withReadings = (step: Step, change: (reading: Reading) => Reading): Step => ({
  ...step,
  readings: step.readings.map(change),
});

const toggled = (list: readonly string[], name: string): readonly string[] =>
  list.includes(name) ? list.filter((one) => one !== name) : [...list, name];

const varies: readonly Vary[] = [
  (step, text) => ({ ...step, title: text }),
  (step, text) => ({ ...step, do: `${step.do ?? ''} ${text}`.trim() }),
  (step, text) => ({ ...step, warnings: [text, ...step.warnings] }),
  (step, text) => ({ ...step, cautions: step.cautions.map((one) => `${one} ${text}`), notes: [text, text] }),
  ({ do: _gone, ...step }) => step,
  (step) => ({ ...step, noLaterThan: { after: [step.step], time: { text: '24 h', ms: 86_400_000 } } }),
  (step, _, name) => ({ ...step, covers: toggled(step.covers, name), reaches: toggled(step.reaches, name) }),
  (step, _, name) => ({ ...step, reliesOn: [name, ...step.reliesOn.filter((one) => one !== name)] }),
  (step, _, name) => ({ ...step, materials: toggled(step.materials, name), parts: toggled(step.parts, name) }),
  (step) => ({ ...step, permanent: !step.permanent, critical: !step.critical }),
  (step, _text, _name, index) => ({ ...step, people: index, wait: durationOf(index % 2 === 0 ? '1 h' : '60 min') }),
  ({ mix: _gone, ...step }) => step,
  (step, text, name) => ({ ...step, loose: [{ item: name, count: 2, left: text, because: text, before: 'close' }] }),
  (step, text) => ({ ...step, photos: [{ photo: 'extra', show: text }, ...step.photos] }),
  (step) => ({ ...step, readings: step.readings.toReversed() }),
  (step) => ({ ...step, readings: step.readings.slice(1) }),
  (step, text, _name, index) =>
    withReadings(step, (reading) => ({ ...reading, ask: text, times: index, tries: index, blind: index > 2 })),
  (step, _text, _name, index) =>
    withReadings(step, (reading) =>
      reading.kind === 'quantity' && reading.unit.dimension === 'length'
        ? {
            ...reading,
            limits: limitsOf(lengths[index % lengths.length]!),
            unit: unitNamed(index % 2 === 0 ? 'in' : 'mm'),
          }
        : reading,
    ),
  (step) =>
    withReadings(step, ({ reading, positions, times, blind }) => ({ kind: 'text', reading, positions, times, blind })),
  (step) => (step.hold ? { ...step, hold: { ...step.hold, lookFor: [...step.hold.lookFor, 'cracks'] } } : step),
  (step) => (step.cure ? { ...step, cure: { ...step.cure, stages: step.cure.stages.toReversed() } } : step),
  (step) => (step.tighten ? { ...step, tighten: { ...step.tighten, torque: limitsOf('20 to 22 N·m') } } : step),
];

type Revise = (steps: readonly Step[], at: number, text: string, name: string, index: number) => readonly Step[];

const spare = originals.flatMap(({ steps }) => steps);

const revisions: readonly Revise[] = [
  (steps, at) => steps.toSpliced(at, 1),
  (steps, at, _text, _name, index) => {
    const [step] = steps.slice(at, at + 1);
    return step ? steps.toSpliced(at, 1).toSpliced(index, 0, step) : steps;
  },
  (steps) => steps.toReversed(),
  (steps, at, _text, _name, index) => {
    const step = spare[(at * 7 + index) % spare.length]!;
    return steps.some((one) => one.step === step.step) ? steps : steps.toSpliced(at, 0, step);
  },
  (steps, at, _text, name) => {
    const step = steps[at];
    return step && !steps.some((one) => one.step === `${name}-new`)
      ? renameSteps(steps, { steps: new Map([[step.step, `${name}-new`]]), values: new Map() })
      : steps;
  },
  (steps, at, _text, name) => {
    const id = steps[at]?.readings[0]?.reading;
    return id !== undefined && !steps.some((step) => step.readings.some(({ reading }) => reading === `${name}-value`))
      ? renameSteps(steps, { steps: new Map(), values: new Map([[id, `${name}-value`]]) })
      : steps;
  },
  (steps, at, _text, _name, index) => {
    const reading = steps[at]?.readings[0];
    const to = index % steps.length;
    return reading && to !== at
      ? steps.map((step, place) =>
          place === at
            ? { ...step, readings: step.readings.slice(1) }
            : place === to
              ? { ...step, readings: [...step.readings, reading] }
              : step,
        )
      : steps;
  },
];

const revision = fc
  .tuple(
    fc.nat(varies.length + revisions.length - 1),
    fc.nat(12),
    fc.constantFrom(...words),
    fc.constantFrom(...names),
    fc.integer({ min: 1, max: 5 }),
  )
  .map(([kind, place, text, name, index]) => ({
    told: [kind, place, text, name, index].join(' '),
    of: (steps: readonly Step[]): readonly Step[] => {
      const at = place % Math.max(1, steps.length);
      const vary = varies[kind];
      if (vary) return steps.map((step, number) => (number === at ? vary(step, text, name, index) : step));
      return revisions[kind - varies.length]!(steps, at, text, name, index);
    },
  }));

/** Ways in which a head may be revised. */
const heads: readonly ((procedure: Procedure) => Procedure)[] = [
  (procedure) => procedure,
  (procedure) => ({ ...procedure, revision: 'Z', title: `${procedure.title} again` }),
  (procedure) => ({ ...procedure, strict: !procedure.strict, people: 3, each: [...procedure.each, 'middle'] }),
  ({ manual: _gone, ...procedure }) => ({ ...procedure, warnings: ['Mind the glue and the clamps', 'New'] }),
  (procedure) => ({
    ...procedure,
    gather: {
      ...procedure.gather,
      tools: [{ tool: 'mirror', inDate: true }, ...procedure.gather.tools],
      parts: procedure.gather.parts.map((part) => ({ ...part, quantity: 9 })),
      shop: { temperature: limitsOf('20 to 25 °C') },
    },
    charts: [],
    after: [{ procedure: 'rear-spar', sameLot: false }],
  }),
];

/** A procedure and a revision of it; fast-check prints the revisions made, not the whole text. */
export const revised: fc.Arbitrary<readonly [Procedure, Procedure]> = fc
  .tuple(fc.constantFrom(...originals), fc.nat(heads.length - 1), fc.array(revision, { maxLength: 8 }))
  .map(([procedure, head, changes]) => {
    const now = changes.reduce((steps, change) => change.of(steps), procedure.steps);
    const pair = [procedure, { ...heads[head]!(procedure), steps: now }] as const;
    const told = `${procedure.procedure}, head ${head}, ${changes.map(({ told }) => told).join('; ')}`;
    return Object.assign(pair, { [fc.toStringMethod]: () => told });
  });
