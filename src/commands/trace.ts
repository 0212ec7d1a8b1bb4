import { traceOf, type Over, type TraceSubject, type Trace } from '../aircraft/trace.ts';
import type { Rest } from '../aircraft/trace-rests.ts';
import { usage } from '../fault/fault.ts';
import { instantText } from '../report/people.ts';
import { failed } from './fail.ts';
import { withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';

const sampleText = (sample: Extract<TraceSubject, { kind: 'batch' }>['sample']): string =>
  sample === undefined ? '' : `; sample ${sample.id} ${sample.result ?? 'not broken yet'}`;

const subjectLine = (subject: TraceSubject): string => {
  if (subject.kind === 'lot') {
    const until = subject.useBy === undefined ? '' : `, use by ${subject.useBy}`;
    return `${subject.number}: lot of ${subject.material}${until}; ${subject.batches.join(', ') || 'nothing mixed from it'}`;
  }
  if (subject.kind === 'tool') {
    const found = subject.found.map(({ what, when }) => `found ${what} ${instantText(when)}`).join('; ');
    return `${subject.tool}: tool${found === '' ? '' : `; ${found}`}`;
  }
  const lots = Object.entries(subject.lots).map(([part, lot]) => `${part} ${lot}`);
  const thrown = subject.discarded === undefined ? '' : `; discarded: ${subject.discarded}`;
  return `${subject.batch}: mixed in ${subject.job}${lots.length > 0 ? ` from ${lots.join(', ')}` : ''}${sampleText(subject.sample)}${thrown}`;
};

const restLine = ({ step, what, when, by, setAside }: Rest): string => {
  const stamp = when === undefined ? '' : ` (${by ?? ''}, ${instantText(when)})`;
  return `    ${step === '' ? '' : `${step}: `}${what}${stamp}${setAside === undefined ? '' : '; taken apart again since'}`;
};

const overLine = ({ step, why, when, by }: Over): string => `    ${step}: ${why} (${by}, ${instantText(when)})`;

/** The lines, each under its job, in the order in which the jobs first appear. */
const byJob = <T extends { readonly job: string }>(all: readonly T[], line: (one: T) => string): readonly string[] =>
  [...new Set(all.map(({ job }) => job))].flatMap((job) => [
    `  ${job}`,
    ...new Set(all.filter((one) => one.job === job).map(line)),
  ]);

const section = (title: string, lines: readonly string[], none: string): readonly string[] =>
  lines.length > 0 ? [title, ...lines] : [none];

const traceLines = (trace: Trace): readonly string[] => [
  ...trace.subjects.map(subjectLine),
  ...section('Rests on it', byJob(trace.rests, restLine), 'Nothing rests on it.'),
  ...section('Built over that', byJob(trace.over, overLine), 'Nothing was built over that.'),
  ...section(
    'Nonconformances there',
    byJob(trace.nonconformances, ({ what, open }) => `    ${what}${open ? '; open' : '; decided'}`),
    'No nonconformance stands on any of it.',
  ),
];

const run = (call: Call, opened: OpenedWorkshop): number => {
  const [word, ...more] = call.words;
  if (word === undefined || more.length > 0)
    return failed(
      call,
      usage(
        word === undefined ? 'word-missing' : 'word-extra',
        'one lot, batch or tool is traced',
        'write: dryfit trace B-1',
      ),
    );
  const trace = traceOf(opened.workshop.state(), word);
  if (!trace.ok) return failed(call, trace.fault);
  if (call.flag('json')) call.print.json(trace.value);
  else call.print.lines(...traceLines(trace.value));
  return 0;
};

export const traceCommand: CommandSpec = {
  name: 'trace',
  about: 'every joint and value that rests on a lot, a batch or a tool',
  usage: ['dryfit trace LOT, BATCH or TOOL'],
  options: {},
  more: [
    "The maker's number of a lot, a batch (B-1) or its sample, or a tool: each joint, value, fastener, result, cure and sample",
    'that rests on it, in every job, and what was built over it since: by a feature, an area, or a procedure that comes after.',
  ],
  run: (call) => withState(call, 'read', (opened) => run(call, opened)),
};
