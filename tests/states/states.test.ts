import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { verbNames } from '../../src/job/verbs.ts';
import { root } from '../support/built.ts';
import { answerFile, asked } from './ask.ts';
import { answersOf, questionsOf, stateFiles, withKept } from './kept.ts';
import { storiesOf } from './stories.ts';

/*
 * States that an earlier program wrote, with what it said about them. The current program must say the same, word for word. README.md
 * describes how the states were made.
 */

const folder = join(root, 'tests/states/edition-1');
const names = storiesOf(root).map(({ name }) => name);

it('every verb is in one of them', () => {
  const types = names.flatMap((name) => {
    const journal = join(folder, name, 'state/journal');
    return readdirSync(journal).flatMap((file) =>
      readFileSync(join(journal, file), 'utf8')
        .trimEnd()
        .split('\n')
        .map((line) => (JSON.parse(line) as { readonly type: string }).type),
    );
  });
  expect(verbNames.filter((verb) => !types.includes(verb))).toEqual([]);
});

it('every story has its state, and every other state is known', () => {
  expect(readdirSync(folder).toSorted()).toEqual(names.toSorted());
});

it.each(names)('%s is read as it was when it was written', async (name) => {
  const kept = join(folder, name);
  const [questions, answers] = [questionsOf(kept), answersOf(kept)];
  expect([...answers.keys()].toSorted()).toEqual(questions.ask.map(answerFile).toSorted());
  await withKept(kept, root, async (own) => {
    const before = stateFiles(own.state);
    for (const [file, text] of await asked(own, questions))
      expect(text, `${name}/said/${file}`).toBe(answers.get(file));
    expect(stateFiles(own.state), 'reading changes nothing').toEqual(before);
  });
});
