import type { RefusalCode } from '../../fault/codes.ts';
import { overrulable } from '../../job/departure.ts';
import type { JobState } from '../../job/state.ts';
import { isOver, isParked, isWithdrawn } from '../../job/where.ts';
import { jobNow } from '../job-now.ts';
import type { BenchFacts } from '../ports.ts';
import { introduceItem, takeInItems, takeInAnyTool } from './menu/book.ts';
import { thrownCupItems } from './menu/glue.ts';
import { calculators, formOf, group, item, info, askText, type MenuItem } from './menu/item.ts';
import { looseItems } from './menu/left.ts';
import { nonconformanceItems } from './menu/nonconformance.ts';
import { answerItems, helperItems, peopleItems } from './menu/people.ts';
import { screenItems } from './menu/screen.ts';
import {
  batchItems,
  foundItems,
  logItem,
  lotItems,
  partItems,
  shopItem,
  stockItems,
  temperatureItem,
  toolItems,
} from './menu/stock.ts';
import { contradictionItems } from './owed.ts';
import { saidItems } from './menu/said.ts';
import { againItems, correctItems, valueItems } from './menu/values.ts';
import { departItem, departLabel, workItems } from './menu/work.ts';
import type { MenuGroup } from './state.ts';

const trueTime = item(
  'the true time',
  formOf('clock', '', {
    title: 'The true time',
    about: ['Set the clock of this machine right first. What was stamped in doubt goes on counting nothing.'],
    questions: [askText('time', 'As in 2026-03-02T09:00:00+01:00')],
  }),
  'the clock is in doubt',
);

const doubtItems = ({ build }: BenchFacts): readonly MenuItem[] => (build.clockTrouble ? [trueTime] : []);

const allItems = (facts: BenchFacts, job: JobState | undefined): readonly MenuItem[] => {
  if (!job)
    return [
      ...doubtItems(facts),
      temperatureItem(undefined),
      group('people', 'people', 'who is at the bench'),
      group('tools and materials', 'stock', ''),
      group('screen', 'screen', 'view, colours, lists'),
      calculators,
      item('leave dryfit', { kind: 'leave' }),
    ];
  const parked = isParked(job);
  return [
    ...doubtItems(facts),
    item('remark', formOf('remark', job.id, { title: 'Remark', questions: [askText('text', 'Remark')] })),
    parked
      ? item(
          'take the job up again',
          formOf('unpark', job.id, { title: 'Parked job', questions: [askText('arrived', 'What has come', false)] }),
        )
      : item(
          'interrupted',
          { kind: 'act', act: { verb: 'interrupt', job: job.id, data: {} } },
          'says so, and leaves the bench',
        ),
    temperatureItem(job),
    group('values', 'value', 'correct, again, calculate'),
    group('work', 'work', 'depart, leave for later, undo, park'),
    group('loose items', 'loose', 'leave, close, list'),
    group('tools and materials', 'stock', 'tool, lot, shop, sample, batch'),
    group('people', 'people', 'advice, findings, who is at the bench'),
    group('screen', 'screen', 'lists, view, colours, leave'),
  ];
};

/** What helps against a refusal, by its code; a departure last, and only where the rules let it overrule. */
export const waysOut = (facts: BenchFacts, job: JobState, code: string): readonly MenuItem[] => {
  const helps: Partial<Record<RefusalCode, () => readonly MenuItem[]>> = {
    'lot-missing': () => lotItems(job),
    'lot-expired': () => lotItems(job),
    'serial-missing': () => partItems(job),
    'tool-out-of-date': () => [...toolItems(facts, job), ...takeInItems(job), ...foundItems(facts)],
    uncertainty: () => [...toolItems(facts, job), takeInAnyTool],
    power: () => [introduceItem],
    'own-work': () => [introduceItem],
    'shop-outside': () => [shopItem(job), temperatureItem(job)],
    'cure-not-reached': () => [temperatureItem(job), logItem(job)],
    'helper-missing': () => helperItems(facts, job),
    'finding-open': () => answerItems(job),
    'batch-size': () => thrownCupItems(job),
    'pot-life-over': () => batchItems(job).filter(({ label }) => label.startsWith('discard')),
    'nonconformance-open': () => nonconformanceItems(facts, job),
    'gate-open': () => [info('gate sheet', 'gate'), info('loose items by gate', 'loose')],
    contradiction: () => contradictionItems(facts, job.id),
    'twin-open': () =>
      jobNow(facts, job).around.otherSides.map((side) =>
        item(`the other side: ${side.side ?? ''}`, { kind: 'job', job: side.id }, side.plan.title),
      ),
    clock: () => [trueTime],
  };
  const departs = !job.plan.strict && (overrulable as readonly string[]).includes(code);
  return [
    ...((helps as Record<string, (() => readonly MenuItem[]) | undefined>)[code]?.() ?? []),
    ...(departs ? [departItem(job, code, 'It overrules this refusal for one step, and stays in the record.')] : []),
  ];
};

/** What helps against several refusals at once, each way once. */
export const waysOutOf = (facts: BenchFacts, job: JobState, codes: readonly string[]): readonly MenuItem[] => {
  const ways = [...new Set(codes)].flatMap((code) => waysOut(facts, job, code));
  // A departure of one code is not that of another, and comes after everything that only wants to be entered.
  const isDeparture = ({ label }: MenuItem): boolean => label === departLabel;
  const others = ways.filter((way) => !isDeparture(way));
  const first = (way: MenuItem): boolean => others.find(({ label }) => label === way.label) === way;
  return [...others.filter(first), ...ways.filter(isDeparture)];
};

/** The items of a group of the menu. A complete job keeps what only looks, corrects or notes; a withdrawn one what looks. */
export const menuItems = (facts: BenchFacts, menu: MenuGroup, job: JobState | undefined): readonly MenuItem[] => {
  if (menu === 'screen') return screenItems(job);
  if (menu === 'people') return peopleItems(facts, job);
  if (menu === 'stock') return stockItems(facts, job);
  if (!job) return allItems(facts, undefined);
  if (isWithdrawn(job)) return screenItems(job);
  if (menu === 'value') return valueItems(facts, job);
  if (menu === 'correct') return correctItems(facts, job);
  if (menu === 'said') return saidItems(job);
  if (menu === 'again') return isOver(job) ? [] : againItems(job);
  if (menu === 'work') return workItems(facts, job);
  if (menu === 'loose') return looseItems(facts, job);
  return allItems(facts, job);
};
