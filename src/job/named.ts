import { usage, type Fault } from '../fault/fault.ts';
import type { Datum, ReadCommand } from './entry.ts';
import { areOne, isNewcomer, peopleNamed, peopleNear, shownName, type Known } from './people.ts';
import { givenFields } from './verbs.ts';

/** Every name that somebody typed in a command, in the order of its fields. */
export const namesTyped = ({ verb, data }: ReadCommand): readonly string[] =>
  givenFields(verb)
    .filter(({ kind }) => kind === 'name' || kind === 'names')
    .flatMap(({ name }): readonly string[] => {
      const value = (data as unknown as Readonly<Record<string, Datum>>)[name];
      return value === undefined ? [] : ([value].flat() as readonly string[]).flatMap((text) => text.split(','));
    });

const naming = (people: readonly Known[], id: string): string => {
  const name = people.find(({ person }) => person === id)?.name;
  return name === undefined ? id : `${name} (${id})`;
};

/** Why a name cannot be taken as it was typed: it is near somebody's, or more than one person has it. */
const nameFault = (people: readonly Known[], typed: string): Fault | undefined => {
  const shown = shownName(typed);
  const named = peopleNamed(people, typed);
  const [first, ...others] = named;
  if (first === undefined) {
    const near = peopleNear(people, typed);
    if (near.length === 0) return undefined;
    return usage(
      'person-near',
      `nobody of the build is called ${shown}`,
      `do you mean ${near.map((id) => naming(people, id)).join(' or ')}? Write the id; for somebody else write new:${shown}`,
    );
  }
  if (isNewcomer(typed))
    return usage(
      'person-known',
      `${shown} is ${naming(people, first)} of the build`,
      'add what tells the other person from them, such as a second name',
    );
  return named.includes(shown) || others.every((other) => areOne(people, first, other))
    ? undefined
    : usage('person-several', `${shown} may be ${named.join(' or ')}`, 'name the person by their id');
};

/**
 * Why a command names a person in a way that leaves open who is meant (rule 13 of the design). Faults (usage, exit 2): `person-near`,
 * `person-known`, `person-several`. An entry that is written already is never asked this.
 */
export const namedFault = (people: readonly Known[], command: ReadCommand): Fault | undefined => {
  for (const typed of namesTyped(command)) {
    const fault = nameFault(people, typed);
    if (fault !== undefined) return fault;
  }
  return undefined;
};
