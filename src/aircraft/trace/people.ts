import { own } from '../../fault/own.ts';
import type { JobState } from '../../job/state.ts';
import { stepStateOf } from '../../job/step-state.ts';
import { stepOf } from '../../procedure/plan.ts';
import { pairs, rest, valuesAt, type Rest } from './rest.ts';
import type { Trail } from './trail.ts';

const words = { release: 'released', refuse: 'refused', reinspect: 'looked at again', invite: 'invited' } as const;

const peopleIn = (job: JobState): readonly string[] => [
  ...new Set([
    ...Object.values(job.steps).flatMap(({ performers, with: helpers }) => [...performers, ...helpers]),
    ...Object.values(job.looks).flatMap((looks) => looks.map(({ person }) => person)),
    ...job.batches.flatMap((batch) => [batch.by, ...batch.with]),
    ...job.dispositions.flatMap(({ by, acceptedBy }) => [by, ...(acceptedBy === undefined ? [] : [acceptedBy])]),
    ...job.departures.flatMap(({ by, agreed }) => [by, ...(agreed === undefined ? [] : [agreed])]),
    ...job.photos.map(({ by }) => by),
  ]),
];

const workOf = (job: JobState, person: string): readonly Rest[] =>
  job.plan.steps.flatMap((step) => {
    const { performers, with: helpers, finished, last, state } = stepStateOf(job, step.step);
    const by = (one: { readonly by: string }): boolean => one.by === person;
    const part = helpers.includes(person) ? 'helped' : 'performed';
    const isThere = performers.includes(person) || helpers.includes(person);
    return [
      ...(isThere
        ? [rest(job, step, 'joint', `${part}; ${state === 'done' ? 'finished' : 'open'}`, finished ?? last)]
        : []),
      ...valuesAt(job, step, by),
      ...job.photos
        .filter((one) => one.step === step.step && by(one))
        .map((one) => rest(job, step, 'photo', `photo ${one.photo}`, one, { superseded: one.superseded })),
    ];
  });

const batchesOf = (job: JobState, person: string): readonly Rest[] =>
  job.batches
    .filter((batch) => batch.by === person || batch.with.includes(person))
    .map((batch) =>
      rest(job, stepOf(job.plan, batch.step), 'batch', `${batch.batch}: ${pairs(batch.weights)}`, batch, {
        batch: batch.batch,
        superseded: batch.superseded,
      }),
    );

const looksOf = (job: JobState, person: string): readonly Rest[] =>
  job.plan.steps.flatMap((step) =>
    (own(job.looks, step.step) ?? [])
      .filter((look) => look.person === person)
      .map((look) => rest(job, step, 'look', words[look.kind], look, { superseded: look.voided })),
  );

const decisionsOf = (job: JobState, person: string): readonly Rest[] => [
  ...job.dispositions
    .filter(({ by, acceptedBy }) => by === person || acceptedBy === person)
    .map((one) =>
      rest(job, stepOf(job.plan, one.step ?? ''), 'decision', `${one.kind} of ${one.on}: ${one.reason}`, one),
    ),
  ...job.departures
    .filter(({ by, agreed }) => by === person || agreed === person)
    .map((one) =>
      rest(job, stepOf(job.plan, one.step ?? ''), 'decision', `departed from ${one.code}: ${one.did}`, one),
    ),
];

/** Everybody who performed, helped, looked or decided in a job. What was built over their work is not asked. */
export const personTrails = (job: JobState): readonly Trail[] =>
  peopleIn(job).map((person) => ({
    of: { kind: 'person', person },
    names: [person],
    rests: [...workOf(job, person), ...batchesOf(job, person), ...looksOf(job, person), ...decisionsOf(job, person)],
    grounds: [],
  }));
