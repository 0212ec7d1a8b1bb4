import { peopleNow } from '../../aircraft/surroundings.ts';
import { own } from '../../fault/own.ts';
import type { Fault } from '../../fault/fault.ts';
import { peopleNear, shownName } from '../../job/people.ts';
import { givenFields, isVerb } from '../../job/verbs.ts';
import type { Act, BenchFacts } from '../ports.ts';
import type { Form } from './form.ts';

interface Unclear {
  /** The field in which the name was typed, and all the names in it. */
  readonly field: string;
  readonly names: readonly string[];
  readonly typed: string;
  readonly near: readonly string[];
}

/** The first name of an act that is near somebody of the build. */
const unclearIn = (act: Act, facts: BenchFacts): Unclear | undefined => {
  const people = Object.values(peopleNow(facts.build));
  for (const { name: field, kind } of isVerb(act.verb) ? givenFields(act.verb) : []) {
    const value = kind === 'name' || kind === 'names' ? act.data[field] : undefined;
    const texts = value === undefined ? [] : ([value].flat() as readonly string[]);
    const names = kind === 'names' ? texts.flatMap((text) => text.split(',')) : texts;
    for (const typed of names) {
      const near = peopleNear(people, typed);
      if (near.length > 0) return { field, names, typed, near };
    }
  }
  return undefined;
};

/** Asks who is meant by a name that is near somebody's (rule 13 of the design): that person, or somebody else. The act is then the same. */
export const whoIsMeant = (act: Act, fault: Fault, facts: BenchFacts): Form | undefined => {
  if (fault.code !== 'person-near') return undefined;
  const unclear = unclearIn(act, facts);
  if (!unclear) return undefined;
  const { field, names, typed, near } = unclear;
  const people = peopleNow(facts.build);
  const shown = shownName(typed);
  const nameOf = (person: string): string => own(people, person)?.name ?? person;
  const answerOf = (meant: string): string => names.map((name) => (name === typed ? meant : name.trim())).join(', ');
  const { [field]: _unclear, ...fixed } = act.data;
  return {
    key: `who ${act.verb} ${act.job} ${field} ${typed}`,
    title: `Do you mean ${near.map(nameOf).join(' or ')}?`,
    about: [`Nobody of the build is called ${shown}.`],
    verb: act.verb,
    job: act.job,
    by: act.by,
    fixed,
    questions: [
      {
        name: field,
        ask: `${shown} is`,
        kind: 'choice',
        required: true,
        choices: [
          ...near.map((person) => ({ value: answerOf(person), label: nameOf(person), aside: person })),
          { value: answerOf(`new:${shown}`), label: 'somebody else', aside: shown },
        ],
      },
    ],
  };
};
