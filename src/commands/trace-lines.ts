import type { Over, Trace } from '../aircraft/trace.ts';
import type { Rest } from '../aircraft/trace/rest.ts';
import type { Under } from '../aircraft/trace/steps.ts';
import type { TraceSubject } from '../aircraft/trace/subjects.ts';
import { instantText } from '../report/people.ts';

type Subject<K extends TraceSubject['kind']> = Extract<TraceSubject, { readonly kind: K }>;

const joined = (...facts: readonly (string | false | undefined)[]): string =>
  facts.filter((fact) => fact !== undefined && fact !== false && fact !== '').join('; ');

const held = (quarantine: string | undefined): string | undefined => quarantine && `in quarantine: ${quarantine}`;

const sampleText = (sample: Subject<'batch'>['sample']): string | undefined =>
  sample && `sample ${sample.id} ${sample.result ?? 'not broken yet'}`;

const batchText = ({ batch, job, lots, tool, sample, discarded }: Subject<'batch'>): string => {
  const from = Object.entries(lots).map(([part, lot]) => `${part} ${lot}`);
  return joined(
    `${batch}: mixed in ${job}${from.length > 0 ? ` from ${from.join(', ')}` : ''}`,
    tool && `weighed on ${tool}`,
    sampleText(sample),
    discarded && `discarded: ${discarded}`,
  );
};

const states = { todo: 'open', done: 'finished', skipped: 'left for later' } as const;

const subjectLines: { readonly [K in TraceSubject['kind']]: (subject: Subject<K>) => string } = {
  lot: ({ material, number, useBy, quarantine, batches }) =>
    joined(
      `${number}: lot of ${material}${useBy === undefined ? '' : `, use by ${useBy}`}`,
      held(quarantine),
      batches.length > 0 && `mixed into ${batches.join(', ')}`,
    ),
  batch: batchText,
  tool: ({ tool, found }) =>
    joined(`${tool}: tool`, ...found.map(({ what, when }) => `found ${what} ${instantText(when)}`)),
  part: ({ part, serials }) => joined(`${part}: part`, serials.length > 0 && `serial numbers ${serials.join(', ')}`),
  serial: ({ part, serial, lot, quarantine }) =>
    joined(`SN ${serial}: serial number of ${part}`, lot && `lot ${lot}`, held(quarantine)),
  tag: ({ tag, item, job, before, open }) =>
    joined(`${tag}: ${item} left in ${job}, before ${before}`, open === 0 ? 'closed' : `${open} open`),
  person: ({ person, name, powers }) => joined(`${person}: ${name ?? 'person'}`, powers.join(', ')),
  step: ({ job, step, title, state }) => joined(`${step} of ${job}: ${title}`, states[state]),
};

const subjectLine = <K extends TraceSubject['kind']>(subject: Subject<K>): string => {
  const line: (typeof subjectLines)[K] = subjectLines[subject.kind as K];
  return line(subject);
};

const restLine = ({ step, what, when, by, setAside }: Rest): string => {
  const stamp = when === undefined ? '' : ` (${by ?? ''}, ${instantText(when)})`;
  return `    ${step === '' ? '' : `${step}: `}${what}${stamp}${setAside === undefined ? '' : '; taken apart again since'}`;
};

const overLine = ({ step, why, when, by }: Over): string => `    ${step}: ${why} (${by}, ${instantText(when)})`;

/** What a person did at a step, each kind of act once: `performed, values`. */
const didText = (by: readonly Rest[]): string => {
  const acts = by.map(({ kind, what }) => {
    if (kind === 'joint') return what.split(';')[0] ?? '';
    if (kind === 'look' || kind === 'decision') return what;
    return `${kind}s`;
  });
  return [...new Set(acts)].join(', ');
};

const underLine = ({ step, subject, by }: Under): string => {
  const away = by.every(({ setAside }) => setAside !== undefined) ? '; taken apart again since' : '';
  const line = subject.kind === 'person' ? `${subject.name ?? subject.person}: ${didText(by)}` : subjectLine(subject);
  return `    ${step}: ${line}${away}`;
};

/** The lines, each under its job, in the order in which the jobs first appear. */
const byJob = <T extends { readonly job: string }>(all: readonly T[], line: (one: T) => string): readonly string[] =>
  [...new Set(all.map(({ job }) => job))].flatMap((job) => [
    `  ${job}`,
    ...new Set(all.filter((one) => one.job === job).map(line)),
  ]);

const section = (title: string, lines: readonly string[], none: string): readonly string[] =>
  lines.length > 0 ? [title, ...lines] : [none];

/** A trace for a person. Where only steps are traced, nothing is said of what rests on them. */
export const traceLines = (trace: Trace): readonly string[] => {
  const isBack = trace.subjects.some(({ kind }) => kind === 'step');
  const things = trace.subjects.filter(({ kind }) => kind !== 'step');
  const isPerson = things.every(({ kind }) => kind === 'person');
  return [
    ...trace.subjects.map((subject) => subjectLine(subject)),
    ...(isBack ? section('It rests on', byJob(trace.under, underLine), 'It rests on nothing that is traced.') : []),
    ...(things.length === 0
      ? []
      : isPerson
        ? section('What they did', byJob(trace.rests, restLine), 'They did nothing in this build.')
        : [
            ...section('Rests on it', byJob(trace.rests, restLine), 'Nothing rests on it.'),
            ...section('Built over that', byJob(trace.over, overLine), 'Nothing was built over that.'),
          ]),
    ...section(
      'Nonconformances there',
      byJob(trace.nonconformances, ({ what, open }) => `    ${what}${open ? '; open' : '; decided'}`),
      'No nonconformance there.',
    ),
  ];
};
