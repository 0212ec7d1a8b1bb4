import type { BulletinStatus } from '../aircraft/bulletins.ts';
import type { BuildStatus, JobStatus } from '../aircraft/status.ts';
import { stageStatusWords } from '../aircraft/status-words.ts';
import type { Fault } from '../fault/fault.ts';
import { parseInstant, printDuration } from '../quantity/time.ts';
import { localDay, localTime } from './local-time.ts';
import type { Call } from './spec.ts';

/** What a status is printed as, the usual one first. */
export const statusFormats = ['text', 'json', 'ics'] as const;
export type StatusFormat = (typeof statusFormats)[number];

/** An instant of the status in local time. */
const local = (text: string, call: Call): string => {
  const read = parseInstant(text);
  return read.ok ? localTime(call.host.clock, read.value.ms) : text;
};

type Cure = JobStatus['cures'][number];

/** Hours to the minute, rounded down. */
const toMinute = (ms: number): string => printDuration(Math.floor(ms / 60_000) * 60_000);

const outlook = ({ temperature }: Cure, forecast: string | undefined, call: Call): string => {
  if (forecast !== undefined) return `ready about ${local(forecast, call)} if it stays ${temperature ?? ''}`;
  return temperature === undefined ? 'nothing counts before the first temperature' : `no end at ${temperature}`;
};

/** The hours by the clock and the hours that counted, for every stage of a cure. */
const cureLines = (job: JobStatus, call: Call): readonly string[] =>
  job.cures.flatMap((cure) => {
    const begun = parseInstant(cure.begun);
    const clock = begun.ok ? Math.max(0, call.host.clock.wall() - begun.value.ms) : 0;
    return cure.stages.map((stage) =>
      stage.reached
        ? `    cure ${cure.step} ${stage.stage}: reached${stage.reachedAt === undefined ? '' : ` ${local(stage.reachedAt, call)}`}`
        : `    cure ${cure.step} ${stage.stage}: clock ${toMinute(clock)}, counted ${stageStatusWords(stage, toMinute)}, ${outlook(cure, stage.forecast, call)}`,
    );
  });

/** The end of the pot life that runs, or that it is over. */
const potLifeLines = ({ potLife }: JobStatus, call: Call): readonly string[] => {
  if (potLife === undefined) return [];
  const read = parseInstant(potLife.ends);
  const over = read.ok && read.value.ms < call.host.clock.wall();
  return [
    over
      ? `    STOP pot life of ${potLife.batch} ended ${local(potLife.ends, call)}: discard it, or depart from it`
      : `    pot life of ${potLife.batch} ends ${local(potLife.ends, call)}`,
  ];
};

const beginByLines = ({ beginBy }: JobStatus, call: Call): readonly string[] =>
  beginBy.map(({ step, after, by }) => {
    const read = parseInstant(by);
    const isOver = read.ok && read.value.ms < call.host.clock.wall();
    return isOver
      ? `    too late to begin ${step} since ${local(by, call)}: do ${after} again, or depart from it`
      : `    begin ${step} by ${local(by, call)}`;
  });

const placeOf = ({ because, step, number, of }: JobStatus): string => {
  if (because !== undefined) return `: ${because}`;
  return step === undefined ? `, ${of} of ${of}` : `, ${number} of ${of}, ${step} open`;
};

const jobLines = (job: JobStatus, call: Call): readonly string[] => [
  `  ${job.id}  ${job.title}`,
  `    ${job.state}${placeOf(job)}`,
  ...(job.waitsFor.length > 0 && (job.state !== 'complete' || job.contradictions.length > 0)
    ? [`    waits for ${job.waitsFor.join('; ')}`]
    : []),
  ...potLifeLines(job, call),
  ...beginByLines(job, call),
  ...cureLines(job, call),
  ...(job.samplesOwed.length > 0 ? [`    samples not broken yet: ${job.samplesOwed.join(', ')}`] : []),
  ...job.nonconformances.map((what) => `    nonconformance: ${what}`),
  ...(job.findings.length > 0 ? [`    findings open: ${job.findings.join(', ')}`] : []),
];

const section = (title: string, lines: readonly string[]): readonly string[] =>
  lines.length === 0 ? [] : [title, ...lines];

const jobsAndStock = (status: BuildStatus, closed: Fault | undefined, call: Call): readonly string[] => {
  const today = localDay(call.host.clock);
  if (status.build === '') return ['not begun: npm start or dryfit opens the bench, or: dryfit person add ID'];
  return [
    ...(status.scripted ? ['scripted: this state was made by a rehearsal, and never becomes real'] : []),
    ...(closed ? [`reading only: ${closed.what}`] : []),
    ...(status.clock === undefined ? [] : [`clock: ${status.clock}`]),
    ...section(
      'Contradictions',
      status.contradictions.map(
        ({ entry, job, type, step, by, code, why }) =>
          `  ${entry} ${type}${step === undefined ? '' : ` ${step}`} by ${by}${job === '' ? '' : ` in ${job}`}: ${code}, ${why}; dryfit do - settle ${entry} keep=yes|no`,
      ),
    ),
    ...section(
      'Jobs',
      status.jobs.flatMap((job) => jobLines(job, call)),
    ),
    ...section(
      'Loose on purpose',
      status.loose.map(
        (item) => `  ${item.tag} ${item.item}: ${item.open} ${item.left}, before ${item.before} (${item.job})`,
      ),
    ),
    ...section(
      'In date until',
      status.runsOut.map((line) => `  ${line.day} ${line.what}${line.day < today ? ', past' : ''}`),
    ),
    ...section(
      'Left of lots',
      status.left.map(({ what, left, of, isUsedUp }) => `  ${what}: ${isUsedUp ? 'used up, ' : ''}${left} of ${of}`),
    ),
    ...section(
      'In quarantine',
      status.quarantine.map((line) => `  ${line.what}: ${line.because}`),
    ),
    ...(status.jobs.length === 0 ? ['no jobs yet: dryfit start PROCEDURE'] : []),
  ];
};

const undecidedLine = ({ bulletin, of, procedure, jobs }: BulletinStatus): string => {
  const [first] = jobs;
  const todo =
    first === undefined ? '' : `; dryfit do ${first} resolve ${bulletin} as-what=comply|not-applicable|record-only`;
  return `  ${bulletin} of ${of}: ${jobs.length === 0 ? 'not begun' : jobs.join(', ')}; ${procedure} answers it${todo}`;
};

const bulletinLines = (bulletins: readonly BulletinStatus[]): readonly string[] => [
  ...section(
    'Bulletins not decided',
    bulletins.filter(({ jobs, toCarryOut }) => jobs.length > 0 || toCarryOut.length === 0).map(undecidedLine),
  ),
  ...section(
    'Bulletins to be carried out',
    bulletins
      .filter(({ toCarryOut }) => toCarryOut.length > 0)
      .map(
        ({ bulletin, of, procedure, toCarryOut }) =>
          `  ${bulletin} of ${of}: ${toCarryOut.join(', ')}; open until a job of ${procedure} is complete`,
      ),
  ),
];

const newPageLines = (pages: readonly string[]): readonly string[] =>
  section(
    'New in the procedures folder',
    pages.length === 0 ? [] : [`  ${pages.join(', ')}: not in the plan yet; the next start takes it in`],
  );

/** What the procedures folder adds to a status. */
export interface FromFolder {
  readonly bulletins: readonly BulletinStatus[];
  /** Pages that the plan in force does not know yet. */
  readonly newPages: readonly string[];
}

/** The status in words. @param closed why nothing may be written */
export const statusLines = (
  call: Call,
  status: BuildStatus,
  { bulletins, newPages }: FromFolder,
  closed?: Fault,
): readonly string[] => [
  ...jobsAndStock(status, closed, call),
  ...bulletinLines(bulletins),
  ...newPageLines(status.build === '' ? [] : newPages),
];
