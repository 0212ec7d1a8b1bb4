import { readdirSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { keep, keepAnswers } from './kept.ts';
import { storiesOf } from './stories.ts';

/** `make.mjs states [NAME…]` makes the states anew; `make.mjs answers [NAME…]` only stores what the program now says about them. */
const [, , root = '', what = '', ...names] = process.argv;
const project = resolve(root);
const folder = join(project, 'tests/states/edition-1');
const stories = storiesOf(project);
const isMeant = (name: string): boolean => names.length === 0 || names.includes(name);

if (what !== 'states' && what !== 'answers') {
  process.stderr.write('write: node tests/states/make.mjs states|answers [NAME…]\n');
  process.exitCode = 2;
} else {
  for (const story of stories.filter(({ name }) => isMeant(name))) {
    if (what === 'states') await keep(story, join(folder, story.name), project);
    else await keepAnswers(join(folder, story.name), project);
    process.stdout.write(`${story.name}\n`);
  }
  // A kept state whose story no longer exists.
  const known = new Set(stories.map(({ name }) => name));
  for (const name of what === 'states' ? readdirSync(folder) : [])
    if (!known.has(name)) rmSync(join(folder, name), { recursive: true });
}
