import { bulletinsOf, type BulletinStatus } from '../../aircraft/bulletins.ts';
import { jobsWith, openContradictions } from '../../aircraft/state.ts';
import { underWay } from '../../aircraft/traits.ts';
import { contradictionText, type Contradiction } from '../../job/contradiction.ts';
import type { BenchFacts } from '../ports.ts';
import { choice, formOf, item, askText, type MenuItem } from './menu/item.ts';

const stands = [
  { value: 'yes', label: 'it stands', aside: 'what it says counts from here on' },
  { value: 'no', label: 'it does not stand', aside: 'kept in the journal, changes nothing' },
];

const settleItem = (one: Contradiction): MenuItem =>
  item(
    `contradiction: ${one.entry.type}${one.step === undefined ? '' : ` ${one.step}`} by ${one.entry.by}`,
    formOf('settle', '', {
      title: 'Settle a contradiction',
      about: [contradictionText(one), 'Nothing that rests on it is finished until then.'],
      fixed: { entry: one.entry.id },
      questions: [choice('keep', 'Which is it', stands)],
    }),
    'settle it',
  );

/** Entries that contradict what was done elsewhere, of one job or of all: how to settle each. */
export const contradictionItems = (facts: BenchFacts, job?: string): readonly MenuItem[] =>
  openContradictions(facts.build, job).map(settleItem);

const decisions = (procedure: string) => [
  { value: 'comply', label: 'comply', aside: `then carry out ${procedure}` },
  { value: 'not-applicable', label: 'not applicable', aside: 'with the reason' },
  { value: 'record-only', label: 'record only', aside: 'with the reason' },
];

const decideItem = ({ bulletin, of, procedure }: BulletinStatus, job: string): MenuItem =>
  item(
    `bulletin ${bulletin}: ${job}`,
    formOf('resolve', job, {
      title: `Bulletin ${bulletin} of ${of}`,
      about: [`${procedure} answers it. It is decided for ${job} here.`],
      fixed: { change: bulletin },
      questions: [
        choice('as-what', 'What is decided', decisions(procedure)),
        askText('reason', 'Why; wanted unless it is comply', false),
      ],
    }),
    'not decided',
  );

/** Of a procedure that no job has begun, the bulletin waits with it: what answers it can be looked at, and started. */
const unbegunItem = ({ bulletin, of, procedure }: BulletinStatus): MenuItem =>
  item(`bulletin ${bulletin}: ${of}, not begun`, { kind: 'start', procedure }, `${procedure} answers it`);

/** To comply with a bulletin is to carry out the procedure that answers it. Once a job of it is begun, that job shows what is left. */
const carryOutItems = (facts: BenchFacts, { bulletin, of, procedure }: BulletinStatus): readonly MenuItem[] =>
  jobsWith(facts.build, underWay).some((job) => job.procedure === procedure)
    ? []
    : [item(`bulletin ${bulletin}: ${of}, to be carried out`, { kind: 'start', procedure }, `start ${procedure}`)];

/** Bulletins that nobody has decided about yet, job by job, and those that are still to be carried out. */
export const bulletinItems = (facts: BenchFacts): readonly MenuItem[] =>
  bulletinsOf(facts.build, facts.answering).flatMap((one) => {
    if (one.jobs.length > 0) return one.jobs.map((job) => decideItem(one, job));
    return one.toCarryOut.length > 0 ? carryOutItems(facts, one) : [unbegunItem(one)];
  });
