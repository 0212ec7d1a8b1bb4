import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  idOrName,
  isNameOf,
  isNear,
  isNewcomer,
  peopleNamed,
  peopleNear,
  personNamed,
  plainName,
  shownName,
  type Known,
} from '../../src/job/people.ts';

const people: readonly Known[] = [
  { person: 'pia', name: 'Pia Osk' },
  { person: 'pell', name: 'Pell Osk' },
  { person: 'tobias', name: 'Tobias Hesk' },
  { person: 'jose', name: 'José Ångmann' },
  { person: 'vera-sand' },
];

describe('who is meant by a name (rule 13)', () => {
  it.each([
    ['tobias', 'tobias'],
    ['Tobias', 'tobias'],
    ['tobias ', 'tobias'],
    ['TOBIAS HESK', 'tobias'],
    ['  Tobias   Hesk ', 'tobias'],
    ['Tobías Hésk', 'tobias'],
    ['jose angmann', 'jose'],
    ['JOSÉ ÅNGMANN', 'jose'],
    ['Vera Sand', 'vera-sand'],
    ['new:Tobias Hesk', 'tobias'],
    ['tob\u200Bias', 'tobias'],
  ])('takes %s for %s', (typed, person) => {
    expect(personNamed(people, typed)).toBe(person);
    expect(isNameOf(people, typed, person)).toBe(true);
    expect(peopleNear(people, typed)).toEqual([]);
  });

  it.each([
    ['Hesk', ['tobias']],
    ['Tobiaz', ['tobias']],
    ['Tobais', ['tobias']],
    ['Tobias Hes', ['tobias']],
    ['Hesk Tobias', ['tobias']],
    ['Tobias Smed', ['tobias']],
    ['osk', ['pia', 'pell']],
    ['Sand', ['vera-sand']],
  ])('asks of %s whether %j is meant', (typed, near) => {
    expect(personNamed(people, typed)).toBeUndefined();
    expect(peopleNear(people, typed)).toEqual(near);
  });

  it.each(['Rolf', 'Rita Osk', 'new:Hesk', 'NEW: Tobiaz', 'the neighbour'])(
    'takes %s for nobody of the build',
    (typed) => {
      expect(personNamed(people, typed)).toBeUndefined();
      expect(peopleNear(people, typed)).toEqual([]);
    },
  );

  it('shows a newcomer without the word that said so', () => {
    expect(shownName(' new: Tobias Smed ')).toBe('Tobias Smed');
    expect(idOrName(people, 'new:Hesk')).toBe('Hesk');
    expect(isNewcomer('New: x')).toBe(true);
  });

  it('knows a person by every id that they have had', () => {
    const twice: readonly Known[] = [...people, { person: 'tobias-2', name: 'Tobias Hesk', follows: 'tobias' }];
    expect(peopleNamed(twice, 'Tobias Hesk')).toEqual(['tobias', 'tobias-2']);
    expect(personNamed(twice, 'Tobias Hesk')).toBe('tobias-2');
    for (const id of ['tobias', 'tobias-2']) expect(isNameOf(twice, 'Tobias Hesk', id)).toBe(true);
    expect(isNameOf(twice, 'tobias', 'tobias-2')).toBe(true);
  });

  it('counts people who were introduced after they were named', () => {
    const before = people.filter(({ person }) => person !== 'tobias');
    expect(isNameOf(before, 'Tobias Hesk', 'tobias')).toBe(false);
    expect(isNameOf(people, 'Tobias Hesk', 'tobias')).toBe(true);
  });
});

const word = fc.stringMatching(/^[A-Za-zÀ-ÖØ-öø-ÿ]{1,9}$/);
const name = fc.array(word, { minLength: 1, maxLength: 3 }).map((words) => words.join(' '));
const accents = ['', '\u0301', '\u0308', '\u0327'];
/** The same name as another person might type it: other case, accents and spaces. */
const spelling = (of: string): fc.Arbitrary<string> =>
  fc
    .tuple(
      fc.array(fc.tuple(fc.boolean(), fc.nat(3)), { minLength: of.length, maxLength: of.length }),
      fc.stringMatching(/^[ \t]{0,3}$/),
    )
    .map(([marks, space]) => {
      const letters = [...of.normalize('NFC')].map((letter, at) => {
        const [isUpper, accent] = marks[at] ?? [false, 0];
        if (letter === ' ') return ` ${space}`;
        const cased = isUpper && letter !== 'ß' ? letter.toUpperCase() : letter.toLowerCase();
        return `${cased}${accents[accent] ?? ''}`;
      });
      return `${space}${letters.join('')}${space}`;
    });

describe('the laws of matching', () => {
  it('is reflexive, and blind to case, accents and spaces', () =>
    fc.assert(
      fc.property(
        name.chain((one) => fc.tuple(fc.constant(one), spelling(one))),
        ([one, typed]) => {
          expect(plainName(typed)).toBe(plainName(one));
          expect(peopleNamed([{ person: 'x-1', name: one }], typed)).toEqual(['x-1']);
        },
      ),
    ));

  it('never takes the name of one person for another', () =>
    fc.assert(
      fc.property(fc.uniqueArray(name, { minLength: 2, maxLength: 6, selector: plainName }), (names) => {
        const all = names.map((each, at) => ({ person: `person-${at}`, name: each }));
        for (const { person, name: typed } of all) expect(peopleNamed(all, typed)).toEqual([person]);
      }),
    ));

  it('finds near what is near, whichever is typed', () =>
    fc.assert(
      fc.property(name, name, (one, other) => {
        expect(isNear(one, other)).toBe(isNear(other, one));
        expect(isNear(one, one)).toBe(false);
      }),
    ));

  it('asks about every word of a name, and every name with one letter left out', () =>
    fc.assert(
      fc.property(name, fc.nat(20), (one, at) => {
        const known = [{ person: 'x-1', name: one }];
        const words = one.split(' ');
        const asked = [
          words[at % words.length] ?? one,
          one.slice(0, at % one.length) + one.slice((at % one.length) + 1),
        ];
        for (const typed of asked) {
          const plain = plainName(typed);
          if (plain === '' || plain === plainName(one) || plain === 'x 1') continue;
          if (plainName(one).length - plain.length > 1 && !words.map(plainName).includes(plain)) continue;
          expect(peopleNear(known, typed)).toEqual(['x-1']);
        }
      }),
    ));
});
