import { idOrName, type Known } from '../job/people.ts';
import type { Surroundings } from '../job/surroundings.ts';
import type { JobState } from '../job/state.ts';
import { performs } from '../job/verbs.ts';
import type { RecordPerson } from './document.ts';
import { present, unique } from './plain.ts';
import { own } from '../fault/own.ts';

type Did = RecordPerson['did'][number];

type Deed = readonly [person: string, did: Did];

const logged = (job: JobState): readonly Deed[] =>
  job.log.map(({ by, type }) => [by, performs(type) ? 'performed' : 'entered']);

const helped = (job: JobState): readonly Deed[] =>
  [...Object.values(job.steps), ...job.batches].flatMap((one) => one.with.map((person): Deed => [person, 'helped']));

const looked = (job: JobState): readonly Deed[] =>
  [...job.plan.steps, ...job.former].flatMap((step) =>
    (own(job.looks, step.step) ?? [])
      .filter((look) => look.kind !== 'invite')
      .map(({ person, self }): Deed => {
        const did = step.hold?.kind === 'witness' ? 'witnessed' : 'inspected';
        return [person, self ? 'looked again at own work' : did];
      }),
  );

const said = (job: JobState): readonly Deed[] =>
  job.remarks.flatMap(({ from }): readonly Deed[] => (from === undefined ? [] : [[from, 'advised']]));

const accepted = (job: JobState): readonly Deed[] =>
  job.dispositions.flatMap(({ acceptedBy, author }): readonly Deed[] => [
    ...(acceptedBy === undefined ? [] : [[acceptedBy, 'accepted a disposition'] as const]),
    ...(author === undefined ? [] : [[author, 'accepted a disposition by letter'] as const]),
  ]);

const agreed = (job: JobState): readonly Deed[] =>
  job.departures.flatMap((one): readonly Deed[] => {
    if (one.agreedBy !== undefined) return [[one.agreedBy, 'agreed to a departure']];
    return one.agreed === undefined ? [] : [[one.agreed, 'is said to have agreed to a departure']];
  });

const invited = (job: JobState): readonly Deed[] =>
  Object.values(job.looks)
    .flat()
    .flatMap(({ who }): readonly Deed[] => (who === undefined ? [] : [[who, 'was invited to witness']]));

/** All that was done or said in a job, and by whom. Whoever was named by another spelling of their name counts as that person. */
const deedsIn = (job: JobState, known: readonly Known[]): readonly Deed[] =>
  [logged, helped, looked, said, accepted, agreed, invited].flatMap((deeds) =>
    deeds(job).map(([typed, did]): Deed => [idOrName(known, typed), did]),
  );

/** Everybody named in a job: the powers that they have, and what they did. Whoever did anything else is not listed as `entered` too. */
export const recordPeopleOf = (
  job: JobState,
  around: Surroundings,
  keys: Readonly<Record<string, readonly string[]>>,
  signer: string,
): readonly RecordPerson[] => {
  const deeds = deedsIn(job, Object.values(around.people));
  const people = unique([job.started.by, signer, ...deeds.map(([person]) => person)]);
  return people.map((person) => {
    const did = new Set(deeds.filter((deed) => deed[0] === person).map((deed) => deed[1]));
    if (did.size > 1) did.delete('entered');
    return present({
      person,
      name: own(around.people, person)?.name,
      follows: own(around.people, person)?.follows,
      powers: own(around.people, person)?.powers ?? [],
      keys: own(keys, person) ?? [],
      did: [...did],
    });
  });
};
