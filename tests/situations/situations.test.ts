import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { makeState, type Bench } from '../states/story.ts';
import { root } from '../support/built.ts';

const folder = join(root, 'tests/situations');

const situations = readdirSync(folder, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map((entry) => entry.name);

/** Lines of a story that are not commands of dryfit; `tests/situations/README.md` describes them. */
const otherLines: Readonly<Record<string, (bench: Bench, rest: string) => void | Promise<void>>> = {
  keys: (bench, rest) => {
    for (const person of rest.split(' ')) bench.own.key(person);
  },
  write: (bench, rest) => {
    const [file = '', ...words] = rest.split(' ');
    bench.own.file(file, `${words.join(' ').replaceAll('\\n', '\n')}\n`);
  },
  file: (bench, rest) => {
    const [file = '', ...words] = rest.split(' ');
    return bench.into(file, words.join(' '));
  },
  sign: (bench, rest) => {
    const [file = '', person = '', namespace = ''] = rest.split(' ');
    bench.sign(file, person, namespace);
  },
  build: (bench, rest) => {
    const [from = '', to] = rest.replaceAll('\\n', '\n').split(' => ');
    bench.edit((text) => {
      if (to === undefined) return `${text.trimEnd()}\n${from}\n`;
      if (!text.includes(from)) throw new Error(`build.yaml has no ${from}`);
      return text.replace(from, to);
    });
  },
};

const tell = async (bench: Bench, lines: readonly string[]): Promise<void> => {
  for (const line of lines) {
    const [word = '', ...rest] = line.trim().split(' ');
    const other = Object.hasOwn(otherLines, word) ? otherLines[word] : undefined;
    if (other) await other(bench, rest.join(' '));
    else await bench.says(line);
  }
};

it.each(situations)('%s', async (name) => {
  const own = join(folder, name);
  await makeState(
    {
      name,
      now: '',
      pages: '',
      act: async ({ machine }) => {
        const one = machine('one');
        if (existsSync(join(own, 'procedures'))) one.pages(join('tests/situations', name, 'procedures'));
        await tell(one, readFileSync(join(own, 'story.txt'), 'utf8').split('\n'));
      },
    },
    root,
    async (made) => {
      await expect(made.printed).toMatchFileSnapshot(join(own, 'shown.txt'));
    },
  );
});
