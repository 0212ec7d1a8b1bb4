import type { ChangeImpact, JobImpact, Meaning } from '../build/impact.ts';
import { changeName } from '../job/revised.ts';
import { counted, span, type Line, type Span } from './changes.ts';

/** How each meaning is told. */
export const meaningWords: Readonly<Record<Meaning, string>> = {
  nothing: 'nothing to do',
  within: 'still within',
  outside: 'no longer within',
  'never-done': 'never done',
  'hold-changed': 'look again',
  'permanent-taken': 'permanent, done otherwise',
};

/** How loud each is told, here and on a screen. */
export const meaningTones = {
  nothing: 'quiet',
  within: 'order',
  outside: 'outside',
  'never-done': 'person',
  'hold-changed': 'person',
  'permanent-taken': 'outside',
} as const satisfies Readonly<Record<Meaning, Span['tone']>>;

export const decidedWords = {
  comply: 'comply',
  'not-applicable': 'not applicable',
  'record-only': 'record only',
} as const;

/** A change that asks something of the builder. */
export const asksSomething = ({ meaning }: ChangeImpact): boolean => meaning !== 'nothing' && meaning !== 'within';

const impactLine = (impact: ChangeImpact): Line => [
  span(`${changeName(impact)}: `),
  span(meaningWords[impact.meaning], meaningTones[impact.meaning]),
  ...(impact.shown === undefined ? [] : [span(`: ${impact.shown}`)]),
  ...(impact.decided === undefined
    ? asksSomething(impact)
      ? [span('  not decided', 'person')]
      : []
    : [span(`  decided: ${decidedWords[impact.decided]}`, 'order')]),
];

const titleOf = (job: JobImpact): string =>
  job.job ?? `${job.procedure}${job.side === undefined ? '' : `, ${job.side}`}`;

const jobLines = (job: JobImpact): readonly Line[] => {
  const said = job.changes.filter(
    (one) => one.meaning !== 'nothing' || one.shown !== undefined || one.decided !== undefined,
  );
  const silent = job.changes.length - said.length;
  const revision = job.revision === undefined ? '' : `, revision ${job.revision}`;
  return [
    [span(titleOf(job), 'strong'), span(`  ${job.state}${revision}`)],
    ...said.map((one): Line => [span('  '), ...impactLine(one)]),
    ...(job.state === 'not begun'
      ? [[span('  nothing to do: it will be done to the new page', 'quiet')]]
      : job.changes.length === 0
        ? [[span('  nothing to do: it follows this page', 'quiet')]]
        : silent > 0
          ? [[span(`  ${counted(silent, 'change')} with nothing to do`, 'quiet')]]
          : []),
    ...(job.reopens.length > 0 ? [[span(`  moved now, these are open again: ${job.reopens.join(', ')}`)]] : []),
  ];
};

/** What the new page means, job by job. */
export const impactLines = (jobs: readonly JobImpact[]): readonly Line[] =>
  jobs.length === 0
    ? []
    : [
        [span('What it means for this build', 'strong')],
        ...jobs.flatMap(jobLines).map((line): Line => [span('  '), ...line]),
      ];
