import type { Draft } from 'immer';
import { err, refusal, usage, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { readingOf, resultOf, stepOf } from '../../procedure/plan.ts';
import { redo, reopenJob, stampOf, touch } from '../draft.ts';
import { nonconformances, type Nonconformance } from '../nonconformances.ts';
import { performerRefusals, powerRefusals } from '../refusals/power.ts';
import { reworkStart, reworkSteps } from '../rework.ts';
import type { Disposition } from '../state.ts';
import { takeUnless, type Act, type Ask, type AskedJob } from './act.ts';

interface Target {
  readonly step: Step;
  readonly covers: readonly string[];
}

/** The thing that a disposition is about (a reading, result, step, sample or batch), and its values that are outside. */
const targetOf = ({ job, moment }: AskedJob, on: string): Target | undefined => {
  const batch = job.batches.findLast((one) => one.batch === on || one.sample?.id === on);
  const step =
    readingOf(job.plan, on)?.step ??
    resultOf(job.plan, on)?.step ??
    stepOf(job.plan, on) ??
    (batch && stepOf(job.plan, batch.step));
  if (!step) return undefined;
  const names = new Set([on, ...(batch?.sample ? [batch.sample.id] : [])]);
  const isStep = step.step === on;
  // A disposition of the mix, of its sample or of the breaking covers the whole batch; one of a joint covers that joint alone.
  const isOfBatch = (one: Nonconformance): boolean =>
    one.batch === batch?.batch || (isStep && (one.mix === on || (step.break?.of.includes(one.mix ?? '') ?? false)));
  const covers = nonconformances(job, moment.around).flatMap((one) => {
    if (one.batch !== undefined && isOfBatch(one)) return [one.key, one.cause ?? one.key];
    return names.has(one.on) || (isStep && one.step === on) ? [one.key] : [];
  });
  return { step, covers: [...new Set(covers)] };
};

const acceptance = ({ data, moment }: Ask<'dispose'>): readonly Refusal[] => {
  const who = data['accepted-by'];
  if (who !== undefined) return powerRefusals(who, ['designer'], 'accept it', moment);
  return data.letter === undefined
    ? [
        refusal(
          'power',
          'nobody with the power to do so has accepted it',
          'name the designer who signs (accepted-by), or their letter (letter)',
        ),
      ]
    : [];
};

/** The ways to deal with work outside its limits (section 4 of the design). */
export const disposeAct: Act<'dispose'> = {
  decide: (ask) => {
    const { on, 'as-what': kind, 'accepted-by': who } = ask.data;
    const target = targetOf(ask, on);
    if (!target)
      return err(
        usage(
          'unknown-id',
          `nothing called '${on}' in this job`,
          'name a reading, a result, a step, a sample or a batch',
        ),
      );
    const stands = kind === 'repair' || kind === 'use-as-is';
    if (stands && target.covers.length === 0)
      return err(usage('nothing-outside', `nothing of ${on} stands outside its limits`, 'there is nothing to accept'));
    const back = kind === 'rework' || kind === 'scrap' ? reworkStart(ask.job, target.step.step, kind) : undefined;
    return takeUnless(ask, target.step, [...performerRefusals(ask.moment), ...(stands ? acceptance(ask) : [])], {
      data: { step: target.step.step, covers: target.covers },
      also: stands && who !== undefined && who !== ask.command.by ? [who] : [],
      told: back ? [`back to ${back.step}`] : [],
    });
  },
  evolve: (draft, entry, job) => {
    const { on, 'as-what': kind, reason, step, covers, 'accepted-by': acceptedBy } = entry.data;
    const letter = entry.data['letter-sha256'];
    const disposition: Disposition = {
      ...stampOf(entry),
      on,
      kind,
      reason,
      covers,
      step,
      ...(acceptedBy === undefined ? {} : { acceptedBy }),
      ...(letter === undefined ? {} : { letter }),
    };
    draft.dispositions.push(disposition as Draft<Disposition>);
    if (kind === 'rework' || kind === 'scrap') {
      redo(draft, job.plan, reworkSteps(job, step, kind), entry, `${kind}: ${reason}`);
      reopenJob(draft, entry);
    } else touch(draft, step, entry);
  },
  words: (data) => `${data['as-what']}: ${data.on}`,
};
