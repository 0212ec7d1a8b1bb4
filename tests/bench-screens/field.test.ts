import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keyTable, separateKeys, pressed } from '../../src/bench/keys.ts';
import { editField, emptyField, fieldOf, fieldText, typeInto } from '../../src/bench/drawing/field.ts';

test('whatever is typed is in the field, in order', () => {
  fc.assert(
    fc.property(fc.array(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 1 })), (keys) => {
      const printable = keys.filter((key) => !/\p{Cc}/u.test(key));
      expect(fieldText(printable.reduce(typeInto, emptyField))).toBe(printable.join(''));
    }),
  );
});

test('the cursor moves over whole characters, and back to where it was', () => {
  const typed = fieldOf('a\u0301👩‍🔧x');
  const moved = ['left', 'left', 'left', 'left'].reduce((field) => editField(field, 'left') ?? field, typed);
  expect(moved).toEqual({ before: '', after: 'a\u0301👩‍🔧x' });
  expect(editField(moved, 'right')).toEqual({ before: 'a\u0301', after: '👩‍🔧x' });
  expect(editField(editField(moved, 'end') ?? moved, 'erase')).toEqual(fieldOf('a\u0301👩‍🔧'));
  expect(fieldText(editField(typed, 'erase') ?? typed)).toBe('a\u0301👩‍🔧');
});

test('moving and typing never lose a character', () => {
  const acts = fc.constantFrom('left', 'right', 'home', 'end');
  fc.assert(
    fc.property(fc.array(fc.oneof(fc.constantFrom('1', '.', '5', 'm'), acts)), (keys) => {
      const typed = keys.filter((key) => key.length === 1);
      const field = keys.reduce(
        (now, key) => (key.length === 1 ? typeInto(now, key) : (editField(now, key as 'left') ?? now)),
        emptyField,
      );
      expect(Array.from(fieldText(field)).toSorted()).toEqual(typed.toSorted());
    }),
  );
});

test('a paste is text on one line, and no control character comes with it', () => {
  expect(fieldText(typeInto(emptyField, '0.12\n mm\u001b[31m\t!'))).toBe('0.12  mm[31m !');
});

test('each key has one meaning, and own keys are letters that no table entry uses', () => {
  const names = keyTable.map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
  const own = Object.values(separateKeys).map(({ key }) => key);
  expect(new Set(own).size).toBe(own.length);
  for (const key of own) expect(key).toMatch(/^[a-z]$/);
});

test('own keys work with and without shift; function keys mean nothing', () => {
  expect(pressed({ kind: 'char', text: 'B' })).toMatchObject({ own: 'begin', text: 'B' });
  expect(pressed({ kind: 'char', text: '7' })).toMatchObject({ digit: 7 });
  expect(pressed({ kind: 'named', name: 'f5' })).toBeUndefined();
  expect(pressed({ kind: 'named', name: 'enter', alt: true })).toBeUndefined();
});
