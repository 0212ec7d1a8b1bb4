import { counted } from '../fault/counted.ts';
import type { ChangeImpact, JobImpact, Meaning } from '../aircraft/impact.ts';
import { changeName } from '../job/revised.ts';
import { toned, type TonedLine, type Toned } from './changes.ts';
import { withSide } from './side.ts';

/** Each meaning in words. */
export const meaningWords: Readonly<Record<Meaning, string>> = {
  nothing: 'nothing to do',
  within: 'still within',
  outside: 'no longer within',
  'never-done': 'never done',
  'hold-changed': 'look again',
  'permanent-taken': 'permanent, done otherwise',
};

/** The tone of each, here and on a screen. */
export const meaningTones = {
  nothing: 'quiet',
  within: 'order',
  outside: 'outside',
  'never-done': 'person',
  'hold-changed': 'person',
  'permanent-taken': 'outside',
} as const satisfies Readonly<Record<Meaning, Toned['tone']>>;

/** What the builder decided about a change or a bulletin, in words. */
export const decidedWords = {
  comply: 'comply',
  'not-applicable': 'not applicable',
  'record-only': 'record only',
} as const;

/** A change that asks something of the builder. */
export const asksSomething = ({ meaning }: ChangeImpact): boolean => meaning !== 'nothing' && meaning !== 'within';

const impactLine = (impact: ChangeImpact): TonedLine => [
  toned(`${changeName(impact)}: `),
  toned(meaningWords[impact.meaning], meaningTones[impact.meaning]),
  ...(impact.shown === undefined ? [] : [toned(`: ${impact.shown}`)]),
  ...(impact.decided === undefined
    ? asksSomething(impact)
      ? [toned('  not decided', 'person')]
      : []
    : [toned(`  decided: ${decidedWords[impact.decided]}`, 'order')]),
];

const titleOf = (job: JobImpact): string => job.job ?? withSide(job.procedure, job.side);

const jobLines = (job: JobImpact): readonly TonedLine[] => {
  const said = job.changes.filter(
    (one) => one.meaning !== 'nothing' || one.shown !== undefined || one.decided !== undefined,
  );
  const silent = job.changes.length - said.length;
  const revision = job.revision === undefined ? '' : `, revision ${job.revision}`;
  return [
    [toned(titleOf(job), 'strong'), toned(`  ${job.state}${revision}`)],
    ...said.map((one): TonedLine => [toned('  '), ...impactLine(one)]),
    ...(job.state === 'not begun'
      ? [[toned('  nothing to do: it will be done to the new page', 'quiet')]]
      : job.changes.length === 0
        ? [[toned('  nothing to do: it follows this page', 'quiet')]]
        : silent > 0
          ? [[toned(`  ${counted(silent, 'change')} with nothing to do`, 'quiet')]]
          : []),
    ...(job.reopens.length > 0 ? [[toned(`  moved now, these are open again: ${job.reopens.join(', ')}`)]] : []),
  ];
};

/** What the new page means, job by job. */
export const impactLines = (jobs: readonly JobImpact[]): readonly TonedLine[] =>
  jobs.length === 0
    ? []
    : [
        [toned('What it means for this build', 'strong')],
        ...jobs.flatMap(jobLines).map((line): TonedLine => [toned('  '), ...line]),
      ];
