import { oneLetterApart } from '../fault/nearest.ts';

/*
 * Who is meant by a name that somebody typed (rule 13 of the design). An entry keeps what was typed. Matching is done at each decision,
 * with the people whom the build knows then, so that people introduced later count.
 */

/** The part of a person that says by what names they are known, and whether they are also somebody else. */
export interface Known {
  readonly person: string;
  readonly name?: string | undefined;
  /** The earlier id of the same person. */
  readonly follows?: string | undefined;
}

/** True where two ids are one person: one follows the other, or both follow a third. Nobody can inspect their own work by a second id. */
export const areOne = (people: readonly Known[], one: string, other: string): boolean => {
  const originOf = (person: string, seen: readonly string[] = []): string => {
    const follows = people.find((each) => each.person === person)?.follows;
    return follows === undefined || seen.includes(person) ? person : originOf(follows, [...seen, person]);
  };
  return originOf(one) === originOf(other);
};

/** Letters that stay one letter when accents are taken away. */
const letters: Readonly<Record<string, string>> = {
  ß: 'ss',
  ø: 'o',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  æ: 'ae',
  œ: 'oe',
  ı: 'i',
};

const plainOfAny = (text: string): string =>
  text
    .normalize('NFKD')
    .toLowerCase()
    .normalize('NFKD')
    .replaceAll(/[\p{M}\p{Cf}]/gu, '')
    .replaceAll(/[ßøłđðþæœı]/g, (letter) => letters[letter] ?? letter)
    .replaceAll(/[\s\p{Pd}]+/gu, ' ')
    .trim();

/** Letters, digits and signs without accents, as most names are: they need no table of Unicode. */
const isPlain = /^[ -~]*$/;

/** A name as it is compared: without case, accents, hyphens, invisible characters, or spaces that mean nothing. */
export const plainName = (text: string): string =>
  isPlain.test(text) ? text.toLowerCase().replaceAll(/[ -]+/g, ' ').trim() : plainOfAny(text);

const newcomer = /^\s*new:\s*/i;

/** True where the person said that this is somebody else than anybody with a similar name: `new:NAME`. */
export const isNewcomer = (typed: string): boolean => newcomer.test(typed);

/** A name as it is shown, without the word `new:` and without spaces around it. */
export const shownName = (typed: string): string => typed.replace(newcomer, '').trim();

const namesOf = ({ person, name }: Known): readonly string[] => [
  plainName(person),
  ...(name === undefined ? [] : [plainName(name)]),
];

/** Everybody whose id or name was typed, in the order of the list. Several have it where two people have the same name. */
export const peopleNamed = (people: readonly Known[], typed: string): readonly string[] => {
  const plain = plainName(shownName(typed));
  return people.filter((one) => namesOf(one).includes(plain)).map(({ person }) => person);
};

/**
 * The person who is meant: by their id where it was typed, else by their name; of several ids of one person, the latest. `undefined` for
 * somebody whom the build does not know.
 */
export const personNamed = (people: readonly Known[], typed: string): string | undefined => {
  const named = peopleNamed(people, typed);
  const shown = shownName(typed);
  return (
    named.find((person) => person === shown) ??
    named.findLast((person) => plainName(person) === plainName(shown)) ??
    named.at(-1)
  );
};

/** The id of the person who is meant, or the name as typed for somebody whom the build does not know. */
export const idOrName = (people: readonly Known[], typed: string): string =>
  personNamed(people, typed) ?? shownName(typed);

/**
 * The same for several names, each person once. Somebody whom the build does not know is one person too, however the name was typed each
 * time; the first spelling stays.
 */
export const idsOrNames = (people: readonly Known[], typed: readonly string[]): readonly string[] => {
  const named = new Map<string, string>();
  for (const one of typed) {
    const key = personNamed(people, one) ?? plainName(shownName(one));
    if (!named.has(key)) named.set(key, idOrName(people, one));
  }
  return [...named.values()];
};

/** True where a name that somebody typed is one person's, by any id that this person has or had. */
export const isNameOf = (people: readonly Known[], typed: string, person: string): boolean =>
  [shownName(typed), ...peopleNamed(people, typed)].some((named) => areOne(people, named, person));

const wordsIn = (plain: string): readonly string[] => plain.split(' ');

/** True where one name is a word of the other, or both have the same words in another order, or they differ by one letter. */
const areNear = (one: string, other: string): boolean => {
  if (one === '' || other === '' || one === other) return false;
  const [some, others] = [wordsIn(one), wordsIn(other)];
  const isWord = (some.length === 1 && others.includes(one)) || (others.length === 1 && some.includes(other));
  return isWord || some.toSorted().join(' ') === others.toSorted().join(' ') || oneLetterApart(one, other);
};

/** True where two names that are not the same are so similar that one person may be meant. Which comes first makes no difference. */
export const isNear = (one: string, other: string): boolean => areNear(plainName(one), plainName(other));

/**
 * The people who may have been meant by a name that is nobody's: one word of a name, or one letter different. Empty where the name is
 * somebody's, and where the person said that it is another (`new:NAME`).
 */
export const peopleNear = (people: readonly Known[], typed: string): readonly string[] => {
  if (isNewcomer(typed) || peopleNamed(people, typed).length > 0) return [];
  const plain = plainName(typed);
  return people.filter((one) => namesOf(one).some((name) => areNear(name, plain))).map(({ person }) => person);
};
