import { describe, expect, it } from 'vitest';
import { verbNames, verbSpec } from '../../src/job/verbs.ts';
import { readVerb, readWords, verbForm } from '../../src/workshop/words.ts';

const taken = (
  ...[verb, ...words]: Parameters<typeof readWords> extends [infer V, unknown] ? [V, ...string[]] : never
) => {
  const read = readWords(verb, words);
  return read.ok ? read.value : read.fault.code;
};

describe('the words after a verb', () => {
  it('give the bare object, then fields', () => {
    expect(taken('read', 'gap', 'value=0.15 mm', 'position=root')).toEqual({
      reading: 'gap',
      value: '0.15 mm',
      position: 'root',
    });
  });

  it('give a map with dots, as the page on the command line shows', () => {
    expect(taken('mix', 'mix', 'weights.resin=100 g', 'weights.hardener=44 g', 'sample=S-1')).toEqual({
      step: 'mix',
      weights: { resin: '100 g', hardener: '44 g' },
      sample: 'S-1',
    });
  });

  it('give a list by repeating its key, and one value as a list of one', () => {
    expect(taken('begin', 'dry-fit', 'with=marit', 'with=juno')).toEqual({ step: 'dry-fit', with: ['marit', 'juno'] });
    expect(taken('refuse', 'inspect', 'findings=gap at bay 3')).toEqual({
      step: 'inspect',
      findings: ['gap at bay 3'],
    });
  });

  it('may hold an equals sign or a comma in a value', () => {
    expect(taken('read', 'gap', 'value=0,15', 'reason=a = b')).toEqual({
      reading: 'gap',
      value: '0,15',
      reason: 'a = b',
    });
  });

  it('may hold an equals sign in an object', () => {
    expect(taken('remark', 'x=y was tried')).toEqual({ text: 'x=y was tried' });
  });

  it('give a corrected weight by its part, and a corrected value as it is', () => {
    expect(taken('correct', 'abc:4', 'value.resin=100 g', 'reason=typed wrong')).toMatchObject({
      value: { resin: '100 g' },
    });
    expect(taken('correct', 'gap', 'value=0.2 mm', 'reason=typed wrong')).toMatchObject({ value: '0.2 mm' });
  });

  it('may lack the object, which the rules then name', () => {
    expect(taken('read', 'value=0.15 mm')).toEqual({ value: '0.15 mm' });
  });

  it.each([
    [['read', 'gap', 'valu=1'], 'field-unknown'],
    [['read', 'gap', 'value=1', 'value=2'], 'field-twice'],
    [['mix', 'mix', 'weights.resin=1 g', 'weights.resin=2 g'], 'field-twice'],
    [['read', 'gap', '0.15 mm'], 'word-extra'],
    [['complete', 'now'], 'word-extra'],
  ] as const)('%j is %s', (words, code) => {
    expect(taken(...(words as unknown as Parameters<typeof taken>))).toBe(code);
  });

  it('with a misspelt field give the nearest one', () => {
    const read = readWords('read', ['gap', 'postion=root']);
    expect(!read.ok && read.fault.todo).toBe('did you mean position=?');
  });
});

describe('the verbs', () => {
  it('are found by name, or the nearest is suggested', () => {
    expect(readVerb('finish')).toEqual({ ok: true, value: 'finish' });
    const read = readVerb('finsh');
    expect(!read.ok && read.fault).toMatchObject({ kind: 'usage', code: 'verb-unknown', todo: 'did you mean finish?' });
  });

  it('have a form that names every field', () => {
    for (const verb of verbNames)
      for (const field of verbSpec(verb).fields) expect(verbForm(verb)).toContain(`${field.name}`);
  });
});
