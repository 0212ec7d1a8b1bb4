import { err, refusal, usage, type Fault, type Outcome, type Refusal } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { Change } from '../../procedure/compare/change.ts';
import type { Procedure } from '../../procedure/model.ts';
import { planFor, stepOf, type Plan } from '../../procedure/plan.ts';
import { mapOf, textOf, type Data, type Taken } from '../entry.ts';
import { changeKey, changeName, changesFor, mustRedo, revisedTo } from '../revised.ts';
import type { JobState } from '../state.ts';
import { stepStateOf } from '../step-state.ts';
import { powerRefusals } from '../refusals/power.ts';
import { settle, type Ask } from './ask.ts';

const performer = (ask: Ask): readonly Refusal[] =>
  powerRefusals(ask.command.by, ['builder'], 'decide this', ask.moment);

const noText = usage(
  'revision-unknown',
  'the text of that revision is not at hand',
  'name a revision that lies among the procedures, or that the state knows',
);

/** The plan of a revision for this job; the fault where it cannot be followed by it. */
const planIn = (job: JobState, named: Procedure): { readonly plan: Plan } | { readonly fault: Fault } => {
  if (named.procedure !== job.procedure)
    return {
      fault: usage(
        'procedure-differs',
        `that is a revision of ${named.procedure}, and ${job.id} follows ${job.procedure}`,
        `name a revision of ${job.procedure}`,
      ),
    };
  const isSided = job.side === undefined ? named.each.length === 0 : named.each.includes(job.side);
  return isSided
    ? { plan: planFor(named, job.side) }
    : {
        fault: usage(
          'side-unknown',
          `revision ${named.revision} of ${named.procedure} is for ${named.each.join(', ') || 'no sides'}`,
          'start the procedure anew in its new revision',
        ),
      };
};

const finishedOf = (job: JobState): number =>
  job.plan.steps.filter((step) => stepStateOf(job, step.step).state === 'done').length;

/** A job under way, or complete, follows another revision; what does not stand by it is open again. */
export const decideMove = (ask: Ask): Outcome<Taken> => {
  const named = ask.moment.around.named;
  const sha256 = textOf(ask.data, 'sha256');
  if (named === undefined || sha256 === undefined) return err(noText);
  if (sha256 === ask.job.sha256)
    return err(usage('revision-same', `${ask.job.id} follows this very text already`, 'name another revision'));
  const found = planIn(ask.job, named);
  if ('fault' in found) return err(found.fault);
  const { job, reopened } = revisedTo(ask.job, found.plan, sha256, mapOf(ask.data, 'renamed'));
  const stands = finishedOf(job) - reopened.length;
  const gone = job.former.slice(ask.job.former.length).map(({ step }) => step);
  return settle(ask, undefined, performer(ask), {
    data: { reopens: reopened.map(({ step }) => step) },
    told: [
      `${ask.job.id} follows revision ${named.revision} from here on; ${stands} finished steps stand`,
      ...reopened.map(({ step, because }) => `${step} is open again: ${because}`),
      ...(gone.length > 0 ? [`not in the new revision, kept in the record: ${gone.join(', ')}`] : []),
    ],
  });
};

/** Where a decision is about a revision that the job follows already, the changes are those that the move brought. */
const planBefore = (job: JobState, sha256: string): Plan =>
  sha256 === job.sha256 ? (job.moves.findLast((move) => move.sha256 === sha256)?.before ?? job.plan) : job.plan;

const namesFor = (job: JobState, sha256: string): Readonly<Record<string, string>> =>
  job.moves.findLast((move) => move.sha256 === sha256)?.renamed ?? {};

const meant = (changes: readonly Change[], on: string): readonly Change[] => {
  const exact = changes.filter((change) => changeKey(change) === on);
  if (exact.length > 0) return exact;
  return changes.filter(({ step, reading }) => (step === '' ? 'head' : step) === on || reading === on);
};

const reasonRefusals = (ask: Ask): readonly Refusal[] =>
  textOf(ask.data, 'as-what') === 'comply' || textOf(ask.data, 'reason') !== undefined
    ? []
    : [refusal('reason-missing', 'only to comply needs no reason', 'give reason')];

/** Another person's look cannot be decided away, and a strict procedure leaves nothing out. */
const leavingRefusals = (ask: Ask, plan: Plan, aside: readonly string[]): readonly Refusal[] => [
  ...aside
    .filter((step) => stepOf(plan, step)?.hold?.kind === 'hold')
    .map((step) =>
      refusal('hold-closed', `${step} is a hold point; it is not decided away`, 'have it looked at and released'),
    ),
  ...(plan.strict && aside.length > 0
    ? [refusal('strict', `${plan.procedure} is strict: no step of it is left out`, 'comply')]
    : []),
];

interface Effects {
  readonly reopens: readonly string[];
  readonly aside: readonly string[];
}

const effectsOf = (ask: Ask, covered: readonly Change[], follows: boolean): Effects => {
  const isLeft = textOf(ask.data, 'as-what') !== 'comply';
  const added = covered.filter(({ kind, what }) => kind === 'added' && what === 'step').map(({ step }) => step);
  return {
    // Before the move there is nothing to reopen: the old page still holds, and the move heeds the decision.
    reopens:
      follows && !isLeft
        ? [...new Set(covered.filter((change) => mustRedo(ask.job, change)).map(({ step }) => step))]
        : [],
    aside: isLeft ? added.filter((step) => stepStateOf(ask.job, step).state === 'todo') : [],
  };
};

const listed = (key: string, list: readonly string[]): Data => (list.length > 0 ? { [key]: list } : {});

const toldOf = (
  ask: Ask,
  covered: readonly string[],
  { reopens, aside }: Effects,
  follows: boolean,
): readonly string[] => [
  `decided: ${covered.join('; ')}`,
  ...reopens.map((step) => `${step} is open again`),
  ...aside.map((step) => `${step} is not done here`),
  ...(!follows && textOf(ask.data, 'as-what') === 'comply'
    ? [`${ask.job.id} follows revision ${ask.job.revision} until it is moved`]
    : []),
];

const decideBulletin = (ask: Ask, bulletin: string, named: Procedure): Outcome<Taken> => {
  if (named.answers?.of !== ask.job.procedure)
    return err(
      usage(
        'bulletin-elsewhere',
        `the bulletin ${bulletin} is of ${named.answers?.of ?? 'nothing'}, not of ${ask.job.procedure}`,
        'decide it at a job that it is of',
      ),
    );
  return settle(ask, undefined, [...performer(ask), ...reasonRefusals(ask)], {
    data: { covers: [`bulletin ${bulletin}`] },
    told: [
      textOf(ask.data, 'as-what') === 'comply'
        ? `carry it out: start ${named.procedure}`
        : `the bulletin ${bulletin} is decided`,
    ],
  });
};

/** The builder's decision about a change or a bulletin, with its reason. */
export const decideResolve = (ask: Ask): Outcome<Taken> => {
  const { named } = ask.moment.around;
  const [on, sha256] = [textOf(ask.data, 'change') ?? '', textOf(ask.data, 'sha256')];
  if (named === undefined || sha256 === undefined) return err(noText);
  if (named.answers?.bulletin === on) return decideBulletin(ask, on, named);
  const found = planIn(ask.job, named);
  if ('fault' in found) return err(found.fault);
  const changes = changesFor(planBefore(ask.job, sha256), found.plan, namesFor(ask.job, sha256));
  const covered = meant(changes, on);
  const [first] = covered;
  if (first === undefined) {
    const known = [...new Set(changes.map(({ step }) => (step === '' ? 'head' : step)))];
    return err(unknownId(`revision ${named.revision} changes nothing called '${on}'`, on, known));
  }
  const follows = sha256 === ask.job.sha256;
  const effects = effectsOf(ask, covered, follows);
  const keys = [...new Set(covered.map(changeKey))];
  const refusals = [...performer(ask), ...reasonRefusals(ask), ...leavingRefusals(ask, found.plan, effects.aside)];
  return settle(ask, undefined, refusals, {
    data: {
      covers: keys,
      ...(first.step === '' ? {} : { step: first.step }),
      ...listed('reopens', effects.reopens),
      ...listed('lays-aside', effects.aside),
    },
    told: toldOf(ask, [...new Set(covered.map(changeName))], effects, follows),
  });
};
