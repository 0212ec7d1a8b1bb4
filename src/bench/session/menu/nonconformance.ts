import { aroundOf } from '../../../aircraft/surroundings.ts';
import { isBreachKey, whichOf } from '../../../job/breach.ts';
import { nonconformances, type Nonconformance } from '../../../job/nonconformances.ts';
import type { JobState } from '../../../job/state.ts';
import type { BenchFacts } from '../../ports.ts';
import { acceptance, reason } from '../doors.ts';
import { choice, formOf, item, type MenuItem } from './item.ts';

const ways = [
  { value: 'rework', label: 'rework', aside: 'the work is done anew' },
  { value: 'scrap', label: 'scrap', aside: 'a new part' },
  { value: 'ask', label: 'ask the designer', aside: 'it stays open' },
];

const accepted = [
  { value: 'use-as-is', label: 'use as is', aside: 'accepted as it stands' },
  { value: 'repair', label: 'repair', aside: 'fit for use, not to the drawing' },
];

/** Decides about work in doubt. A value outside its limits is decided in its own step instead. */
const decided = (facts: BenchFacts, job: JobState, one: Nonconformance): readonly MenuItem[] => {
  const form = (choices: typeof ways, label: string, more: ReturnType<typeof acceptance>): MenuItem =>
    item(
      `${label}: ${one.on}`,
      formOf('dispose', job.id, {
        title: `Decide: ${one.on}`,
        about: [one.what],
        fixed: { on: one.on, ...whichOf(one) },
        questions: [choice('as-what', 'What becomes of it', choices), reason, ...more],
      }),
      one.what,
    );
  const isAccepted = !(job.plan.strict && isBreachKey(one.key));
  return [
    form(ways, 'do it anew, or ask', []),
    ...(isAccepted ? [form(accepted, 'let it stand', acceptance(facts))] : []),
  ];
};

/** Everything in doubt, once for each name under which a disposition names it. */
export const nonconformanceItems = (facts: BenchFacts, job: JobState): readonly MenuItem[] => {
  const open = nonconformances(job, aroundOf(facts.build, job, facts.now.ms)).filter((one) => one.open);
  const nameOf = (one: Nonconformance): string => JSON.stringify([one.on, whichOf(one)]);
  const byName = new Map(open.toReversed().map((one) => [nameOf(one), one]));
  return [...new Set(open.map(nameOf))].flatMap((name) => {
    const first = byName.get(name);
    return first ? decided(facts, job, first) : [];
  });
};
